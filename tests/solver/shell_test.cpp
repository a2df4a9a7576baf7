// SPDX-License-Identifier: MIT
#include "solver/shell.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <thread>
#include <utility>
#include <variant>

#include "near.h"

namespace tankyard {
namespace shell_test {

using ::testing::HasSubstr;

Tank tank_of(Shape shape, const std::string& material, double thickness_m) {
  Tank tank;
  tank.name = "butt";
  tank.shape = std::move(shape);
  tank.wall = Wall{material, thickness_m};
  return tank;
}

// From 0.1 m to 5 m.
double any_size_m() { return 0.1 * std::pow(50.0, *rc::gen::inRange(0, 1001) / 1000.0); }

Shape any_plain_shape() {
  switch (*rc::gen::inRange(0, 3)) {
    case 0:
      return Upright{any_size_m(), any_size_m()};
    case 1:
      return Lying{any_size_m(), any_size_m()};
    default: {
      const double side_m = any_size_m();
      return Prism{side_m * side_m, any_size_m()};
    }
  }
}

Tank any_walled_tank() {
  const double thickness_m = 3e-4 * std::pow(300.0, *rc::gen::inRange(0, 1001) / 1000.0);
  const auto& known = known_materials();
  const auto which = *rc::gen::inRange<std::size_t>(0, known.size());
  return tank_of(any_plain_shape(), known[which], thickness_m);
}

// Source of truth: the order of trust. A maker knows better than any formula.
TEST(Shell, BearsWhatItsMakerSays) {
  Tank tank = tank_of(Upright{0.57, 0.85}, "hdpe", 0.003);
  tank.allowed_vacuum_pa = 1500.0;
  tank.allowed_pressure_pa = 4000.0;
  EXPECT_EQ(allowed_vacuum(tank).pa, 1500.0);
  EXPECT_EQ(allowed_vacuum(tank).from, BearsFrom::maker);
  EXPECT_EQ(allowed_pressure(tank).pa, 4000.0);
  EXPECT_EQ(allowed_pressure(tank).from, BearsFrom::maker);
}

// Source of truth: the table of perfect shells (checked against print in tests/published), over 3,
// at 193 for 200 MPa.
TEST(Shell, OfAButtBearsAThirdOfWhatAPerfectOneWould) {
  for (const Shape& shape : {Shape{Upright{0.57, 0.85}}, Shape{Lying{0.57, 0.85}}}) {
    const AllowedVacuum allowed = allowed_vacuum(tank_of(shape, "hdpe", 0.003));
    EXPECT_TRUE(near(allowed.pa, 761.0 / 3.0 * 193.0 / 200.0, {1e-3, 0.0}));
    EXPECT_EQ(allowed.from, BearsFrom::estimate);
    EXPECT_THAT(allowed.how, HasSubstr("an estimate"));
    EXPECT_THAT(allowed.how, HasSubstr("hdpe 3 mm thick (long-term modulus 193 MPa)"));
    EXPECT_THAT(allowed.how, HasSubstr("0.73 kPa"));
    EXPECT_THAT(allowed.how, HasSubstr("a third"));
  }
}

// Source of truth: the hoop formula, p = s t / r, where a wall is too stout to fold.
TEST(Shell, OfAStoutPipeIsCrushedBeforeItFolds) {
  const AllowedVacuum allowed = allowed_vacuum(tank_of(Upright{1.2, 1.0}, "concrete", 0.1));
  EXPECT_TRUE(near(allowed.pa, 1e6 * 0.1 / 0.6, {1e-12, 0.0}));
  EXPECT_THAT(allowed.how, HasSubstr("at its allowed stress of 1.0 MPa"));
}

// Source of truth: Roark's alpha for a square, which holds for a bow of a third of the thickness.
TEST(Shell, OfAStoutBoxBowsAsTheSmallRuleSays) {
  // 0.3 m wide, of 40 mm polyethylene: a twentieth is 15 mm, 0.375 of the thickness.
  const AllowedVacuum allowed = allowed_vacuum(tank_of(Prism{0.09, 0.3}, "hdpe", 0.040));
  const double alpha = 0.0444 / (1.0 - 0.3 * 0.3) * (1.0 - 0.42 * 0.42);
  const double small_pa = 0.015 * 193e6 * std::pow(0.040, 3.0) / (alpha * std::pow(0.3, 4.0));
  const double stressed_pa = 4.1e6 * std::pow(0.040 / 0.3, 2.0) / (0.0479 * 6.0 * 1.42 / 1.3);
  ASSERT_LT(stressed_pa, small_pa);
  EXPECT_TRUE(near(allowed.pa, stressed_pa, {0.03, 0.0}));
  EXPECT_THAT(allowed.how, HasSubstr("at its allowed stress of 4.1 MPa"));
}

// Source of truth: what the small rule would say, by far too little, and no more than a perfect
// membrane held at its edges (Q = 43 w^3 by the panel's own law far out) would bear.
TEST(Shell, OfAThinBoxBearsMoreThanTheSmallRuleSays) {
  const AllowedVacuum allowed = allowed_vacuum(tank_of(Prism{1.1, 1.0}, "hdpe", 0.002));
  const double side_m = std::sqrt(1.1);
  const double per_load_pa = 193e6 * std::pow(0.002 / side_m, 4.0);
  const double bow = 0.05 * side_m / 0.002;
  EXPECT_GT(allowed.pa, 20.0 * bow / 0.0444 * per_load_pa);
  EXPECT_LT(allowed.pa, 43.0 * bow * bow * bow * per_load_pa);
  EXPECT_EQ(allowed.from, BearsFrom::estimate);
  EXPECT_THAT(allowed.how, HasSubstr("1.05 m by 1.05 m"));
  EXPECT_THAT(allowed.how, HasSubstr("bows by 52 mm"));
}

TEST(Shell, OfATallBoxBowsInItsWallsAndOfALowOneInItsTop) {
  EXPECT_THAT(allowed_vacuum(tank_of(Prism{0.25, 1.5}, "pe", 0.004)).how,
              HasSubstr("0.50 m by 1.50 m"));
  EXPECT_THAT(allowed_vacuum(tank_of(Prism{4.0, 0.5}, "pe", 0.004)).how,
              HasSubstr("2.00 m by 2.00 m"));
}

TEST(Shell, IsAssumedWhereThereIsNothingToReckonWith) {
  Tank bare;
  bare.shape = Upright{0.57, 0.85};
  EXPECT_EQ(allowed_vacuum(bare).pa, 250.0);
  EXPECT_EQ(allowed_vacuum(bare).from, BearsFrom::assumed);
  EXPECT_THAT(allowed_vacuum(bare).how, HasSubstr("assumed"));
  EXPECT_THAT(allowed_vacuum(bare).how, HasSubstr("neither"));
  EXPECT_EQ(allowed_pressure(bare).pa, 1000.0);
  EXPECT_EQ(allowed_pressure(bare).from, BearsFrom::assumed);

  const AllowedVacuum table =
      allowed_vacuum(tank_of(DepthTable{{0.0, 1.0}, {0.0, 1.0}}, "steel", 0.002));
  EXPECT_EQ(table.pa, 250.0);
  EXPECT_EQ(table.from, BearsFrom::assumed);
  EXPECT_THAT(table.how, HasSubstr("depths and volumes"));

  const AllowedVacuum mud = allowed_vacuum(tank_of(Upright{1.0, 1.0}, "mud", 0.1));
  EXPECT_EQ(mud.from, BearsFrom::assumed);
  EXPECT_THAT(mud.how, HasSubstr("`mud`"));
}

// Source of truth: a panel does not know which side is pushed; and the lid's own default caps it.
TEST(Shell, OfAThinBoxBulgesAsEasilyAsItIsDrawnIn) {
  const Tank thin = tank_of(Prism{1.1, 1.0}, "hdpe", 0.002);
  EXPECT_EQ(allowed_pressure(thin).pa, allowed_vacuum(thin).pa);
  EXPECT_EQ(allowed_pressure(thin).from, BearsFrom::estimate);
  const Tank stout = tank_of(Prism{1.1, 1.0}, "steel", 0.004);
  EXPECT_EQ(allowed_pressure(stout).pa, 1000.0);
  EXPECT_EQ(allowed_pressure(stout).from, BearsFrom::assumed);
}

// Source of truth: the same asked on a thread of its own, which has nothing kept. What panels bear
// is kept for the next run, by shape, bow and stress, but not for ever.
TEST(Shell, SaysTheSameAfterManyOthers) {
  for (int k = 0; k < 100; ++k) {
    for (const char* material : {"grp", "steel", "pe"}) {
      const Tank box = tank_of(Prism{1.0 + 0.01 * k, 1.5}, material, 0.002);
      const double here_pa = allowed_vacuum(box).pa;
      if (k % 20 != 0) continue;
      double apart_pa = 0.0;
      std::thread([&] { apart_pa = allowed_vacuum(box).pa; }).join();
      EXPECT_EQ(here_pa, apart_pa) << k << " " << material;
    }
  }
}

TEST(Shell, KnowsItsMaterialsInOrder) {
  const auto& known = known_materials();
  EXPECT_TRUE(std::is_sorted(known.begin(), known.end()));
  EXPECT_EQ(std::adjacent_find(known.begin(), known.end()), known.end());
  EXPECT_NE(std::find(known.begin(), known.end(), "hdpe"), known.end());
  for (const std::string& name : known) {
    EXPECT_EQ(allowed_vacuum(tank_of(Upright{1.0, 1.0}, name, 0.004)).from, BearsFrom::estimate);
  }
}

// How far a measure has to change before the answer must follow. A round wall is a formula; a thin
// panel's edges wrinkle in one pattern or another, between which its load jumps by up to a quarter.
double step_of(const Tank& tank) { return std::holds_alternative<Prism>(tank.shape) ? 1.5 : 1.01; }

// Source of truth: more plastic bears more. A round wall is counted up to a tenth of its diameter.
RC_GTEST_PROP(AnyShell, BearsMoreIfThicker, ()) {
  Tank tank = any_walled_tank();
  const double thin = allowed_vacuum(tank).pa;
  tank.wall->thickness_m *= step_of(tank);
  RC_ASSERT(thin > 0.0);
  RC_ASSERT(std::isfinite(thin));
  RC_ASSERT(allowed_vacuum(tank).pa >= thin);
}

// Source of truth: the default and the maker's figure come first; nothing ever comes out as not
// over nothing.
RC_GTEST_PROP(AnyShell, NeverBearsMorePressureThanItsLidIsTakenTo, ()) {
  const AllowedPressure allowed = allowed_pressure(any_walled_tank());
  RC_ASSERT(allowed.pa > 0.0);
  RC_ASSERT(allowed.pa <= 1000.0);
  RC_ASSERT(allowed.from != BearsFrom::maker);
}

// Source of truth: a larger box or a longer butt of the same wall bears less, also beyond sides of
// 1 : 4 and bows of 40 thicknesses, where the panel's law is carried on by hand.
RC_GTEST_PROP(AnyShell, BearsLessIfLarger, ()) {
  Tank tank = any_walled_tank();
  const double small = allowed_vacuum(tank).pa;
  const double step = step_of(tank);
  if (auto* upright = std::get_if<Upright>(&tank.shape)) upright->height_m *= step;
  if (auto* lying = std::get_if<Lying>(&tank.shape)) lying->length_m *= step;
  if (auto* prism = std::get_if<Prism>(&tank.shape)) {
    prism->area_m2 *= step * step;
    prism->height_m *= step;
  }
  RC_ASSERT(allowed_vacuum(tank).pa <= small);
}

// Source of truth: likewise a box that only grows taller. A tenth is left for what plate.h says of
// long panels: the stress at their corners comes out too small, the more so the longer they are.
RC_GTEST_PROP(AnyShell, BearsLessIfTaller, ()) {
  Tank tank = any_walled_tank();
  const double side_m = any_size_m();
  const double height_m = any_size_m();
  tank.shape = Prism{side_m * side_m, height_m};
  const double low = allowed_vacuum(tank).pa;
  tank.shape = Prism{side_m * side_m, 3.0 * height_m};
  RC_ASSERT(allowed_vacuum(tank).pa <= 1.1 * low);
}

TEST(ShellDeathTest, StopsAtAWallWithoutThickness) {
  EXPECT_DEATH(allowed_vacuum(tank_of(Upright{1.0, 1.0}, "pe", 0.0)), "breach: shell: a wall");
  EXPECT_DEATH(
      allowed_vacuum(tank_of(Upright{1.0, 1.0}, "pe", std::numeric_limits<double>::quiet_NaN())),
      "breach: shell: a wall");
}

}  // namespace shell_test
}  // namespace tankyard
