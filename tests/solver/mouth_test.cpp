// SPDX-License-Identifier: MIT
#include "solver/mouth.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "near.h"

namespace tankyard {
namespace mouth_test {

constexpr double mouth_m = 0.7;
constexpr double bore_m = 0.05;

// Source of truth: half a circle, and the quarter height's segment, acos(1/2) - (1/2) sqrt(3)/2
// over pi.
TEST(Mouth, IsCoveredAsACircleIs) {
  EXPECT_EQ(covered(mouth_m, mouth_m, bore_m).share, 0.0);
  EXPECT_TRUE(near(covered(mouth_m + 0.5 * bore_m, mouth_m, bore_m).share, 0.5, {1e-12, 0.0}));
  EXPECT_TRUE(near(covered(mouth_m + 0.25 * bore_m, mouth_m, bore_m).share,
                   (std::acos(-1.0) / 3.0 - std::sqrt(3.0) / 4.0) / std::acos(-1.0), {1e-12, 0.0}));
  EXPECT_EQ(covered(mouth_m + 1.01 * bore_m, mouth_m, bore_m).share, 1.0);
  EXPECT_EQ(covered(mouth_m - 1.0, mouth_m, bore_m).share, 0.0);
}

// Source of truth: chords laid side by side, 2 sqrt(y (D - y)) dy, by the midpoint rule.
TEST(Mouth, SharesAddUpFromChords) {
  const int strips = 200000;
  double area = 0.0;
  int next = 1;
  for (int i = 0; i < strips; ++i) {
    const double y = (i + 0.5) / strips;
    area += 2.0 * std::sqrt(y * (1.0 - y)) / strips;
    if ((i + 1) * 10 == next * strips) {
      const double share = covered(mouth_m + 0.1 * next * bore_m, mouth_m, bore_m).share;
      EXPECT_TRUE(near(share, area / (std::acos(-1.0) / 4.0), {0.0, 1e-6})) << next;
      ++next;
    }
  }
  EXPECT_EQ(next, 11);
}

// Source of truth: differences of the share itself.
TEST(Mouth, SlopeIsTheSharesOwn) {
  for (double x = 0.02; x < 0.99; x += 0.01) {
    const double level = mouth_m + x * bore_m;
    const double step = 1e-6 * bore_m;
    const double slope = (covered(level + step, mouth_m, bore_m).share -
                          covered(level - step, mouth_m, bore_m).share) /
                         (2.0 * step);
    EXPECT_TRUE(near(covered(level, mouth_m, bore_m).slope_per_m, slope, {1e-6, 0.0})) << x;
  }
  EXPECT_EQ(covered(mouth_m - 0.1, mouth_m, bore_m).slope_per_m, 0.0);
  EXPECT_EQ(covered(mouth_m + 0.1, mouth_m, bore_m).slope_per_m, 0.0);
}

TEST(Mouth, HasNoCornerWhereItDriesOrFills) {
  const double hair = 1e-10 * bore_m;
  EXPECT_LT(covered(mouth_m + hair, mouth_m, bore_m).slope_per_m, 1e-3);
  EXPECT_LT(covered(mouth_m + bore_m - hair, mouth_m, bore_m).slope_per_m, 1e-3);
}

TEST(Mouth, AtAHeaderIsAlwaysCovered) {
  const double never = -std::numeric_limits<double>::infinity();
  EXPECT_EQ(covered(-5.0, never, bore_m).share, 1.0);
  EXPECT_EQ(covered(-5.0, never, bore_m).slope_per_m, 0.0);
}

}  // namespace mouth_test
}  // namespace tankyard
