// SPDX-License-Identifier: MIT
#include "solver/spill.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "near.h"
#include "solver/water.h"

namespace tankyard {
namespace spill_test {

constexpr double pi = 3.14159265358979323846;

// Source of truth: the strips of spill.h's own formula, but thousands of them. Angles are spread so
// that neither the chord nor the root has a corner the midpoint rule would feel.
double by_strips(double height_m, double bore_m, double coefficient, double gas_m = 0.0) {
  const double wet = std::min(height_m, bore_m);
  const int strips = 20000;
  double flow = 0.0;
  for (int i = 0; i < strips; ++i) {
    const double angle = pi / 2.0 * (i + 0.5) / strips;
    const double y = wet * std::sin(angle) * std::sin(angle);
    const double dy = wet * 2.0 * std::sin(angle) * std::cos(angle) * (pi / 2.0) / strips;
    flow += 2.0 * std::sqrt(y * (bore_m - y)) * std::sqrt(height_m + gas_m - y) * dy;
  }
  return coefficient * std::sqrt(2.0 * gravity_m_per_s2) * flow;
}

TEST(Overflow, IsTheSumOfItsStrips) {
  for (const double bore : {0.005, 0.05, 0.2}) {
    for (const double share : {0.001, 0.01, 0.1, 0.3, 0.5, 0.8, 0.95, 0.999, 1.0, 1.001, 1.05, 1.2,
                               1.5, 2.0, 5.0, 20.0}) {
      EXPECT_TRUE(near(through_overflow(share * bore, bore, 0.6).m3_per_s,
                       by_strips(share * bore, bore, 0.6), {1e-6, 0.0}))
          << bore << " m, " << share;
    }
  }
}

// Source of truth: the same strips under a gas that presses, which is a head of its own on each;
// slopes by differences.
TEST(Overflow, UnderGasIsTheSumOfItsStrips) {
  const double bore = 0.05;
  for (const double share : {0.01, 0.3, 0.7, 0.95, 0.999, 1.001, 2.0}) {
    for (const double gas : {1e-9, 1e-5, 1e-3, 0.02, 0.5}) {
      const double height = share * bore;
      const GasDriven got = through_overflow_under_gas(height, gas, bore, 0.6);
      EXPECT_TRUE(near(got.m3_per_s, by_strips(height, bore, 0.6, gas), {2e-6, 0.0}))
          << share << " " << gas;
      const double step = 1e-6 * bore;
      const double with_level =
          (through_overflow_under_gas(height + step, gas, bore, 0.6).m3_per_s -
           through_overflow_under_gas(height - step, gas, bore, 0.6).m3_per_s) /
          (2.0 * step);
      EXPECT_TRUE(near(got.slope_with_level_m2_per_s, with_level, {0.02, 0.0}))
          << share << " " << gas;
      const double gas_step = 1e-4 * gas;
      const double with_gas =
          (through_overflow_under_gas(height, gas + gas_step, bore, 0.6).m3_per_s -
           through_overflow_under_gas(height, gas - gas_step, bore, 0.6).m3_per_s) /
          (2.0 * gas_step);
      EXPECT_TRUE(near(got.slope_with_gas_m2_per_s, with_gas, {0.02, 0.0})) << share << " " << gas;
    }
    // No gas is the limit of little gas.
    EXPECT_TRUE(near(through_overflow_under_gas(share * bore, 1e-15, bore, 0.6).m3_per_s,
                     through_overflow(share * bore, bore, 0.6).m3_per_s, {2e-6, 0.0}))
        << share;
  }
}

// Source of truth: Torricelli at the middle of a mouth far below the surface, Cd A sqrt(2 g h).
TEST(Overflow, IsAnOrificeOnceDeepUnderWater) {
  const double want = 0.6 * pi / 4.0 * 0.01 * std::sqrt(2.0 * gravity_m_per_s2 * 9.95);
  EXPECT_TRUE(near(through_overflow(10.0, 0.1, 0.6).m3_per_s, want, {1e-4, 0.0}));
}

TEST(Overflow, GivesNothingAtOrBelowItsLip) {
  for (const double height : {0.0, -1e-12, -1.0}) {
    EXPECT_EQ(through_overflow(height, 0.05, 0.6).m3_per_s, 0.0);
    EXPECT_EQ(through_overflow(height, 0.05, 0.6).slope_m2_per_s, 0.0);
    EXPECT_EQ(over_rim(height, 2.0).m3_per_s, 0.0);
    EXPECT_EQ(over_rim(height, 2.0).slope_m2_per_s, 0.0);
  }
}

TEST(Overflow, RisesWithTheWaterAndGrowsWithTheBore) {
  double before = 0.0;
  for (double height = 1e-5; height < 1.0; height *= 1.01) {
    const FlowAndSlope flow = through_overflow(height, 0.05, 0.6);
    EXPECT_GT(flow.m3_per_s, before) << height;
    EXPECT_GT(flow.slope_m2_per_s, 0.0) << height;
    EXPECT_GT(through_overflow(height, 0.06, 0.6).m3_per_s, flow.m3_per_s) << height;
    EXPECT_TRUE(
        near(through_overflow(height, 0.05, 0.3).m3_per_s, 0.5 * flow.m3_per_s, {1e-12, 0.0}));
    before = flow.m3_per_s;
  }
}

// Source of truth: differences.
TEST(Overflow, SlopeFollowsTheFlow) {
  for (const double share : {0.01, 0.1, 0.5, 0.9, 1.1, 1.5, 4.0}) {
    const double height = share * 0.05;
    const double step = 1e-6 * height;
    const double slope = (through_overflow(height + step, 0.05, 0.6).m3_per_s -
                          through_overflow(height - step, 0.05, 0.6).m3_per_s) /
                         (2.0 * step);
    EXPECT_TRUE(near(through_overflow(height, 0.05, 0.6).slope_m2_per_s, slope, {1e-6, 0.0}))
        << share;
  }
}

// Source of truth: 1.705 b H^1.5 by hand, 1.705 * 2 * 0.1^1.5 = 0.107833.
TEST(Rim, RunsAsABroadCrestedWeir) {
  EXPECT_TRUE(near(over_rim(0.1, 2.0).m3_per_s, 0.107834, {1e-5, 0.0}));
  EXPECT_TRUE(near(1.705, std::pow(2.0 / 3.0, 1.5) * std::sqrt(gravity_m_per_s2), {1e-3, 0.0}));
  const double step = 1e-7;
  EXPECT_TRUE(
      near(over_rim(0.1, 2.0).slope_m2_per_s,
           (over_rim(0.1 + step, 2.0).m3_per_s - over_rim(0.1 - step, 2.0).m3_per_s) / (2.0 * step),
           {1e-8, 0.0}));
}

// Source of truth: x (2 - x), by hand.
TEST(FixedDraw, FadesOverTheLastCentimetre) {
  EXPECT_EQ(fixed_draw(-1e-9, 2e-4).m3_per_s, 0.0);
  EXPECT_EQ(fixed_draw(0.0, 2e-4).m3_per_s, 0.0);
  // A head put on the sill keeps the slope there, whichever way its last digit falls.
  EXPECT_EQ(fixed_draw(-1e-15, 2e-4).m3_per_s, 0.0);
  EXPECT_EQ(fixed_draw(-1e-15, 2e-4).slope_m2_per_s, fixed_draw(0.0, 2e-4).slope_m2_per_s);
  EXPECT_EQ(fixed_draw(-1e-9, 2e-4).slope_m2_per_s, 0.0);
  EXPECT_TRUE(near(fixed_draw(0.005, 2e-4).m3_per_s, 0.75 * 2e-4, {1e-12, 0.0}));
  EXPECT_EQ(fixed_draw(0.01, 2e-4).m3_per_s, 2e-4);
  EXPECT_EQ(fixed_draw(3.0, 2e-4).m3_per_s, 2e-4);
}

TEST(FixedDraw, SlopeIsTheDrawsOwnAndLeavesNothingWithALittle) {
  for (const double height : {0.001, 0.004, 0.0099}) {
    const double step = 1e-8;
    const double slope =
        (fixed_draw(height + step, 2e-4).m3_per_s - fixed_draw(height - step, 2e-4).m3_per_s) /
        (2.0 * step);
    EXPECT_TRUE(near(fixed_draw(height, 2e-4).slope_m2_per_s, slope, {1e-6, 0.0})) << height;
  }
  EXPECT_TRUE(near(fixed_draw(0.0, 2e-4).slope_m2_per_s, 2.0 * 2e-4 / 0.01, {1e-12, 0.0}));
  EXPECT_EQ(fixed_draw(0.01, 2e-4).slope_m2_per_s, 0.0);
  EXPECT_EQ(fixed_draw(-0.01, 2e-4).slope_m2_per_s, 0.0);
}

}  // namespace spill_test
}  // namespace tankyard
