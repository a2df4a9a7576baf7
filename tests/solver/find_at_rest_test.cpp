// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include "solver/small_yard.h"

// The findings that need no water to move: no-overflow, dead-water, back-flow, and a crest that
// nothing fills.

namespace tankyard {
namespace find_at_rest_test {

TEST(NoOverflow, IsFoundWhereARoofFeedsATankWithout) {
  SmallYard yard;
  const TankId tank = yard.box("butt", 0.5, 0.9, 0.3, 0.1);
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::no_overflow).empty());
  yard.roof("shed", tank, 40.0);
  const Finding found = the_one(yard.found_at_rest(), FindingKind::no_overflow);
  EXPECT_EQ(found.where, "butt");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_DOUBLE_EQ(found.value, 900.0);
  EXPECT_EQ(found.unit, "mm");
  EXPECT_THAT(found.says, testing::HasSubstr("roof `shed`"));
  EXPECT_THAT(found.says, testing::HasSubstr("1.20 m above the datum"));
  yard.overflow(tank, 0.8);
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::no_overflow).empty());
}

TEST(NoOverflow, IsFoundBelowATopUpAndAnotherTanksOverflow) {
  SmallYard yard;
  const TankId upper = yard.box("upper", 1.0, 1.0, 1.0, 0.1);
  const TankId lower = yard.box("lower", 1.0, 1.0, 0.0, 0.1);
  yard.overflow(upper, 0.9, 0.050, lower);
  TopUp top_up;
  top_up.name = "mains";
  top_up.into = lower;
  top_up.flow_m3_per_s = 1e-4;
  top_up.starts_below_m = 0.2;
  top_up.stops_above_m = 0.3;
  top_up.air_gap_m = 0.050;
  yard.parts.top_ups.push_back(top_up);
  const Finding found = the_one(yard.found_at_rest(), FindingKind::no_overflow);
  EXPECT_EQ(found.where, "lower");
  EXPECT_THAT(found.says, testing::HasSubstr("the overflow of `upper` and top-up `mains`"));
}

// A joined tank whose lip is 20 mm lower or more spills in its place; a hose may fail to keep up,
// so a note remains.
TEST(NoOverflow, IsANoteWhereALowerTankSpillsFirst) {
  SmallYard yard;
  const TankId fed = yard.box("fed", 1.0, 1.0, 0.0, 0.1);
  const TankId other = yard.box("other", 1.0, 1.0, 0.0, 0.1);
  yard.roof("shed", fed, 40.0);
  yard.hose("fed-other", fed, other, 0.050);
  EXPECT_EQ(the_one(yard.found_at_rest(), FindingKind::no_overflow).severity, Severity::warning);
  yard.overflow(other, 0.9);
  const Finding found = the_one(yard.found_at_rest(), FindingKind::no_overflow);
  EXPECT_EQ(found.severity, Severity::note);
  EXPECT_THAT(found.says, testing::HasSubstr("`other` spills in its place"));
  yard.parts.hoses[0].open = false;
  EXPECT_EQ(the_one(yard.found_at_rest(), FindingKind::no_overflow).severity, Severity::warning);
}

// 50 mm of 1 m2 below the only mouth: 50 L of 1000.
SmallYard with_mouth_at(double height_m, double area_m2 = 1.0, double rim_m = 1.0) {
  SmallYard yard;
  const TankId tank = yard.box("cage", area_m2, rim_m, 0.0, 0.1);
  const TankId other = yard.box("other", 1.0, 1.0, 0.0, 0.1);
  yard.hose("cage-other", tank, other, 0.025).from.height_m = height_m;
  return yard;
}

TEST(DeadWater, IsWhatLiesBelowTheLowestMouth) {
  const Finding found = the_one(with_mouth_at(0.05).found_at_rest(), FindingKind::dead_water);
  EXPECT_EQ(found.where, "cage");
  EXPECT_EQ(found.severity, Severity::note);
  EXPECT_NEAR(found.value, 50.0, 1e-9);
  ASSERT_TRUE(found.limit);
  EXPECT_NEAR(*found.limit, 10.0, 1e-9);
  EXPECT_THAT(found.says, testing::HasSubstr("hose `cage-other` at 50 mm"));
}

// The two limits: over a hundredth of 1000 L, and over 5 L of 100 L.
TEST(DeadWater, CountsOverFiveLitresAndAHundredth) {
  EXPECT_TRUE(of_kind(with_mouth_at(0.0099).found_at_rest(), FindingKind::dead_water).empty());
  EXPECT_FALSE(of_kind(with_mouth_at(0.0101).found_at_rest(), FindingKind::dead_water).empty());
  EXPECT_TRUE(
      of_kind(with_mouth_at(0.024, 0.2, 0.5).found_at_rest(), FindingKind::dead_water).empty());
  EXPECT_FALSE(
      of_kind(with_mouth_at(0.026, 0.2, 0.5).found_at_rest(), FindingKind::dead_water).empty());
}

TEST(DeadWater, ComesOutByAnyLowerMouth) {
  SmallYard leaking = with_mouth_at(0.05);
  Leak leak;
  leak.name = "crack";
  leak.tank = id_at<TankId>(0);
  leak.bore_m = 0.002;
  leaking.parts.leaks.push_back(leak);
  EXPECT_TRUE(of_kind(leaking.found_at_rest(), FindingKind::dead_water).empty());

  SmallYard drained = with_mouth_at(0.05);
  drained.draw("drain", id_at<TankId>(0), 0.0, 0.1);
  EXPECT_TRUE(of_kind(drained.found_at_rest(), FindingKind::dead_water).empty());

  // A shut valve can be opened, so its hose counts.
  SmallYard shut = with_mouth_at(0.05);
  shut.hose("low", id_at<TankId>(0), id_at<TankId>(1), 0.025).valve = Valve{"V1", false, 0.05};
  EXPECT_TRUE(of_kind(shut.found_at_rest(), FindingKind::dead_water).empty());
}

TEST(DeadWater, DoesNotComeOutThroughANonReturnValve) {
  SmallYard yard = with_mouth_at(0.05);
  yard.hose("low", id_at<TankId>(1), id_at<TankId>(0), 0.025).one_way = true;
  EXPECT_EQ(the_one(yard.found_at_rest(), FindingKind::dead_water).where, "cage");
}

TEST(DeadWater, IsNotSaidOfATankWithNoWayOutAtAll) {
  SmallYard yard;
  yard.box("new", 1.0, 1.0, 0.0, 0.5);
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::dead_water).empty());
}

SmallYard over_a_wall(double crest_m) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.5);
  const TankId b = yard.box("b", 1.0, 1.0, 0.5, 0.2);
  yard.hose("a-b", a, b, 0.025).crest_m = crest_m;
  return yard;
}

// The higher rim stands at 1.5 m.
TEST(AirLock, IsFoundWhereNoWaterEverReachesTheCrest) {
  const Finding found = the_one(over_a_wall(1.8).found_at_rest(), FindingKind::air_lock);
  EXPECT_EQ(found.where, "a-b");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_NEAR(found.value, 300.0, 1e-9);
  EXPECT_THAT(found.do_this, testing::HasSubstr("below 1.50 m"));
  EXPECT_TRUE(of_kind(over_a_wall(1.49).found_at_rest(), FindingKind::air_lock).empty());
}

TEST(AirLock, IsNotFoundInAHoseThatStartsFull) {
  SmallYard yard = over_a_wall(1.8);
  yard.parts.hoses[0].primed = true;
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::air_lock).empty());
}

// A header stands as high as the tanks that reach it by other hoses: here 2.0 m.
TEST(AirLock, LooksBeyondAHeader) {
  SmallYard yard = over_a_wall(1.8);
  const TankId tower = yard.box("tower", 1.0, 1.0, 1.0, 0.5);
  const HeaderId rail = yard.header("rail", 0.3);
  yard.parts.hoses[0].from.place = rail;
  EXPECT_EQ(of_kind(yard.found_at_rest(), FindingKind::air_lock).size(), 1U);
  yard.hose("tower-rail", tower, rail, 0.025);
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::air_lock).empty());
}

SmallYard topped_up(std::optional<double> air_gap_m) {
  SmallYard yard;
  TopUp top_up;
  top_up.name = "mains";
  top_up.into = yard.box("cage", 1.0, 1.0, 0.0, 0.5);
  top_up.flow_m3_per_s = 1e-4;
  top_up.starts_below_m = 0.2;
  top_up.stops_above_m = 0.3;
  top_up.air_gap_m = air_gap_m;
  yard.parts.top_ups.push_back(top_up);
  return yard;
}

TEST(BackFlow, IsAWarningBelowTwentyMillimetresOfAirGap) {
  const Finding found = the_one(topped_up(0.019).found_at_rest(), FindingKind::back_flow);
  EXPECT_EQ(found.where, "mains");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_NEAR(found.value, 19.0, 1e-9);
  EXPECT_DOUBLE_EQ(found.limit.value_or(0.0), 20.0);
  EXPECT_THAT(found.do_this, testing::HasSubstr("local water rules"));
  EXPECT_TRUE(of_kind(topped_up(0.020).found_at_rest(), FindingKind::back_flow).empty());
}

TEST(BackFlow, IsANoteWhereThePlanDoesNotSay) {
  const Finding found = the_one(topped_up(std::nullopt).found_at_rest(), FindingKind::back_flow);
  EXPECT_EQ(found.severity, Severity::note);
  EXPECT_THAT(found.says, testing::HasSubstr("does not say"));
}

}  // namespace find_at_rest_test
}  // namespace tankyard
