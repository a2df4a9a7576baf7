// SPDX-License-Identifier: MIT
#include "solver/in_breathing.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <initializer_list>

#include "near.h"

namespace tankyard {
namespace in_breathing_test {

constexpr double pi = 3.14159265358979323846;

double disc_m2(double bore_m) { return pi / 4.0 * bore_m * bore_m; }

// Source of truth: round trip. Through the hole that is found, air_into lets in just what fills the
// room that the water leaves.
RC_GTEST_PROP(AnyPull, IsMetByItsHole, ()) {
  const double pull = 1e-6 * std::pow(1e4, *rc::gen::inRange(0, 1001) / 1000.0);
  const double vacuum = 10.0 * std::pow(5e3, *rc::gen::inRange(0, 1001) / 1000.0);
  const double outside_k = 250.0 + *rc::gen::inRange(0, 80);
  const double inside_k = 250.0 + *rc::gen::inRange(0, 80);
  const double bore = hole_for_pull_m(pull, vacuum, 0.6, 101325.0, outside_k, inside_k);
  const double inside_pa = 101325.0 - vacuum;
  const double kg_per_s =
      air_into(0.6 * disc_m2(bore), 101325.0, outside_k, inside_pa, inside_k).kg_per_s;
  RC_ASSERT(near(kg_per_s * 287.05287 * inside_k / inside_pa, pull, {1e-13, 0.0}));
}

// Source of truth: as the vacuum goes to nothing, air does not thin, and the two laws are one. The
// hole by Bernoulli is the wider one, as the headspace's air is thinner than the outside's: by dp/p
// in what is asked, less 0.27 dp/p (half of 3/4g) in what is let in, and half of that in the bore.
TEST(Hole, ByBernoulliIsALittleWider) {
  const double density = 101325.0 / (287.05287 * 288.15);
  for (const double vacuum : {10.0, 100.0, 1000.0}) {
    const double slow = hole_for_slow_air_m(50.0 / 60000.0, vacuum, 0.6, density);
    const double bore = hole_for_pull_m(50.0 / 60000.0, vacuum, 0.6, 101325.0, 288.15, 288.15);
    const double x = vacuum / 101325.0;
    EXPECT_TRUE(near(slow / bore, 1.0 + 0.5 * (1.0 - 0.75 / 1.4) * x, {0.0, x * x + 1e-12}));
  }
}

// Source of truth: closed form; vacuum goes with the fourth power of the bore.
TEST(Hole, HalvedInBoreLetsTheVacuumGrowSixteenfold) {
  const double wide = hole_for_slow_air_m(1e-3, 100.0, 0.6, 1.2);
  const double narrow = hole_for_slow_air_m(1e-3, 1600.0, 0.6, 1.2);
  EXPECT_TRUE(near(wide, 2.0 * narrow, {1e-14, 0.0}));
}

TEST(Hole, IsNoneForNoPull) {
  EXPECT_EQ(hole_for_pull_m(0.0, 100.0, 0.6, 101325.0, 288.15, 288.15), 0.0);
  EXPECT_EQ(hole_for_slow_air_m(0.0, 100.0, 0.6, 1.2), 0.0);
}

}  // namespace in_breathing_test
}  // namespace tankyard
