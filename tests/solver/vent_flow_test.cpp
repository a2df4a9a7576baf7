// SPDX-License-Identifier: MIT
#include "solver/vent_flow.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <initializer_list>
#include <utility>

#include "near.h"

namespace tankyard {
namespace vent_flow_test {

constexpr double pi = 3.14159265358979323846;
constexpr double hole_m2 = 0.6 * pi / 4.0 * 0.010 * 0.010;
constexpr double sea_level_pa = 101325.0;

// Random spaces: 2 kPa to 400 kPa, a good part of them within a pascal of one another; -20 to 60
// degC.
struct Spaces {
  double area_m2, a_pa, a_k, b_pa, b_k;
};

double any_pressure_pa() { return 2000.0 * std::pow(200.0, *rc::gen::inRange(0, 100001) / 1e5); }

double any_temperature_k() { return 253.15 + *rc::gen::inRange(0, 81); }

// From 1e-5 Pa to 1e5 Pa in equal steps of its logarithm.
double any_difference_pa() { return std::pow(10.0, *rc::gen::inRange(-50000, 50001) / 1e4); }

Spaces any_spaces() {
  Spaces spaces{};
  const double bore_m = 0.001 * std::pow(100.0, *rc::gen::inRange(0, 101) / 100.0);
  spaces.area_m2 = 0.6 * pi / 4.0 * bore_m * bore_m;
  spaces.a_pa = any_pressure_pa();
  spaces.b_pa =
      *rc::gen::element(true, false) ? any_pressure_pa() : spaces.a_pa + any_difference_pa();
  spaces.a_k = any_temperature_k();
  spaces.b_k = any_temperature_k();
  if (*rc::gen::element(true, false)) std::swap(spaces.a_pa, spaces.b_pa);
  return spaces;
}

AirExchange air_between(const Spaces& s) {
  return tankyard::air_between(s.area_m2, s.a_pa, s.a_k, s.b_pa, s.b_k);
}

// Source of truth: the formula as printed, in long double, away from zero.
TEST(Vent, IsTheIsentropicHole) {
  for (double inside = 53600.0; inside < 101000.0; inside += 811.0) {
    const long double r = static_cast<long double>(inside) / 101325.0L;
    const long double g = 1.4L;
    const long double bracket = std::pow(r, 2.0L / g) - std::pow(r, (g + 1.0L) / g);
    const long double want = static_cast<long double>(hole_m2) * 101325.0L *
                             std::sqrt(2.0L * g / (g - 1.0L) / (287.05287L * 288.15L) * bracket);
    EXPECT_TRUE(near(air_into(hole_m2, sea_level_pa, 288.15, inside, 280.0).kg_per_s,
                     static_cast<double>(want), {1e-13, 0.0}))
        << inside << " Pa inside";
  }
}

// Source of truth: the same formula; a space at 90 kPa draws as a space at 101 325 Pa blows.
TEST(Vent, TakesTheStateOfTheSideItComesFrom) {
  const double in = air_into(hole_m2, 101325.0, 300.0, 90000.0, 250.0).kg_per_s;
  const double out = air_into(hole_m2, 90000.0, 250.0, 101325.0, 300.0).kg_per_s;
  EXPECT_EQ(in, -out);
  EXPECT_GT(in, 0.0);
}

// Source of truth: below the critical ratio the flow no longer knows the pressure downstream, and
// goes with the one upstream.
TEST(Vent, ChokesBelowTheCriticalRatio) {
  const double most = air_into(hole_m2, 1e5, 288.15, 52828.0, 288.15).kg_per_s;
  for (const double inside : {1e-3, 100.0, 20000.0, 50000.0}) {
    const AirFlow air = air_into(hole_m2, 1e5, 288.15, inside, 288.15);
    EXPECT_EQ(air.kg_per_s, air_into(hole_m2, 1e5, 288.15, 1.0, 288.15).kg_per_s);
    EXPECT_EQ(air.slope_kg_per_s_pa, 0.0);
    EXPECT_TRUE(near(air.kg_per_s, most, {1e-12, 0.0}));
  }
  const AirFlow out = air_into(hole_m2, 1e5, 288.15, 3e5, 288.15);
  EXPECT_TRUE(near(out.kg_per_s, out.slope_kg_per_s_pa * 3e5, {1e-14, 0.0}));
}

// Source of truth: flow and slope are one formula's to either side of the critical ratio, so that
// across it neither may jump by more than the second derivative carries.
TEST(Vent, HasNoCornerWhereItChokes) {
  const double at = 1e5 * std::pow(5.0 / 6.0, 3.5);
  for (const double step : {1.0, 1e-3, 1e-6}) {
    const AirFlow above = air_into(hole_m2, 1e5, 288.15, at + step, 288.15);
    const AirFlow below = air_into(hole_m2, 1e5, 288.15, at - step, 288.15);
    EXPECT_TRUE(near(above.kg_per_s, below.kg_per_s, {1e-9 * step + 1e-14, 0.0}));
    EXPECT_LE(above.slope_kg_per_s_pa, 0.0);
    // d2m/dp2 = -m (7/6) r^-2 / p1^2 or so: 2e-10 of m a pascal, held to ten times that.
    EXPECT_TRUE(near(above.slope_kg_per_s_pa, 0.0, {0.0, 2e-9 * above.kg_per_s * step}));
  }
}

// Source of truth: the square root's own law, which the rounding must leave alone.
TEST(Vent, IsRoundedOffOnlyBelowAPascal) {
  for (const double kelvin : {253.15, 288.15, 333.15}) {
    for (const double dp : {1.0, 3.0, 100.0, 399.0}) {
      const double inside = sea_level_pa - dp;  // exact in doubles: dp is a small integer
      const double x = dp / sea_level_pa;
      // Bernoulli with the first term of expansibility: 1 - 3 x / (4 g), sqrt(7 y^5 (1-y) / 2x).
      const double want = hole_m2 * std::sqrt(2.0 * sea_level_pa / (287.05287 * kelvin) * dp) *
                          (1.0 - 0.75 / 1.4 * x);
      const double ours = air_into(hole_m2, sea_level_pa, kelvin, inside, kelvin).kg_per_s;
      EXPECT_TRUE(near(ours, want, {1e-6 + x * x, 0.0})) << dp << " Pa, " << kelvin << " K";
      if (dp >= 3.0) {
        EXPECT_TRUE(near(ours, want, {3e-8 + x * x, 0.0})) << dp << " Pa";
      }
    }
  }
}

// Source of truth: symmetry. At no difference nothing flows, and the slope is the same from either
// side even where they differ in temperature.
TEST(Vent, CrossesZeroWithoutACorner) {
  const AirFlow none = air_into(hole_m2, sea_level_pa, 300.0, sea_level_pa, 260.0);
  EXPECT_EQ(none.kg_per_s, 0.0);
  EXPECT_LT(none.slope_kg_per_s_pa, 0.0);
  for (const double dp : {1e-9, 1e-6, 1e-4}) {
    const AirFlow in = air_into(hole_m2, sea_level_pa, 300.0, sea_level_pa - dp, 260.0);
    const AirFlow out = air_into(hole_m2, sea_level_pa, 300.0, sea_level_pa + dp, 260.0);
    EXPECT_TRUE(near(in.slope_kg_per_s_pa, none.slope_kg_per_s_pa, {1e-7, 0.0})) << dp;
    EXPECT_TRUE(near(out.slope_kg_per_s_pa, none.slope_kg_per_s_pa, {1e-7, 0.0})) << dp;
  }
}

// Source of truth: central differences, in long steps only where the law is nearly straight.
RC_GTEST_PROP(AnyVent, HasTheSlopesOfItsFlow, ()) {
  const Spaces s = any_spaces();
  const double dp = std::fabs(s.a_pa - s.b_pa);
  // The step leaves about as much rounding as curvature. Differences within a thousandth of a
  // pascal are told from 100 kPa to 1e-8 of themselves at best, and are left to the test above.
  RC_PRE(dp > 1e-3);
  // Nor may the step lie across choking, where the slope has a corner of its own.
  const double ratio = std::fmin(s.a_pa, s.b_pa) / std::fmax(s.a_pa, s.b_pa);
  RC_PRE(std::fabs(ratio - std::pow(5.0 / 6.0, 3.5)) > 1e-3);
  const double step = 1e-4 * std::fmin(dp, 0.1 * std::fmin(s.a_pa, s.b_pa));
  const AirExchange here = air_between(s);
  const auto at = [&](double da, double db) {
    return air_between({s.area_m2, s.a_pa + da, s.a_k, s.b_pa + db, s.b_k}).kg_per_s;
  };
  const double rounding = 4e-16 * (std::fmax(s.a_pa, s.b_pa)) / step;
  const double scale = std::fabs(here.kg_per_s) / dp;
  const Allowed allowed{1e-6, scale * (1e-6 + rounding)};
  RC_ASSERT(near((at(step, 0.0) - at(-step, 0.0)) / (2.0 * step), here.slope_with_a_kg_per_s_pa,
                 allowed));
  RC_ASSERT(near((at(0.0, step) - at(0.0, -step)) / (2.0 * step), here.slope_with_b_kg_per_s_pa,
                 allowed));
}

// Source of truth: the law in full.
RC_GTEST_PROP(AnyVent, MadeReadyIsTheSameToRounding, ()) {
  const Spaces s = any_spaces();
  const AirFlow plain = air_into(s.area_m2, s.a_pa, s.a_k, s.b_pa, s.b_k);
  const AirFlow ready = Vent(s.area_m2, s.a_pa, s.a_k, s.b_k).at(s.b_pa);
  RC_ASSERT(near(ready.kg_per_s, plain.kg_per_s, {1e-13, 0.0}));
  RC_ASSERT(near(ready.slope_kg_per_s_pa, plain.slope_kg_per_s_pa, {1e-12, 0.0}));
}

// Where one branch of it takes over from another, on either side of the outside's pressure.
TEST(Vent, MadeReadyHasNoStep) {
  const Vent vent(hole_m2, sea_level_pa, 288.15, 280.0);
  for (const double sign : {1.0, -1.0}) {
    for (double dp = 1e-7; dp < 200.0; dp *= 1.01) {
      const double inside_pa = sea_level_pa + sign * dp;
      const AirFlow plain = air_into(hole_m2, sea_level_pa, 288.15, inside_pa, 280.0);
      EXPECT_TRUE(near(vent.at(inside_pa).kg_per_s, plain.kg_per_s, {1e-13, 0.0})) << dp;
      EXPECT_TRUE(near(vent.at(inside_pa).slope_kg_per_s_pa, plain.slope_kg_per_s_pa, {1e-12, 0.0}))
          << dp;
    }
  }
  EXPECT_EQ(vent.at(sea_level_pa).kg_per_s, 0.0);
  EXPECT_EQ(Vent().at(2.0 * sea_level_pa).kg_per_s, 0.0);
}

// Source of truth: what keeps the array solvable; see solver/README.md.
RC_GTEST_PROP(AnyVent, NeverFallsWithOnePressureNorRisesWithTheOther, ()) {
  const Spaces s = any_spaces();
  const double more = any_difference_pa();
  Spaces higher = s;
  higher.a_pa += more;
  Spaces lower = s;
  lower.b_pa += more;
  const double rounding = 1e-14 * std::fabs(air_between(s).kg_per_s);
  RC_ASSERT(air_between(higher).kg_per_s >= air_between(s).kg_per_s - rounding);
  RC_ASSERT(air_between(lower).kg_per_s <= air_between(s).kg_per_s + rounding);
  RC_ASSERT(air_between(s).slope_with_a_kg_per_s_pa >= 0.0);
  RC_ASSERT(air_between(s).slope_with_b_kg_per_s_pa <= 0.0);
}

// Source of truth: symmetry; seen from the other space, the air goes the other way.
RC_GTEST_PROP(AnyVent, IsItsOwnMirror, ()) {
  const Spaces s = any_spaces();
  const AirExchange here = air_between(s);
  const AirExchange there = air_between({s.area_m2, s.b_pa, s.b_k, s.a_pa, s.a_k});
  RC_ASSERT(here.kg_per_s == -there.kg_per_s);
  // At no difference either side may count as the one the air comes from, and their temperatures
  // round differently.
  const Allowed allowed{s.a_pa == s.b_pa ? 1e-15 : 0.0, 0.0};
  RC_ASSERT(near(here.slope_with_a_kg_per_s_pa, -there.slope_with_b_kg_per_s_pa, allowed));
  RC_ASSERT(near(here.slope_with_b_kg_per_s_pa, -there.slope_with_a_kg_per_s_pa, allowed));
}

// Source of truth: two holes side by side carry the sum.
RC_GTEST_PROP(AnyVent, CarriesMoreThroughABiggerHole, ()) {
  const Spaces s = any_spaces();
  Spaces twice = s;
  twice.area_m2 *= 2.0;
  RC_ASSERT(near(air_between(twice).kg_per_s, 2.0 * air_between(s).kg_per_s, {1e-15, 0.0}));
}

TEST(Vent, PassesNothingWithoutAHole) {
  const AirExchange none = tankyard::air_between(0.0, 2e5, 290.0, 1e5, 280.0);
  EXPECT_EQ(none.kg_per_s, 0.0);
  EXPECT_EQ(none.slope_with_a_kg_per_s_pa, 0.0);
  EXPECT_EQ(none.slope_with_b_kg_per_s_pa, 0.0);
}

// Source of truth: areas by hand.
TEST(Lid, LetsThroughWhatItsHolesLeaveFree) {
  Lid lid{.kind = Lid::Kind::holed, .hole_m = 0.010, .coefficient = 0.6, .count = 3, .screen = 0.5};
  EXPECT_TRUE(near(effective_area_m2(lid), 3.0 * 0.6 * 0.5 * 7.853981633974483e-5, {1e-15, 0.0}));
  lid.kind = Lid::Kind::sealed;
  EXPECT_EQ(effective_area_m2(lid), 0.0);
}

// Source of truth: Darcy-Weisbach with the same K, for a difference that hardly thins the air.
TEST(BalanceLine, LosesAsMuchAsItsFriction) {
  const double bore = 0.019;
  const double length = 2.0;
  const double area = balance_line(bore, length).area_m2;
  const double density = sea_level_pa / (287.05287 * 288.15);
  const double dp = 20.0;
  const double kg_per_s =
      tankyard::air_between(area, sea_level_pa, 288.15, sea_level_pa - dp, 288.15).kg_per_s;
  const double velocity = kg_per_s / density / (pi / 4.0 * bore * bore);
  const double loss_pa = (0.03 * length / bore + 1.5) * 0.5 * density * velocity * velocity;
  EXPECT_TRUE(near(loss_pa, dp, {3e-4, 0.0}));
}

// Source of truth: Hagen and Poiseuille, dp = 32 mu L v / D^2, mu = 1.789e-5 Pa s (ISO 2533:1975 at
// 15 degC). Entry and exit, and f = 0.03 where 64/2300 = 0.028 would stand, come on top.
TEST(BalanceLine, PassesASlowFlowAsALaminarHoseDoes) {
  const double density = sea_level_pa / (287.05287 * 288.15);
  for (const double bore : {0.004, 0.006, 0.010}) {
    const double length = 2000.0 * bore;
    const double dp = 1.0;
    const tankyard::BalanceLine line = balance_line(bore, length);
    const double kg_per_s = tankyard::air_between(line.area_m2, sea_level_pa, 288.15,
                                                  sea_level_pa - dp, 288.15, line.rounded_below_pa)
                                .kg_per_s;
    const double velocity = kg_per_s / density / (pi / 4.0 * bore * bore);
    const double laminar = dp * bore * bore / (32.0 * 1.789e-5 * length);
    EXPECT_TRUE(near(velocity, laminar, {0.15, 0.0})) << bore;
  }
}

TEST(VentDeathTest, StopsAtWhatIsNotAState) {
  EXPECT_DEATH(tankyard::air_between(-1e-6, 1e5, 288.0, 1e5, 288.0), "area of 0 or more");
  EXPECT_DEATH(tankyard::air_between(1e-6, 0.0, 288.0, 1e5, 288.0), "absolute pressure over 0");
  EXPECT_DEATH(tankyard::air_between(1e-6, 1e5, 288.0, std::nan(""), 288.0),
               "absolute pressure over 0");
  EXPECT_DEATH(tankyard::air_between(1e-6, 1e5, 288.0, 1e5, 0.0), "absolute temperature over 0");
  EXPECT_DEATH(effective_area_m2(Lid{}), "open lid");
  EXPECT_DEATH(balance_line(0.0, 1.0), "a bore over 0");
}

}  // namespace vent_flow_test
}  // namespace tankyard
