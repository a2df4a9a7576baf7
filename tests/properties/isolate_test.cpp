// SPDX-License-Identifier: MIT
// Tanks that are cut off are cut off: whatever the day brings, their water stays.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cstdio>

#include "properties/days.h"
#include "solver/studies/isolate_cut.h"
#include "solver/studies/isolate_study.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace isolate_test {

struct CutYard {
  Parts yard;
  IsolateCut cut;
};

/// A yard, one or two of its tanks, and how they are cut off. Passes over those that cannot be.
CutYard cut_yard(const YardMayHold& may) {
  CutYard cut;
  cut.yard = *random_yards(may);
  // As people fit them; without this few random yards have a way to cut anything off.
  for (std::size_t i = 0; i < cut.yard.hoses.size(); ++i) {
    Hose& hose = cut.yard.hoses[i];
    if (!hose.valve && i % 4 != 3)
      hose.valve = Valve{"fitted " + std::to_string(i), hose.open, 0.05};
  }
  const Result<Array> array = Array::make(cut.yard);
  if (!array) RC_FAIL(all_of(array.error()));
  std::vector<TankId> tanks = {
      id_at<TankId>(*rc::gen::inRange<std::size_t>(0, cut.yard.tanks.size()))};
  if (*rc::gen::arbitrary<bool>()) {
    tanks.push_back(id_at<TankId>(*rc::gen::inRange<std::size_t>(0, cut.yard.tanks.size())));
  }
  cut.cut = isolate_cut(*array, tanks);
  RC_PRE(cut.cut.possible());
  return cut;
}

template <class List, class T>
bool among(const List& list, const T& one) {
  return std::find(list.begin(), list.end(), one) != list.end();
}

/// The yard with valves shut, what runs in turned away, and what hangs on the tanks shut.
Parts shut_off(const CutYard& cut) {
  Parts yard = cut.yard;
  const auto out = [&](TankId tank) { return among(cut.cut.found.tanks, tank); };
  for (const HoseId id : cut.cut.best().shut) part(yard.hoses, id).valve->open = false;
  for (Tank& tank : yard.tanks) {
    if (tank.overflow && tank.overflow->to && out(*tank.overflow->to)) tank.overflow->to.reset();
  }
  for (const TankId id : cut.cut.found.tanks) {
    Tank& tank = part(yard.tanks, id);
    tank.overflow.reset();
    tank.water_m3 = std::min(tank.water_m3, 0.95 * capacity_m3(tank.shape));
  }
  const auto drop = [](auto& list, const auto& which) {
    list.erase(std::remove_if(list.begin(), list.end(), which), list.end());
  };
  drop(yard.roofs, [&](const Roof& roof) { return out(roof.into); });
  drop(yard.top_ups, [&](const TopUp& top_up) { return out(top_up.into); });
  drop(yard.leaks, [&](const Leak& leak) { return out(leak.tank); });
  for (const Place& place : cut.cut.best().goes_along) {
    if (const auto* id = std::get_if<OutletId>(&place)) part(yard.outlets, *id).open = false;
  }
  return yard;
}

/// The day without hands on what was shut.
DaySheet hands_off(DaySheet day, const IsolateCut& cut) {
  for (TimedStep& step : day.steps) {
    step.actions.erase(
        std::remove_if(step.actions.begin(), step.actions.end(),
                       [&](const Action& action) {
                         if (const auto* hose = std::get_if<HoseId>(&action.part)) {
                           return among(cut.best().shut, *hose) || among(cut.stay_off, *hose);
                         }
                         if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
                           return among(cut.best().goes_along, Place{*outlet});
                         }
                         return false;
                       }),
        step.actions.end());
  }
  return day;
}

double water_in(const std::vector<TankRecord>& tanks, const std::vector<TankId>& which, bool end) {
  double m3 = 0.0;
  for (const TankId id : which) m3 += end ? tanks[id.index].end_m3 : tanks[id.index].start_m3;
  return m3;
}

void nothing_changes_them(const YardMayHold& may) {
  const CutYard cut = cut_yard(may);
  const Parts yard = shut_off(cut);
  const DaySheet day = hands_off(*random_days(yard), cut.cut);
  const RunRecord record = run_of(yard, day);
  const double start_m3 = water_in(record.tanks, cut.cut.found.tanks, false);
  // Alone, a tank keeps it to the rounding of a flow of nought; two that are joined to each other
  // pass it to and fro, and where one is the lower, over its rim.
  const double each = cut.cut.found.tanks.size() == 1 ? 1e-12 : 1e-9;
  const double room_m3 = each * (1e-3 + start_m3);
  double over_rim_m3 = 0.0;
  for (const TankId id : cut.cut.found.tanks) over_rim_m3 += record.tanks[id.index].over_rim_m3;
  if (cut.cut.found.tanks.size() == 1) RC_ASSERT(over_rim_m3 == 0.0);
  close_to("water of the tanks that are out, m3",
           water_in(record.tanks, cut.cut.found.tanks, true) + over_rim_m3, start_m3, room_m3);
}

RC_GTEST_PROP(IsolatedTanks, KeepTheirWaterOnAnyDay, ()) { nothing_changes_them({}); }

RC_GTEST_PROP(IsolatedTanks, KeepTheirWaterUnderClosedLids, ()) {
  nothing_changes_them(without_air_lines());
}

// Valves of the set are opened one at a time, all other hoses that can be opened stand open.
RC_GTEST_PROP(IsolatedTanks, AreJoinedAgainByAnyOneValve, ()) {
  YardMayHold may;
  may.pumps = true;
  const CutYard cut = cut_yard(may);
  OpenHoses open(cut.yard.hoses.size(), true);
  for (const HoseId id : cut.cut.stay_off) open[id.index] = false;
  if (!cut.cut.stay_off.empty()) {
    for (std::size_t i = 0; i < open.size(); ++i) {
      open[i] = cut.yard.hoses[i].valve || cut.yard.hoses[i].open;
    }
  }
  for (const HoseId id : cut.cut.best().shut) open[id.index] = false;
  const Row row(cut.yard);
  const auto joined = [&] {
    const std::vector<std::size_t> group = groups_in_row(cut.yard, open);
    for (const TankId tank : cut.cut.found.tanks) {
      for (std::size_t i = 0; i < cut.yard.tanks.size(); ++i) {
        if (!among(cut.cut.found.tanks, id_at<TankId>(i)) && group[i] == group[tank.index]) {
          return true;
        }
      }
      for (std::size_t i = 0; i < cut.yard.pumps.size(); ++i) {
        if (among(cut.cut.best().pumps_stopped, id_at<PumpId>(i))) continue;
        const Pump& pump = cut.yard.pumps[i];
        for (const Place& end : {pump.from, pump.to}) {
          if (group[row.of(end)] == group[tank.index]) return true;
        }
      }
    }
    return false;
  };
  RC_ASSERT(!joined());
  for (const HoseId id : cut.cut.best().shut) {
    open[id.index] = true;
    RC_ASSERT(joined());
    open[id.index] = false;
  }
}

// Whatever the yard: an answer in order of time, that drains no more than there is.
RC_GTEST_PROP(IsolatedTanks, HaveAnAnswerInAnyYard, ()) {
  YardMayHold may;
  may.pumps = true;
  may.most_tanks = 5;
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  const auto tank = id_at<TankId>(*rc::gen::inRange<std::size_t>(0, yard.tanks.size()));
  IsolateOptions options;
  options.starts_at_s = any_between(0.0, 0.9) * day.lasts_s;
  const Result<IsolateStudy> study = study_isolation(*array, day, {tank}, options);
  if (!study) RC_DISCARD(all_of(study.error()));
  const std::vector<Finding> findings = find_in_isolation(*array, *study);
  if (!study->cut.possible()) {
    RC_ASSERT(study->steps.empty());
    RC_ASSERT(findings.size() == 1U);
    RC_ASSERT(findings[0].kind == FindingKind::cannot_isolate);
    RC_ASSERT(!study->cut.found.to_fit.empty());
    return;
  }
  double before_s = 0.0;
  for (const IsolateStep& step : study->steps) {
    RC_ASSERT(step.at_s >= before_s);
    RC_ASSERT(!step.say.empty());
    RC_ASSERT(!step.because.empty());
    before_s = step.at_s;
  }
  RC_ASSERT(study->empty_from_s <= study->empty_until_s);
  RC_ASSERT(study->empty_until_s <= study->back_at_s);
  RC_ASSERT(study->back_at_s < study->ends_at_s);
  const IsolateCost& cost = study->cost;
  RC_ASSERT(cost.drained_m3 >= -1e-12);  // an empty one by rounding
  RC_ASSERT(cost.bailed_m3 >= 0.0);
  at_most("drained and bailed, m3", cost.drained_m3 + cost.bailed_m3,
          study->drains[0].from_m3 + 1e-3 * capacity_m3(part(yard.tanks, tank).shape), 1e-4);
}

}  // namespace isolate_test
}  // namespace tankyard
