// SPDX-License-Identifier: MIT
#include "solver/studies/vent_trials.h"

#include <gmock/gmock.h>

#include <algorithm>

#include "graph/check_array.h"
#include "solver/small_yard.h"

namespace tankyard {
namespace vent_trials_test {

using testing::ElementsAre;
using testing::Not;

std::vector<std::string> told(const SmallYard& yard) {
  std::vector<std::string> says;
  for (const Trial& trial : vent_trials(*yard.array(), yard.sheet)) says.push_back(trial.says);
  return says;
}

const Trial* find(const std::vector<Trial>& trials, const std::string& says) {
  const auto it = std::find_if(trials.begin(), trials.end(),
                               [&](const Trial& trial) { return trial.says == says; });
  return it == trials.end() ? nullptr : &*it;
}

//   near (tap 30 L/min) -- V1 -- far (nozzle of 10 mm)
struct TwoTaps : SmallYard {
  TankId near = box("near", 1.0, 1.0, 0.0, 0.5);
  TankId far = box("far", 1.0, 1.0, 0.2, 0.3);
  TwoTaps() {
    draw("tap", near, 0.0, 0.5);
    hose("link", near, far, 0.025).valve = Valve{"V1", true, 0.0};
    hose("spout-hose", far, tap("spout", 0.0, 0.010), 0.025);
    at(far).lid.kind = Lid::Kind::sealed;
  }
};

TEST(VentTrials, AreEveryPullThereIs) {
  EXPECT_THAT(
      told(TwoTaps()),
      ElementsAre("the day of the plan", "`tap` drawing 30 L/min", "`spout` open",
                  "all outlets at once", "`tap` drawing 30 L/min, tanks nearly full",
                  "`spout` open, tanks nearly full", "all outlets at once, tanks nearly full",
                  "nobody drawing", "a cold night, 15 K assumed", "a warm afternoon, 15 K assumed",
                  "a cold night, 15 K assumed, tanks nearly empty",
                  "a warm afternoon, 15 K assumed, tanks nearly empty"));
}

TEST(VentTrials, TakeTheSwingOfThePlan) {
  TwoTaps yard;
  yard.parts.site.air_swing_k = 9.0;
  yard.parts.site.warmest_hour = 14.0;
  yard.parts.site.coldest_hour = 4.0;
  yard.at(yard.far).air_swing_k = 30.0;
  const auto trials = vent_trials(*yard.array(), yard.sheet);
  const Trial* night = find(trials, "a cold night, 9 K");
  ASSERT_TRUE(night);
  EXPECT_FALSE(night->as_assumed);
  EXPECT_DOUBLE_EQ(night->parts.site.air_swing_k, 9.0);
  EXPECT_DOUBLE_EQ(night->parts.tanks[1].air_swing_k.value_or(0.0), 30.0);
  EXPECT_DOUBLE_EQ(night->sheet.starts_clock_s, 14.0 * 3600.0);  // from the warmest hour on
  EXPECT_DOUBLE_EQ(find(trials, "a warm afternoon, 9 K")->sheet.starts_clock_s, 4.0 * 3600.0);
  // Draws are tried in air that keeps its temperature, so that each pull stands alone.
  EXPECT_DOUBLE_EQ(trials[1].parts.site.air_swing_k, 0.0);
  EXPECT_FALSE(trials[1].parts.tanks[1].air_swing_k.has_value());
}

// Shut, V1 keeps the two apart: then they are tried with it open as well.
TEST(VentTrials, OpenEveryValveToo) {
  TwoTaps yard;
  EXPECT_THAT(told(yard), Not(testing::Contains(testing::HasSubstr("every valve open"))));
  yard.parts.hoses[0].valve->open = false;
  const auto trials = vent_trials(*yard.array(), yard.sheet);
  const Trial* shut = find(trials, "`tap` drawing 30 L/min");
  const Trial* open = find(trials, "`tap` drawing 30 L/min, every valve open");
  ASSERT_TRUE(shut && open);
  EXPECT_FALSE(shut->parts.hoses[0].valve->open);
  EXPECT_TRUE(open->parts.hoses[0].valve->open);
}

// Rims at 1.0 and 1.2 m: joined, both stand at 1.0 m, 0.8 m deep in `far`; and `near` keeps 2 % of
// air.
TEST(VentTrials, FillTheYardAsFullAsItCanBe) {
  const TwoTaps yard;
  const auto trials = vent_trials(*yard.array(), yard.sheet);
  const Trial* full = find(trials, "`tap` drawing 30 L/min, tanks nearly full");
  ASSERT_TRUE(full);
  EXPECT_NEAR(full->parts.tanks[0].water_m3, 0.98, 1e-3);
  EXPECT_NEAR(full->parts.tanks[1].water_m3, 0.80, 2e-3);
  EXPECT_TRUE(full->parts.outlets[0].open);
  EXPECT_FALSE(full->parts.outlets[1].open);
  EXPECT_EQ(full->parts.tanks[1].lid.kind, Lid::Kind::sealed);
  const Trial* empty = find(trials, "a cold night, 15 K assumed, tanks nearly empty");
  ASSERT_TRUE(empty);
  for (const Tank& tank : empty->parts.tanks) EXPECT_DOUBLE_EQ(tank.water_m3, 0.1);
}

// 150 mm/h on 60 m2 for two minutes are 300 L. 700 L and 300 L do not fit under a rim at 1000 L
// with 2 % to spare, so the tank, and the one it shares water with, begin at 680 L.
TEST(VentTrials, LeaveRoomForTheRain) {
  TwoTaps yard;
  yard.roof("shed", yard.near, 60.0);
  yard.at(yard.near).water_m3 = 0.7;
  yard.at(yard.far).water_m3 = 0.6;
  const auto trials = vent_trials(*yard.array(), yard.sheet);
  const Trial* rain = find(trials, "rain of 150 mm/h");
  ASSERT_TRUE(rain);
  EXPECT_NEAR(rain->parts.tanks[0].water_m3, 0.68, 1e-9);
  EXPECT_NEAR(rain->parts.tanks[1].water_m3, 0.48, 1e-9);  // its base is 0.2 m higher
  ASSERT_EQ(rain->sheet.steps.size(), 1U);
  EXPECT_NEAR(rain->sheet.steps[0].rain_m_per_s.value_or(0.0) * 3.6e6, 150.0, 1e-9);
  EXPECT_TRUE(Array::make(rain->parts).has_value());
}

// `upper` runs over into `lower`: it stands full, and the 300 L of its roof are for `lower`, which
// holds 0.98 x 1000 - 300 L at first.
TEST(VentTrials, PassTheRainOn) {
  SmallYard yard;
  const TankId upper = yard.box("upper", 1.0, 1.0, 1.0, 0.2);
  const TankId lower = yard.box("lower", 1.0, 1.0, 0.0, 0.9);
  yard.overflow(upper, 0.9, 0.050, lower);
  yard.roof("shed", upper, 60.0);
  const auto trials = vent_trials(*yard.array(), yard.sheet);
  const Trial* rain = find(trials, "rain of 150 mm/h");
  ASSERT_TRUE(rain);
  EXPECT_DOUBLE_EQ(rain->parts.tanks[0].water_m3, 0.9);
  EXPECT_NEAR(rain->parts.tanks[1].water_m3, 0.68, 1e-9);
}

// A heavier rain of the plan's own is the one to fear; a gutter passes no more than it can.
TEST(VentTrials, TakeTheHeaviestRain) {
  TwoTaps yard;
  yard.roof("shed", yard.near, 60.0);
  yard.parts.roofs[0].gutter_limit_m3_per_s = 1e-3;
  yard.rain(0.0, 60.0, 220.0);
  yard.at(yard.near).water_m3 = 0.95;
  const auto trials = vent_trials(*yard.array(), yard.sheet);
  const Trial* rain = find(trials, "rain of 220 mm/h");
  ASSERT_TRUE(rain);
  EXPECT_NEAR(rain->parts.tanks[0].water_m3, 0.98 - 0.120, 1e-9);
}

TEST(VentTrials, LetTheTopUpStart) {
  TwoTaps yard;
  TopUp top_up;
  top_up.name = "mains";
  top_up.into = yard.near;
  top_up.flow_m3_per_s = 1e-3;
  top_up.starts_below_m = 0.3;
  top_up.stops_above_m = 0.4;
  yard.parts.top_ups.push_back(top_up);
  const auto trials = vent_trials(*yard.array(), yard.sheet);
  const Trial* trial = find(trials, "`mains` letting water in, tanks low");
  ASSERT_TRUE(trial);
  EXPECT_LT(trial->parts.tanks[0].water_m3, 0.3);
  EXPECT_NEAR(trial->parts.tanks[1].water_m3, 0.297 - 0.2, 1e-9);
  // It is at work in no other trial but the plan's own day.
  for (const Trial& other : trials) {
    const bool has_it = other.pull == Trial::Pull::day || other.pull == Trial::Pull::top_ups;
    EXPECT_EQ(other.parts.top_ups.empty(), !has_it) << other.says;
  }
}

TEST(VentTrials, KeepLeaksLeaking) {
  TwoTaps yard;
  Leak leak;
  leak.name = "crack";
  leak.tank = yard.far;
  leak.bore_m = 0.002;
  yard.parts.leaks.push_back(leak);
  const auto says = told(yard);
  EXPECT_THAT(says, testing::Contains("nobody drawing, `crack` leaking"));
  EXPECT_THAT(says, testing::Contains("nobody drawing, `crack` leaking, tanks nearly full"));
}

TEST(VentTrials, AreAllYardsThatCanBeRun) {
  TwoTaps yard;
  yard.roof("shed", yard.near, 60.0);
  yard.parts.hoses[0].valve->open = false;
  for (const Trial& trial : vent_trials(*yard.array(), yard.sheet)) {
    const Result<Array> array = Array::make(trial.parts);
    ASSERT_TRUE(array.has_value()) << trial.says;
    EXPECT_TRUE(check_day_sheet(trial.parts, trial.sheet).empty()) << trial.says;
    EXPECT_GE(trial.lasts_at_most_s, trial.sheet.lasts_s);
  }
}

}  // namespace vent_trials_test
}  // namespace tankyard
