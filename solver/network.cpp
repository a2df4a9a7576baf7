// SPDX-License-Identifier: MIT
#include "solver/network.h"

#include <algorithm>
#include <cmath>

#include "solver/headspace.h"

namespace tankyard {
namespace {

constexpr double entry_k = 0.5;        // sharp entry, any table of losses
constexpr double exit_k = 1.0;         // exit of any shape
constexpr double pump_bore_m = 0.025;  // mouths of a garden pump: common practice, no source

TankLaw law_of(const Tank& tank) {
  TankLaw law;
  law.base_m = tank.base_m;
  law.shape = tank.shape;
  law.rim_m = rim_m(tank);
  law.lip_m = lip_m(tank);
  law.rim_length_m = rim_length_m(tank.shape);
  law.overflow = tank.overflow;
  if (tank.overflow) law.overflow_m = tank.base_m + tank.overflow->height_m;
  const double height = height_m(tank.shape);
  const double mean_area = capacity_m3(tank.shape) / height;
  if (std::holds_alternative<Prism>(tank.shape) || std::holds_alternative<Upright>(tank.shape)) {
    law.area_m2 = surface_m2(tank.shape, 0.5 * height);
    law.scale_area_m2 = law.area_m2;
  } else {
    law.scale_area_m2 = mean_area;
  }
  law.floor_area_m2 = std::max(surface_m2(tank.shape, 0.0), 1e-3 * mean_area);
  return law;
}

struct Compiler {
  const Parts& parts;
  Network& network;
  std::vector<std::optional<int>> joint_of_outlet;

  int place_of(Place place) const {
    if (const auto* tank = std::get_if<TankId>(&place)) return static_cast<int>(tank->index);
    if (const auto* header = std::get_if<HeaderId>(&place)) {
      return static_cast<int>(parts.tanks.size() + header->index);
    }
    return *joint_of_outlet[std::get<OutletId>(place).index];
  }

  void find_joints() {
    std::vector<int> hoses(parts.outlets.size(), 0);
    std::vector<int> pumps(parts.outlets.size(), 0);
    for (const Hose& hose : parts.hoses) {
      if (const auto* outlet = std::get_if<OutletId>(&hose.to.place)) ++hoses[outlet->index];
    }
    for (const Pump& pump : parts.pumps) {
      if (const auto* outlet = std::get_if<OutletId>(&pump.to)) ++pumps[outlet->index];
    }
    joint_of_outlet.resize(parts.outlets.size());
    for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
      const bool nozzle_of_one_hose = hoses[i] == 1 && pumps[i] == 0 && parts.outlets[i].bore_m;
      if (parts.outlets[i].at || nozzle_of_one_hose) continue;
      joint_of_outlet[i] = network.places();
      network.joint_height_m.push_back(mouth_m(parts, parts.outlets[i]));
    }
  }

  void add_end(Link& link, const HoseEnd& end, bool is_from) const {
    (is_from ? link.from : link.to) = place_of(end.place);
    if (std::holds_alternative<TankId>(end.place)) {
      (is_from ? link.from_mouth_m : link.to_mouth_m) = mouth_m(parts, end);
    } else if (const auto* header = std::get_if<HeaderId>(&end.place)) {
      (is_from ? link.from_header : link.to_header) = header->index;
    }
  }

  void add_hose(std::size_t i) const {
    const Hose& hose = parts.hoses[i];
    Link link;
    link.kind = Link::Kind::hose;
    link.part = i;
    link.bore_m = hose.bore_m;
    link.one_way = hose.one_way;
    link.cracking_head_m = hose.one_way ? hose.cracking_head_m : 0.0;
    if (hose.crest_m) link.crest_m = *hose.crest_m;
    add_end(link, hose.from, true);

    double loss_k = entry_k + hose.loss_k + (hose.valve ? hose.valve->loss_k : 0.0);
    const auto* outlet_id = std::get_if<OutletId>(&hose.to.place);
    if (outlet_id && !joint_of_outlet[outlet_id->index]) {
      // The nozzle's own jet takes the place of the exit loss.
      const Outlet& outlet = part(parts.outlets, *outlet_id);
      const double across = hose.bore_m / *outlet.bore_m;
      loss_k += std::pow(across * across / outlet.coefficient, 2);
      link.nozzle = outlet_id->index;
      link.to = outside;
      link.to_mouth_m = mouth_m(parts, outlet);
    } else {
      loss_k += exit_k;
      add_end(link, hose.to, false);
    }
    link.loss = hose_law(hose.bore_m, hose.length_m, hose.roughness_m, loss_k,
                         network.water.kinematic_viscosity_m2_per_s);
    network.links.push_back(link);
  }

  void add_outlet(std::size_t i) const {
    const Outlet& outlet = parts.outlets[i];
    HoseEnd end{OutletId{static_cast<std::uint32_t>(i)}, std::nullopt};
    if (outlet.at) end = *outlet.at;
    const bool stands_on_a_place = outlet.at || joint_of_outlet[i];
    if (!stands_on_a_place) return;  // already the end of its hose

    const double mouth = outlet.at ? mouth_m(parts, end) : mouth_m(parts, outlet);
    if (outlet.draw_m3_per_s) {
      network.draws.push_back({i, place_of(end.place), mouth, *outlet.draw_m3_per_s});
      return;
    }
    Link link;
    link.kind = Link::Kind::outlet;
    link.part = i;
    link.bore_m = *outlet.bore_m;
    add_end(link, end, true);
    link.to = outside;
    link.to_mouth_m = mouth_m(parts, outlet);
    link.loss =
        hole_law(*outlet.bore_m, outlet.coefficient, network.water.kinematic_viscosity_m2_per_s);
    network.links.push_back(link);
  }

  void add_leak(std::size_t i) const {
    const Leak& leak = parts.leaks[i];
    Link link;
    link.kind = Link::Kind::leak;
    link.part = i;
    link.bore_m = leak.bore_m;
    link.from = static_cast<int>(leak.tank.index);
    link.from_mouth_m = part(parts.tanks, leak.tank).base_m + leak.height_m;
    link.to = outside;
    link.to_mouth_m = link.from_mouth_m;
    link.loss = hole_law(leak.bore_m, leak.coefficient, network.water.kinematic_viscosity_m2_per_s);
    network.links.push_back(link);
  }

  void add_pump(std::size_t i) const {
    const Pump& pump = parts.pumps[i];
    const double inlet_m = mouth_m(parts, HoseEnd{pump.from, std::nullopt});
    const PumpCurve curve(pump.curve);
    const Suction suction{boils_at_head_m(network.water, inlet_m),
                          NpshRequired(pump.npsh_required)};
    network.pumps.push_back({{curve, suction}, standing_pump_law(curve), inlet_m});
    Link link;
    link.kind = Link::Kind::pump;
    link.part = i;
    link.bore_m = pump_bore_m;
    link.one_way = !lets_back(pump);
    add_end(link, {pump.from, std::nullopt}, true);
    add_end(link, {pump.to, std::nullopt}, false);
    link.loss = network.pumps.back().standing;
    network.links.push_back(link);
  }

  void find_limits() const {
    double high = no_mouth;
    double low = std::numeric_limits<double>::infinity();
    double area = std::numeric_limits<double>::infinity();
    for (const TankLaw& tank : network.tanks) {
      high = std::max(high, tank.rim_m);
      low = std::min(low, tank.base_m);
      area = std::min(area, tank.scale_area_m2);
    }
    for (double height : network.header_height_m)
      high = std::max(high, height), low = std::min(low, height);
    for (double height : network.joint_height_m)
      high = std::max(high, height), low = std::min(low, height);
    // No water in a hose can stand lower than vapour pressure under the lowest place.
    const double weight = network.water.density_kg_per_m3 * gravity_m_per_s2;
    network.lowest_head_m =
        low - (network.water.atmosphere_pa - network.water.vapour_pressure_pa) / weight;
    network.highest_head_m = high + 1.0;
    for (const PumpWay& pump : network.pumps) {
      network.all_pumps_lift_m += pump.running.curve.shut_off_head_m();
    }
    network.highest_head_m += network.all_pumps_lift_m;
    network.smallest_area_m2 = area;
  }
};

std::vector<std::pair<int, int>> joins_of(const Network& network) {
  std::vector<std::pair<int, int>> joins;
  for (const Link& link : network.links) {
    if (link.to != outside) joins.emplace_back(link.from, link.to);
  }
  for (std::size_t i = 0; i < network.tanks.size(); ++i) {
    if (network.tanks[i].overflow && network.tanks[i].overflow->to) {
      joins.emplace_back(static_cast<int>(i),
                         static_cast<int>(network.tanks[i].overflow->to->index));
    }
  }
  return joins;
}

}  // namespace

TankLaw::Volume TankLaw::volume_by_shape(double head_m) const {
  const double depth = head_m - base_m;
  if (depth <= 0.0) return {floor_area_m2 * depth, floor_area_m2};
  return {volume_m3(shape, depth), surface_m2(shape, depth)};
}

double TankLaw::head_by_shape(double volume_m3) const { return base_m + depth_m(shape, volume_m3); }

Network::Network(const Array& the_array)
    : array(the_array),
      water(water_at(array.parts().site.water_temperature_degc, array.parts().site.altitude_m)),
      elimination(0, {}) {
  const Parts& parts = array.parts();
  for (const Tank& tank : parts.tanks) tanks.push_back(law_of(tank));
  for (const Header& header : parts.headers) header_height_m.push_back(header.height_m);

  Compiler compiler{parts, *this, {}};
  compiler.find_joints();
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) compiler.add_hose(i);
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) compiler.add_outlet(i);
  for (std::size_t i = 0; i < parts.leaks.size(); ++i) compiler.add_leak(i);
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) compiler.add_pump(i);
  compiler.find_limits();
  std::vector<std::pair<int, int>> joins = joins_of(*this);
  for (const auto& pair : Headspaces(*this).joins()) joins.push_back(pair);
  elimination = Elimination(places(), joins);
}

}  // namespace tankyard
