// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace find_uneven_rims_test {

//   1.00 __________  rim of low     high stands `raised_m` higher:
//       |  low  |-- | high |        its top `raised_m` are never filled
SmallYard two_boxes(double raised_m) {
  SmallYard yard;
  const TankId low = yard.box("low", 1.0, 1.0, 0.0, 0.3);
  const TankId high = yard.box("high", 2.0, 1.0, raised_m, 0.3);
  yard.hose("low-high", low, high, 0.025);
  return yard;
}

// 150 mm of 2 m2 stay empty: 300 L.
TEST(UnevenRims, CountWhatTheLowestLipLeavesEmpty) {
  const Finding found = the_one(two_boxes(0.15).found_at_rest(), FindingKind::uneven_rims);
  EXPECT_EQ(found.where, "low");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_FALSE(found.at_s);
  EXPECT_NEAR(found.value, 300.0, 1.0);
  EXPECT_EQ(found.unit, "L");
  EXPECT_THAT(found.says, testing::HasSubstr("`low` spills at 1.00 m"));
  EXPECT_THAT(found.says, testing::HasSubstr("`high`"));
  EXPECT_THAT(found.do_this, testing::HasSubstr("raise the stand of `low` by 150 mm"));
}

TEST(UnevenRims, BeginTwentyMillimetresApart) {
  EXPECT_TRUE(of_kind(two_boxes(0.019).found_at_rest(), FindingKind::uneven_rims).empty());
  EXPECT_FALSE(of_kind(two_boxes(0.022).found_at_rest(), FindingKind::uneven_rims).empty());
}

TEST(UnevenRims, DoNotMatterBetweenTanksThatAreNotJoined) {
  SmallYard yard = two_boxes(0.15);
  yard.parts.hoses[0].valve = Valve{"V1", false, 0.05};
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::uneven_rims).empty());
  yard.parts.hoses[0].valve->open = true;
  const Finding found = the_one(yard.found_at_rest(), FindingKind::uneven_rims);
  EXPECT_THAT(found.do_this, testing::HasSubstr("or shut `V1` once it is full"));
}

// A non-return valve out of the low tank keeps the high one's water.
TEST(UnevenRims, DoNotMatterWhereTheLowTankOnlyGives) {
  SmallYard yard = two_boxes(0.15);
  yard.parts.hoses[0].one_way = true;
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::uneven_rims).empty());
}

// The hose leaves `high` at 0.6 m above its bottom, 0.75 m above the datum, and 1.0 m is above
// that: capped all the same. At 0.9 m, 1.05 m above the datum, only 100 mm of 2 m2 stay empty.
TEST(UnevenRims, CapOnlyDownToTheMouthOfTheHose) {
  SmallYard yard = two_boxes(0.15);
  yard.parts.hoses[0].to.height_m = 0.6;
  EXPECT_NEAR(the_one(yard.found_at_rest(), FindingKind::uneven_rims).value, 300.0, 1.0);
  yard.parts.hoses[0].to.height_m = 0.9;
  EXPECT_NEAR(the_one(yard.found_at_rest(), FindingKind::uneven_rims).value, 200.0, 1.0);
}

// An overflow at 0.7 m in a wall of 1.0 m has 1.0 - 0.05 - 0.7 = 0.25 m to rise.
TEST(UnevenRims, RaiseTheOverflowWhereTheWallHasRoom) {
  SmallYard yard = two_boxes(0.0);
  yard.overflow(id_at<TankId>(0), 0.7);
  yard.overflow(id_at<TankId>(1), 0.9);
  const Finding can = the_one(yard.found_at_rest(), FindingKind::uneven_rims);
  EXPECT_NEAR(can.value, 400.0, 1.0);  // 0.2 m of 2 m2
  EXPECT_THAT(can.do_this, testing::HasSubstr("set the overflow of `low` 200 mm higher"));
  yard.at(id_at<TankId>(1)).overflow.reset();
  const Finding cannot = the_one(yard.found_at_rest(), FindingKind::uneven_rims);
  EXPECT_NEAR(cannot.value, 600.0, 1.0);
  EXPECT_THAT(cannot.do_this, testing::HasSubstr("raise the stand of `low` by 300 mm"));
}

// Each lip is blamed for what it caps and no more. `left` and `right` each feed a high tank, and a
// hose that only lets water from left to right joins the two pairs: left-high (1 m2) stays 0.15 m
// short of its rim for `left` at 1.0 m, right-high 0.10 m for `right`.
TEST(UnevenRims, BlameTheLipThatIsFelt) {
  SmallYard yard;
  const TankId left = yard.box("left", 1.0, 1.0, 0.0, 0.3);
  const TankId left_high = yard.box("left-high", 1.0, 1.0, 0.15, 0.3);
  const TankId right = yard.box("right", 1.0, 1.0, 0.2, 0.3);
  const TankId right_high = yard.box("right-high", 1.0, 1.0, 0.3, 0.3);
  yard.hose("l", left, left_high, 0.025);
  yard.hose("r", right, right_high, 0.025);
  yard.hose("l-r", left, right, 0.025).one_way = true;
  const std::vector<Finding> found = of_kind(yard.found_at_rest(), FindingKind::uneven_rims);
  ASSERT_EQ(found.size(), 2U);
  EXPECT_EQ(found[0].where, "left");
  EXPECT_NEAR(found[0].value, 150.0, 1.0);
  EXPECT_THAT(found[0].do_this, testing::HasSubstr("raise the stand of `left` by 150 mm"));
  EXPECT_EQ(found[1].where, "right");
  EXPECT_NEAR(found[1].value, 100.0, 1.0);
}

TEST(UnevenRims, NameEveryTankThatIsAsLow) {
  SmallYard yard = two_boxes(0.15);
  const TankId third = yard.box("as-low", 1.0, 1.0, 0.005, 0.3);
  yard.hose("third", third, id_at<TankId>(0), 0.025);
  const Finding found = the_one(yard.found_at_rest(), FindingKind::uneven_rims);
  EXPECT_EQ(found.where, "low");
  EXPECT_NEAR(found.value, 300.0, 1.0);
  EXPECT_THAT(found.do_this, testing::HasSubstr("raise the stand of `as-low` and `low`"));
}

}  // namespace find_uneven_rims_test
}  // namespace tankyard
