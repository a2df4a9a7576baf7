// SPDX-License-Identifier: MIT
#include "solver/link_law.h"

#include <gtest/gtest.h>

#include <cmath>

#include "near.h"
#include "solver/water.h"

namespace tankyard {
namespace link_law_test {

constexpr double pi = 3.14159265358979323846;
const double viscosity = water_at(10.0, 0.0).kinematic_viscosity_m2_per_s;

// Source of truth: Torricelli, Q = c A sqrt(2 g h).
TEST(Hole, RunsAsTorricelliSays) {
  const LossLaw hole = hole_law(0.02, 0.6, viscosity);
  for (const double head : {0.1, 1.0, 10.0}) {
    const double want = 0.6 * pi / 4.0 * 0.02 * 0.02 * std::sqrt(2.0 * gravity_m_per_s2 * head);
    EXPECT_TRUE(near(flow_at(hole, head), want, {1e-6, 0.0})) << head;
  }
}

// Source of truth: Re = 10 at Q0 by the definition of Re, 4 Q / (pi D nu); well above it the
// rounding of the law costs less than 1e-6, well below it flow goes evenly with head.
TEST(Hole, TurnsLaminarBelowReynoldsTen) {
  const LossLaw hole = hole_law(0.004, 0.6, viscosity);
  const double rest = hole.hole_rest_flow_m3_per_s;
  EXPECT_TRUE(near(4.0 * rest / (pi * 0.004 * viscosity), 10.0, {1e-12, 0.0}));
  const double sharp = hole.hose.fittings * std::pow(1000.0 * rest, 2);
  EXPECT_TRUE(near(head_lost(hole, 1000.0 * rest).head_m, sharp, {1e-6, 0.0}));
  const double little = head_lost(hole, 0.01 * rest).head_m;
  EXPECT_TRUE(near(head_lost(hole, 0.02 * rest).head_m, 2.0 * little, {1e-3, 0.0}));
  EXPECT_GT(head_lost(hole, 0.0).slope_m_per_m3_per_s, 0.0);
}

TEST(LossLaw, IsOddRisesAndIsUndone) {
  for (const LossLaw& law :
       {hole_law(0.003, 0.6, viscosity), hose_law(0.02, 0.0, 0.0, 1.5, viscosity),
        hose_law(0.02, 15.0, 1.5e-6, 1.5, viscosity), hose_law(0.1, 3.0, 1e-3, 30.0, viscosity)}) {
    double before = 0.0;
    for (double flow = 1e-10; flow < 0.1; flow *= 1.3) {
      const HeadLoss loss = head_lost(law, flow);
      EXPECT_GT(loss.head_m, before) << flow;
      EXPECT_GT(loss.slope_m_per_m3_per_s, 0.0) << flow;
      EXPECT_EQ(head_lost(law, -flow).head_m, -loss.head_m) << flow;
      EXPECT_EQ(head_lost(law, -flow).slope_m_per_m3_per_s, loss.slope_m_per_m3_per_s) << flow;
      EXPECT_TRUE(near(flow_at(law, loss.head_m), flow, {1e-11, 0.0}));
      EXPECT_EQ(flow_at(law, -loss.head_m), -flow_at(law, loss.head_m));
      const double step = 1e-5 * flow;
      const double slope =
          (head_lost(law, flow + step).head_m - head_lost(law, flow - step).head_m) / (2.0 * step);
      EXPECT_TRUE(near(loss.slope_m_per_m3_per_s, slope, {1e-6, 0.0})) << flow;
      before = loss.head_m;
    }
    EXPECT_EQ(head_lost(law, 0.0).head_m, 0.0);
    EXPECT_EQ(flow_at(law, 0.0), 0.0);
  }
}

// Only what has no length of its own needs the rounding.
TEST(LossLaw, OfAHoseWithLengthRestsLaminar) {
  EXPECT_EQ(hose_law(0.02, 1.0, 0.0, 1.5, viscosity).hole_rest_flow_m3_per_s, 0.0);
  EXPECT_GT(hose_law(0.02, 0.0, 0.0, 1.5, viscosity).hole_rest_flow_m3_per_s, 0.0);
}

}  // namespace link_law_test
}  // namespace tankyard
