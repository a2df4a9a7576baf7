// SPDX-License-Identifier: MIT
// One instant: flows at levels that have no time to move. Random stages are in tests/properties.
#include "solver/balance.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "near.h"
#include "small_yard.h"
#include "solver/spill.h"

namespace tankyard {
namespace balance_test {

/// An array at its first instant, or a while of `weight_s` after it.
struct Stage {
  Network network;
  Setting setting;
  Balance balance;
  Instant instant;
  std::vector<double> wanted_m3;
  Balance::Ask ask;

  explicit Stage(const SmallYard& yard, double weight_s = 1e-9)
      : network(*yard.array()), setting(setting_at_start(network)), balance(network) {
    instant.head_m.assign(static_cast<std::size_t>(network.places()), 0.0);
    for (std::size_t i = 0; i < network.tanks.size(); ++i) {
      wanted_m3.push_back(yard.parts.tanks[i].water_m3);
      instant.head_m[i] = network.tanks[i].head_of(wanted_m3[i]);
    }
    ask.weight_s = weight_s;
    ask.worth_s = std::max(weight_s, 60.0);
    ask.depth_tolerance_m = 1e-8;
    ask.wanted_m3 = &wanted_m3;
  }
  Stage(const Stage&) = delete;

  bool settles() {
    balance.take(setting, instant);
    return balance.settle(ask, instant).settled;
  }
};

//   |~~~~|
//   |    |======|~~~~|
//   |____|      |____|
SmallYard pair_of(double high_m, double low_m, double total_k = 1.5) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, high_m);
  const TankId b = yard.box("b", 1.0, 2.0, 0.0, low_m);
  yard.hose("h", a, b, 0.050, total_k);
  return yard;
}

// Source of truth: Q = A sqrt(2 g dH / K), both mouths deep under water.
TEST(Balance, DrivesAHoseByTheDifferenceOfTheLevels) {
  const double area = 3.14159265358979323846 / 4.0 * 0.050 * 0.050;
  for (const double difference : {0.9, 0.1, 1e-3}) {
    Stage forth(pair_of(1.0, 1.0 - difference));
    ASSERT_TRUE(forth.settles());
    const double want = area * std::sqrt(2.0 * gravity_m_per_s2 * difference / 1.5);
    EXPECT_TRUE(near(forth.instant.way_m3_per_s[0], want, {1e-5, 0.0})) << difference;
    Stage back(pair_of(1.0 - difference, 1.0));
    ASSERT_TRUE(back.settles());
    EXPECT_TRUE(near(back.instant.way_m3_per_s[0], -forth.instant.way_m3_per_s[0], {1e-12, 0.0}));
  }
  Stage level(pair_of(0.7, 0.7));
  ASSERT_TRUE(level.settles());
  EXPECT_TRUE(near(level.instant.way_m3_per_s[0], 0.0, {0.0, 1e-12}));
}

// Source of truth: a half covered mouth lets Q = s A sqrt(2 g dH / K) through, s = 1/2, and water
// falls in freely at an end that stands above the water there.
TEST(Balance, LetsAHalfCoveredMouthPassHalf) {
  SmallYard yard = pair_of(0.6, 0.0);
  yard.parts.hoses[0].from.height_m = 0.575;
  yard.parts.hoses[0].to.height_m = 0.3;
  Stage stage(yard);
  ASSERT_TRUE(stage.settles());
  const double area = 3.14159265358979323846 / 4.0 * 0.050 * 0.050;
  const double want = 0.5 * area * std::sqrt(2.0 * gravity_m_per_s2 * 0.3 / 1.5);
  EXPECT_TRUE(near(stage.instant.way_m3_per_s[0], want, {1e-5, 0.0}));
}

TEST(Balance, LetsNothingOutOfADryMouth) {
  SmallYard yard = pair_of(0.6, 0.0);
  yard.parts.hoses[0].from.height_m = 0.7;
  Stage stage(yard);
  ASSERT_TRUE(stage.settles());
  EXPECT_EQ(stage.instant.way_m3_per_s[0], 0.0);
}

// Source of truth: dH less the cracking head drives what is left; below it nothing does.
TEST(Balance, AsksANonReturnValveForItsCrackingHead) {
  SmallYard yard = pair_of(1.0, 0.5);
  yard.parts.hoses[0].one_way = true;
  yard.parts.hoses[0].cracking_head_m = 0.2;
  Stage opens(yard);
  Stage plain(pair_of(0.8, 0.5));
  ASSERT_TRUE(opens.settles());
  ASSERT_TRUE(plain.settles());
  EXPECT_TRUE(near(opens.instant.way_m3_per_s[0], plain.instant.way_m3_per_s[0], {1e-9, 0.0}));

  yard.parts.hoses[0].cracking_head_m = 0.6;
  Stage stays(yard);
  ASSERT_TRUE(stays.settles());
  EXPECT_EQ(stays.instant.way_m3_per_s[0], 0.0);

  SmallYard turned = pair_of(0.5, 1.0);
  turned.parts.hoses[0].one_way = true;
  Stage shut(turned);
  ASSERT_TRUE(shut.settles());
  EXPECT_EQ(shut.instant.way_m3_per_s[0], 0.0);
}

// Source of truth: two like hoses in a row share the head evenly.
TEST(Balance, PutsAHeaderHalfWayBetweenTwoLikeHoses) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, 1.0);
  const TankId b = yard.box("b", 1.0, 2.0, 0.0, 0.4);
  const HeaderId m = yard.header("m", 0.0);
  yard.hose("h1", a, m, 0.050);
  yard.hose("h2", m, b, 0.050);
  Stage stage(yard);
  ASSERT_TRUE(stage.settles());
  EXPECT_TRUE(near(stage.instant.head_m[2], 0.7, {0.0, 1e-6}));
  EXPECT_TRUE(near(stage.instant.way_m3_per_s[0], stage.instant.way_m3_per_s[1], {1e-12, 0.0}));
}

TEST(Balance, GivesADrawOnADryHeaderNothing) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, 0.0);
  const HeaderId m = yard.header("m", 0.5);
  yard.hose("h", a, m, 0.050);
  Outlet trough;
  trough.name = "trough";
  trough.at = HoseEnd{m, std::nullopt};
  trough.draw_m3_per_s = 1e-3;
  trough.open = true;
  yard.parts.outlets.push_back(trough);
  Stage dry(yard);
  ASSERT_TRUE(dry.settles());
  EXPECT_TRUE(near(dry.instant.draw_m3_per_s[0], 0.0, {0.0, 1e-12}));
  EXPECT_TRUE(near(dry.instant.way_m3_per_s[0], 0.0, {0.0, 1e-12}));

  yard.at(a).water_m3 = 1.0;
  Stage wet(yard);
  ASSERT_TRUE(wet.settles());
  EXPECT_TRUE(near(wet.instant.draw_m3_per_s[0], 1e-3, {1e-9, 0.0}));
  EXPECT_TRUE(near(wet.instant.way_m3_per_s[0], 1e-3, {1e-9, 0.0}));
}

TEST(Balance, SpillsByItsOverflowAndItsRim) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 1.0);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.0);
  yard.overflow(a, 0.9, 0.05, b);
  Stage stage(yard);
  stage.wanted_m3[0] = 1.02;  // 20 mm over the rim
  stage.instant.head_m[0] = 1.02;
  ASSERT_TRUE(stage.settles());
  EXPECT_TRUE(near(stage.instant.overflow_m3_per_s[0], through_overflow(0.12, 0.05, 0.6).m3_per_s,
                   {1e-6, 0.0}));
  EXPECT_TRUE(near(stage.instant.over_rim_m3_per_s[0], over_rim(0.02, 4.0).m3_per_s, {1e-6, 0.0}));
  EXPECT_EQ(stage.instant.overflow_m3_per_s[1], 0.0);
}

// Source of truth: the stage's own equation, V - V^ - weight Q = 0, put in again.
TEST(Balance, MeetsItsVolumesAfterAWhile) {
  Stage stage(pair_of(1.0, 0.2, 40.0), 300.0);
  ASSERT_TRUE(stage.settles());
  const double flow = stage.instant.way_m3_per_s[0];
  EXPECT_GT(flow, 0.0);
  EXPECT_TRUE(near(stage.instant.head_m[0], 1.0 - 300.0 * flow, {1e-12, 0.0}));
  EXPECT_TRUE(near(stage.instant.head_m[1], 0.2 + 300.0 * flow, {1e-12, 0.0}));
  const LossLaw& law = stage.network.links[0].loss;
  EXPECT_TRUE(near(head_lost(law, flow).head_m, stage.instant.head_m[0] - stage.instant.head_m[1],
                   {1e-6, 0.0}));
}

// Source of truth: a litre in a lone tank of 2 m2 is half a millimetre; between tanks that a wide
// hose has time to level it is a litre over both.
TEST(Balance, SpreadsAVolumeAsTheFlowsWould) {
  SmallYard alone;
  alone.box("a", 2.0, 2.0, 0.0, 1.0);
  Stage one(alone, 300.0);
  ASSERT_TRUE(one.settles());
  std::vector<double> extra = {1e-3};
  one.balance.spread(extra, {});
  EXPECT_TRUE(near(extra[0], 0.5e-3, {1e-9, 0.0}));

  Stage two(pair_of(0.7, 0.7), 1e9);
  ASSERT_TRUE(two.settles());
  extra = {1e-3, 0.0};
  two.balance.spread(extra, {});
  EXPECT_TRUE(near(extra[0], 0.5e-3, {1e-3, 0.0}));
  EXPECT_TRUE(near(extra[1], 0.5e-3, {1e-3, 0.0}));
}

TEST(Balance, KeepsTheFlowOfAWayThatStays) {
  SmallYard yard = pair_of(1.0, 0.5);
  yard.hose("g", id_at<TankId>(0), id_at<TankId>(1), 0.020);
  Stage stage(yard);
  ASSERT_TRUE(stage.settles());
  const double of_g = stage.instant.way_m3_per_s[1];
  stage.setting.hose_open[0] = false;
  stage.balance.take(stage.setting, stage.instant);
  ASSERT_EQ(stage.instant.way_m3_per_s.size(), 1U);
  EXPECT_EQ(stage.instant.way_m3_per_s[0], of_g);
}

// Water runs from `full` to `empty` by two thin hoses and a rail of four headers joined by wide
// ones, which move hardly at all one by one.
TEST(Sweeps, MoveHeadersOnWideHosesTogether) {
  SmallYard yard;
  const TankId full = yard.box("full", 1.0, 2.0, 0.0, 1.9);
  const TankId empty = yard.box("empty", 1.0, 2.0, 0.0, 0.1);
  std::vector<HeaderId> rail;
  for (const char* name : {"r1", "r2", "r3", "r4"}) rail.push_back(yard.header(name, 0.0));
  yard.hose("in", full, rail.front(), 0.010, 20.0);
  for (std::size_t k = 1; k < rail.size(); ++k) {
    yard.hose("rail" + std::to_string(k), rail[k - 1], rail[k], 0.200, 1.5);
  }
  yard.hose("out", rail.back(), empty, 0.010, 20.0);
  Stage turned(yard);
  ASSERT_TRUE(turned.settles());
  Stage swept(yard);
  swept.balance.take(swept.setting, swept.instant);
  swept.ask.most_sweeps = 10;
  ASSERT_TRUE(swept.balance.sweep(swept.ask, swept.instant).settled);
  for (std::size_t place = 0; place < swept.instant.head_m.size(); ++place) {
    EXPECT_NEAR(swept.instant.head_m[place], turned.instant.head_m[place], 1e-6) << place;
  }
}

// Nothing leads on from `end`, and the mouth at the empty tank gives nothing back: any head up to
// that mouth is right, and none above it.
TEST(Sweeps, LetADeadEndFallToTheMouthItGivesBy) {
  SmallYard yard;
  const TankId empty = yard.box("empty", 1.0, 2.0, 0.0, 0.0);
  const HeaderId end = yard.header("end", 0.0);
  yard.hose("h", end, empty, 0.087).to.height_m = 0.155;
  Stage stage(yard);
  stage.balance.take(stage.setting, stage.instant);
  stage.instant.head_m[1] = 1.667;
  stage.ask.most_sweeps = 10;
  ASSERT_TRUE(stage.balance.sweep(stage.ask, stage.instant).settled);
  EXPECT_NEAR(stage.instant.head_m[1], 0.155, 1e-9);
  EXPECT_NEAR(stage.instant.way_m3_per_s[0], 0.0, 1e-9);
}

}  // namespace balance_test
}  // namespace tankyard
