// SPDX-License-Identifier: MIT
// The same plan gives the same bits, however often it is run and whether or not anybody watches.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cstring>
#include <vector>

#include "random_arrays.h"
#include "solver/run.h"

namespace tankyard {
namespace determinism_test {

std::vector<double> numbers_of(const RunRecord& record) {
  std::vector<double> all = {record.lasted_s,
                             record.ledger.start_m3,
                             record.ledger.rain_m3,
                             record.ledger.topped_up_m3,
                             record.ledger.delivered_m3,
                             record.ledger.overflowed_m3,
                             record.ledger.leaked_m3,
                             record.ledger.end_m3,
                             static_cast<double>(record.effort.steps),
                             static_cast<double>(record.effort.rejected),
                             static_cast<double>(record.effort.turns)};
  for (const TankRecord& tank : record.tanks) {
    all.insert(all.end(), {tank.end_m3, tank.end_depth_m, tank.lowest_depth_m, tank.lowest_at_s,
                           tank.highest_depth_m, tank.highest_at_s, tank.spilt_m3});
  }
  for (const HoseRecord& hose : record.hoses) {
    all.insert(all.end(), {hose.carried_m3, hose.moved_m3, hose.peak_m3_per_s, hose.peak_at_s});
  }
  for (const OutletRecord& outlet : record.outlets) {
    all.insert(all.end(), {outlet.delivered_m3, outlet.dry_s, outlet.stranded_m3});
  }
  for (const Event& event : record.events) {
    all.insert(all.end(),
               {event.at_s, static_cast<double>(event.kind), static_cast<double>(event.part)});
  }
  return all;
}

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() &&
         (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

RC_GTEST_PROP(Determinism, GivesTheSameBitsTwiceAndWatchedOrNot, ()) {
  const Parts yard = *random_yards();
  const DaySheet day = *random_days(yard);
  const Result<Array> one = Array::make(yard);
  const Result<Array> other = Array::make(yard);  // made anew: nothing hangs on addresses
  RC_ASSERT(one.has_value());
  RC_ASSERT(other.has_value());
  const Result<RunRecord> first = run(*one, day);
  RC_PRE(first.has_value());
  const Result<RunRecord> second = run(*other, day);
  RunOptions watching;
  watching.record_every_s = day.lasts_s / 50.0;
  const Result<RunRecord> watched = run(*one, day, watching);
  RC_ASSERT(second.has_value());
  RC_ASSERT(watched.has_value());
  RC_ASSERT(same_bits(numbers_of(*first), numbers_of(*second)));
  RC_ASSERT(same_bits(numbers_of(*first), numbers_of(*watched)));
}

// A comparison that could not tell two runs apart would prove nothing.
TEST(Determinism, ComparisonSeesTheLastBit) {
  RunRecord record;
  record.tanks.resize(1);
  record.tanks[0].end_m3 = 1.0;
  RunRecord other = record;
  EXPECT_TRUE(same_bits(numbers_of(record), numbers_of(other)));
  other.tanks[0].end_m3 = 1.0 + 2.3e-16;
  EXPECT_FALSE(same_bits(numbers_of(record), numbers_of(other)));
}

}  // namespace determinism_test
}  // namespace tankyard
