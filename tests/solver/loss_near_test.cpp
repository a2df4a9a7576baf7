// SPDX-License-Identifier: MIT
#include "solver/loss_near.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace tankyard {
namespace loss_near_test {

constexpr double viscosity = 1.30629e-6;  // water at 10 degC

double any_share(double least, double most) {
  return least * std::pow(most / least, *rc::gen::inRange(0, 100001) / 1e5);
}

LossLaw any_law() {
  const double bore_m = any_share(0.002, 0.2);
  const double length_m = *rc::gen::element(0.0, 0.5, 3.0, 40.0);
  const double roughness_m = bore_m * *rc::gen::element(0.0, 1e-5, 1e-3, 0.03);
  return hose_law(bore_m, length_m, roughness_m, *rc::gen::element(1.5, 4.0, 60.0), viscosity);
}

double flow_of(const LossLaw& law, double reynolds) {
  return reynolds / law.hose.reynolds_per_flow;
}

// Source of truth: the law itself. A law looked up at one flow is asked at another near by, from
// slow laminar flow through the transition to a rough hose.
RC_GTEST_PROP(LossNear, StaysByTheLaw, ()) {
  const LossLaw law = any_law();
  const double sign = *rc::gen::element(1.0, -1.0);
  const double flow = sign * flow_of(law, any_share(10.0, 1e7));
  const double near = flow * (1.0 + *rc::gen::element(1.0, -1.0) * any_share(1e-7, 0.1));
  LossNear followed;
  followed.at(law, flow, 1.0);
  const HeadLoss got = followed.at(law, near, 1.0);
  const HeadLoss want = head_lost(law, near);
  RC_ASSERT(std::fabs(got.head_m - want.head_m) <= 4e-7 * std::fabs(want.head_m));
  RC_ASSERT(std::fabs(got.slope_m_per_m3_per_s - want.slope_m_per_m3_per_s) <=
            3e-3 * want.slope_m_per_m3_per_s);
}

// What is followed goes with the tolerance: a thousand times as near for a millionth of it. Between
// laminar and turbulent the law bends most, and a tangent strays furthest.
RC_GTEST_PROP(LossNear, IsAsMuchCloserAsTheTolerance, ()) {
  const LossLaw law = any_law();
  const double tolerance_m = any_share(1e-10, 1e-3);
  const double closeness = LossNear::closeness_for(tolerance_m);
  const double flow = flow_of(law, any_share(10.0, 1e7));
  const double near = flow * (1.0 + any_share(1e-7, 0.1));
  LossNear followed;
  followed.at(law, flow, closeness);
  const double want_m = head_lost(law, near).head_m;
  RC_ASSERT(std::fabs(followed.at(law, near, closeness).head_m - want_m) <=
            (2e-2 * tolerance_m + 4e-15) * std::fabs(want_m));
}

TEST(LossNear, AsksTheLawItselfWhenNothingMayBeNear) {
  const LossLaw law = hose_law(0.019, 3.0, 1.5e-6, 3.5, viscosity);
  LossNear followed;
  for (double reynolds = 1.0; reynolds < 1e6; reynolds *= 1.001) {
    const double flow = flow_of(law, reynolds);
    EXPECT_EQ(followed.at(law, flow, 0.0).head_m, head_lost(law, flow).head_m);
  }
}

}  // namespace loss_near_test
}  // namespace tankyard
