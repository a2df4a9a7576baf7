// SPDX-License-Identifier: MIT
#include "solver/plate.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <initializer_list>

#include "near.h"

namespace tankyard {
namespace plate_test {

constexpr double pi = 3.14159265358979323846;
constexpr auto held = Panel::Edges::held;
constexpr auto free_to_pull_in = Panel::Edges::free_to_pull_in;

Panel any_panel() {
  Panel panel;
  panel.side_ratio = 1.0 + *rc::gen::inRange(0, 301) / 100.0;
  panel.poisson_ratio = *rc::gen::inRange(0, 50) / 100.0;
  panel.edges = *rc::gen::element(held, free_to_pull_in);
  return panel;
}

// From 0.01 to 1e5 in equal steps of its logarithm.
double any_load() { return std::pow(10.0, *rc::gen::inRange(-2000, 5001) / 1000.0); }

// Source of truth: Navier's double series, which is another way to the same sum.
TEST(SmallDeflection, IsNaviersDoubleSeries) {
  for (const double ratio : {1.0, 1.5, 2.0, 4.0}) {
    for (const double nu : {0.0, 0.3, 0.42}) {
      double w = 0.0;
      double moment = 0.0;
      for (int m = 1; m < 1200; m += 2) {
        for (int n = 1; n < 1200; n += 2) {
          const double a2 = m * m / (ratio * ratio);
          const double b2 = 1.0 * n * n;
          const double sign = (m + n) / 2 % 2 == 1 ? 1.0 : -1.0;
          const double term = sign / (m * n * (a2 + b2) * (a2 + b2));
          w += term;
          moment += term * (b2 + nu * a2);
        }
      }
      const SmallDeflection ours = small_deflection(ratio, nu);
      EXPECT_TRUE(
          near(ours.alpha, 12.0 * (1.0 - nu * nu) * 16.0 / std::pow(pi, 6.0) * w, {1e-6, 0.0}));
      EXPECT_TRUE(near(ours.beta, 6.0 * 16.0 / std::pow(pi, 4.0) * moment, {2e-5, 0.0}));
    }
  }
}

// Source of truth: closed form. A strip that only bends across: w = 5 q b^4 / 384 D, M = q b^2 / 8.
TEST(SmallDeflection, OfAVeryLongPanelIsABeams) {
  const SmallDeflection strip = small_deflection(1000.0, 0.3);
  EXPECT_TRUE(near(strip.alpha, 5.0 / 384.0 * 12.0 * (1.0 - 0.09), {1e-8, 0.0}));
  EXPECT_TRUE(near(strip.beta, 0.75, {1e-8, 0.0}));
}

// Source of truth: the series. Under a light load nothing is stretched, and with 6 x 4 modes the
// deflection is within 0.3 % of all of them, the stress at the middle within 2 %.
TEST(Panel, BowsAsTheSmallRuleSaysUnderALightLoad) {
  for (const auto edges : {held, free_to_pull_in}) {
    for (const double ratio : {1.0, 1.5, 2.0, 4.0}) {
      const Bent bent = bend({ratio, 0.3, edges}, 0.01);
      const SmallDeflection small = small_deflection(ratio, 0.3);
      EXPECT_TRUE(near(bent.deflection, 0.01 * small.alpha, {3e-3, 0.0})) << ratio;
      EXPECT_TRUE(near(bent.bending_stress, 0.01 * small.beta, {2e-2, 0.0})) << ratio;
      EXPECT_LT(std::fabs(bent.membrane_stress), 1e-3 * bent.bending_stress);
    }
  }
}

// Source of truth: how it scales. A bow of many thicknesses is carried by stretching alone, which
// goes with its cube: eight times the load, twice the bow.
TEST(Panel, IsAMembraneUnderAHeavyLoad) {
  const double at_1e5 = bend({1.0, 0.3, held}, 1e5).deflection;
  const double at_8e5 = bend({1.0, 0.3, held}, 8e5).deflection;
  EXPECT_TRUE(near(at_8e5 / at_1e5, 2.0, {0.01, 0.0}));
}

// Source of truth: what stretches less bows less.
RC_GTEST_PROP(AnyPanel, BowsLessIfHeldAndLessThanTheSmallRuleSays, ()) {
  Panel panel = any_panel();
  const double load = any_load();
  panel.edges = free_to_pull_in;
  const double free = bend(panel, load).deflection;
  panel.edges = held;
  const double stiff = bend(panel, load).deflection;
  const double small = load * small_deflection(panel.side_ratio, panel.poisson_ratio).alpha;
  RC_ASSERT(stiff > 0.0);
  RC_ASSERT(stiff < free);
  RC_ASSERT(free < 1.003 * small);
}

// Source of truth: a panel under more load bows more. Wrinkling edges jump by some per cent.
RC_GTEST_PROP(AnyPanel, BowsMoreUnderMoreLoad, ()) {
  const Panel panel = any_panel();
  const double load = std::min(any_load(), 5e4);
  RC_ASSERT(bend(panel, 1.5 * load).deflection > bend(panel, load).deflection);
}

// Source of truth: round trip. At the load that is found one of the limits is met; where wrinkles
// jump, the last load before it may be up to a tenth off the limit.
RC_GTEST_PROP(AnyPanel, FindsTheLoadOfALimitBack, ()) {
  const Panel panel = any_panel();
  const double deflection = 0.01 * std::pow(4000.0, *rc::gen::inRange(0, 1001) / 1000.0);
  const double stress = 0.01 * std::pow(1e7, *rc::gen::inRange(0, 1001) / 1000.0);
  const double load = load_at(panel, deflection, stress);
  const Bent bent = bend(panel, load);
  const double used = std::max(bent.deflection / deflection, bent.greatest_stress / stress);
  RC_ASSERT(near(used, 1.0, {panel.edges == held || load < 1000.0 ? 1e-4 : 0.1, 0.0}));
}

// Source of truth: the middle is one of the points that are looked at, and von Mises's stress is at
// least sqrt(3) / 2 times that of any one direction.
RC_GTEST_PROP(AnyPanel, IsStressedNoLessThanInItsMiddle, ()) {
  const Bent bent = bend(any_panel(), any_load());
  RC_ASSERT(1.1548 * bent.greatest_stress >=
            std::fabs(bent.bending_stress + bent.membrane_stress) * (1.0 - 1e-12));
}

TEST(Panel, IsFlatWithoutLoad) {
  const Bent bent = bend({1.3, 0.42, free_to_pull_in}, 0.0);
  EXPECT_EQ(bent.deflection, 0.0);
  EXPECT_EQ(bent.greatest_stress, 0.0);
}

// 0.1 ms each when this was written; the margin is for slow machines and sanitizers.
TEST(Panel, IsQuick) {
  const auto begin = std::chrono::steady_clock::now();
  double sum = 0.0;
  for (int i = 0; i < 100; ++i) sum += bend({1.5, 0.42, free_to_pull_in}, 1e4 + i).deflection;
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
  EXPECT_GT(sum, 0.0);
  RecordProperty("microseconds_each", static_cast<int>(1e4 * took.count()));
  EXPECT_LT(took.count(), 20.0);
}

TEST(PanelDeathTest, StopsOutsideItsRange) {
  EXPECT_DEATH(bend({0.5, 0.3, held}, 1.0), "side ratio of 1 to 4");
  EXPECT_DEATH(bend({1.0, 0.5, held}, 1.0), "Poisson ratio");
  EXPECT_DEATH(bend({1.0, 0.3, held}, -1.0), "a load from 0");
  EXPECT_DEATH(load_at({1.0, 0.3, held}, 41.0, 1.0), "a deflection over 0 and up to 40");
  EXPECT_DEATH(load_at({1.0, 0.3, held}, 1.0, 0.0), "a stress over 0");
  EXPECT_DEATH(small_deflection(0.9, 0.3), "side ratio of 1 or more");
}

}  // namespace plate_test
}  // namespace tankyard
