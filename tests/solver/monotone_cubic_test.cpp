// SPDX-License-Identifier: MIT
#include "solver/monotone_cubic.h"

#include <gtest/gtest.h>
#include <math.h>  // Boost 1.74's pchip looks for a global isnan
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <boost/math/interpolators/cubic_hermite.hpp>
#include <boost/math/interpolators/pchip.hpp>
#include <cmath>
#include <vector>

#include "near.h"

namespace tankyard {
namespace monotone_cubic_test {

// Two to nine points; stretches and rises each over three decades, so that steep ones meet flat
// ones.
MonotoneCubic any_cubic(double least_share, bool with_levels) {
  std::vector<double> x{0.01 * *rc::gen::inRange(-100, 101)};
  std::vector<double> y{0.01 * *rc::gen::inRange(-100, 101)};
  const int more = *rc::gen::inRange(1, 9);
  for (int i = 0; i < more; ++i) {
    x.push_back(x.back() + std::pow(10.0, *rc::gen::inRange(-150, 151) / 100.0));
    const bool level = with_levels && *rc::gen::inRange(0, 4) == 0;
    y.push_back(y.back() + (level ? 0.0 : std::pow(10.0, *rc::gen::inRange(-150, 151) / 100.0)));
  }
  return monotone_cubic(x, y, least_share);
}

double any_x(const MonotoneCubic& curve) {
  const double part = *rc::gen::inRange(0, 100001) / 1e5;
  return std::min(curve.x.back(), curve.x.front() + part * (curve.x.back() - curve.x.front()));
}

// Source of truth: a general library's Hermite cubic, given the same points and slopes.
RC_GTEST_PROP(AnyMonotoneCubic, IsTheHermiteCubicOfItsSlopes, ()) {
  const MonotoneCubic curve = any_cubic(0.0, true);
  auto x = curve.x;
  auto y = curve.y;
  auto slope = curve.slope;
  const boost::math::interpolators::cubic_hermite<std::vector<double>> theirs(
      std::move(x), std::move(y), std::move(slope));
  const double at = any_x(curve);
  const double scale = std::fabs(curve.y.front()) + std::fabs(curve.y.back());
  const double steepest = *std::max_element(curve.slope.begin(), curve.slope.end());
  RC_ASSERT(near(value_at(curve, at).value, theirs(at), {1e-13, 1e-13 * scale}));
  // A stretch's place is told to rounding of x, which a short stretch magnifies.
  RC_ASSERT(near(value_at(curve, at).slope, theirs.prime(at), {1e-9, 1e-9 * (1.0 + steepest)}));
}

// Source of truth: what the curve is for.
RC_GTEST_PROP(AnyMonotoneCubic, PassesItsPointsAndNeverFalls, ()) {
  const MonotoneCubic curve = any_cubic(0.0, true);
  for (std::size_t i = 0; i < curve.x.size(); ++i) {
    RC_ASSERT(near(value_at(curve, curve.x[i]).value, curve.y[i], {1e-14, 1e-14}));
  }
  double one = any_x(curve);
  double other = any_x(curve);
  if (one > other) std::swap(one, other);
  const double rounding = 1e-14 * (std::fabs(curve.y.front()) + std::fabs(curve.y.back()));
  RC_ASSERT(value_at(curve, one).value <= value_at(curve, other).value + rounding);
  RC_ASSERT(value_at(curve, one).slope >= -1e-12 * (1.0 + value_at(curve, other).slope));
}

// Source of truth: the stretch's own mean slope.
RC_GTEST_PROP(AnyMonotoneCubic, IsNowhereFlatIfAskedNotToBe, ()) {
  const MonotoneCubic curve = any_cubic(0.05, false);
  const double at = any_x(curve);
  double least = 1e300;
  for (std::size_t i = 0; i + 1 < curve.x.size(); ++i) {
    least = std::min(least, (curve.y[i + 1] - curve.y[i]) / (curve.x[i + 1] - curve.x[i]));
  }
  RC_ASSERT(value_at(curve, at).slope >= 0.04 * least);
}

// Source of truth: a round trip.
RC_GTEST_PROP(AnyMonotoneCubic, IsUndone, ()) {
  const MonotoneCubic curve = any_cubic(0.05, false);
  const double at = any_x(curve);
  const ValueAndSlope on = value_at(curve, at);
  const double scale = std::fabs(curve.y.front()) + std::fabs(curve.y.back());
  const double told_apart = 1e-15 * scale / on.slope;
  RC_ASSERT(near(where(curve, std::clamp(on.value, curve.y.front(), curve.y.back())), at,
                 {1e-13, 4.0 * told_apart + 1e-13}));
}

// Source of truth: parabolas by hand; the slopes of three points' parabola are its own.
TEST(MonotoneCubic, MeetsAParabola) {
  const auto parabola = [](double x) { return 3.0 + 0.5 * x + 0.25 * x * x; };
  std::vector<double> x, y;
  for (const double at : {0.0, 1.0, 2.5, 3.0, 5.0}) {
    x.push_back(at);
    y.push_back(parabola(at));
  }
  const MonotoneCubic curve = monotone_cubic(x, y, 0.0);
  for (double at = 0.0; at <= 5.0; at += 0.05) {
    EXPECT_TRUE(near(value_at(curve, at).value, parabola(at), {1e-14, 0.0})) << at;
    EXPECT_TRUE(near(value_at(curve, at).slope, 0.5 + 0.5 * at, {1e-13, 0.0})) << at;
  }
}

// Source of truth: the bound told in the header, reached at a third of the first stretch.
TEST(MonotoneCubic, MissesALevelStartByLittle) {
  const MonotoneCubic curve = monotone_cubic({0.0, 1.0, 2.0}, {0.0, 1.0, 4.0}, 0.05);
  double worst = 0.0;
  for (double at = 0.0; at <= 2.0; at += 1.0 / 300.0) {
    worst = std::max(worst, std::fabs(value_at(curve, at).value - at * at));
  }
  EXPECT_TRUE(near(worst, 0.05 * 4.0 / 27.0, {1e-4, 0.0}));
  EXPECT_EQ(value_at(curve, 0.0).slope, 0.05);
}

// Source of truth: a general library's monotone curve (another choice of slopes, the harmonic
// means of Fritsch and Butland) through smooth data: both are of second order or better.
TEST(MonotoneCubic, KeepsCompanyWithAnotherMonotoneCurve) {
  std::vector<double> x, y;
  for (int i = 0; i <= 16; ++i) {
    x.push_back(i / 16.0);
    y.push_back(std::exp(2.0 * i / 16.0));
  }
  const MonotoneCubic ours = monotone_cubic(x, y, 0.0);
  const boost::math::interpolators::pchip<std::vector<double>> theirs(std::move(x), std::move(y));
  for (double at = 0.0; at <= 1.0; at += 1.0 / 128.0) {
    EXPECT_TRUE(near(value_at(ours, at).value, std::exp(2.0 * at), {2e-4, 0.0})) << at;
    EXPECT_TRUE(near(value_at(ours, at).value, theirs(at), {3e-3, 0.0})) << at;
  }
}

// Source of truth: two points have one line.
TEST(MonotoneCubic, OfTwoPointsIsALine) {
  const MonotoneCubic line = monotone_cubic({1.0, 3.0}, {2.0, 8.0}, 0.05);
  EXPECT_TRUE(near(value_at(line, 1.5).value, 3.5, {1e-15, 0.0}));
  EXPECT_TRUE(near(value_at(line, 2.9).slope, 3.0, {1e-15, 0.0}));
  EXPECT_TRUE(near(where(line, 5.0), 2.0, {1e-15, 0.0}));
}

TEST(MonotoneCubicDeathTest, StopsAtWhatIsNoCurve) {
  EXPECT_DEATH(monotone_cubic({0.0}, {1.0}, 0.0), "two points");
  EXPECT_DEATH(monotone_cubic({0.0, 0.0}, {1.0, 2.0}, 0.0), "x rising");
  EXPECT_DEATH(monotone_cubic({0.0, 1.0}, {1.0, 0.5}, 0.0), "never falls");
  EXPECT_DEATH(monotone_cubic({0.0, 1.0}, {1.0, std::nan("")}, 0.0), "never falls");
  const MonotoneCubic line = monotone_cubic({1.0, 3.0}, {2.0, 8.0}, 0.05);
  EXPECT_DEATH(value_at(line, 3.1), "a place on the curve");
  EXPECT_DEATH(where(line, 1.9), "a value on the curve");
}

}  // namespace monotone_cubic_test
}  // namespace tankyard
