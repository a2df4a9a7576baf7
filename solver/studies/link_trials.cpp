// SPDX-License-Identifier: MIT
#include "solver/studies/link_trials.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "graph/reach.h"
#include "graph/time_units.h"
#include "solver/left_alone.h"
#include "solver/run.h"

namespace tankyard {
namespace {

constexpr double rows = 360.0;
constexpr double first_look_s = 6.0 * hour_s;
constexpr double second_look_s = 20.0 * day_s;
constexpr double at_rest_m = 5e-4;  // a level that moves no more than this in a tenth of the run
constexpr double late_share = 0.3;  // of a look: what happens sooner is looked at again
constexpr double longer_by = 1.25;
constexpr double shortest_look_s = 30.0;
constexpr double shortest_drawing_s = 2.0 * hour_s;
constexpr double longest_drawing_s = 10.0 * day_s;
constexpr long long most_steps = 20'000;

RunOptions looking(const LinkTrials& trials, double lasts_s) {
  RunOptions options = trials.options;
  options.record_every_s = lasts_s / rows;
  options.most_steps = most_steps;
  return options;
}

Result<RunRecord> run_parts(Parts parts, const DaySheet& sheet, const RunOptions& options) {
  const Result<Array> array = Array::make(std::move(parts));
  if (!array) return tl::unexpected<Troubles>(array.error());
  return run(*array, sheet, options);
}

DaySheet lasting(double lasts_s) {
  DaySheet sheet;
  sheet.lasts_s = lasts_s;
  return sheet;
}

double heaviest_rain(const DaySheet& sheet) {
  double heaviest = 0.0;
  for (const TimedStep& step : sheet.steps) {
    heaviest = std::max(heaviest, step.rain_m_per_s.value_or(0.0));
  }
  return heaviest;
}

/// Rain for as long as the roofs need to bring what all tanks hold up to their lips, and an hour
/// after it.
void plan_storm(const Parts& parts, const DaySheet& sheet, LinkTrials& trials) {
  trials.rain_m_per_s = heaviest_rain(sheet);
  trials.rain_assumed = !(trials.rain_m_per_s > 0.0);
  if (trials.rain_assumed) trials.rain_m_per_s = assumed_storm_mm_per_h * 1e-3 / hour_s;
  double holds_m3 = 0.0;
  for (const Tank& tank : parts.tanks) holds_m3 += lip_volume_m3(tank);
  double comes_m3_per_s = 0.0;
  double flushed_s = 0.0;
  for (const Roof& roof : parts.roofs) {
    double brings = trials.rain_m_per_s * roof.area_m2 * roof.runoff_fraction;
    if (roof.gutter_limit_m3_per_s) brings = std::min(brings, *roof.gutter_limit_m3_per_s);
    comes_m3_per_s += brings;
    flushed_s = std::max(flushed_s, roof.first_flush_m / trials.rain_m_per_s);
  }
  if (!(comes_m3_per_s > 0.0)) {
    std::size_t largest = trials.tank.index == 0 ? 1 : 0;
    for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
      if (i == trials.tank.index) continue;
      if (capacity_m3(parts.tanks[i].shape) > capacity_m3(parts.tanks[largest].shape)) largest = i;
    }
    trials.filled_into = id_at<TankId>(largest);
    comes_m3_per_s = assumed_filling_m3_per_s;
  }
  const double rains_s = std::min(flushed_s + holds_m3 / comes_m3_per_s, second_look_s);
  trials.storm = lasting(rains_s + hour_s);
  trials.storm.steps.push_back({0.0, {}, trials.rain_m_per_s});
  trials.storm.steps.push_back({rains_s, {}, 0.0});
}

Parts for_storm(const Parts& joined, const LinkTrials& trials) {
  Parts parts = left_alone(joined);
  parts.roofs = joined.roofs;
  if (trials.filled_into) {
    // A roof that brings just so much in such a rain stands for the hose that fills it.
    Roof stand_in;
    stand_in.name = "filled during the storm";
    stand_in.runoff_fraction = 1.0;
    stand_in.area_m2 = assumed_filling_m3_per_s / trials.rain_m_per_s;
    stand_in.into = *trials.filled_into;
    parts.roofs = {stand_in};
  }
  for (Tank& tank : parts.tanks) tank.water_m3 = 0.0;
  return parts;
}

Parts for_drawing(const Parts& joined, const std::vector<double>& full_m3) {
  Parts parts = left_alone(joined);
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) parts.tanks[i].water_m3 = full_m3[i];
  for (Outlet& outlet : parts.outlets) outlet.open = true;
  for (Pump& pump : parts.pumps) pump.running = true;
  return parts;
}

/// How long the yard as it is takes to run dry, and half as long again for as much more water as
/// the new tank holds.
Result<double> drawing_for(const Parts& parts, const LinkTrials& trials) {
  const Result<RunRecord> record =
      run_parts(for_drawing(parts, trials.full_m3), lasting(day_s), looking(trials, day_s));
  if (!record) return tl::unexpected<Troubles>(record.error());
  double dry_s = shortest_drawing_s;
  for (const OutletRecord& outlet : record->outlets) {
    if (outlet.delivered_m3 <= 0.0) continue;
    dry_s = std::max(dry_s, outlet.first_dry_at_s.value_or(day_s));
  }
  double full_m3 = 0.0;
  for (const double each : trials.full_m3) full_m3 += each;
  const double more = capacity_m3(part(parts.tanks, trials.tank).shape) / std::max(full_m3, 1e-3);
  return std::min(longest_drawing_s, 1.5 * dry_s * (1.0 + std::min(more, 5.0)));
}

/// Reads levels off a trace.
struct Levels {
  const Parts& parts;
  const Trace& trace;

  double at(std::size_t row, std::size_t tank) const {
    return parts.tanks[tank].base_m + trace.depth_m[row][tank];
  }
  double spread(std::size_t row, const std::vector<std::size_t>& tanks) const {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (const std::size_t tank : tanks) {
      low = std::min(low, at(row, tank));
      high = std::max(high, at(row, tank));
    }
    return high - low;
  }
  bool settled(const std::vector<std::size_t>& tanks) const {
    const std::size_t last = trace.depth_m.size() - 1;
    return std::all_of(tanks.begin(), tanks.end(), [&](std::size_t tank) {
      return std::fabs(at(last, tank) - at(last - last / 10, tank)) < at_rest_m;
    });
  }
};

/// Tanks that share water with the new one through open hoses, itself among them.
std::vector<std::size_t> group_of(const Array& array, TankId tank) {
  std::vector<std::size_t> group;
  for (const auto& each : joined_tanks(array, array.open_at_start())) {
    if (std::find(each.begin(), each.end(), tank) == each.end()) continue;
    for (const TankId id : each) group.push_back(id.index);
  }
  return group;
}

/// Since when the levels lie within the limit to the end of the trace; straight between two rows.
double together_since_s(const Levels& levels, const std::vector<std::size_t>& tanks) {
  std::size_t row = levels.trace.time_s.size() - 1;
  while (row > 0 && levels.spread(row - 1, tanks) <= one_level_for_link_m) --row;
  if (row == 0) return 0.0;
  const double before = levels.spread(row - 1, tanks);
  const double after = levels.spread(row, tanks);
  const double share = (before - one_level_for_link_m) / (before - after);
  return levels.trace.time_s[row - 1] +
         share * (levels.trace.time_s[row] - levels.trace.time_s[row - 1]);
}

/// Whether a longer look may find another answer: a level still moves, or closes in on the new
/// tank's fast enough to come to it by then.
bool undecided(const Levels& levels, const std::vector<std::size_t>& group, std::size_t tank) {
  if (!levels.settled(group)) return true;
  const std::size_t last = levels.trace.time_s.size() - 1;
  const std::size_t before = last - last / 10;
  const double as_often = second_look_s / (levels.trace.time_s[last] - levels.trace.time_s[before]);
  return std::any_of(group.begin(), group.end(), [&](std::size_t other) {
    const auto apart_m = [&](std::size_t row) {
      return std::fabs(levels.at(row, other) - levels.at(row, tank));
    };
    const double to_go_m = apart_m(last) - one_level_for_link_m;
    return to_go_m > 0.0 && to_go_m <= as_often * (apart_m(before) - apart_m(last));
  });
}

/// The levelling test, looked at in finer rows where it is over soon. Fills in the tanks that come
/// to one level with the new one, itself the first.
std::optional<Troubles> level(const Parts& joined, const LinkTrials& trials, LinkFigures& figures,
                              std::vector<std::size_t>& mates) {
  Parts parts = left_alone(joined);
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) parts.tanks[i].water_m3 = trials.full_m3[i];
  const Result<Array> array = Array::make(std::move(parts));
  if (!array) return array.error();
  const std::vector<std::size_t> group = group_of(*array, trials.tank);
  const auto look = [&](double for_s) {
    ++figures.runs;
    return run(*array, lasting(for_s), looking(trials, for_s));
  };
  double looked_s = first_look_s;
  Result<RunRecord> record = look(looked_s);
  if (!record) return record.error();
  if (undecided({array->parts(), record->trace}, group, trials.tank.index)) {
    looked_s = second_look_s;
    record = look(looked_s);
    if (!record) return record.error();
  }
  Levels levels{array->parts(), record->trace};
  const std::size_t last = record->trace.time_s.size() - 1;
  mates = {trials.tank.index};
  for (const std::size_t tank : group) {
    if (tank == trials.tank.index) continue;
    if (std::fabs(levels.at(last, tank) - levels.at(last, trials.tank.index)) <=
        one_level_for_link_m) {
      mates.push_back(tank);
    }
  }
  figures.levels_with = mates.size() - 1;
  if (mates.size() < 2 || levels.spread(last, mates) > one_level_for_link_m) return std::nullopt;
  double since_s = together_since_s(levels, mates);
  while (since_s < late_share * looked_s && looked_s > shortest_look_s) {
    looked_s = std::max(longer_by * (since_s + looked_s / rows), shortest_look_s);
    record = look(looked_s);
    if (!record) return record.error();
    since_s = together_since_s(Levels{array->parts(), record->trace}, mates);
  }
  figures.levels_in_s = since_s;
  return std::nullopt;
}

/// How far the new tank is behind the others at the worst, above its own lowest mouth.
double lag(const Levels& levels, std::size_t tank, const std::vector<std::size_t>& others,
           bool filling) {
  const Tank& own = levels.parts.tanks[tank];
  const double sill_m = own.base_m + own.outlet_height_m;
  double worst = 0.0;
  for (std::size_t row = 0; row < levels.trace.time_s.size(); ++row) {
    const double here = std::max(sill_m, levels.at(row, tank));
    for (const std::size_t other : others) {
      if (other == tank) continue;
      const double there = std::max(sill_m, levels.at(row, other));
      worst = std::max(worst, filling ? there - here : here - there);
    }
  }
  return worst;
}

/// Water in the new tank at the last row in which it still rains.
double in_it_when_rain_ends(const Parts& parts, const LinkTrials& trials, const Trace& trace) {
  const double ends_s = trials.storm.steps.back().at_s;
  std::size_t row = 0;
  while (row + 1 < trace.time_s.size() && trace.time_s[row + 1] <= ends_s) ++row;
  const std::size_t own = trials.tank.index;
  return volume_m3(parts.tanks[own].shape, trace.depth_m[row][own]);
}

void read_peaks(const RunRecord& record, std::size_t new_hoses, LinkFigures& figures) {
  double sum = 0.0;
  for (std::size_t i = record.hoses.size() - new_hoses; i < record.hoses.size(); ++i) {
    sum += std::fabs(record.hoses[i].peak_m3_per_s);
  }
  figures.peak_m3_per_s = std::max(figures.peak_m3_per_s, sum);
}

}  // namespace

Result<LinkTrials> link_trials(const Array& array, const DaySheet& sheet, TankId tank,
                               const RunOptions& options) {
  const Parts& parts = array.parts();
  LinkTrials trials;
  trials.tank = tank;
  trials.options = options;
  trials.day = sheet;
  trials.levelling_at_most_s = second_look_s;
  Result<std::vector<double>> full_m3 = water_when_full(array);
  if (!full_m3) return tl::unexpected<Troubles>(full_m3.error());
  trials.full_m3 = std::move(*full_m3);
  trials.full_m3[tank.index] = 0.0;
  plan_storm(parts, sheet, trials);
  trials.has_outlets = !parts.outlets.empty();
  if (trials.has_outlets) {
    const Result<double> drawing_s = drawing_for(parts, trials);
    if (!drawing_s) return tl::unexpected<Troubles>(drawing_s.error());
    trials.drawing_s = *drawing_s;
  }
  return trials;
}

Result<std::vector<double>> full_when_joined(const Parts& joined) {
  const Result<Array> array = Array::make(joined);
  if (!array) return tl::unexpected<Troubles>(array.error());
  return water_when_full(*array);
}

Result<LinkFigures> figures_of(const Parts& joined, const LinkTrials& trials,
                               const std::vector<double>& full_m3, std::size_t new_hoses) {
  LinkFigures figures;
  std::vector<std::size_t> mates;
  const std::size_t own = trials.tank.index;
  if (new_hoses > 0) {
    if (auto troubles = level(joined, trials, figures, mates)) {
      return tl::unexpected<Troubles>(std::move(*troubles));
    }
    if (mates.size() < 2) {
      const Result<Array> array = Array::make(joined);
      if (array) mates = group_of(*array, trials.tank);
    }
  }
  for (std::size_t i = 0; i < full_m3.size(); ++i) {
    (i == own ? figures.full_new_m3 : figures.full_others_m3) += full_m3[i];
  }

  const Parts stormy = for_storm(joined, trials);
  const Result<RunRecord> storm =
      run_parts(stormy, trials.storm, looking(trials, trials.storm.lasts_s));
  if (!storm) return tl::unexpected<Troubles>(storm.error());
  figures.storm_spilt_m3 = storm->ledger.overflowed_m3;
  for (const TankRecord& tank : storm->tanks) {
    figures.storm_with_room_m3 += tank.spilt_with_room_m3;
  }
  if (new_hoses > 0) {
    const double room_m3 = full_m3[own] - in_it_when_rain_ends(stormy, trials, storm->trace);
    figures.storm_missed_m3 = std::clamp(room_m3, 0.0, figures.storm_with_room_m3);
  }
  figures.lag_filling_m = lag({stormy, storm->trace}, own, mates, true);
  read_peaks(*storm, new_hoses, figures);

  if (trials.has_outlets) {
    const Parts drawn = for_drawing(joined, full_m3);
    const Result<RunRecord> record =
        run_parts(drawn, lasting(trials.drawing_s), looking(trials, trials.drawing_s));
    if (!record) return tl::unexpected<Troubles>(record.error());
    figures.drawn_m3 = record->ledger.delivered_m3;
    figures.stranded_m3 = record->tanks[own].end_m3;
    figures.lag_drawing_m = lag({drawn, record->trace}, own, mates, false);
    read_peaks(*record, new_hoses, figures);
    ++figures.runs;
  }

  RunOptions plain = trials.options;
  const Result<RunRecord> day = run_parts(joined, trials.day, plain);
  if (!day) return tl::unexpected<Troubles>(day.error());
  figures.day_spilt_m3 = day->ledger.overflowed_m3;
  figures.day_delivered_m3 = day->ledger.delivered_m3;
  read_peaks(*day, new_hoses, figures);
  figures.runs += 2;
  return figures;
}

}  // namespace tankyard
