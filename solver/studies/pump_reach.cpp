// SPDX-License-Identifier: MIT
#include "solver/studies/pump_reach.h"

#include <cmath>
#include <numbers>

#include "solver/left_alone.h"
#include "solver/run.h"
#include "solver/water.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double wait_s = 10.0;
constexpr double least_m3_per_s = 1e-7;  // 6 mL a minute: drops

/// What a jet of this flow needs: rho v^2 / 2, v = Q / (c A) (Torricelli).
double pressure_before_pa(const Outlet& outlet, double m3_per_s, double density_kg_per_m3) {
  using std::numbers::pi;
  const double jet_m_per_s =
      m3_per_s / (outlet.coefficient * 0.25 * pi * *outlet.bore_m * *outlet.bore_m);
  return 0.5 * density_kg_per_m3 * jet_m_per_s * jet_m_per_s;
}

std::optional<Reach> reach_with(const Array& array, OutletId id, std::optional<PumpId> pump) {
  const Site& site = array.parts().site;
  const Water water = water_at(site.water_temperature_degc, site.altitude_m);
  Reach reach{id, pump, {}};
  for (std::size_t k = 0; k < reach_fills.size(); ++k) {
    Parts parts = left_alone(array.parts());
    for (Tank& tank : parts.tanks) tank.water_m3 *= reach_fills[k];
    for (Pump& each : parts.pumps) {
      each.stops_below.reset();
      each.runs_at_most_s.reset();
      each.one_way = !lets_back(each);
      each.pressure_switch.reset();
    }
    part(parts.outlets, id).open = true;
    if (pump) part(parts.pumps, *pump).running = true;
    const Result<RunRecord> record = let_stand(parts, wait_s);
    if (!record) return std::nullopt;
    Reach::AtFill& at = reach.at[k];
    at.m3_per_s = record->trace.outlet_flow_m3_per_s.back()[id.index];
    if (at.m3_per_s < least_m3_per_s) at.m3_per_s = 0.0;
    const Outlet& outlet = part(parts.outlets, id);
    if (outlet.bore_m && at.m3_per_s > 0.0) {
      at.gauge_pa = pressure_before_pa(outlet, at.m3_per_s, water.density_kg_per_m3);
    }
    at.drew_air = pump && record->pumps[pump->index].dry_s > 0.0;
  }
  return reach;
}

}  // namespace

std::vector<Reach> reach_of(const Array& array) {
  const Parts& parts = array.parts();
  const std::vector<std::size_t> group = groups_in_row(parts, array.open_at_start());
  const Row row(parts);
  std::vector<Reach> reaches;
  const auto add = [&](OutletId id, std::optional<PumpId> pump) {
    if (const auto reach = reach_with(array, id, pump)) reaches.push_back(*reach);
  };
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const auto id = id_at<OutletId>(i);
    add(id, std::nullopt);
    for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
      if (group[row.of(parts.pumps[p].to)] == group[row.of(id)]) add(id, id_at<PumpId>(p));
    }
  }
  return reaches;
}

}  // namespace tankyard
