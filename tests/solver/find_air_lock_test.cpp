// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace find_air_lock_test {

//      _      hump at 0.9 m, lower than both rims: water could get there, and on this day does not
//   | | | |
//   |a| |b|   0.8 m of water in a, 0.3 m in b
SmallYard humped(double a_water_m3 = 0.8) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, a_water_m3);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.3);
  yard.hose("a-b", a, b, 0.025).crest_m = 0.9;
  return yard;
}

TEST(HeldByAir, IsFoundWhileTheLevelsStandApart) {
  const SmallYard yard = humped();
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::air_lock).empty());
  const Finding found = the_one(yard.found_in_run(), FindingKind::air_lock);
  EXPECT_EQ(found.where, "a-b");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_NEAR(found.value, 500.0, 0.1);
  EXPECT_DOUBLE_EQ(found.limit.value_or(0.0), 50.0);
  EXPECT_DOUBLE_EQ(found.at_s.value_or(-1.0), 0.0);
  EXPECT_THAT(found.says, testing::HasSubstr("for 60 min"));
}

TEST(HeldByAir, IsNotFoundInAFullHose) {
  SmallYard yard = humped();
  yard.parts.hoses[0].primed = true;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::air_lock).empty());
}

TEST(HeldByAir, BeginsFiftyMillimetresApart) {
  EXPECT_TRUE(of_kind(humped(0.349).found_in_run(), FindingKind::air_lock).empty());
  EXPECT_FALSE(of_kind(humped(0.351).found_in_run(), FindingKind::air_lock).empty());
}

TEST(HeldByAir, TakesTenMinutes) {
  SmallYard yard = humped();
  yard.sheet.lasts_s = 590.0;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::air_lock).empty());
  yard.sheet.lasts_s = 610.0;
  EXPECT_FALSE(of_kind(yard.found_in_run(), FindingKind::air_lock).empty());
}

// Not the air but the bare mouth keeps the water: 0.8 m of it, the mouth at 0.85 m.
TEST(HeldByAir, IsNotSaidOfABareMouth) {
  SmallYard yard = humped();
  yard.parts.hoses[0].from.height_m = 0.85;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::air_lock).empty());
}

TEST(HeldByAir, IsNotSaidAgainstANonReturnValve) {
  SmallYard yard = humped();
  std::swap(yard.parts.hoses[0].from, yard.parts.hoses[0].to);
  yard.parts.hoses[0].one_way = true;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::air_lock).empty());
}

// A hump above every lip is told of once, as what always holds.
TEST(HeldByAir, IsSaidOnce) {
  SmallYard yard = humped();
  yard.parts.hoses[0].crest_m = 1.2;
  const Finding found = the_one(yard.found_in_run(), FindingKind::air_lock);
  EXPECT_FALSE(found.at_s);
  EXPECT_NEAR(found.value, 200.0, 1e-9);
}

}  // namespace find_air_lock_test
}  // namespace tankyard
