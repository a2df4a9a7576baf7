// SPDX-License-Identifier: MIT
#include "solver/at_rest.h"

#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numeric>

#include "graph/reach.h"
#include "random_arrays.h"
#include "solver/small_yard.h"

namespace tankyard {
namespace at_rest_test {

constexpr double pi = 3.14159265358979323846;

// Runs are made at a depth tolerance of 0.1 mm; a few of those are what they promise.
constexpr double near_m = 0.0004;

AtRest rest_of(const SmallYard& yard) {
  const std::optional<Array> array = yard.array();
  if (!array) return {};
  const Result<AtRest> rest = at_rest(*array);
  if (rest) return *rest;
  for (const Trouble& trouble : rest.error()) ADD_FAILURE() << trouble.message;
  return {};
}

//   1.5 _          .
//      | |   a     .
//   1.0| | ______  .
//   0.5|_|-|    |  .   a: 1 m2 on a stand of 0.5 m;  b: 2 m2 on the ground
//   0.0    |__b_|  .
SmallYard two_boxes() {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.5, 0.9);
  const TankId b = yard.box("b", 2.0, 1.0, 0.0, 0.2);
  yard.hose("a-b", a, b, 0.025);
  return yard;
}

// 1.1 m3 in all: 1 (L - 0.5) + 2 L = 1.1, so L = 1.6 / 3.
TEST(AtRest, LetsTwoBoxesOnUnlikeStandsFindOneLevel) {
  const AtRest rest = rest_of(two_boxes());
  ASSERT_EQ(rest.groups.size(), 1U);
  const RestingGroup& group = rest.groups[0];
  ASSERT_TRUE(group.level_m);
  EXPECT_NEAR(*group.level_m, 1.6 / 3.0, near_m);
  EXPECT_NEAR(group.depth_m[0], 1.6 / 3.0 - 0.5, near_m);
  EXPECT_NEAR(group.depth_m[1], 1.6 / 3.0, near_m);
}

//      | |  high  overflow at 1.9 m      A standing pump without a non-return valve lets `high` run
//      |_|  1.0   ______                 into `low` until both stand at the lip of `low`, 1.1 m:
//       |__pump__|      | 1.1            100 L of its 1000 stay in `high`, far below its overflow.
//                |__low_|
SmallYard over_a_standing_pump() {
  SmallYard yard;
  const TankId high = yard.box("high", 1.0, 1.0, 1.0, 0.8);
  const TankId low = yard.box("low", 2.0, 1.2, 0.0, 0.1);
  yard.overflow(high, 0.9);
  yard.overflow(low, 1.1);
  Pump pump;
  pump.name = "lift";
  pump.from = high;
  pump.to = low;
  pump.curve = {{0.0, 20.0}, {20.0 / 60000.0, 10.0}};
  yard.parts.pumps.push_back(pump);
  return yard;
}

TEST(AtRest, SeesATankRunOffThroughAStandingPump) {
  SmallYard yard = over_a_standing_pump();
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.groups.size(), 2U);
  EXPECT_NEAR(rest.groups[0].holds_m3, 0.1, 3.0 * near_m);
  EXPECT_EQ(rest.groups[0].runs_off_through, std::vector<PumpId>{PumpId{0}});
  EXPECT_TRUE(rest.groups[1].runs_off_through.empty());
  // Laid the other way round it runs back through it.
  std::swap(yard.parts.pumps[0].from, yard.parts.pumps[0].to);
  EXPECT_EQ(rest_of(yard).groups[0].runs_off_through, std::vector<PumpId>{PumpId{0}});
  // A non-return valve holds it, and then its own overflow caps it.
  yard.parts.pumps[0].one_way = true;
  const AtRest held = rest_of(yard);
  EXPECT_NEAR(held.groups[0].holds_m3, 0.9, 3.0 * near_m);
  EXPECT_TRUE(held.groups[0].runs_off_through.empty());
}

// The rim of b, at 1.0 m, caps both: 1 x 0.5 + 2 x 1.0 = 2.5 of 3.0 m3.
TEST(AtRest, HoldsWhatTheLowestLipLeaves) {
  const AtRest rest = rest_of(two_boxes());
  ASSERT_EQ(rest.groups.size(), 1U);
  EXPECT_NEAR(rest.groups[0].holds_m3, 2.5, 3.0 * near_m);
  EXPECT_DOUBLE_EQ(rest.groups[0].nominal_m3, 3.0);
  EXPECT_DOUBLE_EQ(rest.groups[0].first_lip_m, 1.0);
  EXPECT_EQ(rest.groups[0].first_lip_of, id_at<TankId>(1));
}

// From 1.0 m down to 0.1 m: all 0.5 m3 of a and 2 x 0.9 m3 of b; 2 x 0.1 m3 stay.
TEST(AtRest, RunsOutThroughALowTap) {
  SmallYard yard = two_boxes();
  yard.draw("low", id_at<TankId>(1), 0.1, 0.2);
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.usable.size(), 1U);
  const Usable& usable = rest.usable[0];
  EXPECT_TRUE(usable.gravity);
  EXPECT_NEAR(usable.usable_m3, 2.3, 3.0 * near_m);
  EXPECT_NEAR(usable.left_m3, 0.2, 3.0 * near_m);
  EXPECT_NEAR(usable.left_per_tank_m3[0], 0.0, near_m);
  EXPECT_NEAR(usable.left_per_tank_m3[1], 0.2, 2.0 * near_m);
  EXPECT_NEAR(usable.dry_below_m, 0.1, near_m);
  EXPECT_NEAR(usable.first_m3_per_s, 2e-4, 1e-9);
  EXPECT_DOUBLE_EQ(usable.nominal_m3, 3.0);
}

// A tap at 0.7 m: 1 x 0.3 and 2 x 0.3 m3 come, 0.2 and 1.4 m3 stay. When full it runs as Torricelli
// has it behind a nozzle of 10 mm whose hose of 25 mm costs entry 0.5:
// v^2 (1 + 0.5 (10/25)^4 0.97^2 ) / 0.97^2 / 2g = 0.3 m.
TEST(AtRest, RunsOutThroughAHighTap) {
  SmallYard yard = two_boxes();
  const OutletId tap = yard.tap("high", 0.7, 0.010);
  yard.hose("b-high", id_at<TankId>(1), tap, 0.025);
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.usable.size(), 1U);
  EXPECT_NEAR(rest.usable[0].usable_m3, 0.9, 3.0 * near_m);
  EXPECT_NEAR(rest.usable[0].left_m3, 1.6, 3.0 * near_m);
  EXPECT_NEAR(rest.usable[0].dry_below_m, 0.7, 2.0 * near_m);
  const double area = pi / 4.0 * 0.010 * 0.010;
  const double k = 1.0 / (0.97 * 0.97) + 0.5 * std::pow(0.010 / 0.025, 4);
  const double flow = area * std::sqrt(2.0 * 9.80665 * 0.3 / k);
  EXPECT_NEAR(rest.usable[0].first_m3_per_s, flow, 0.01 * flow);
}

TEST(AtRest, SaysThatNothingComesOutOfATapAboveTheWater) {
  SmallYard yard = two_boxes();
  const OutletId tap = yard.tap("roof-tap", 1.2, 0.010);
  yard.hose("b-tap", id_at<TankId>(1), tap, 0.025);
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.usable.size(), 1U);
  EXPECT_FALSE(rest.usable[0].gravity);
  EXPECT_DOUBLE_EQ(rest.usable[0].usable_m3, 0.0);
  EXPECT_NEAR(rest.usable[0].left_m3, 2.5, 3.0 * near_m);
  EXPECT_DOUBLE_EQ(rest.usable[0].dry_below_m, 1.2);
}

// A lying cistern of 1 m across and 4 m long, full as far as half its height, holds pi/8 x 4 m3.
// With that and 0.5 m3 more it fills a box of 1 m2 beside it to the same half metre.
TEST(AtRest, LetsALyingCisternAndABoxFindOneLevel) {
  SmallYard yard;
  const TankId cistern = yard.box("cistern", 1.0, 1.0, 0.0, 0.0);
  yard.at(cistern).shape = Lying{1.0, 4.0};
  yard.at(cistern).water_m3 = pi / 2.0 + 0.5;
  const TankId box = yard.box("box", 1.0, 1.0, 0.0, 0.0);
  yard.hose("cistern-box", cistern, box, 0.025);
  yard.draw("tap", box, 0.5, 0.1);
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.groups.size(), 1U);
  ASSERT_TRUE(rest.groups[0].level_m);
  EXPECT_NEAR(*rest.groups[0].level_m, 0.5, near_m);
  // Full it holds pi + 1; above half of it, pi/2 + 0.5 can be drawn.
  EXPECT_NEAR(rest.groups[0].holds_m3, pi + 1.0, 0.01);
  ASSERT_EQ(rest.usable.size(), 1U);
  EXPECT_NEAR(rest.usable[0].usable_m3, pi / 2.0 + 0.5, 5.0 * near_m);
}

TEST(AtRest, LeavesATankBehindAShutValveAlone) {
  SmallYard yard = two_boxes();
  const TankId c = yard.box("c", 1.0, 1.0, 0.0, 0.7);
  yard.box("d", 1.0, 1.0, 0.0, 0.3);
  yard.hose("b-c", id_at<TankId>(1), c, 0.025).valve = Valve{"V1", false, 0.05};
  yard.draw("tap", id_at<TankId>(1), 0.0, 0.2);
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.groups.size(), 3U);
  EXPECT_EQ(rest.groups[0].tanks.size(), 2U);
  ASSERT_TRUE(rest.groups[1].level_m);
  EXPECT_NEAR(*rest.groups[1].level_m, 0.7, 1e-9);
  EXPECT_THAT(rest.not_joined, testing::ElementsAre(c, id_at<TankId>(3)));
  EXPECT_THAT(rest.joined_if_opened, testing::ElementsAre(c));
  ASSERT_EQ(rest.usable.size(), 1U);
  EXPECT_NEAR(rest.usable[0].usable_m3, 2.5, 3.0 * near_m);  // nothing of c or d
  EXPECT_DOUBLE_EQ(rest.usable[0].left_per_tank_m3[2], 0.0);
  EXPECT_DOUBLE_EQ(rest.usable[0].nominal_m3, 3.0);
}

// An outlet that only a shut hose leads to is no tap at all as the yard stands.
TEST(AtRest, LeavesOutAnOutletThatNoTankReaches) {
  SmallYard yard = two_boxes();
  const OutletId tap = yard.tap("tap", 0.1, 0.010);
  yard.hose("b-tap", id_at<TankId>(1), tap, 0.025).open = false;
  EXPECT_TRUE(rest_of(yard).usable.empty());
}

// The hose leaves a at 0.8 m, so a keeps 0.8 m though b spills at 0.5 m: 0.8 + 0.5 m3.
TEST(AtRest, KeepsWaterThatStandsBelowItsMouth) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.6);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.2);
  yard.overflow(b, 0.5);
  Hose& hose = yard.hose("a-b", a, b, 0.025);
  hose.from.height_m = 0.8;
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.groups.size(), 1U);
  EXPECT_FALSE(rest.groups[0].level_m);  // 0.6 and 0.2 m: nothing moves
  EXPECT_NEAR(rest.groups[0].depth_m[0], 0.6, 1e-6);
  EXPECT_NEAR(rest.groups[0].depth_m[1], 0.2, 1e-6);
  EXPECT_NEAR(rest.groups[0].holds_m3, 1.3, 2.0 * near_m);
}

// The low tank only gives: the high one keeps its whole metre.
TEST(AtRest, LetsANonReturnValveKeepTheHighTankFull) {
  SmallYard yard;
  const TankId low = yard.box("low", 1.0, 1.0, 0.0, 0.2);
  const TankId high = yard.box("high", 1.0, 1.0, 0.0, 0.2);
  yard.overflow(low, 0.5);
  yard.hose("low-high", low, high, 0.025).one_way = true;
  EXPECT_NEAR(rest_of(yard).groups[0].holds_m3, 1.5, 2.0 * near_m);
}

// 50 m3 through a tap of 2 mm: v = 0.97 sqrt(2 g 1 m) = 4.3 m/s at first, 14 mL/s, so the full
// metre takes 2 x 50 / 1.36e-5 s = 85 days, far longer than the six hours that are tried first.
TEST(AtRest, WaitsForAPondBehindAThinTap) {
  SmallYard yard;
  const TankId pond = yard.box("pond", 50.0, 1.0, 0.0, 10.0);
  const OutletId tap = yard.tap("thin", 0.0, 0.002);
  yard.hose("pond-thin", pond, tap, 0.025);
  const AtRest rest = rest_of(yard);
  ASSERT_EQ(rest.usable.size(), 1U);
  EXPECT_NEAR(rest.usable[0].usable_m3, 50.0, 0.25);
}

// For any yard: what comes out and what is left were there before, and no more than all the tanks
// hold; every tank is in one group.
RC_GTEST_PROP(AtRest, AddsUpInAnyYard, ()) {
  const Parts yard = *random_yards();
  const Result<Array> array = Array::make(yard);
  RC_ASSERT(array.has_value());
  const Result<AtRest> rest = at_rest(*array);
  if (!rest) {
    // A yard that never comes to rest within its purse of steps is refused in words (1 of 700
    // here).
    const std::string& says = rest.error().front().message;
    RC_ASSERT(says.find("took more steps than `most_steps` allows") != std::string::npos);
    RC_DISCARD(says);  // too many of them, and nothing is proved
  }
  std::size_t tanks = 0;
  double holds = 0.0;
  for (const RestingGroup& group : rest->groups) {
    tanks += group.tanks.size();
    holds += group.holds_m3;
    RC_ASSERT(group.holds_m3 <= group.nominal_m3 * (1.0 + 1e-9));
  }
  RC_ASSERT(tanks == yard.tanks.size());
  for (const Usable& usable : rest->usable) {
    const double left =
        std::accumulate(usable.left_per_tank_m3.begin(), usable.left_per_tank_m3.end(), 0.0);
    RC_ASSERT(std::fabs(left - usable.left_m3) <= 1e-9);
    RC_ASSERT(usable.usable_m3 >= 0.0);
    RC_ASSERT(usable.usable_m3 <= holds * (1.0 + 1e-9));
    RC_ASSERT(usable.gravity == (usable.usable_m3 > 1e-4));
  }
}

}  // namespace at_rest_test
}  // namespace tankyard
