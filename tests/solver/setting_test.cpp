// SPDX-License-Identifier: MIT
#include "solver/setting.h"

#include <gtest/gtest.h>

#include <cmath>

#include "near.h"
#include "small_yard.h"

namespace tankyard {
namespace setting_test {

//   a ==h1== (m) ==h2== b ==h3== c          and a lone header n
struct Row3 {
  SmallYard yard;
  TankId a, b, c;
  HeaderId m, n;

  Row3() {
    a = yard.box("a", 1.0, 1.0, 0.0, 0.8);
    b = yard.box("b", 4.0, 1.0, 0.0, 1.6);
    c = yard.box("c", 2.0, 1.0, 0.0, 0.0);
    m = yard.header("m", 0.6);
    n = yard.header("n", 0.6);
    yard.hose("h1", a, m, 0.02);
    yard.hose("h2", m, b, 0.02);
    yard.hose("h3", b, c, 0.02);
  }
  Hose& hose(std::size_t k) { return yard.parts.hoses[k]; }
};

TEST(Ways, AreTheOpenHosesInPlanOrder) {
  Row3 row;
  row.hose(1).valve = Valve{"V", false, 0.05};
  const Network network(*row.yard.array());
  const Ways ways = ways_of(network, setting_at_start(network));
  ASSERT_EQ(ways.open.size(), 2U);
  EXPECT_EQ(network.links[ways.open[0].link].part, 0U);
  EXPECT_EQ(network.links[ways.open[1].link].part, 2U);
  // a with m; b with c; n alone.
  EXPECT_EQ(ways.group, (std::vector<int>{0, 1, 1, 0, 4}));
  EXPECT_EQ(ways.rests, (std::vector<bool>{false, false, false, false, true}));
}

TEST(Ways, LetAHeaderRestThatNoTankReaches) {
  Row3 row;
  row.hose(0).open = row.hose(1).open = false;
  row.yard.hose("h4", row.m, row.n, 0.02);
  const Network network(*row.yard.array());
  const Ways ways = ways_of(network, setting_at_start(network));
  EXPECT_TRUE(ways.rests[3]);
  EXPECT_TRUE(ways.rests[4]);
  EXPECT_EQ(ways.open.size(), 1U);  // the hose between them carries nothing and is no way
}

TEST(Ways, PutMouthsAtACrestThatHoldsAir) {
  Row3 row;
  row.hose(2).crest_m = 0.9;
  const Network network(*row.yard.array());
  Setting setting = setting_at_start(network);
  EXPECT_FALSE(setting.crest_primed[2]);
  EXPECT_EQ(ways_of(network, setting).open[2].from_mouth_m, 0.9);
  EXPECT_EQ(ways_of(network, setting).open[2].to_mouth_m, 0.9);
  setting.crest_primed[2] = true;
  EXPECT_EQ(ways_of(network, setting).open[2].from_mouth_m, 0.0);
  EXPECT_EQ(ways_of(network, setting).open[2].to_mouth_m, 0.0);
}

TEST(Ways, PutMouthsAtAHeaderThatHoldsAir) {
  Row3 row;
  const Network network(*row.yard.array());
  Setting setting = setting_at_start(network);
  setting.header_primed[0] = false;
  EXPECT_EQ(ways_of(network, setting).open[0].to_mouth_m, 0.6);
  EXPECT_EQ(ways_of(network, setting).open[1].from_mouth_m, 0.6);
  setting.header_primed[0] = true;
  EXPECT_EQ(ways_of(network, setting).open[0].to_mouth_m, no_mouth);
  EXPECT_FALSE(ways_of(network, setting).open[1].from_covers);
}

TEST(Ways, ReckonLitresByTheSmallerTank) {
  Row3 row;
  const Network network(*row.yard.array());
  const Ways ways = ways_of(network, setting_at_start(network));
  EXPECT_TRUE(near(ways.open[0].per_area_per_m2, 1.0, {1e-15, 0.0}));
  EXPECT_TRUE(near(ways.open[1].per_area_per_m2, 0.25, {1e-15, 0.0}));
  EXPECT_TRUE(near(ways.open[2].per_area_per_m2, 0.5, {1e-15, 0.0}));
}

TEST(Ways, OpenANozzlesHoseWithItsTap) {
  Row3 row;
  const OutletId tap = row.yard.tap("t", 0.1, 0.01);
  row.yard.hose("h4", row.a, tap, 0.02);
  const Network network(*row.yard.array());
  Setting setting = setting_at_start(network);
  EXPECT_EQ(ways_of(network, setting).open.size(), 4U);
  setting.outlet_open[0] = false;
  EXPECT_EQ(ways_of(network, setting).open.size(), 3U);
  setting.outlet_open[0] = true;
  setting.hose_open[3] = false;
  EXPECT_EQ(ways_of(network, setting).open.size(), 3U);
}

TEST(SettingAtStart, FillsAHeaderThatATankStandsAbove) {
  Row3 row;  // a stands at 0.8, m at 0.6
  EXPECT_TRUE(setting_at_start(Network(*row.yard.array())).header_primed[0]);
  EXPECT_FALSE(setting_at_start(Network(*row.yard.array())).header_primed[1]);
  row.yard.at(row.a).water_m3 = 0.6;  // at its height is not above it
  EXPECT_FALSE(setting_at_start(Network(*row.yard.array())).header_primed[0]);
  row.yard.at(row.a).water_m3 = 0.8;
  row.hose(0).open = false;  // b and c stand lower
  EXPECT_FALSE(setting_at_start(Network(*row.yard.array())).header_primed[0]);
}

TEST(SettingAtStart, FillsACrestThatBothEndsStandAbove) {
  Row3 row;
  row.hose(2).crest_m = 0.3;
  EXPECT_FALSE(setting_at_start(Network(*row.yard.array())).crest_primed[2]);
  row.yard.at(row.c).water_m3 = 0.8;  // 0.4 deep, like b
  EXPECT_TRUE(setting_at_start(Network(*row.yard.array())).crest_primed[2]);
  row.yard.at(row.c).water_m3 = 0.0;
  row.hose(2).primed = true;
  EXPECT_TRUE(setting_at_start(Network(*row.yard.array())).crest_primed[2]);
}

}  // namespace setting_test
}  // namespace tankyard
