// SPDX-License-Identifier: MIT
// Where water may not pass, none does: not little, none.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "properties/days.h"

namespace tankyard {
namespace passage_test {

/// Per hose: whether it is open at a moment, steps at that moment counted as done.
std::vector<bool> open_at(const Parts& yard, const DaySheet& day, double at_s) {
  std::vector<bool> open;
  for (const Hose& hose : yard.hoses) open.push_back(starts_open(hose));
  for (const TimedStep& step : day.steps) {
    if (step.at_s > at_s) break;
    for (const Action& action : step.actions) {
      if (const auto* hose = std::get_if<HoseId>(&action.part)) {
        open[hose->index] = action.does == Action::Does::open;
      }
    }
  }
  return open;
}

void shut_hoses_pass_nothing(const YardMayHold& may) {
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day, with_rows(day.lasts_s, 300));

  std::vector<bool> ever_open = open_at(yard, day, 0.0);
  for (const TimedStep& step : day.steps) {
    const std::vector<bool> open = open_at(yard, day, step.at_s);
    for (std::size_t i = 0; i < open.size(); ++i) ever_open[i] = ever_open[i] || open[i];
  }
  for (std::size_t i = 0; i < yard.hoses.size(); ++i) {
    if (ever_open[i]) continue;
    RC_ASSERT(record.hoses[i].carried_m3 == 0.0);
    RC_ASSERT(record.hoses[i].moved_m3 == 0.0);
    RC_ASSERT(record.hoses[i].peak_m3_per_s == 0.0);
  }
  for (std::size_t row = 0; row < record.trace.time_s.size(); ++row) {
    const double at_s = record.trace.time_s[row];
    bool at_a_step = false;
    for (const TimedStep& step : day.steps) at_a_step = at_a_step || step.at_s == at_s;
    if (at_a_step) continue;  // a row at the very moment may show either side of it
    const std::vector<bool> open = open_at(yard, day, at_s);
    for (std::size_t i = 0; i < open.size(); ++i) {
      if (!open[i]) RC_ASSERT(record.trace.hose_flow_m3_per_s[row][i] == 0.0);
    }
  }
}

RC_GTEST_PROP(ShutHose, PassesExactlyNothing, ()) { shut_hoses_pass_nothing({}); }
RC_GTEST_PROP(ShutHose, PassesExactlyNothingBetweenClosedLids, ()) {
  shut_hoses_pass_nothing(without_air_lines());
}

void one_way_hoses_let_nothing_back(const YardMayHold& may) {
  Parts yard = *random_yards(may);
  for (std::size_t i = 0; i < yard.hoses.size(); i += 2) yard.hoses[i].one_way = true;
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  for (std::size_t i = 0; i < yard.hoses.size(); ++i) {
    if (!yard.hoses[i].one_way) continue;
    RC_ASSERT(record.hoses[i].carried_m3 >= 0.0);
    RC_ASSERT(record.hoses[i].peak_m3_per_s >= 0.0);
    // Nothing went back even for a while: both ways added up is what went forth.
    RC_ASSERT(record.hoses[i].moved_m3 == record.hoses[i].carried_m3);
  }
}

RC_GTEST_PROP(NonReturnValve, NeverLetsWaterBack, ()) { one_way_hoses_let_nothing_back({}); }
RC_GTEST_PROP(NonReturnValve, NeverLetsWaterBackBetweenClosedLids, ()) {
  one_way_hoses_let_nothing_back(without_air_lines());
}

// An outlet that is shut all day gives nothing, and what hangs on it carries nothing.
void shut_outlets_give_nothing(const YardMayHold& may) {
  Parts yard = *random_yards(may);
  for (Outlet& outlet : yard.outlets) outlet.open = false;
  DaySheet day = *random_days(yard);
  for (TimedStep& step : day.steps) {
    std::vector<Action> kept;
    for (const Action& action : step.actions) {
      if (!std::holds_alternative<OutletId>(action.part)) kept.push_back(action);
    }
    step.actions = kept;
  }
  const RunRecord record = run_of(yard, day);
  for (const OutletRecord& outlet : record.outlets) {
    RC_ASSERT(outlet.delivered_m3 == 0.0);
    RC_ASSERT(outlet.open_s == 0.0);
    RC_ASSERT(outlet.peak_m3_per_s == 0.0);
  }
  RC_ASSERT(record.ledger.delivered_m3 == 0.0);
}

RC_GTEST_PROP(ShutOutlet, GivesExactlyNothing, ()) { shut_outlets_give_nothing({}); }
RC_GTEST_PROP(ShutOutlet, GivesExactlyNothingUnderClosedLids, ()) {
  shut_outlets_give_nothing(without_air_lines());
}

}  // namespace passage_test
}  // namespace tankyard
