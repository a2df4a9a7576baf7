// SPDX-License-Identifier: MIT
#include "plain_ways.h"

#include <algorithm>
#include <variant>

#include "plain_air.h"

namespace plain {

using tankyard::Hose;
using tankyard::Outlet;
using tankyard::Parts;
using tankyard::TankId;

namespace {

constexpr double pi = 3.141592653589793;

double hole_area_m2(const tankyard::Lid& lid) {
  return lid.count * lid.coefficient * lid.screen * pi / 4.0 * lid.hole_m * lid.hole_m;
}

}  // namespace

bool is_hose_nozzle(const Parts& parts, tankyard::Place place) {
  const auto* id = std::get_if<tankyard::OutletId>(&place);
  if (id == nullptr || !tankyard::part(parts.outlets, *id).bore_m) return false;
  const auto ends_here = [&](const Hose& hose) { return hose.to.place == place; };
  const auto delivers_here = [&](const tankyard::Pump& pump) { return pump.to == place; };
  return std::count_if(parts.hoses.begin(), parts.hoses.end(), ends_here) == 1 &&
         std::none_of(parts.pumps.begin(), parts.pumps.end(), delivers_here);
}

std::vector<Node> find_nodes(const Parts& parts) {
  std::vector<Node> nodes;
  const auto add = [&nodes](tankyard::Place place, double height_m) {
    nodes.push_back({});
    nodes.back().place = place;
    nodes.back().height_m = height_m;
  };
  for (std::size_t h = 0; h < parts.headers.size(); ++h) {
    add(tankyard::id_at<tankyard::HeaderId>(h), parts.headers[h].height_m);
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    const tankyard::Place place = tankyard::id_at<tankyard::OutletId>(o);
    if (parts.outlets[o].at || is_hose_nozzle(parts, place)) continue;
    add(place, *parts.outlets[o].height_m);
  }
  for (Node& node : nodes) {
    for (std::size_t k = 0; k < parts.hoses.size(); ++k) {
      const Hose& hose = parts.hoses[k];
      if (hose.from.place == node.place || hose.to.place == node.place) node.hoses.push_back(k);
    }
    for (std::size_t k = 0; k < parts.pumps.size(); ++k) {
      const tankyard::Pump& pump = parts.pumps[k];
      if (pump.from == node.place || pump.to == node.place) node.pumps.push_back(k);
    }
    for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
      const Outlet& outlet = parts.outlets[o];
      const tankyard::Place place =
          outlet.at ? outlet.at->place : tankyard::Place(tankyard::id_at<tankyard::OutletId>(o));
      if (place == node.place) (outlet.bore_m ? node.nozzles : node.draws).push_back(o);
    }
  }
  return nodes;
}

std::vector<Hole> find_holes(const Parts& parts) {
  std::vector<Hole> holes;
  const auto hole = [](double bore_m, double coefficient) {
    return Pipe{bore_m, 0.0, 0.0, 1.0 / (coefficient * coefficient)};
  };
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    const Outlet& outlet = parts.outlets[o];
    if (!outlet.at || !outlet.bore_m) continue;
    const auto* tank = std::get_if<TankId>(&outlet.at->place);
    if (tank == nullptr) continue;
    const double mouth = tankyard::mouth_m(parts, *outlet.at);
    holes.push_back({tank->index, mouth, outlet.height_m.value_or(mouth),
                     hole(*outlet.bore_m, outlet.coefficient), o, 0});
  }
  for (std::size_t l = 0; l < parts.leaks.size(); ++l) {
    const tankyard::Leak& leak = parts.leaks[l];
    const double mouth = tankyard::part(parts.tanks, leak.tank).base_m + leak.height_m;
    holes.push_back(
        {leak.tank.index, mouth, mouth, hole(leak.bore_m, leak.coefficient), std::nullopt, l});
  }
  return holes;
}

std::vector<AirWay> find_air_ways(const Parts& parts) {
  std::vector<AirWay> ways;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const tankyard::Lid& lid = parts.tanks[i].lid;
    if (lid.kind == tankyard::Lid::Kind::holed) {
      ways.push_back({i, std::nullopt, hole_area_m2(lid), std::nullopt, 0.0});
    }
  }
  for (std::size_t k = 0; k < parts.air_lines.size(); ++k) {
    const tankyard::AirLine& line = parts.air_lines[k];
    ways.push_back({line.from.index, line.to.index, line_area_m2(line.bore_m, line.length_m), k,
                    line_laminar_pa(line.bore_m, line.length_m)});
  }
  return ways;
}

}  // namespace plain
