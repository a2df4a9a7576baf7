// SPDX-License-Identifier: MIT
#include "solver/pump_curve.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <vector>

#include "near.h"
#include "solver/pump_energy.h"
#include "solver/random_pumps.h"

namespace tankyard {
namespace pump_curve_test {

constexpr double litre_a_minute = 1.0 / 60000.0;

// An invented garden pump.
const std::vector<CurvePoint> garden = {{0.0, 40.0},
                                        {20.0 * litre_a_minute, 35.0},
                                        {40.0 * litre_a_minute, 21.0},
                                        {55.0 * litre_a_minute, 4.0}};

// Source of truth: the maker.
TEST(PumpCurve, PassesTheMakersPoints) {
  const PumpCurve curve(garden);
  for (const CurvePoint& point : garden) {
    EXPECT_TRUE(near(curve.head_at(point.flow_m3_per_s).head_m, point.head_m, {1e-14, 1e-14}));
    EXPECT_TRUE(near(curve.flow_at(point.head_m), point.flow_m3_per_s, {1e-14, 0.0}));
  }
  EXPECT_EQ(curve.shut_off_head_m(), 40.0);
  EXPECT_TRUE(near(curve.head_at(curve.free_flow_m3_per_s()).head_m, 0.0, {0.0, 1e-13}));
}

// Source of truth: the parabola worked out by hand. H = 20 - 5 Q^2 goes on as itself.
TEST(PumpCurve, GoesOnAsTheSquareOfTheFlow) {
  const PumpCurve curve({{0.0, 20.0}, {0.5, 18.75}, {1.0, 15.0}, {1.5, 8.75}});
  for (const double flow : {0.6, 1.2, 1.5, 1.8, 2.0, 3.0, 10.0}) {
    EXPECT_TRUE(near(curve.head_at(flow).head_m, 20.0 - 5.0 * flow * flow, {1e-13, 1e-12}));
    EXPECT_TRUE(near(curve.head_at(flow).slope_m_per_m3_per_s, -10.0 * flow, {1e-13, 0.0}));
  }
  EXPECT_TRUE(near(curve.free_flow_m3_per_s(), 2.0, {1e-14, 0.0}));
  EXPECT_TRUE(near(curve.flow_at(-60.0), 4.0, {1e-14, 0.0}));
}

// Source of truth: a straight line by hand.
TEST(PumpCurve, GoesStraightOnBeforeALateFirstPoint) {
  const PumpCurve curve({{1.0, 20.0}, {2.0, 14.0}});
  EXPECT_TRUE(near(curve.shut_off_head_m(), 26.0, {1e-15, 0.0}));
  EXPECT_TRUE(near(curve.head_at(0.5).head_m, 23.0, {1e-15, 0.0}));
  EXPECT_TRUE(near(curve.flow_at(23.0), 0.5, {1e-15, 0.0}));
  EXPECT_TRUE(near(curve.head_at(1.0).head_m, 20.0, {1e-15, 0.0}));
}

TEST(PumpCurve, DeliversNothingAtItsShutOffHeadAndAbove) {
  const PumpCurve curve(garden);
  EXPECT_EQ(curve.flow_at(40.0), 0.0);
  EXPECT_EQ(curve.flow_at(45.0), 0.0);
  EXPECT_GT(curve.flow_at(39.999), 0.0);
}

// Source of truth: neighbouring values from either side of each join.
TEST(PumpCurve, HasNoCornerWhereItGoesOn) {
  for (const PumpCurve& curve :
       {PumpCurve(garden), PumpCurve({{1e-4, 30.0}, {3e-4, 20.0}, {5e-4, 5.0}})}) {
    for (const double join : {0.0, 1e-4, 5e-4, 55.0 * litre_a_minute}) {
      const HeadGiven before = curve.head_at(join - 1e-12);
      const HeadGiven after = curve.head_at(join + 1e-12);
      EXPECT_TRUE(near(after.head_m, before.head_m, {0.0, 1e-6})) << join;
      EXPECT_TRUE(near(after.slope_m_per_m3_per_s, before.slope_m_per_m3_per_s, {1e-6, 0.0}));
    }
  }
}

// Source of truth: falling is what keeps an array solvable.
RC_GTEST_PROP(AnyPumpCurve, FallsAllTheWay, ()) {
  const PumpCurve curve(any_pump_points());
  const double reach = 3.0 * curve.free_flow_m3_per_s();
  const double one = reach * *rc::gen::inRange(-100000, 100001) / 1e5;
  const double step = reach * std::pow(10.0, *rc::gen::inRange(-800, 1) / 100.0);
  RC_ASSERT(curve.head_at(one + step).head_m < curve.head_at(one).head_m);
  RC_ASSERT(curve.head_at(one).slope_m_per_m3_per_s < 0.0);
}

// Source of truth: central differences.
RC_GTEST_PROP(AnyPumpCurve, HasTheSlopeOfItsHead, ()) {
  const PumpCurve curve(any_pump_points());
  const double reach = 2.0 * curve.free_flow_m3_per_s();
  const double flow = reach * *rc::gen::inRange(-20000, 100001) / 1e5;
  const double step = 1e-7 * reach;
  const HeadGiven here = curve.head_at(flow);
  const double slope =
      (curve.head_at(flow + step).head_m - curve.head_at(flow - step).head_m) / (2.0 * step);
  const double rounding = 1e-15 * (curve.shut_off_head_m() + std::fabs(here.head_m)) / step;
  RC_ASSERT(near(slope, here.slope_m_per_m3_per_s, {3e-5, rounding}));
  RC_ASSERT(curve.loss_at(flow).slope_m_per_m3_per_s == -here.slope_m_per_m3_per_s);
}

// Source of truth: a round trip, by losses, which are told near no flow to their own last digit.
RC_GTEST_PROP(AnyPumpCurve, IsUndone, ()) {
  const PumpCurve curve(any_pump_points());
  const double flow =
      3.0 * curve.free_flow_m3_per_s() * std::pow(10.0, *rc::gen::inRange(-1200, 1) / 100.0);
  const HeadLoss loss = curve.loss_at(flow);
  RC_ASSERT(loss.head_m > 0.0);
  const double told_apart = 1e-15 * loss.head_m / loss.slope_m_per_m3_per_s;
  RC_ASSERT(near(curve.flow_at_loss(loss.head_m), flow, {1e-13, 8.0 * told_apart}));
}

// Source of truth: the assumption as told: at the free flow the whole shut-off head is lost.
TEST(StandingPump, CostsItsShutOffHeadAtItsFreeFlow) {
  const PumpCurve curve(garden);
  const LossLaw law = standing_pump_law(curve);
  const double free_flow = curve.free_flow_m3_per_s();
  EXPECT_TRUE(near(head_lost(law, free_flow).head_m, 40.0, {1e-7, 0.0}));
  EXPECT_TRUE(near(head_lost(law, -0.5 * free_flow).head_m, -10.0, {1e-7, 0.0}));
  EXPECT_TRUE(near(flow_at(law, -10.0), -0.5 * free_flow, {1e-7, 0.0}));
  EXPECT_GT(head_lost(law, 0.0).slope_m_per_m3_per_s, 0.0);
}

// Source of truth: K = 2 g H (a / Q)^2 by hand, for the figures told in the header.
TEST(StandingPump, IsANarrowPlaceOnAGardenHose) {
  const double flow = 3.5 / 3600.0;
  const LossLaw law = standing_pump_law(PumpCurve({{0.0, 40.0}, {0.5 * flow, 30.0}, {flow, 0.0}}));
  const double area_m2 = 3.14159265358979323846 / 4.0 * 0.025 * 0.025;
  EXPECT_TRUE(
      near(law.hose.fittings * 2.0 * gravity_m_per_s2 * area_m2 * area_m2, 200.0, {0.01, 0.0}));
}

// Source of truth: on a ring without lift (loss with the square of the flow) the affinity laws say
// that flow goes with the speed. Neither side of the crossing knows that.
TEST(PumpAtAnotherSpeed, MovesWaterWithItsSpeedWhereThereIsNoLift) {
  const auto crossing = [](const PumpCurve& curve) {
    double low = 0.0;
    double high = curve.free_flow_m3_per_s();
    for (int halving = 0; halving < 60; ++halving) {
      const double flow = 0.5 * (low + high);
      (curve.head_at(flow).head_m > 3e7 * flow * flow ? low : high) = flow;
    }
    return low;
  };
  const double full = crossing(PumpCurve(garden));
  EXPECT_TRUE(near(crossing(PumpCurve(at_speed(garden, 0.8))), 0.8 * full, {1e-12, 0.0}));
}

// Source of truth: by hand, with 1000 kg/m3: 0.5 L/s by 20 m is 98.0665 W of water, 280.19 W at
// 0.35; an hour and a half of it 0.42028 kWh.
TEST(PumpEnergy, IsWaterLiftedOverEfficiency) {
  const double power_w = electrical_power_w(1000.0, 0.0005, 20.0, 0.35);
  EXPECT_TRUE(near(power_w, 280.19, {1e-12, 0.0}));
  EXPECT_TRUE(near(energy_kwh(power_w, 5400.0), 0.420285, {1e-12, 0.0}));
  EXPECT_EQ(electrical_power_w(1000.0, 0.0005, -3.0, 0.35), 0.0);
}

TEST(PumpCurveDeathTest, StopsAtWhatIsNoCurve) {
  EXPECT_DEATH(PumpCurve({{0.0, 20.0}}), "two points");
  EXPECT_DEATH(PumpCurve({{-1.0, 20.0}, {1.0, 10.0}}), "flows of 0 or more");
  EXPECT_DEATH(PumpCurve({{0.0, 0.0}, {1.0, -10.0}}), "first head over 0");
  EXPECT_DEATH(PumpCurve({{0.0, 20.0}, {0.0, 10.0}}), "rising flows");
  EXPECT_DEATH(PumpCurve({{0.0, 20.0}, {1.0, 20.0}}), "falling heads");
  EXPECT_DEATH(PumpCurve({{0.0, 20.0}, {1.0, std::nan("")}}), "finite");
  EXPECT_DEATH(at_speed(garden, 0.0), "a speed over 0");
}

}  // namespace pump_curve_test
}  // namespace tankyard
