// SPDX-License-Identifier: MIT
#include "solver/round_mouth.h"

#include <gtest/gtest.h>

#include <boost/math/special_functions/expm1.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/special_functions/hypergeometric_pFq.hpp>
#include <cmath>
#include <numbers>

#include "near.h"

namespace tankyard {
namespace round_mouth_test {

// Source of truth: the hypergeometric function of Boost.Math, which shares no code with ours.
TEST(RoundMouth, IsTheHypergeometricFunctionOfItsDepth) {
  const auto e = [](double z) { return boost::math::hypergeometric_pFq({-0.5, 1.5}, {3.0}, z); };
  for (const double x : {1e-6, 0.001, 0.0123, 0.2, 0.3333, 0.5, 0.77, 0.9, 0.97, 0.99, 0.9984}) {
    EXPECT_TRUE(near(round_mouth_flow(x).flow, 0.25 * std::numbers::pi * x * x * e(x), {4e-7, 0.0}))
        << x;
    EXPECT_TRUE(near(round_mouth_flow(1.0 / x).flow, 0.25 * std::numbers::pi / std::sqrt(x) * e(x),
                     {4e-7, 0.0}))
        << 1.0 / x;
  }
}

// Source of truth: Gauss's sum, 2F1(-1/2, 3/2; 3; 1) = gamma(3) gamma(2) / (gamma(7/2) gamma(3/2))
// = 2 / (15/8 sqrt(pi) sqrt(pi) / 2) = 32 / (15 pi), so that F(1) = 8/15: by hand.
TEST(RoundMouth, PassesEightFifteenthsWhereItIsJustFull) {
  EXPECT_TRUE(near(round_mouth_flow(1.0).flow, 8.0 / 15.0, {1e-14, 0.0}));
  EXPECT_TRUE(near(round_mouth_flow(std::nextafter(1.0, 2.0)).flow, 8.0 / 15.0, {1e-14, 0.0}));
}

// Source of truth: differences, at knots, between them, and to either side of full.
TEST(RoundMouth, HasTheSlopeOfWhatItGives) {
  for (const double x : {0.001, 0.25, 0.2501, 0.5, 0.998, 0.9999, 1.0001, 1.002, 1.5, 8.0, 300.0}) {
    const double step = 1e-6 * x;
    const double slope =
        (round_mouth_flow(x + step).flow - round_mouth_flow(x - step).flow) / (2.0 * step);
    EXPECT_TRUE(near(round_mouth_flow(x).slope, slope, {1e-7, 0.0})) << x;
  }
  EXPECT_TRUE(near(round_mouth_flow(1.0).slope, round_mouth_flow(std::nextafter(1.0, 2.0)).slope,
                   {1e-12, 0.0}));
}

}  // namespace round_mouth_test
}  // namespace tankyard
