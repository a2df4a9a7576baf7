// SPDX-License-Identifier: MIT
#include "solver/drills.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "near.h"

namespace tankyard {
namespace drills_test {

TEST(Drill, IsTheNextSizeUp) {
  EXPECT_TRUE(near(next_drill_m(0.00981).value(), 0.010, {1e-15, 0.0}));
  EXPECT_TRUE(near(next_drill_m(0.010).value(), 0.010, {1e-15, 0.0}));
  EXPECT_TRUE(near(next_drill_m(0.0130001).value(), 0.014, {1e-15, 0.0}));
  EXPECT_TRUE(near(next_drill_m(0.0141).value(), 0.016, {1e-15, 0.0}));
  EXPECT_TRUE(near(next_drill_m(0.064001).value(), 0.076, {1e-15, 0.0}));
  EXPECT_TRUE(near(next_drill_m(0.0).value(), 0.001, {1e-15, 0.0}));
}

TEST(Drill, IsNotSentUpByRounding) {
  EXPECT_TRUE(near(next_drill_m(0.1 * 0.1 * (1.0 + 1e-15)).value(), 0.010, {1e-15, 0.0}));
}

TEST(Drill, EndsAtSeventySixMillimetres) {
  EXPECT_TRUE(next_drill_m(0.076).has_value());
  EXPECT_FALSE(next_drill_m(0.0761).has_value());
}

// Source of truth: what "next size up" means.
RC_GTEST_PROP(AnyDrill, IsTheSmallestThatIsLargeEnough, ()) {
  const double wanted_m = *rc::gen::inRange(0, 76001) * 1e-6;
  const double drill_m = next_drill_m(wanted_m).value();
  RC_ASSERT(drill_m >= wanted_m - 1e-9);
  for (const double other_mm : drills_mm) {
    RC_ASSERT(other_mm / 1000.0 >= drill_m || other_mm / 1000.0 < wanted_m);
  }
}

}  // namespace drills_test
}  // namespace tankyard
