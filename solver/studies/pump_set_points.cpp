// SPDX-License-Identifier: MIT
#include "solver/studies/pump_set_points.h"

#include <algorithm>
#include <limits>
#include <utility>

#include "graph/time_units.h"
#include "solver/left_alone.h"
#include "solver/pump_again.h"
#include "solver/run.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double tried_for_s = day_s;
constexpr double step_m = 0.005;
constexpr double dead_band_m = 0.050;
constexpr int most_steps_up = 20;
constexpr std::size_t most_tanks = 40;
constexpr std::size_t most_settings = 8;  // sets of valves tried; a longer sheet tries these first

/// One day on which a pump may draw air.
struct SetTrial {
  Array array;
  DaySheet sheet;
  std::optional<double> at_s;
};

/// The yard with the valves of a moment, one pump running and all that it feeds open.
Parts pumping(const Parts& plan, PumpId pump, const OpenHoses& open) {
  Parts parts = left_alone(plan);
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    parts.hoses[i].open = open[i];
    if (parts.hoses[i].valve) parts.hoses[i].valve->open = open[i];
  }
  const std::vector<std::size_t> group = groups_in_row(parts, open);
  const Row row(parts);
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    if (group[row.of(id_at<OutletId>(i))] == group[row.of(part(parts.pumps, pump).to)]) {
      parts.outlets[i].open = true;
    }
  }
  Pump& its = part(parts.pumps, pump);
  its.running = true;
  return parts;
}

Parts without_switches(Parts parts, PumpId pump) {
  Pump& its = part(parts.pumps, pump);
  its.stops_below.reset();
  its.runs_at_most_s.reset();
  return parts;
}

std::vector<SetTrial> trials_of(const Array& array, const DaySheet& sheet, PumpId pump) {
  std::vector<SetTrial> trials;
  const auto add = [&](Parts parts, const DaySheet& day, std::optional<double> at_s) {
    Result<Array> made = Array::make(without_switches(std::move(parts), pump));
    if (made) trials.push_back({std::move(*made), day, at_s});
  };
  add(array.parts(), sheet, std::nullopt);
  DaySheet still;
  still.lasts_s = tried_for_s;
  std::vector<OpenHoses> seen;
  std::vector<double> moments = {0.0};
  for (const TimedStep& step : sheet.steps) moments.push_back(step.at_s);
  for (const double at_s : moments) {
    const OpenHoses open = at_s == 0.0 ? array.open_at_start() : open_at(array, sheet, at_s);
    if (seen.size() == most_settings) break;
    if (std::find(seen.begin(), seen.end(), open) != seen.end()) continue;
    seen.push_back(open);
    add(pumping(array.parts(), pump, open), still, at_s);
  }
  return trials;
}

/// Water in all tanks at the end of it; none if the pump draws air all the same.
std::optional<double> left_with(const SetTrial& trial, PumpId pump, TankId tank, double depth_m) {
  Parts parts = trial.array.parts();
  part(parts.pumps, pump).stops_below = LowLevelStop{tank, depth_m, depth_m + dead_band_m};
  const Result<Array> array = Array::make(std::move(parts));
  if (!array) return std::nullopt;
  RunOptions options;
  options.most_steps = 200'000;
  const Result<RunRecord> record = run(*array, trial.sheet, options);
  if (!record || record->pumps[pump.index].lost_prime > 0) return std::nullopt;
  return record->ledger.end_m3;
}

SetPoint set_point_of(const Array& array, const DaySheet& sheet, PumpId pump) {
  SetPoint point;
  point.pump = pump;
  const std::vector<SetTrial> trials = trials_of(array, sheet, pump);
  point.settings = static_cast<int>(trials.size()) - 1;
  std::vector<std::size_t> airy;
  for (std::size_t k = 0; k < trials.size(); ++k) {
    const Result<RunRecord> record = run(trials[k].array, trials[k].sheet);
    if (!record || !record->pumps[pump.index].air_drawn) continue;
    point.draws_air = true;
    airy.push_back(k);
    const std::optional<TankId> by =
        drew_air_by(trials[k].array, pump, *record->pumps[pump.index].air_drawn);
    if (!point.tank) point.tank = by;
    if (!by || !(*by == *point.tank)) continue;
    TryWatch all;  // the set point is what was asked for, and is found whatever it takes
    all.most_steps = std::numeric_limits<long long>::max();
    Tries tries(trials[k].array, trials[k].sheet, {}, *record, all);
    const PumpAgain again(tries);
    const auto set = again.cut_out(pump, *by);
    if (set && (!point.depth_m || set->depth_m > *point.depth_m)) {
      point.depth_m = set->depth_m;
      point.worst_at_s = trials[k].at_s;
      point.left_m3 = set->left_m3;
    }
  }
  if (!point.tank || !point.depth_m) return point;
  // One that does for the worst must do for all; a little higher if it does not.
  for (int up = 0; up < most_steps_up; ++up) {
    bool all = true;
    for (const std::size_t k : airy) {
      const std::optional<double> left = left_with(trials[k], pump, *point.tank, *point.depth_m);
      all = all && left;
      if (left && trials[k].at_s == point.worst_at_s) point.left_m3 = *left;
    }
    if (all) return point;
    *point.depth_m += step_m;
  }
  point.depth_m.reset();
  return point;
}

}  // namespace

std::vector<SetPoint> cut_out_set_points(const Array& array, const DaySheet& sheet) {
  std::vector<SetPoint> points;
  if (array.tanks().size() > most_tanks) return points;
  for (std::size_t p = 0; p < array.pumps().size(); ++p) {
    points.push_back(set_point_of(array, sheet, id_at<PumpId>(p)));
  }
  return points;
}

}  // namespace tankyard
