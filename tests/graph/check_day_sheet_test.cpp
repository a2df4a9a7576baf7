// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>
#include <limits>
#include <string>

#include "graph/check_array.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_day_sheet_test {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double inf = std::numeric_limits<double>::infinity();

// Half past six: the booster starts and the nozzle opens; quarter past seven: both end; noon: rain.
DaySheet sound_day() {
  DaySheet day;
  day.starts_clock_s = 5.0 * 3600.0;
  day.steps = {
      {5400.0, {{Action::Does::start, PumpId{0}}, {Action::Does::open, OutletId{0}}}, std::nullopt},
      {8100.0,
       {{Action::Does::stop, PumpId{0}},
        {Action::Does::close, OutletId{0}},
        {Action::Does::close, HoseId{1}},
        {Action::Does::close, AirLineId{0}}},
       std::nullopt},
      {8100.0, {{Action::Does::open, HoseId{1}}, {Action::Does::open, AirLineId{0}}}, std::nullopt},
      {25200.0, {}, 14e-3 / 3600.0},
  };
  return day;
}

std::string all_told(const Troubles& troubles) {
  std::string text;
  for (const Trouble& each : troubles) text += each.about.field + ": " + each.message + "\n";
  return text;
}

void expect_one(const DaySheet& day, const PartField& about, const std::string& says) {
  const Troubles troubles = check_day_sheet(sound_yard(), day);
  ASSERT_EQ(troubles.size(), 1u) << all_told(troubles);
  EXPECT_EQ(troubles[0].about.kind, about.kind);
  EXPECT_EQ(troubles[0].about.index, about.index);
  EXPECT_EQ(troubles[0].about.field, about.field);
  EXPECT_THAT(troubles[0].message, testing::HasSubstr(says));
  EXPECT_FALSE(troubles[0].help.empty());
}

void expect_nothing(const DaySheet& day) {
  EXPECT_EQ(all_told(check_day_sheet(sound_yard(), day)), "");
}

TEST(CheckDaySheet, HasNothingAgainstASoundDay) { expect_nothing(sound_day()); }

TEST(CheckDaySheet, LastsUpToAHundredYears) {
  DaySheet day;
  const double hundred_years = 100.0 * 365.25 * 86400.0;
  for (const double good : {1e-3, 86400.0, hundred_years}) {
    day.lasts_s = good;
    expect_nothing(day);
  }
  for (const double bad : {0.0, -1.0, hundred_years + 3600.0, nan, inf}) {
    day.lasts_s = bad;
    expect_one(day, {"run", 0, "lasts"}, "the run lasts");
  }
}

TEST(CheckDaySheet, StartsAtAClockTime) {
  DaySheet day;
  for (const double good : {0.0, 86399.0}) {
    day.starts_clock_s = good;
    expect_nothing(day);
  }
  for (const double bad : {-1.0, 86400.0, nan}) {
    day.starts_clock_s = bad;
    expect_one(day, {"run", 0, "starts"}, "the run starts");
  }
}

TEST(CheckDaySheet, KeepsStepsWithinTheRunAndSorted) {
  DaySheet day = sound_day();
  day.steps[0].at_s = 0.0;
  day.steps[3].at_s = day.lasts_s;
  expect_nothing(day);
  day.steps[3].at_s = day.lasts_s + 36.0;
  expect_one(day, {"step", 3, "at"}, "step 4 is due 24.01 h after the start");
  day = sound_day();
  day.steps[0].at_s = -36.0;
  expect_one(day, {"step", 0, "at"}, "step 1 is due -0.01 h after the start");
  day = sound_day();
  day.steps[1].at_s = nan;
  expect_one(day, {"step", 1, "at"}, "step 2 is due not a number");
  day = sound_day();
  day.steps[3].at_s = 8099.0;  // 8100 beside the step before it passes: see sound_day
  expect_one(day, {"step", 3, "at"}, "step 4 comes before step 3");
  const auto see_also = check_day_sheet(sound_yard(), day).front().see_also;
  ASSERT_TRUE(see_also.has_value());
  EXPECT_EQ(see_also->kind, "step");
  EXPECT_EQ(see_also->index, 2u);
  EXPECT_EQ(see_also->field, "at");
}

// How long the run lasts is wrong; that the steps lie beyond it follows, and is not told again.
TEST(CheckDaySheet, TellsOneMistakeOnce) {
  DaySheet day = sound_day();
  day.lasts_s = 0.0;
  expect_one(day, {"run", 0, "lasts"}, "the run lasts 0 h");
}

TEST(CheckDaySheet, RainsAtMostAMetreAnHour) {
  DaySheet day = sound_day();
  for (const double good : {0.0, 0.999 / 3600.0}) {
    day.steps[3].rain_m_per_s = good;
    expect_nothing(day);
  }
  day.steps[3].rain_m_per_s = 1.0 / 3600.0;
  expect_one(day, {"step", 3, "rain"}, "rain in step 4 is 1000 mm/h");
  day.steps[3].rain_m_per_s = -1.0 / 3.6e6;
  expect_one(day, {"step", 3, "rain"}, "rain in step 4 is -1 mm/h");
  day.steps[3].rain_m_per_s = nan;
  expect_one(day, {"step", 3, "rain"}, "rain in step 4 is not a number");
}

TEST(CheckDaySheet, StartsPumpsAndOpensTheRest) {
  using Does = Action::Does;
  const auto with = [](Action action) {
    DaySheet day = sound_day();
    day.steps[0].actions = {action};
    return day;
  };
  expect_one(with({Does::open, PumpId{0}}), {"step", 0, "open"},
             "`open` in step 1 names the pump `booster`");
  expect_one(with({Does::close, PumpId{0}}), {"step", 0, "close"}, "names the pump `booster`");
  expect_one(with({Does::start, OutletId{0}}), {"step", 0, "start"}, "names the outlet `nozzle`");
  expect_one(with({Does::stop, HoseId{0}}), {"step", 0, "stop"}, "names the hose `box-rail`");
  expect_one(with({Does::open, HoseId{4}}), {"step", 0, "open"}, "a hose that does not exist");
  expect_one(with({Does::open, OutletId{3}}), {"step", 0, "open"}, "an outlet that does not exist");
  expect_one(with({Does::start, AirLineId{0}}), {"step", 0, "start"},
             "names the air line `box-drum-air`");
  expect_one(with({Does::stop, AirLineId{0}}), {"step", 0, "stop"},
             "names the air line `box-drum-air`");
  expect_one(with({Does::close, AirLineId{1}}), {"step", 0, "close"},
             "an air line that does not exist");
  expect_one(with({Does::start, PumpId{1}}), {"step", 0, "start"}, "a pump that does not exist");
}

}  // namespace check_day_sheet_test
}  // namespace tankyard
