// SPDX-License-Identifier: MIT
// What levels may do while nobody pumps, draws or lets rain in.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "graph/reach.h"
#include "properties/days.h"

namespace tankyard {
namespace levels_test {

// A step may skip the moment at which a mouth runs dry, about once in 10 000 days at 1e-5, and be
// off by many tolerances; tight steps make that rare and small.
constexpr double depth_tolerance_m = 1e-8;
constexpr double same_level_m = 1e-4;

RunOptions tight() {
  RunOptions options;
  options.depth_tolerance_m = depth_tolerance_m;
  return options;
}

// Source of truth: water runs downhill. Nothing lifts the highest level of tanks that share water,
// and nothing drains the lowest of them, but a lip that it has come to stand over.
RC_GTEST_PROP(JoinedTanks, NeitherRiseAboveTheirHighestNorFallBelowTheirLowest, ()) {
  YardMayHold may;
  may.outlets = may.supplies = may.leaks = false;
  Parts yard = *random_yards(may);
  for (Tank& tank : yard.tanks) {
    if (tank.overflow) tank.overflow->to.reset();  // or it would join groups
  }
  for (Hose& hose : yard.hoses) {
    // A crest within the bore of a mouth fills and empties in turns, thousands of times a day.
    const double mouth = std::max(mouth_m(yard, hose.from), mouth_m(yard, hose.to));
    if (hose.crest_m) hose.crest_m = std::max(*hose.crest_m, mouth + hose.bore_m);
  }
  const double lasts_s = any_spread(60.0, 86400.0);
  const Result<Array> array = Array::make(yard);
  RC_ASSERT(array.has_value());
  const std::vector<RunRecord> records = seen_at(yard, lasts_s, 12, tight());

  for (const std::vector<TankId>& group : joined_tanks(*array, array->open_at_start())) {
    double lip = std::numeric_limits<double>::infinity();
    double highest_so_far = -lip;
    double lowest_so_far = lip;
    for (const TankId id : group) {
      const Tank& tank = part(yard.tanks, id);
      const double level = tank.base_m + depth_m(tank.shape, tank.water_m3);
      lip = std::min(lip, lip_m(tank));
      highest_so_far = std::max(highest_so_far, level);
      lowest_so_far = std::min(lowest_so_far, level);
    }
    for (const RunRecord& record : records) {
      double highest = -std::numeric_limits<double>::infinity();
      double lowest = -highest;
      for (const TankId id : group) {
        const double level = part(yard.tanks, id).base_m + record.tanks[id.index].end_depth_m;
        highest = std::max(highest, level);
        lowest = std::min(lowest, level);
      }
      at_most("highest level", highest, highest_so_far, same_level_m);
      at_most("lowest level", std::min(lowest_so_far, lip), lowest, same_level_m);
      highest_so_far = std::min(highest_so_far, highest);
      lowest_so_far = std::max(lowest_so_far, lowest);
    }
  }
}

/// Two tanks, both with room for all that comes, and one hose between their walls.
Parts make_two_tanks() {
  using namespace random_yard;
  YardMayHold may;
  may.overflows = false;
  may.tables = chance(50);
  Levels levels;
  levels.shared = {0.0, between(0.1, 0.6)};
  Parts yard;
  yard.tanks = {tank(0, 2, levels, may), tank(1, 2, levels, may)};
  const double lower_rim = std::min(rim_m(yard.tanks[0]), rim_m(yard.tanks[1]));
  for (Tank& each : yard.tanks) {
    // No level above the lower rim, so that nothing is spilt.
    const double most = std::max(0.0, lower_rim - each.base_m - 0.01);
    each.water_m3 = std::min(each.water_m3, volume_m3(each.shape, most));
    each.outlet_height_m = std::min(each.outlet_height_m, 0.5 * most);
  }
  Hose link;
  link.name = "hose";
  link.from = {id_at<TankId>(0), std::nullopt};
  link.to = {id_at<TankId>(1), std::nullopt};
  link.length_m = chance(10) ? 0.0 : spread(0.1, 100.0);
  link.roughness_m = chance(50) ? 1.5e-6 : 1e-4;
  link.loss_k = chance(50) ? 0.0 : spread(0.1, 100.0);
  yard.hoses.push_back(link);
  return yard;
}

rc::Gen<Parts> two_tanks() { return rc::gen::exec(make_two_tanks); }

double gap_m(const Parts& yard, const RunRecord& record) {
  return std::fabs(yard.tanks[0].base_m + record.tanks[0].end_depth_m - yard.tanks[1].base_m -
                   record.tanks[1].end_depth_m);
}

// Source of truth: at the same levels a wider hose of the same make passes more, and two tanks that
// only give to each other have but one way to go.
RC_GTEST_PROP(WiderHose, NeverLevelsSlower, ()) {
  Parts yard = *two_tanks();
  const double most_m =
      0.45 * std::min(height_m(yard.tanks[0].shape), height_m(yard.tanks[1].shape));
  Hose& hose = yard.hoses.front();
  hose.bore_m = std::min(any_spread(0.003, 0.1), 0.5 * most_m);
  const double lasts_s = any_spread(600.0, 864000.0);
  const std::vector<RunRecord> narrow = seen_at(yard, lasts_s, 20, tight());
  hose.bore_m = std::min(hose.bore_m * (1.0 + any_spread(0.01, 1.0)), most_m);
  const std::vector<RunRecord> wide = seen_at(yard, lasts_s, 20, tight());
  bool narrow_is_level = false;
  for (std::size_t k = 0; k < narrow.size(); ++k) {
    RC_ASSERT(narrow[k].ledger.overflowed_m3 == 0.0);
    RC_ASSERT(wide[k].ledger.overflowed_m3 == 0.0);
    at_most("gap behind the wider hose", gap_m(yard, wide[k]), gap_m(yard, narrow[k]),
            same_level_m);
    narrow_is_level = narrow_is_level || gap_m(yard, narrow[k]) < 0.010;
    if (narrow_is_level) at_most("gap once level", gap_m(yard, wide[k]), 0.010, same_level_m);
  }
}

// Source of truth: the loss law is additive along a hose. Each half brings an entry and an exit of
// its own, 1.5 velocity heads that the halves' fittings give back. Both mouths stay covered: where
// a mouth is part covered, only the half at it is throttled, and the two are not the same.
RC_GTEST_PROP(Hose, CutInHalfAtAHeaderIsTheSameHose, ()) {
  Parts yard = *two_tanks();
  yard.hoses.reserve(2);  // `whole` stays where it is when its second half joins it
  Hose& whole = yard.hoses.front();
  const double deep = 0.5 * std::min(height_m(yard.tanks[0].shape), height_m(yard.tanks[1].shape));
  for (Tank& each : yard.tanks) {
    each.base_m *= 0.1;
    each.outlet_height_m = 0.0;
    each.water_m3 = volume_m3(each.shape, deep * any_between(0.5, 1.0));
  }
  const double base_gap = std::fabs(yard.tanks[0].base_m - yard.tanks[1].base_m);
  whole.bore_m = std::min(any_spread(0.003, 0.1), 0.2 * deep);
  RC_PRE(base_gap < 0.3 * deep);
  whole.loss_k += 1.5;
  const double lasts_s = any_spread(60.0, 86400.0);
  const std::vector<RunRecord> one = seen_at(yard, lasts_s, 10, tight());

  const double lowest = std::min(yard.tanks[0].base_m, yard.tanks[1].base_m);
  yard.headers.push_back({"cut", lowest - any_between(0.0, 1.0), std::nullopt});
  Hose second = whole;
  whole.length_m *= 0.5;
  second.length_m *= 0.5;
  const double share = any_between(0.0, 1.0);
  second.loss_k = (whole.loss_k - 1.5) * share;
  whole.loss_k = (whole.loss_k - 1.5) * (1.0 - share);
  whole.to = {id_at<HeaderId>(0), std::nullopt};
  second.from = {id_at<HeaderId>(0), std::nullopt};
  second.name = "second";
  yard.hoses.push_back(second);
  const std::vector<RunRecord> two = seen_at(yard, lasts_s, 10, tight());

  for (std::size_t k = 0; k < one.size(); ++k) {
    for (std::size_t i = 0; i < 2; ++i) {
      RC_ASSERT(one[k].tanks[i].end_depth_m > whole.bore_m);
      close_to(yard.tanks[i].name, two[k].tanks[i].end_depth_m, one[k].tanks[i].end_depth_m,
               same_level_m);
    }
    close_to("carried", two[k].hoses[1].carried_m3, two[k].hoses[0].carried_m3,
             1e-9 * one[k].ledger.passed_m3);
  }
}

// A run that is cut in two, the second half starting from what the first one ended with. Without
// parts that remember more than their level: no crest, no header, no top-up, no first flush.
RC_GTEST_PROP(Run, CutInTwoEndsTheSame, ()) {
  YardMayHold may;
  may.crests = false;
  may.most_headers = 0;
  Parts yard = *random_yards(may);
  yard.top_ups.clear();
  for (Roof& roof : yard.roofs) roof.first_flush_m = 0.0;
  const DaySheet day = *random_days(yard);
  const double cut_s = day.lasts_s * any_between(0.05, 0.95);
  const RunOptions options = tight();
  const RunRecord whole = run_of(yard, day, options);

  DaySheet first = day, second = day;
  first.lasts_s = cut_s;
  first.steps.clear();
  second.lasts_s = day.lasts_s - cut_s;
  second.steps.clear();
  Parts later = yard;
  double rain_m_per_s = 0.0;
  for (const TimedStep& step : day.steps) {
    if (step.at_s > cut_s) {
      second.steps.push_back(step);
      second.steps.back().at_s -= cut_s;
      continue;
    }
    first.steps.push_back(step);
    if (step.rain_m_per_s) rain_m_per_s = *step.rain_m_per_s;
    for (const Action& action : step.actions) {
      const bool on = action.does == Action::Does::open;
      if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
        part(later.outlets, *outlet).open = on;
      }
      if (const auto* hose = std::get_if<HoseId>(&action.part)) {
        Hose& each = part(later.hoses, *hose);
        each.open = on;
        if (each.valve) each.valve->open = on;
      }
    }
  }
  second.steps.insert(second.steps.begin(), TimedStep{0.0, {}, rain_m_per_s});
  const RunRecord before = run_of(yard, first, options);
  for (std::size_t i = 0; i < later.tanks.size(); ++i) {
    later.tanks[i].water_m3 = before.tanks[i].end_m3;
    // A plan may not start with a tank that stands over its rim.
    RC_PRE(before.tanks[i].end_m3 <= capacity_m3(later.tanks[i].shape));
  }
  const RunRecord after = run_of(later, second, options);
  for (std::size_t i = 0; i < later.tanks.size(); ++i) {
    close_to(yard.tanks[i].name, after.tanks[i].end_depth_m, whole.tanks[i].end_depth_m,
             same_level_m);
  }
  close_to("delivered", before.ledger.delivered_m3 + after.ledger.delivered_m3,
           whole.ledger.delivered_m3, 1e-3 * whole.ledger.passed_m3 + 1e-9);
}

}  // namespace levels_test
}  // namespace tankyard
