// SPDX-License-Identifier: MIT
#include "solver/options.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>

#include "solver/run.h"

namespace tankyard {
namespace options_test {

constexpr double infinite = std::numeric_limits<double>::infinity();
const double none = std::numeric_limits<double>::quiet_NaN();

/// The one field that is found at fault; empty: none.
std::string refused(const RunOptions& options) {
  const Troubles troubles = check(options);
  EXPECT_LE(troubles.size(), 1U);
  if (troubles.empty()) return "";
  EXPECT_EQ(troubles.front().about.kind, "run");
  EXPECT_NE(troubles.front().message.find(troubles.front().about.field), std::string::npos);
  EXPECT_NE(troubles.front().help.find("it must lie from "), std::string::npos);
  return troubles.front().about.field;
}

template <class Value>
void holds_from_to(Value RunOptions::*field, const char* name, Value low, Value below, Value high,
                   Value above) {
  RunOptions options;
  for (const Value good : {low, high}) {
    options.*field = good;
    EXPECT_EQ(refused(options), "") << name << " " << good;
  }
  for (const Value bad : {below, above}) {
    options.*field = bad;
    EXPECT_EQ(refused(options), name) << name << " " << bad;
  }
}

double a_hair_below(double value) { return std::nextafter(value, -infinite); }
double a_hair_above(double value) { return std::nextafter(value, infinite); }

TEST(RunOptions, AreUsableAsTheyCome) { EXPECT_EQ(refused({}), ""); }

TEST(RunOptions, AreRefusedJustOutsideTheirLimits) {
  holds_from_to(&RunOptions::depth_tolerance_m, "depth_tolerance_m", 1e-12, a_hair_below(1e-12),
                0.1, a_hair_above(0.1));
  holds_from_to(&RunOptions::event_tolerance_s, "event_tolerance_s", 1e-6, a_hair_below(1e-6), 1.0,
                a_hair_above(1.0));
  holds_from_to(&RunOptions::longest_step_s, "longest_step_s", 1e-6, a_hair_below(1e-6), infinite,
                none);
  holds_from_to(&RunOptions::record_every_s, "record_every_s", 1e-3, a_hair_below(1e-3), 1e10,
                a_hair_above(1e10));
  holds_from_to(&RunOptions::most_steps, "most_steps", 1LL, 0LL, 1'000'000'000'000LL,
                1'000'000'000'001LL);
}

TEST(RunOptions, KeepNothingOverTimeAtZero) { EXPECT_EQ(refused({.record_every_s = 0.0}), ""); }

TEST(RunOptions, AreRefusedWhenNegativeOrNoNumber) {
  EXPECT_EQ(refused({.depth_tolerance_m = none}), "depth_tolerance_m");
  EXPECT_EQ(refused({.depth_tolerance_m = -1e-4}), "depth_tolerance_m");
  EXPECT_EQ(refused({.longest_step_s = 0.0}), "longest_step_s");
  EXPECT_EQ(refused({.event_tolerance_s = none}), "event_tolerance_s");
  EXPECT_EQ(refused({.record_every_s = -1.0}), "record_every_s");
  EXPECT_EQ(refused({.record_every_s = none}), "record_every_s");
}

TEST(RunOptions, AreAllToldAtOnceWithValueAndRange) {
  const Troubles troubles = check({.depth_tolerance_m = 0.5, .most_steps = 0});
  ASSERT_EQ(troubles.size(), 2U);
  EXPECT_EQ(troubles[0].message, "option `depth_tolerance_m` is 0.5");
  EXPECT_EQ(troubles[0].help, "it must lie from 1e-12 to 0.1");
  EXPECT_EQ(troubles[1].message, "option `most_steps` is 0");
}

TEST(RunOptions, AreCheckedBeforeARunAndWithItsDaySheet) {
  Parts yard;
  yard.tanks.resize(1);
  yard.tanks[0].name = "butt";
  yard.tanks[0].shape = Prism{1.0, 1.0};
  const Result<Array> array = Array::make(yard);
  ASSERT_TRUE(array);
  DaySheet day;
  day.lasts_s = -1.0;
  const Result<RunRecord> record = run(*array, day, {.depth_tolerance_m = 0.5});
  ASSERT_FALSE(record);
  EXPECT_GE(record.error().size(), 2U);
  EXPECT_EQ(record.error().front().about.field, "depth_tolerance_m");
}

}  // namespace options_test
}  // namespace tankyard
