// SPDX-License-Identifier: MIT
// The four days that a way of joining is put through, against what can be worked out by hand.
#include "solver/studies/link_trials.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "near.h"
#include "solver/small_yard.h"
#include "solver/water.h"

namespace tankyard {
namespace link_trials_test {

constexpr double gravity = 9.80665;
constexpr double pi = 3.14159265358979323846;

/// The last tank is the new one, and its hoses are the last ones.
LinkFigures figures(const SmallYard& yard, std::size_t new_hoses, double tolerance_m = 1e-6) {
  const auto tank = id_at<TankId>(yard.parts.tanks.size() - 1);
  Parts alone = yard.parts;
  alone.hoses.resize(alone.hoses.size() - new_hoses);
  const Result<Array> array = Array::make(alone);
  EXPECT_TRUE(array.has_value());
  RunOptions options;
  options.depth_tolerance_m = tolerance_m;
  const Result<LinkTrials> trials = link_trials(*array, yard.sheet, tank, options);
  EXPECT_TRUE(trials.has_value());
  const Result<std::vector<double>> full_m3 = full_when_joined(yard.parts);
  EXPECT_TRUE(full_m3.has_value());
  const Result<LinkFigures> found = figures_of(yard.parts, *trials, *full_m3, new_hoses);
  EXPECT_TRUE(found.has_value()) << (found ? "" : found.error().front().message);
  return found.value_or(LinkFigures{});
}

// Source: the falling head between two vessels, dd/dt = -2 Q / A with Q = a sqrt(2 g d / K), any
// text of hydraulics: t = A / (a sqrt(2 g / K)) (sqrt d0 - sqrt d1).
TEST(LinkTrials, TellWhenTwoEqualTanksOfConstantLossAreLevel) {
  for (const double bore_m : {0.019, 0.032, 0.050}) {
    SmallYard yard;
    const TankId old = yard.box("old", 1.1, 1.0, 0.0, 0.5);
    const TankId fresh = yard.box("new", 1.1, 1.0, 0.0, 0.0);
    constexpr double k = 4.0;
    yard.hose("joins", fresh, old, bore_m, k);
    const double hole_m2 = pi / 4.0 * bore_m * bore_m;
    const double by_hand_s =
        1.1 / (hole_m2 * std::sqrt(2.0 * gravity / k)) * (std::sqrt(1.0) - std::sqrt(0.010));
    const LinkFigures found = figures(yard, 1);
    ASSERT_TRUE(found.levels_in_s);
    // The trial rounds the root off near nought and reads between rows.
    EXPECT_NEAR(*found.levels_in_s / by_hand_s, 1.0, 0.005) << bore_m;
    EXPECT_EQ(found.levels_with, 1U);
  }
}

/// Two like boxes, one full and one empty, through a hose so long and thin that the flow is
/// laminar. Source: Hagen and Poiseuille, Q = pi g D^4 d / (128 nu L), so d = d0 exp(-t / tau) with
/// tau = A/2 128 nu L / (pi g D^4); told is when d is down to 10 mm.
struct LaminarPair {
  SmallYard yard;
  double level_in_s = 0.0;

  LaminarPair(double area_m2, double height_m, double bore_m, double length_m) {
    const TankId old = yard.box("old", area_m2, height_m, 0.0, 0.1 * height_m);
    const TankId fresh = yard.box("new", area_m2, height_m, 0.0, 0.0);
    yard.hose("joins", fresh, old, bore_m, 1.5).length_m = length_m;
    const double nu =
        water_at(yard.parts.site.water_temperature_degc, 0.0).kinematic_viscosity_m2_per_s;
    const double tau_s =
        0.5 * area_m2 * 128.0 * nu * length_m / (pi * gravity * std::pow(bore_m, 4));
    level_in_s = tau_s * std::log(height_m / 0.010);
  }
};

TEST(LinkTrials, TellWhenALaminarPairIsLevel) {
  const LaminarPair pair(0.5, 0.6, 0.006, 100.0);
  const LinkFigures found = figures(pair.yard, 1);
  ASSERT_TRUE(found.levels_in_s);
  // Entry and exit add a little to the loss.
  EXPECT_NEAR(*found.levels_in_s / pair.level_in_s, 1.0, 0.01);
}

// Wide, shallow tanks, whose levels move by less than half a millimetre in a tenth of six hours,
// and are level after twenty-nine.
TEST(LinkTrials, LookOnWhileLevelsThatHardlyMoveCloseIn) {
  const LaminarPair pair(12.0, 0.040, 0.010, 30.0);
  ASSERT_GT(pair.level_in_s, 4.0 * 6.0 * 3600.0);
  const LinkFigures found = figures(pair.yard, 1);
  ASSERT_TRUE(found.levels_in_s);
  EXPECT_NEAR(*found.levels_in_s / pair.level_in_s, 1.0, 0.02);
}

// Source: heads at the hub by continuity. Each of N - 1 full tanks gives q, the new one gets
// (N - 1) q, the difference is k q^2 (1 + (N-1)^2) and falls by N q / A.
TEST(LinkTrials, TellWhenAStarOfTanksIsLevel) {
  for (const std::size_t n : {3U, 5U}) {
    SmallYard yard;
    const HeaderId hub = yard.header("hub", -0.05);
    std::vector<TankId> old;
    for (std::size_t i = 0; i + 1 < n; ++i) {
      old.push_back(yard.box("old-" + std::to_string(i), 1.0, 1.0, 0.0, 0.5));
    }
    const TankId fresh = yard.box("new", 1.0, 1.0, 0.0, 0.0);
    constexpr double bore_m = 0.025;
    constexpr double k_total = 6.0;
    for (const TankId id : old) yard.hose("h" + std::to_string(id.index), id, hub, bore_m, k_total);
    yard.hose("joins", fresh, hub, bore_m, k_total);
    const double area_m2 = pi / 4.0 * bore_m * bore_m;
    const double k = k_total / (2.0 * gravity * area_m2 * area_m2);  // head lost over q squared
    const double others = static_cast<double>(n) - 1.0;
    const double by_hand_s = 2.0 / static_cast<double>(n) * std::sqrt(k * (1.0 + others * others)) *
                             (std::sqrt(1.0) - std::sqrt(0.010));
    const LinkFigures found = figures(yard, 1);
    ASSERT_TRUE(found.levels_in_s);
    EXPECT_NEAR(*found.levels_in_s / by_hand_s, 1.0, 0.01) << n;
    EXPECT_EQ(found.levels_with, n - 1);
  }
}

//   old  |~~~~| 1.5        by hand: the new tank's rim caps both at 1.2 m, so the old one holds
//        |    | 1.2 |~~~|   0.7 of its 1.0 m3; drawn at 0.5 m the new one gives 0.7 and keeps 0.3
//   tap -|____| 0.5 |   |
//               0.2 |___|
TEST(LinkTrials, GiveTheUsableVolumeOfTwoPrismsAtDifferentBases) {
  SmallYard yard;
  const TankId old = yard.box("old", 1.0, 1.0, 0.5, 0.5);
  yard.draw("tap", old, 0.0, 0.2);
  const TankId fresh = yard.box("new", 1.0, 1.0, 0.2, 0.0);
  yard.hose("joins", fresh, old, 0.050, 4.0);
  const LinkFigures found = figures(yard, 1);
  EXPECT_NEAR(found.full_new_m3, 1.0, 0.002);
  EXPECT_NEAR(found.full_others_m3, 0.7, 0.002);
  EXPECT_NEAR(found.drawn_m3, 1.4, 0.005);
  EXPECT_NEAR(found.stranded_m3, 0.3, 0.005);
}

// Source: one vessel of twice the floor.
TEST(LinkTrials, TakeAHoseWithoutLossForOneBiggerTank) {
  SmallYard yard;
  const TankId old = yard.box("old", 1.0, 1.0, 0.3, 0.2);
  yard.overflow(old, 0.9);
  yard.roof("roof", old, 60.0);
  yard.rain(600.0, 3000.0, 30.0);
  yard.draw("tap", old, 0.0, 0.1);
  SmallYard bigger = yard;
  const TankId fresh = yard.box("new", 1.0, 1.0, 0.3, 0.0);
  yard.overflow(fresh, 0.9);
  yard.hose("joins", fresh, old, 0.3, 1.5);
  const LinkFigures joined = figures(yard, 1);

  bigger.at(old).shape = Prism{2.0, 1.0};
  // A tank to be the new one, which nothing joins and nothing reaches.
  bigger.box("aside", 0.001, 1.0, 0.3, 0.0);
  const LinkFigures one = figures(bigger, 0);
  EXPECT_NEAR(joined.storm_spilt_m3, one.storm_spilt_m3, 0.01);
  EXPECT_NEAR(joined.drawn_m3, one.drawn_m3, 0.005);
  EXPECT_NEAR(joined.day_spilt_m3, one.day_spilt_m3, 0.005);
  EXPECT_NEAR(joined.day_delivered_m3, one.day_delivered_m3, 0.005);
  // A wide mouth that is not covered yet passes little.
  EXPECT_LT(joined.lag_filling_m, 0.010);
  EXPECT_LT(joined.lag_drawing_m, 0.010);
}

TEST(LinkTrials, SayNeverWhereNoOtherTankComesToTheLevel) {
  SmallYard yard;
  const TankId old = yard.box("old", 1.0, 1.0, 0.0, 0.5);
  const TankId fresh = yard.box("new", 1.0, 1.0, 1.5, 0.0);
  yard.hose("joins", fresh, old, 0.032, 4.0);
  const LinkFigures found = figures(yard, 1);
  EXPECT_FALSE(found.levels_in_s);
  EXPECT_EQ(found.levels_with, 0U);
}

// A tail that runs off a mouth for days may still bring a tank within the limit.
TEST(LinkTrials, LookLongEnoughWhereTheLevelsEndAlmostTogether) {
  SmallYard yard;
  const TankId old = yard.box("old", 3.6, 0.93, 0.0, 0.5);
  yard.at(old).outlet_height_m = 0.746;
  const TankId fresh = yard.box("new", 0.74, 0.884, 0.7361 - 0.884, 0.0);  // its rim 9.9 mm below
  yard.hose("joins", fresh, old, 0.0, 4.0);
  double narrower_s = std::numeric_limits<double>::infinity();
  for (const double bore_m : {0.010, 0.016, 0.025, 0.040}) {
    yard.parts.hoses.back().bore_m = bore_m;
    yard.parts.hoses.back().to.height_m = 0.746;
    const LinkFigures found = figures(yard, 1, 1e-4);
    ASSERT_TRUE(found.levels_in_s) << bore_m;
    EXPECT_LT(*found.levels_in_s, narrower_s) << bore_m;
    narrower_s = *found.levels_in_s;
  }
}

TEST(LinkTrials, FillAYardWithoutRoofsFromItsLargestTank) {
  SmallYard yard;
  yard.box("small", 0.3, 1.0, 0.0, 0.0);
  const TankId large = yard.box("large", 2.0, 1.0, 0.0, 0.0);
  const TankId fresh = yard.box("new", 5.0, 1.0, 0.0, 0.0);
  const Result<LinkTrials> trials = link_trials(*yard.array(), yard.sheet, fresh, {});
  ASSERT_TRUE(trials);
  EXPECT_TRUE(trials->rain_assumed);
  ASSERT_TRUE(trials->filled_into);
  EXPECT_EQ(trials->filled_into->index, large.index);
}

// A thin hose misses the storm: what it still has room for when the rain ends is counted.
TEST(LinkTrials, CountWhatAThinHoseMisses) {
  SmallYard yard;
  const TankId old = yard.box("old", 1.0, 1.0, 0.0, 0.2);
  yard.overflow(old, 0.9);
  yard.roof("roof", old, 120.0);
  const TankId fresh = yard.box("new", 1.0, 1.0, 0.0, 0.0);
  yard.overflow(fresh, 0.9);
  yard.hose("joins", fresh, old, 0.008, 5.0);
  const LinkFigures thin = figures(yard, 1);
  EXPECT_GT(thin.storm_missed_m3, 0.5);
  EXPECT_GT(thin.lag_filling_m, 0.5);
  yard.parts.hoses.back().bore_m = 0.1;
  const LinkFigures wide = figures(yard, 1);
  EXPECT_LT(wide.storm_missed_m3, 0.02);
  EXPECT_LT(wide.lag_filling_m, 0.05);
  // Only what the two can hold less is spilt either way.
  EXPECT_NEAR(thin.storm_spilt_m3 - wide.storm_spilt_m3, thin.storm_missed_m3, 0.05);
}

}  // namespace link_trials_test
}  // namespace tankyard
