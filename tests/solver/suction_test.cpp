// SPDX-License-Identifier: MIT
#include "solver/suction.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <vector>

#include "near.h"

namespace tankyard {
namespace suction_test {

// Required heads from 0 to 12 m at up to 5 L/s; dips are among them.
std::vector<CurvePoint> any_needs() {
  std::vector<CurvePoint> points;
  const int count = *rc::gen::inRange(0, 6);
  double flow = 0.001 * *rc::gen::inRange(0, 1001) / 1e3;
  for (int i = 0; i < count; ++i) {
    points.push_back({flow, 0.01 * *rc::gen::inRange(0, 1201)});
    flow += 0.001 * *rc::gen::inRange(1, 1001) / 1e3;
  }
  return points;
}

double any_flow() { return 0.008 * *rc::gen::inRange(0, 100001) / 1e5; }

// Source of truth: the usual sum, by hand, in metres of water of 1000 kg/m3: 10 m of air, 0.2 m of
// vapour, the surface 3 m below an inlet at 1.5 m, 0.5 m lost on the way.
TEST(Suction, CountsFromWhereTheWaterBoils) {
  const double per_m = 1000.0 * gravity_m_per_s2;
  const Water water{1000.0, 1e-6, 0.2 * per_m, 10.0 * per_m};
  const double boils = boils_at_head_m(water, 1.5);
  EXPECT_TRUE(near(boils, -8.3, {1e-14, 0.0}));
  EXPECT_TRUE(near(npsh_available_m(1.5 - 3.0 - 0.5, boils), 10.0 - 0.2 - 3.0 - 0.5, {1e-14, 0.0}));
}

// Source of truth: the figures in the header, from the standard atmosphere and vapour pressure.
TEST(Suction, BoilsSoonerUpAHill) {
  EXPECT_TRUE(near(boils_at_head_m(water_at(10.0, 0.0), 0.0), -10.2, {0.0, 0.05}));
  EXPECT_TRUE(near(boils_at_head_m(water_at(10.0, 870.0), 0.0), -9.2, {0.0, 0.06}));
  EXPECT_GT(boils_at_head_m(water_at(35.0, 0.0), 0.0), boils_at_head_m(water_at(10.0, 0.0), 0.0));
}

TEST(NpshRequired, IsOneFigureOrTheAssumedOne) {
  EXPECT_EQ(NpshRequired({{0.001, 3.2}}).at(0.0).value, 3.2);
  EXPECT_EQ(NpshRequired({{0.001, 3.2}}).at(0.7).value, 3.2);
  EXPECT_EQ(NpshRequired({}).at(0.001).value, assumed_npsh_required_m);
  EXPECT_EQ(NpshRequired({{0.001, 0.1}}).at(0.001).value, least_npsh_required_m);
}

// Source of truth: by hand; a dip from 2 to 1.5 m counts as 2 m, and after the last point it goes
// straight on.
TEST(NpshRequired, FillsDipsAndGoesOn) {
  const NpshRequired required({{0.001, 2.0}, {0.002, 1.5}, {0.003, 4.0}});
  EXPECT_EQ(required.at(0.0).value, 2.0);
  EXPECT_EQ(required.at(0.002).value, 2.0);
  EXPECT_EQ(required.at(0.003).value, 4.0);
  const ValueAndSlope last = required.at(0.003);
  EXPECT_GT(last.slope, 0.0);
  EXPECT_TRUE(near(required.at(0.005).value, 4.0 + 0.002 * last.slope, {1e-14, 0.0}));
}

RC_GTEST_PROP(AnyNpshRequired, NeverFallsAndHasItsSlope, ()) {
  const NpshRequired required(any_needs());
  const double flow = any_flow();
  const double more = any_flow();
  RC_ASSERT(required.at(flow + more).value >= required.at(flow).value - 1e-13);
  RC_ASSERT(required.at(flow).slope >= -1e-9);
  const double step = 1e-10;
  const double slope =
      (required.at(flow + step).value - required.at(flow - step).value) / (2.0 * step);
  RC_ASSERT(near(slope, required.at(flow).slope, {1e-3, 5e-2}));
}

// Source of truth: the two ends, and the middle by hand: 0.5 (2 - 0.5) = 0.75.
TEST(Throttle, FadesFromTheNeedToBoiling) {
  const Suction suction{-8.0, NpshRequired({{0.0, 4.0}})};
  EXPECT_EQ(throttle(suction, -4.0, 0.001).share, 1.0);
  EXPECT_EQ(throttle(suction, 3.0, 0.001).share, 1.0);
  EXPECT_EQ(throttle(suction, -6.0, 0.001).share, 0.75);
  EXPECT_EQ(throttle(suction, -8.0, 0.001).share, 0.0);
  EXPECT_EQ(throttle(suction, -20.0, 0.001).share, 0.0);
  // No corner where the need is just met; a slope where the water just boils.
  EXPECT_TRUE(near(throttle(suction, -4.0 - 1e-9, 0.0).with_inlet_per_m, 0.0, {0.0, 1e-9}));
  EXPECT_TRUE(near(throttle(suction, -8.0 + 1e-9, 0.0).with_inlet_per_m, 0.5, {1e-8, 0.0}));
}

// Source of truth: central differences.
RC_GTEST_PROP(AnyThrottle, HasItsSlopes, ()) {
  const Suction suction{-8.0, NpshRequired(any_needs())};
  const double flow = any_flow();
  const double needed = suction.required.at(flow).value;
  const double head = -8.0 + needed * *rc::gen::inRange(1, 1300) / 1e3;
  // Not across the edge where the need is just met: there slopes meet, but not their slopes.
  RC_PRE(std::fabs(head + 8.0 - needed) > 1e-3);
  const Throttle here = throttle(suction, head, flow);
  const double dh = 1e-7;
  const double with_inlet =
      (throttle(suction, head + dh, flow).share - throttle(suction, head - dh, flow).share) /
      (2.0 * dh);
  RC_ASSERT(near(with_inlet, here.with_inlet_per_m, {1e-5, 1e-7}));
  const double dq = 1e-10;
  const double with_flow =
      (throttle(suction, head, flow + dq).share - throttle(suction, head, flow - dq).share) /
      (2.0 * dq);
  RC_ASSERT(near(with_flow, here.with_flow_s_per_m3, {1e-3, 1e-1}));
}

// Source of truth: what keeps the array solvable.
RC_GTEST_PROP(AnyThrottle, NeverFallsWithTheInletNorRisesWithTheFlow, ()) {
  const Suction suction{-8.0, NpshRequired(any_needs())};
  const double flow = any_flow();
  const double head = -9.0 + 0.001 * *rc::gen::inRange(0, 15000);
  const double share = throttle(suction, head, flow).share;
  RC_ASSERT(share >= 0.0 && share <= 1.0);
  RC_ASSERT(throttle(suction, head + 0.001 * *rc::gen::inRange(0, 5000), flow).share >= share);
  RC_ASSERT(throttle(suction, head, flow + any_flow()).share <= share + 1e-14);
  RC_ASSERT(throttle(suction, head, flow).with_inlet_per_m >= 0.0);
  RC_ASSERT(throttle(suction, head, flow).with_flow_s_per_m3 <= 0.0);
}

TEST(NpshRequiredDeathTest, StopsAtWhatIsNoCurve) {
  EXPECT_DEATH(NpshRequired({{0.001, 2.0}, {0.001, 3.0}}), "rising");
  EXPECT_DEATH(NpshRequired({{-0.001, 2.0}}), "flows of 0 or more");
  EXPECT_DEATH(NpshRequired({{0.001, std::nan("")}}), "finite");
}

}  // namespace suction_test
}  // namespace tankyard
