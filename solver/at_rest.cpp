// SPDX-License-Identifier: MIT
#include "solver/at_rest.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

#include "graph/reach.h"
#include "solver/left_alone.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double one_level_m = 0.005;       // within this, levels count as one
constexpr double drips_m3_per_s = 1e-7;     // 6 mL a minute: a tap that drips is dry
constexpr double dry_share_of_draw = 0.01;  // of a fixed draw
constexpr double nothing_m3 = 1e-4;         // 0.1 L: what a dry outlet may still drip
constexpr double runs_off_m3 = 1e-3;        // through a standing pump: less is worth no word
constexpr double first_wait_s = 6.0 * 3600.0;
constexpr double longest_wait_s = 12.0 * 365.0 * 86400.0;  // for a pond and a thin tap

double least_flow(const Outlet& outlet) {
  return outlet.draw_m3_per_s ? dry_share_of_draw * *outlet.draw_m3_per_s : drips_m3_per_s;
}

/// Pumps that led more out of a group than into it while they stood.
std::vector<PumpId> run_off_through(const Parts& parts, std::size_t group,
                                    const RunRecord& standing_full,
                                    const std::vector<std::size_t>& place_group) {
  const Row row(parts);
  std::vector<PumpId> pumps;
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) {
    const std::size_t from = place_group[row.of(parts.pumps[i].from)];
    const std::size_t to = place_group[row.of(parts.pumps[i].to)];
    if (from == to || (from != group && to != group)) continue;
    const PumpRecord& pump = standing_full.pumps[i];
    const double forth_m3 = pump.ran_on_m3 - pump.ran_back_m3;
    if ((from == group ? forth_m3 : -forth_m3) >= runs_off_m3) pumps.push_back(id_at<PumpId>(i));
  }
  return pumps;
}

RestingGroup group_of(const Parts& parts, const std::vector<TankId>& tanks,
                      const RunRecord& settled, const std::vector<double>& full_m3,
                      const RunRecord& standing_full, const std::vector<std::size_t>& place_group) {
  RestingGroup group;
  group.tanks = tanks;
  group.first_lip_m = std::numeric_limits<double>::infinity();
  double lowest = std::numeric_limits<double>::infinity();
  double highest = -std::numeric_limits<double>::infinity();
  for (const TankId id : tanks) {
    const Tank& tank = part(parts.tanks, id);
    const double depth = std::max(0.0, settled.tanks[id.index].end_depth_m);
    group.depth_m.push_back(depth);
    lowest = std::min(lowest, tank.base_m + depth);
    highest = std::max(highest, tank.base_m + depth);
    group.holds_m3 += full_m3[id.index];
    group.nominal_m3 += capacity_m3(tank.shape);
    if (lip_m(tank) < group.first_lip_m) {
      group.first_lip_m = lip_m(tank);
      group.first_lip_of = id;
    }
  }
  if (highest - lowest <= one_level_m) group.level_m = 0.5 * (lowest + highest);
  const Tank& lowest_lip = part(parts.tanks, group.first_lip_of);
  const double full_m =
      lowest_lip.base_m + depth_m(lowest_lip.shape, full_m3[group.first_lip_of.index]);
  if (full_m < group.first_lip_m - one_level_m) {
    group.runs_off_through =
        run_off_through(parts, place_group[group.first_lip_of.index], standing_full, place_group);
  }
  return group;
}

/// Whether an outlet that was opened at the start gave nothing any more for the second half of a
/// run. Half, because a header that draws air fills again and gives a little more, a few times
/// over.
bool has_run_dry(const RunRecord& record, OutletId id, double least_m3_per_s) {
  if (record.trace.outlet_flow_m3_per_s.back()[id.index] >= least_m3_per_s) return false;
  if (record.outlets[id.index].delivered_m3 == 0.0) return true;
  const std::optional<double>& first_dry = record.outlets[id.index].first_dry_at_s;
  double dry_since_s = first_dry.value_or(record.lasted_s);
  for (const Event& event : record.events) {
    if (event.part != id.index) continue;
    if (event.kind == Event::Kind::outlet_dry) dry_since_s = event.at_s;
    if (event.kind == Event::Kind::outlet_wet) dry_since_s = record.lasted_s;
  }
  return dry_since_s <= 0.5 * record.lasted_s;
}

/// Opens one outlet of a full yard and waits until it is dry: six hours, a day, four days, ...
/// Where a longer wait takes more steps than a yard at rest should (left_alone.cpp), the one before
/// it has to do; what it says comes out is then less than all.
Result<RunRecord> run_out(const Array& array, const std::vector<double>& full_m3, OutletId id) {
  Parts parts = left_alone(array.parts());
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) parts.tanks[i].water_m3 = full_m3[i];
  part(parts.outlets, id).open = true;
  Result<RunRecord> longest = let_stand(parts, first_wait_s);
  for (double for_s = 4.0 * first_wait_s; longest && for_s <= longest_wait_s; for_s *= 4.0) {
    if (has_run_dry(*longest, id, least_flow(part(parts.outlets, id)))) break;
    Result<RunRecord> longer = let_stand(parts, for_s);
    if (!longer) break;
    longest = std::move(longer);
  }
  return longest;
}

Usable usable_of(const Array& array, OutletId id, const std::vector<double>& full_m3,
                 const std::vector<std::size_t>& group, const RunRecord& record) {
  const Parts& parts = array.parts();
  const std::size_t own_group = group[Row(parts).of(id)];
  Usable usable;
  usable.outlet = id;
  const OutletRecord& outlet = record.outlets[id.index];
  usable.usable_m3 = outlet.delivered_m3;
  // A header or a hose may fill a moment after the tap is opened, so the first moment can be dry.
  usable.first_m3_per_s =
      std::max(outlet.peak_m3_per_s, record.trace.outlet_flow_m3_per_s.front()[id.index]);
  usable.gravity = usable.usable_m3 > nothing_m3;
  usable.left_per_tank_m3.assign(parts.tanks.size(), 0.0);
  double dry_below = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (group[i] != own_group) continue;
    const Tank& tank = parts.tanks[i];
    const double left = record.tanks[i].end_m3;
    usable.left_per_tank_m3[i] = left;
    usable.left_m3 += left;
    usable.nominal_m3 += capacity_m3(tank.shape);
    if (full_m3[i] - left > nothing_m3) {
      dry_below = std::min(dry_below, tank.base_m + record.tanks[i].end_depth_m);
    }
  }
  usable.dry_below_m = usable.gravity && std::isfinite(dry_below)
                           ? dry_below
                           : mouth_m(parts, part(parts.outlets, id));
  return usable;
}

void find_not_joined(const Array& array, AtRest& rest) {
  std::vector<bool> has_hose(array.tanks().size(), false);
  std::vector<bool> has_open(array.tanks().size(), false);
  for (const Hose& hose : array.hoses()) {
    for (const HoseEnd* end : {&hose.from, &hose.to}) {
      const auto* id = std::get_if<TankId>(&end->place);
      if (!id) continue;
      has_hose[id->index] = true;
      if (starts_open(hose)) has_open[id->index] = true;
    }
  }
  for (std::size_t i = 0; i < has_open.size(); ++i) {
    if (has_open[i]) continue;
    rest.not_joined.push_back(id_at<TankId>(i));
    if (has_hose[i]) rest.joined_if_opened.push_back(id_at<TankId>(i));
  }
}

}  // namespace

Result<AtRest> at_rest(const Array& array) {
  const Parts& parts = array.parts();
  const Result<RunRecord> settled = let_stand(left_alone(parts), settles_within_s);
  if (!settled) return tl::unexpected<Troubles>(settled.error());
  const Result<RunRecord> full = standing_full(array);
  if (!full) return tl::unexpected<Troubles>(full.error());
  const std::vector<double> full_m3 = water_in(array, *full);

  AtRest rest;
  const std::vector<std::size_t> group = groups_in_row(parts, array.open_at_start());
  for (const std::vector<TankId>& tanks : joined_tanks(array, array.open_at_start())) {
    rest.groups.push_back(group_of(parts, tanks, *settled, full_m3, *full, group));
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const auto id = id_at<OutletId>(i);
    if (group[Row(parts).of(id)] >= parts.tanks.size()) continue;  // no tank in its group
    const Result<RunRecord> record = run_out(array, full_m3, id);
    if (!record) return tl::unexpected<Troubles>(record.error());
    rest.usable.push_back(usable_of(array, id, full_m3, group, *record));
  }
  find_not_joined(array, rest);
  return rest;
}

}  // namespace tankyard
