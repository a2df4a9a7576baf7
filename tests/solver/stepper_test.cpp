// SPDX-License-Identifier: MIT
#include "solver/stepper.h"

#include <gtest/gtest.h>

#include <cmath>

#include "near.h"
#include "small_yard.h"

namespace tankyard {
namespace stepper_test {

/// Steps a yard to a time by the stepper's own proposals; no switches.
bool step_to(Stepper& stepper, double until_s) {
  double time_s = 0.0;
  double length_s = stepper.first_length_s(until_s);
  for (int tries = 0; time_s < until_s && tries < 100'000; ++tries) {
    length_s = std::min(length_s, until_s - time_s);
    const auto outcome = stepper.attempt(length_s);
    if (outcome == Stepper::Outcome::good) {
      time_s += length_s;
      length_s = stepper.proposed_s();
      stepper.accept();
    } else {
      length_s = outcome == Stepper::Outcome::too_coarse
                     ? std::min(stepper.proposed_s(), 0.7 * length_s)
                     : 0.25 * length_s;
    }
  }
  return time_s >= until_s;
}

// Source of truth: closed form. A thin long hose runs laminar: head = a Q + b Q^2, and with Ae the
// tanks' areas in series, t = Ae (a ln(Q0 / Q) + 2 b (Q0 - Q)). b Q^2 is a thousandth here.
TEST(Stepper, LevelsALaminarPairExponentially) {
  SmallYard yard;
  const TankId a = yard.box("a", 0.02, 1.0, 0.0, 0.02 * 0.9);
  const TankId b = yard.box("b", 0.06, 1.0, 0.0, 0.06 * 0.5);
  Hose& hose = yard.hose("h", a, b, 0.003);
  hose.length_m = 20.0;
  const Network network(*yard.array());
  const HoseLoss& law = network.links[0].loss.hose;
  const double series_m2 = 0.02 * 0.06 / 0.08;
  const auto flow_at_gap = [&](double gap_m) {
    return (std::sqrt(law.laminar_slope * law.laminar_slope + 4.0 * law.fittings * gap_m) -
            law.laminar_slope) /
           (2.0 * law.fittings);
  };
  const double first = flow_at_gap(0.4);
  ASSERT_LT(first * law.reynolds_per_flow, 200.0);
  for (const double gap : {0.2, 0.05, 0.01}) {
    const double flow = flow_at_gap(gap);
    const double when_s = series_m2 * (law.laminar_slope * std::log(first / flow) +
                                       2.0 * law.fittings * (first - flow));
    Stepper stepper(network, {.depth_tolerance_m = 1e-7});
    ASSERT_TRUE(stepper.begin(setting_at_start(network)));
    ASSERT_TRUE(step_to(stepper, when_s));
    EXPECT_TRUE(near(stepper.now().head_m[0] - stepper.now().head_m[1], gap, {0.0, 5e-6})) << gap;
    EXPECT_TRUE(near(stepper.volume_m3()[0] + stepper.volume_m3()[1], 0.048, {1e-14, 0.0}));
  }
}

// Source of truth: L-stability. A step hundreds of times as long as the pair needs to find one
// level ends at that level, and does not ring about it.
TEST(Stepper, DoesNotRingWhenAStepIsFarTooLong) {
  SmallYard yard;
  const TankId a = yard.box("a", 0.01, 1.0, 0.0, 0.01 * 0.6);
  const TankId b = yard.box("b", 0.01, 1.0, 0.0, 0.01 * 0.5);
  Hose& hose = yard.hose("h", a, b, 0.005);
  hose.length_m = 10.0;
  const Network network(*yard.array());
  Stepper stepper(network, {.depth_tolerance_m = 0.1});
  ASSERT_TRUE(stepper.begin(setting_at_start(network)));
  ASSERT_EQ(stepper.attempt(1e4), Stepper::Outcome::good);
  EXPECT_TRUE(near(stepper.end().head_m[0], 0.55, {0.0, 0.01}));
  EXPECT_TRUE(near(stepper.end().head_m[1], 0.55, {0.0, 0.01}));
}

// Source of truth: the same run a hundred times as fine. Under the holed lid a step of 468 s once
// went from 25 mm over the floor to 1 mm, past the top of a tap's mouth at 6 mm, and its error
// estimate happened to be a seventh of the tolerance: 0.20 L were left of what should be 0.37 L.
TEST(Stepper, DoesNotPassOverAMouthThatComesBare) {
  for (const bool holed : {false, true}) {
    SmallYard yard;
    const TankId tank = yard.box("tank", 0.20367829082133229, 2.0, 0.0, 0.27472127865981305);
    if (holed) {
      yard.at(tank).lid.kind = Lid::Kind::holed;
      yard.at(tank).lid.hole_m = 0.360;
    }
    Outlet tap;
    tap.name = "tap";
    tap.at = HoseEnd{tank, 0.0};
    tap.bore_m = 0.0062158741260247129;
    tap.coefficient = 0.97;
    tap.open = true;
    yard.parts.outlets.push_back(tap);
    yard.sheet.lasts_s = 3600.0;
    const auto left_m3 = [&](double tolerance_m) {
      RunOptions options;
      options.depth_tolerance_m = tolerance_m;
      const Result<RunRecord> record = run(*yard.array(), yard.sheet, options);
      return record ? record->tanks[0].end_m3 : -1.0;
    };
    EXPECT_NEAR(left_m3(1e-6), left_m3(1e-8), 2e-6) << holed;
  }
}

TEST(Stepper, SaysWhenAStepIsTooCoarse) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 1.0);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.0);
  yard.hose("h", a, b, 0.050);
  const Network network(*yard.array());
  Stepper stepper(network, {.depth_tolerance_m = 1e-6});
  ASSERT_TRUE(stepper.begin(setting_at_start(network)));
  EXPECT_EQ(stepper.attempt(600.0), Stepper::Outcome::too_coarse);
  EXPECT_LT(stepper.proposed_s(), 600.0);
  EXPECT_EQ(stepper.attempt(0.01), Stepper::Outcome::good);
  EXPECT_GT(stepper.proposed_s(), 0.01);
  EXPECT_EQ(stepper.volume_m3()[0], 1.0);  // nothing has moved before it is accepted
}

// What a step moved by its ways is what its volumes changed by.
TEST(Stepper, MovesWhatItsVolumesSay) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.95);
  const TankId b = yard.box("b", 0.5, 1.0, 0.0, 0.1);
  yard.hose("h", a, b, 0.030);
  yard.overflow(a, 0.9, 0.05, b);
  yard.draw("tap", b, 0.0, 0.1);
  const Network network(*yard.array());
  Stepper stepper(network, {});
  ASSERT_TRUE(stepper.begin(setting_at_start(network)));
  ASSERT_EQ(stepper.attempt(0.5), Stepper::Outcome::good);
  const Moved& moved = stepper.moved();
  EXPECT_GT(moved.way_m3[0], 0.0);
  EXPECT_GT(moved.overflow_m3[0], 0.0);
  EXPECT_GT(moved.draw_m3[0], 0.0);
  EXPECT_TRUE(near(stepper.end_volume_m3()[0], 0.95 - moved.way_m3[0] - moved.overflow_m3[0],
                   {1e-15, 0.0}));
  EXPECT_TRUE(near(stepper.end_volume_m3()[1],
                   0.1 + moved.way_m3[0] + moved.overflow_m3[0] - moved.draw_m3[0], {1e-15, 0.0}));
}

// Source of truth: a tank that gives 1 L/s for 60 s from 30 L has 30 L less nothing: what is
// missing goes back to where it went, and no volume is ever negative.
TEST(Stepper, NeverTakesMoreThanThereIs) {
  SmallYard yard;
  const TankId a = yard.box("a", 0.1, 1.0, 0.0, 0.030);
  yard.draw("tap", a, 0.0, 1.0);
  const Network network(*yard.array());
  Stepper stepper(network, {});
  ASSERT_TRUE(stepper.begin(setting_at_start(network)));
  ASSERT_TRUE(step_to(stepper, 3600.0));
  EXPECT_GE(stepper.volume_m3()[0], 0.0);
  EXPECT_LE(stepper.volume_m3()[0], 1e-5);
}

// Source of truth: a parabola through the three instants of a step.
TEST(Stepper, ReadsBetweenItsInstantsByAParabola) {
  const double middle_at = 2.0 - std::sqrt(2.0);
  const auto parabola = [](double share) { return 3.0 - 5.0 * share + 2.0 * share * share; };
  for (double share = 0.0; share <= 1.0; share += 0.125) {
    EXPECT_TRUE(near(Stepper::between(parabola(0.0), parabola(middle_at), parabola(1.0), share),
                     parabola(share), {0.0, 1e-14}))
        << share;
  }
}

TEST(Stepper, TriesAYardAtRestInOneStep) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.5);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.5);
  yard.hose("h", a, b, 0.050);
  const Network network(*yard.array());
  Stepper stepper(network, {});
  ASSERT_TRUE(stepper.begin(setting_at_start(network)));
  EXPECT_EQ(stepper.first_length_s(86400.0), 86400.0);
  EXPECT_EQ(stepper.attempt(86400.0), Stepper::Outcome::good);
  EXPECT_LE(stepper.fastest_m_per_s(), 1e-12);
}

}  // namespace stepper_test
}  // namespace tankyard
