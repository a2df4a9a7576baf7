// SPDX-License-Identifier: MIT
// What the study of failures promises of any yard on any day.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "random_arrays.h"
#include "solver/studies/faults_outcome.h"
#include "solver/studies/faults_study.h"

namespace tankyard {
namespace faults_test {

YardMayHold small() {
  YardMayHold may;
  may.closed_lids = true;
  may.most_tanks = 3;
  may.most_headers = 1;
  return may;
}

RunOptions coarse() {
  RunOptions options;
  options.depth_tolerance_m = 1e-3;
  options.most_steps = 50'000;
  return options;
}

/// A yard, its day and the day on which nothing fails.
struct Healthy {
  FaultYard yard;
  RunRecord record;
  std::vector<Fault> faults;
};

Healthy any_healthy() {
  const Parts parts = *random_yards(small());
  const Result<Array> array = Array::make(parts);
  RC_ASSERT(array.has_value());
  const FaultDay day = fault_day(*random_days(parts));
  RunOptions options = coarse();
  options.record_every_s = fault_row_s;
  Result<RunRecord> record = run(*array, day.sheet, options);
  RC_PRE(record.has_value());
  return {{parts, day, {}}, std::move(*record), single_faults(*array, day.sheet)};
}

bool nothing_changed(const FaultOutcome& outcome) {
  return outcome.reckoned && outcome.dangers.empty() && outcome.lost_m3 == 0.0 &&
         outcome.short_m3 == 0.0 && outcome.sign.kind == FirstSign::Kind::none;
}

bool same(const FaultOutcome& a, const FaultOutcome& b) {
  return a.reckoned == b.reckoned && a.why_not == b.why_not && a.lost_m3 == b.lost_m3 &&
         a.short_m3 == b.short_m3 && a.dangers.size() == b.dangers.size() &&
         a.emptied == b.emptied && a.sign.kind == b.sign.kind && a.sign.part == b.sign.part &&
         a.sign.at_s == b.sign.at_s;
}

RC_GTEST_PROP(FaultsInAnyYard, OfNoSizeChangeNothing, ()) {
  const Healthy healthy = any_healthy();
  RC_PRE(!healthy.faults.empty());
  Fault fault = *rc::gen::elementOf(healthy.faults);
  fault.share = 0.0;
  RC_ASSERT(nothing_changed(outcome_of(healthy.yard, {fault}, healthy.record, coarse())));
}

RC_GTEST_PROP(FaultsInAnyYard, BesideOneOfNoSizeAreThemselves, ()) {
  const Healthy healthy = any_healthy();
  RC_PRE(healthy.faults.size() >= 2u);
  const Fault fault = *rc::gen::elementOf(healthy.faults);
  Fault nothing = *rc::gen::elementOf(healthy.faults);
  RC_PRE(can_go_together(fault, nothing));
  nothing.share = 0.0;
  RC_ASSERT(same(outcome_of(healthy.yard, {fault}, healthy.record, coarse()),
                 outcome_of(healthy.yard, {fault, nothing}, healthy.record, coarse())));
}

// No more can be lost than there was, fell and was let in.
RC_GTEST_PROP(FaultsInAnyYard, LoseNoMoreThanThereIs, ()) {
  const Healthy healthy = any_healthy();
  RC_PRE(!healthy.faults.empty());
  const Fault fault = *rc::gen::elementOf(healthy.faults);
  const FaultOutcome outcome = outcome_of(healthy.yard, {fault}, healthy.record, coarse());
  RC_PRE(outcome.reckoned);
  double let_in_m3 = 0.0;
  for (const TopUp& top_up : healthy.yard.parts.top_ups) {
    let_in_m3 += top_up.flow_m3_per_s * healthy.record.lasted_s;
  }
  const Ledger& ledger = healthy.record.ledger;
  // Over hours, a draw that is dry all day passes some billionths of a litre a minute either way:
  // what the turns of its stages leave.
  constexpr double left_over_m3 = 1e-7;
  RC_ASSERT(outcome.lost_m3 <= ledger.start_m3 + ledger.rain_m3 + let_in_m3 + left_over_m3);
  RC_ASSERT(outcome.short_m3 <= ledger.delivered_m3 + left_over_m3);
}

RC_GTEST_PROP(FaultsInAnyYard, AreTheSameWithOneThreadOrMany, ()) {
  const Parts parts = *random_yards(small());
  const Result<Array> array = Array::make(parts);
  const DaySheet sheet = *random_days(parts);
  FaultOptions options;
  options.run = coarse();
  options.changes = false;
  options.pairs = single_faults(*array, fault_day(sheet).sheet).size() <= 6;
  options.many.threads = 1;
  const Result<FaultStudy> one = study_faults(*array, sheet, options);
  options.many.threads = 3;
  const Result<FaultStudy> many = study_faults(*array, sheet, options);
  RC_ASSERT(one.has_value() == many.has_value());
  RC_PRE(one.has_value());
  RC_ASSERT(one->singles.size() == many->singles.size());
  RC_ASSERT(one->pairs.size() == many->pairs.size());
  for (std::size_t k = 0; k < one->singles.size(); ++k) {
    RC_ASSERT(one->singles[k].faults == many->singles[k].faults);
    RC_ASSERT(same(one->singles[k], many->singles[k]));
  }
  for (std::size_t k = 0; k < one->pairs.size(); ++k) {
    RC_ASSERT(one->pairs[k].faults == many->pairs[k].faults);
    RC_ASSERT(same(one->pairs[k], many->pairs[k]));
    // Each part of a pair is one of the single failures.
    for (const Fault& fault : one->pairs[k].faults) {
      RC_ASSERT(std::any_of(one->singles.begin(), one->singles.end(),
                            [&](const FaultOutcome& it) { return it.faults.front() == fault; }));
    }
  }
}

}  // namespace faults_test
}  // namespace tankyard
