// SPDX-License-Identifier: MIT
#include "solver/cylinder.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <initializer_list>

#include "near.h"

namespace tankyard {
namespace cylinder_test {

constexpr double pi = 3.14159265358979323846;

Cylinder butt() { return {0.57, 0.85, 0.003, 193e6, 0.42}; }

// t/D from 1e-4 to 0.08, L/D from 0.03 to 300.
Cylinder any_cylinder() {
  Cylinder cylinder;
  cylinder.diameter_m = *rc::gen::element(0.2, 0.57, 3.0);
  cylinder.thickness_m =
      cylinder.diameter_m * 1e-4 * std::pow(800.0, *rc::gen::inRange(0, 1001) / 1000.0);
  cylinder.length_m =
      cylinder.diameter_m * 0.03 * std::pow(1e4, *rc::gen::inRange(0, 1001) / 1000.0);
  cylinder.youngs_modulus_pa = *rc::gen::element(193e6, 205e9);
  cylinder.poisson_ratio = *rc::gen::element(0.2, 0.3, 0.42);
  return cylinder;
}

// Source of truth: the formula as printed, least over every number of lobes up to 3000.
RC_GTEST_PROP(AnyCylinder, FoldsInTheLobesThatAskTheLeast, ()) {
  const Cylinder c = any_cylinder();
  const double r = c.diameter_m / 2.0;
  const double a = pi * r / c.length_m;
  const double t = c.thickness_m;
  double least = 1e300;
  int lobes = 0;
  for (int n = 2; n <= 3000; ++n) {
    const double p = c.youngs_modulus_pa * t / r / (n * n - 1.0 + a * a / 2.0) *
                     (1.0 / std::pow(n * n / (a * a) + 1.0, 2.0) +
                      t * t / (12.0 * r * r * (1.0 - c.poisson_ratio * c.poisson_ratio)) *
                          std::pow(n * n - 1.0 + a * a, 2.0));
    if (p < least) {
      least = p;
      lobes = n;
    }
  }
  const LobedCollapse ours = von_mises_collapse(c);
  RC_ASSERT(near(ours.pressure_pa, least, {1e-12, 0.0}));
  RC_ASSERT(ours.lobes == lobes);
}

// Source of truth: closed form. Far from its ends a tube does not know that it has any.
TEST(Cylinder, BearsAsALongTubeWhereItsEndsAreFar) {
  Cylinder tube = butt();
  tube.length_m = 1e4;
  const LobedCollapse ours = von_mises_collapse(tube);
  EXPECT_EQ(ours.lobes, 2);
  EXPECT_TRUE(near(ours.pressure_pa, long_tube_collapse_pa(tube), {1e-6, 0.0}));
}

// Source of truth: what the three formulas are about.
RC_GTEST_PROP(AnyCylinder, BearsMoreThickerShorterAndStiffer, ()) {
  const Cylinder c = any_cylinder();
  const double pressure = von_mises_collapse(c).pressure_pa;
  Cylinder other = c;
  other.thickness_m *= 1.01;
  RC_ASSERT(von_mises_collapse(other).pressure_pa > pressure);
  other = c;
  other.length_m *= 0.99;
  RC_ASSERT(von_mises_collapse(other).pressure_pa > pressure);
  other = c;
  other.youngs_modulus_pa *= 2.0;
  RC_ASSERT(near(von_mises_collapse(other).pressure_pa, 2.0 * pressure, {1e-14, 0.0}));
  RC_ASSERT(pressure > long_tube_collapse_pa(c));
}

// Source of truth: a shell twice as large in every measure bears the same.
RC_GTEST_PROP(AnyCylinder, BearsTheSameInAnySize, ()) {
  const Cylinder c = any_cylinder();
  Cylinder twice = c;
  twice.diameter_m *= 2.0;
  twice.length_m *= 2.0;
  twice.thickness_m *= 2.0;
  RC_ASSERT(
      near(von_mises_collapse(twice).pressure_pa, von_mises_collapse(c).pressure_pa, {1e-13, 0.0}));
  if (c.length_m / c.diameter_m < std::sqrt(c.thickness_m / c.diameter_m)) return;
  RC_ASSERT(near(model_basin_collapse_pa(twice), model_basin_collapse_pa(c), {1e-13, 0.0}));
}

TEST(CylinderDeathTest, StopsAtWhatIsNoThinShell) {
  Cylinder thick = butt();
  thick.thickness_m = 0.1 * thick.diameter_m;
  EXPECT_DEATH(von_mises_collapse(thick), "thinner than a tenth");
  Cylinder short_one = butt();
  short_one.length_m = 0.01;
  EXPECT_DEATH(model_basin_collapse_pa(short_one), "a length over 0.45");
  Cylinder without = butt();
  without.length_m = std::nan("");
  EXPECT_DEATH(long_tube_collapse_pa(without), "a length over 0");
}

}  // namespace cylinder_test
}  // namespace tankyard
