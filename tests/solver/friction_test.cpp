// SPDX-License-Identifier: MIT
#include "solver/friction.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <initializer_list>
#include <limits>
#include <vector>

#include "solver/water.h"

namespace tankyard {
namespace friction_test {

constexpr double viscosity = 1.30629e-6;  // water at 10 degC
constexpr double pi = 3.14159265358979323846;

// A garden hose, a smooth tube, a rough old main, an orifice, and a pipe without fittings.
std::vector<HoseLoss> some_hoses() {
  return {hose_loss(0.0125, 5.0, 1e-5, 1.5, viscosity), hose_loss(0.004, 1.0, 0.0, 1.5, viscosity),
          hose_loss(0.3, 800.0, 0.01, 12.0, viscosity),
          hose_loss(0.02, 0.0, 1.5e-6, 2.7, viscosity),
          hose_loss(0.025, 40.0, 1.5e-6, 0.0, viscosity)};
}

double flow_of(const HoseLoss& hose, double reynolds) { return reynolds / hose.reynolds_per_flow; }

// Random but plausible: bore 2 mm to 1 m, length 0 to 1 km, roughness up to a twentieth of the
// bore.
HoseLoss any_hose() {
  const double bore = 0.002 * std::pow(500.0, *rc::gen::inRange(0, 1001) / 1000.0);
  const double length = *rc::gen::element(0.0, 0.3, 2.0, 17.0, 250.0, 1000.0);
  const double roughness = bore * *rc::gen::element(0.0, 1e-6, 1e-4, 1e-3, 0.01, 0.05);
  const double loss = length > 0.0 ? *rc::gen::element(0.0, 1.5, 4.0, 60.0) : 1.5;
  return hose_loss(bore, length, roughness, loss, *rc::gen::element(6.6e-7, viscosity, 1.7e-6));
}

// Re = 1e-4 to 1e8 in equal steps of its logarithm.
double any_reynolds() { return std::pow(10.0, *rc::gen::inRange(-400000, 800001) / 1e5); }

// Source of truth: the formula as printed, by pow and log as they stand, in long double.
TEST(Friction, IsChurchillsFormulaToRounding) {
  const auto printed = [](long double re, long double e) {
    const long double a =
        std::pow(2.457L * std::log(1.0L / (std::pow(7.0L / re, 0.9L) + 0.27L * e)), 16.0L);
    const long double b = std::pow(37530.0L / re, 16.0L);
    return 8.0L * std::pow(std::pow(8.0L / re, 12.0L) + std::pow(a + b, -1.5L), 1.0L / 12.0L);
  };
  for (const double e : {0.0, 1e-6, 1e-4, 1e-3, 0.01, 0.05}) {
    for (double re = 0.5; re < 1e9; re *= 1.07) {
      const double want = static_cast<double>(printed(re, e));
      EXPECT_NEAR(friction_factor(re, e), want, 4e-15 * want) << "Re " << re << ", e " << e;
    }
  }
}

// Source of truth: central differences of head_lost itself. The step balances truncation against
// rounding, so 1e-8 is what a difference can tell.
TEST(Friction, SlopeIsTheDerivativeOverTwelveDecades) {
  for (const HoseLoss& hose : some_hoses()) {
    for (double re = 1e-4; re < 1e8; re *= 1.31) {
      const double flow = flow_of(hose, re);
      const double d = 2e-5 * flow;
      const double difference =
          (head_lost(hose, flow + d).head_m - head_lost(hose, flow - d).head_m) / (2.0 * d);
      const double slope = head_lost(hose, flow).slope_m_per_m3_per_s;
      EXPECT_NEAR(slope, difference, 2e-8 * difference) << "Re " << re;
    }
  }
}

// Source of truth: central differences of the slope, wherever a bend is told.
TEST(Friction, BendIsTheSlopesOwnDerivative) {
  int told = 0;
  for (const HoseLoss& hose : some_hoses()) {
    for (double re = 1e-4; re < 1e8; re *= 1.013) {
      if (re > 799.0 && re < 801.0) continue;  // a difference would straddle two formulas
      const double flow = flow_of(hose, re);
      const HeadLoss loss = head_lost(hose, flow);
      if (loss.bend_s2_per_m5 == 0.0) continue;
      const double d = 2e-5 * flow;
      const double difference = (head_lost(hose, flow + d).slope_m_per_m3_per_s -
                                 head_lost(hose, flow - d).slope_m_per_m3_per_s) /
                                (2.0 * d);
      // Where the flow is turbulent the bend is its series to first order.
      EXPECT_NEAR(loss.bend_s2_per_m5, difference, 1e-3 * loss.slope_m_per_m3_per_s / flow)
          << "Re " << re;
      ++told;
    }
  }
  EXPECT_GT(told, 5000);
}

// Source of truth: Hagen-Poiseuille, head = 128 nu L Q / (pi g D^4).
TEST(Friction, SlopeAtRestIsHagenPoiseuille) {
  const HoseLoss hose = hose_loss(0.0125, 5.0, 1e-5, 1.5, viscosity);
  const double want = 128.0 * viscosity * 5.0 / (pi * gravity_m_per_s2 * std::pow(0.0125, 4.0));
  const HeadLoss rest = head_lost(hose, 0.0);
  EXPECT_EQ(rest.head_m, 0.0);
  EXPECT_NEAR(rest.slope_m_per_m3_per_s, want, 1e-14 * want);
}

TEST(Friction, HoseWithoutLengthCostsItsFittingsOnly) {
  const HoseLoss hose = hose_loss(0.02, 0.0, 1.5e-6, 2.7, viscosity);
  const double area = pi / 4.0 * 0.02 * 0.02;
  for (const double flow : {1e-9, 1e-6, 1e-3, 0.1}) {
    const double want = 2.7 * (flow / area) * (flow / area) / (2.0 * gravity_m_per_s2);
    EXPECT_NEAR(head_lost(hose, flow).head_m, want, 1e-14 * want);
  }
  EXPECT_EQ(head_lost(hose, 0.0).slope_m_per_m3_per_s, 0.0);
}

TEST(Friction, HoseWithoutFittingsCostsItsLengthOnly) {
  const HoseLoss hose = hose_loss(0.025, 40.0, 1.5e-6, 0.0, viscosity);
  const double area = pi / 4.0 * 0.025 * 0.025;
  for (const double re : {10.0, 500.0, 3000.0, 1e5}) {
    const double velocity = flow_of(hose, re) / area;
    const double want = friction_factor(re, 1.5e-6 / 0.025) * 40.0 / 0.025 * velocity * velocity /
                        (2.0 * gravity_m_per_s2);
    EXPECT_NEAR(head_lost(hose, flow_of(hose, re)).head_m, want, 1e-13 * want) << "Re " << re;
  }
}

// Where the turbulent terms begin to be counted nothing may be seen, in the head or in its slope.
TEST(Friction, HasNoStepWhereTurbulentTermsBegin) {
  for (const HoseLoss& hose : some_hoses()) {
    const HeadLoss below = head_lost(hose, flow_of(hose, 800.0) * (1.0 - 1e-15));
    const HeadLoss above = head_lost(hose, flow_of(hose, 800.0) * (1.0 + 1e-15));
    EXPECT_NEAR(above.head_m, below.head_m, 1e-14 * below.head_m);
    EXPECT_NEAR(above.slope_m_per_m3_per_s, below.slope_m_per_m3_per_s,
                1e-14 * below.slope_m_per_m3_per_s);
  }
}

TEST(Friction, ReverseFlowIsTheMirror) {
  for (const HoseLoss& hose : some_hoses()) {
    for (const double re : {1e-6, 10.0, 790.0, 2500.0, 1e4, 1e7}) {
      const double flow = flow_of(hose, re);
      EXPECT_EQ(head_lost(hose, -flow).head_m, -head_lost(hose, flow).head_m);
      EXPECT_EQ(head_lost(hose, -flow).slope_m_per_m3_per_s,
                head_lost(hose, flow).slope_m_per_m3_per_s);
      const double head = head_lost(hose, flow).head_m;
      EXPECT_EQ(flow_at(hose, -head), -flow_at(hose, head));
    }
  }
}

TEST(Friction, ExtremesStayFinite) {
  for (const HoseLoss& hose : some_hoses()) {
    for (const double flow : {0.0, -0.0, std::numeric_limits<double>::denorm_min(), 1e-300, 1e6}) {
      EXPECT_TRUE(std::isfinite(head_lost(hose, flow).head_m)) << flow;
      EXPECT_TRUE(std::isfinite(head_lost(hose, flow).slope_m_per_m3_per_s)) << flow;
    }
    for (const double head : {0.0, 1e-300, 1e-30, 1e6}) {
      EXPECT_TRUE(std::isfinite(flow_at(hose, head))) << head;
    }
  }
}

RC_GTEST_PROP(Friction, MoreFlowCostsMoreHead, ()) {
  const HoseLoss hose = any_hose();
  const double flow = flow_of(hose, any_reynolds());
  const double more = flow * (1.0 + std::pow(10.0, -*rc::gen::inRange(0, 14)));
  const double less_head = head_lost(hose, flow).head_m;
  const double more_head = head_lost(hose, more).head_m;
  // Two formulas that round differently may disagree in the last bits.
  RC_ASSERT(more_head >= less_head * (1.0 - 4e-15));
  if (more > flow * (1.0 + 1e-13)) RC_ASSERT(more_head > less_head);
  RC_ASSERT(head_lost(hose, flow).slope_m_per_m3_per_s > 0.0);
}

RC_GTEST_PROP(Friction, FlowAtIsTheInverse, ()) {
  const HoseLoss hose = any_hose();
  const double flow = flow_of(hose, any_reynolds());
  const double head = head_lost(hose, flow).head_m;
  const double back = flow_at(hose, head);
  RC_ASSERT(std::fabs(back - flow) <= 1e-13 * flow);
  RC_ASSERT(std::fabs(head_lost(hose, back).head_m - head) <= 4e-13 * head);
}

TEST(FrictionDeathTest, RefusesAHoseThatCostsNothing) {
  EXPECT_DEATH(hose_loss(0.0125, 0.0, 1e-5, 0.0, viscosity), "a length or a loss over 0");
  EXPECT_DEATH(hose_loss(0.0, 1.0, 0.0, 1.5, viscosity), "a bore over 0");
  EXPECT_DEATH(hose_loss(0.01, 1.0, 0.01, 1.5, viscosity), "roughness from 0 to below the bore");
  EXPECT_DEATH(hose_loss(0.01, 1.0, 0.0, std::nan(""), viscosity), "a loss of 0 or more");
  EXPECT_DEATH(flow_at(hose_loss(0.01, 1.0, 0.0, 1.5, viscosity), std::nan("")), "a finite head");
}

// Printed, not asserted: a shared machine's clock is no judge.
TEST(Friction, SaysWhatACallCosts) {
  const HoseLoss hose = hose_loss(0.0125, 5.0, 1e-5, 1.5, viscosity);
  const auto nanoseconds = [&](double from, double to, const auto& call) {
    constexpr int calls = 200000;
    double best = 1e300;
    double sink = 0.0;
    for (int round = 0; round < 5; ++round) {
      const auto start = std::chrono::steady_clock::now();
      for (int i = 0; i < calls; ++i) sink += call(from + (to - from) * i / calls);
      const std::chrono::duration<double, std::nano> took =
          std::chrono::steady_clock::now() - start;
      best = std::min(best, took.count() / calls);
    }
    EXPECT_TRUE(std::isfinite(sink));
    return best;
  };
  const auto loss = [&](double flow) {
    const HeadLoss lost = head_lost(hose, flow);
    return lost.head_m + lost.slope_m_per_m3_per_s;
  };
  const auto inverse = [&](double head) { return flow_at(hose, head); };
  std::printf(
      "head_lost: laminar %.1f ns, Re 800 to 30 000 %.1f ns; flow_at: 0.1 mm to 1 m %.0f ns\n",
      nanoseconds(0.0, flow_of(hose, 800.0), loss),
      nanoseconds(flow_of(hose, 800.0), flow_of(hose, 30000.0), loss),
      nanoseconds(1e-4, 1.0, inverse));
}

}  // namespace friction_test
}  // namespace tankyard
