// SPDX-License-Identifier: MIT
// Source of truth: t = 2 A (sqrt H1 - sqrt H2) / (C a sqrt(2 g)), Unwin, Hydraulics, Encyclopaedia
// Britannica 11th ed. vol. 14, section 53; C = 0.82 of a cylindrical mouthpiece from the same.
#include "solver/studies/isolate_drain.h"

#include <gtest/gtest.h>

#include <cmath>

#include "near.h"
#include "solver/small_yard.h"
#include "solver/water.h"

namespace tankyard {
namespace isolate_drain_test {

double torricelli_s(double area_m2, double bore_m, double from_m, double to_m) {
  const double hole_m2 = 0.25 * 3.14159265358979323846 * bore_m * bore_m;
  return 2.0 * area_m2 * (std::sqrt(from_m) - std::sqrt(to_m)) /
         (drain_coefficient * hole_m2 * std::sqrt(2.0 * gravity_m_per_s2));
}

TEST(Drain, FallsAsTorricelliHasIt) {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.1, 1.0, 0.45, 0.99);  // 0.9 m
  const DrainPoint point = drain_point(*yard.array(), tank, 0.025);
  EXPECT_FALSE(point.outlet);
  EXPECT_EQ(point.height_m, 0.0);
  EXPECT_EQ(point.bore_m, 0.025);
  EXPECT_EQ(point.left_m3, 0.0);
  std::size_t first = 0;
  const Parts parts = with_drains(yard.parts, {point}, first);
  RunOptions fine;
  fine.depth_tolerance_m = 1e-6;
  const Result<DrainTrial> trial = try_drains(parts, {point}, first, {0.4}, fine);
  ASSERT_TRUE(trial);
  const double want_s = torricelli_s(1.1, 0.025, 0.9, 0.4);
  ASSERT_TRUE(trial->lowered_after_s[0]);
  EXPECT_NEAR(*trial->lowered_after_s[0], want_s, 0.002 * want_s);
  // Down to 5 mm the mouth is no longer covered, which takes longer than the book, not much.
  const double book_s = torricelli_s(1.1, 0.025, 0.9, drained_within_m);
  ASSERT_TRUE(trial->drained_after_s[0]);
  EXPECT_GT(*trial->drained_after_s[0], book_s);
  EXPECT_LT(*trial->drained_after_s[0], 1.35 * book_s);
}

TEST(Drain, StandsAtTheLowestMouth) {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.0, 1.0, 0.5, 0.9);
  const TankId other = yard.box("other", 1.0, 1.0, 0.5, 0.9);
  yard.hose("high", tank, other, 0.025).from.height_m = 0.16;
  DrainPoint point = drain_point(*yard.array(), tank, 0.025);
  EXPECT_EQ(point.height_m, 0.16);
  EXPECT_DOUBLE_EQ(point.left_m3, 0.16);
  // 999.7 kg a cubic metre at 10 degC (any table).
  EXPECT_NEAR(point.left_kg, 159.95, 0.01);

  // A tap above the hose is no drain; one below it is.
  yard.draw("high-tap", tank, 0.3, 0.2);
  EXPECT_FALSE(drain_point(*yard.array(), tank, 0.025).outlet);
  yard.draw("low-tap", tank, 0.05, 0.2);
  point = drain_point(*yard.array(), tank, 0.025);
  ASSERT_TRUE(point.outlet);
  EXPECT_EQ(*point.outlet, OutletId{1});
  EXPECT_EQ(point.height_m, 0.05);
}

TEST(Drain, FitsTheTank) {
  SmallYard yard;
  const TankId tray = yard.box("tray", 1.0, 0.04, 0.0, 0.02);
  const DrainPoint point = drain_point(*yard.array(), tray, 0.025);
  EXPECT_EQ(point.bore_m, 0.02);
  std::size_t first = 0;
  EXPECT_TRUE(Array::make(with_drains(yard.parts, {point}, first)));
}

TEST(Drain, StopsUnderASealedLid) {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.0, 1.0, 0.5, 0.9);
  yard.at(tank).lid.kind = Lid::Kind::sealed;
  const DrainPoint point = drain_point(*yard.array(), tank, 0.025);
  std::size_t first = 0;
  const Result<DrainTrial> trial =
      try_drains(with_drains(yard.parts, {point}, first), {point}, first, {}, {});
  ASSERT_TRUE(trial);
  EXPECT_FALSE(trial->drained_after_s[0]);
  ASSERT_TRUE(trial->air[0].folds);
  EXPECT_LT(trial->air[0].folds->at_s, 5.0);
  // The vacuum holds up no more than the water column over the drain.
  EXPECT_GT(trial->air[0].lowest_pa, -1000.0 * gravity_m_per_s2 * 0.9);
  EXPECT_GT(trial->left_in_m3[0], 0.8);
}

}  // namespace isolate_drain_test
}  // namespace tankyard
