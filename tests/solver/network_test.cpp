// SPDX-License-Identifier: MIT
#include "solver/network.h"

#include <gtest/gtest.h>

#include <cmath>

#include "near.h"
#include "small_yard.h"

namespace tankyard {
namespace network_test {

constexpr double pi = 3.14159265358979323846;

/// K a link has on its own velocity, read back from head = fittings Q^2.
double loss_k(const Link& link) {
  const double area = pi / 4.0 * link.bore_m * link.bore_m;
  return link.loss.hose.fittings * 2.0 * gravity_m_per_s2 * area * area;
}

//   a =====h1===== (m) ---h2--- b        tanks a, b; header m; tap t on m's hose; trough on two
//   hoses
struct Both {
  SmallYard yard;
  TankId a, b;
  HeaderId m;

  Both() {
    a = yard.box("a", 1.0, 1.0, 0.5, 0.3);
    b = yard.box("b", 2.0, 1.5, 0.2, 0.3);
    m = yard.header("m", 0.4);
  }
  Network network() const { return Network(*yard.array()); }
};

// Source of truth: K on one velocity adds up: entry 0.5, exit 1.0, valve, what the plan says.
TEST(Network, AddsUpWhatSitsInAHose) {
  Both both;
  Hose& plain = both.yard.hose("h1", both.a, both.m, 0.025);
  plain.loss_k = 2.0;
  Hose& valved = both.yard.hose("h2", both.m, both.b, 0.050);
  valved.valve = Valve{"V", true, 0.25};
  const Network network = both.network();
  ASSERT_EQ(network.links.size(), 2U);
  EXPECT_TRUE(near(loss_k(network.links[0]), 3.5, {1e-12, 0.0}));
  EXPECT_TRUE(near(loss_k(network.links[1]), 1.75, {1e-12, 0.0}));
}

// Source of truth: the jet of a nozzle of half the bore and c = 0.9 leaves at (4 / 0.9) times the
// hose's velocity; its velocity head stands in place of the exit's.
TEST(Network, LetsANozzlesJetTakeThePlaceOfTheExit) {
  Both both;
  const OutletId tap = both.yard.tap("t", 0.1, 0.010);
  part(both.yard.parts.outlets, tap).coefficient = 0.9;
  both.yard.hose("h", both.a, tap, 0.020);
  const Network network = both.network();
  ASSERT_EQ(network.links.size(), 1U);
  EXPECT_TRUE(near(loss_k(network.links[0]), 0.5 + std::pow(4.0 / 0.9, 2), {1e-12, 0.0}));
  EXPECT_EQ(network.links[0].to, outside);
  EXPECT_EQ(network.links[0].to_mouth_m, 0.1);
  EXPECT_EQ(network.links[0].nozzle, 0U);
  EXPECT_EQ(network.places(), 3);  // no joint: the nozzle is the hose's own end
}

TEST(Network, GivesAnOutletOfTwoHosesAJoint) {
  Both both;
  const OutletId tap = both.yard.tap("t", 0.1, 0.010);
  both.yard.hose("h1", both.a, tap, 0.020);
  both.yard.hose("h2", both.b, tap, 0.020);
  const Network network = both.network();
  EXPECT_EQ(network.places(), 4);
  ASSERT_EQ(network.links.size(), 3U);  // two hoses and the tap itself
  EXPECT_EQ(network.links[0].to, 3);
  EXPECT_EQ(network.links[1].to, 3);
  EXPECT_EQ(network.links[2].kind, Link::Kind::outlet);
  EXPECT_EQ(network.links[2].from, 3);
  EXPECT_EQ(network.links[2].to, outside);
  EXPECT_EQ(network.joint_height_m, std::vector<double>{0.1});
}

TEST(Network, GivesADrawAtTheEndOfAHoseAJoint) {
  Both both;
  Outlet trough;
  trough.name = "trough";
  trough.height_m = 0.25;
  trough.draw_m3_per_s = 1e-4;
  both.yard.parts.outlets.push_back(trough);
  both.yard.hose("h", both.m, id_at<OutletId>(0), 0.020);
  both.yard.draw("dip", both.b, 0.3, 0.2);
  const Network network = both.network();
  ASSERT_EQ(network.draws.size(), 2U);
  EXPECT_EQ(network.draws[0].place, 3);
  EXPECT_EQ(network.draws[0].mouth_m, 0.25);
  EXPECT_EQ(network.draws[1].place, 1);
  EXPECT_TRUE(near(network.draws[1].mouth_m, 0.5, {1e-15, 0.0}));  // base 0.2 and 0.3 above it
  EXPECT_TRUE(near(network.draws[1].asked_m3_per_s, 2e-4, {1e-15, 0.0}));
}

TEST(Network, PutsMouthsAboveTheDatum) {
  Both both;
  Hose& hose = both.yard.hose("h", both.a, both.b, 0.020);
  hose.from.height_m = 0.1;
  hose.crest_m = 1.2;
  both.yard.hose("g", both.a, both.m, 0.020);
  part(both.yard.parts.tanks, both.b).outlet_height_m = 0.05;
  Leak leak;
  leak.name = "crack";
  leak.tank = both.b;
  leak.height_m = 0.4;
  leak.bore_m = 0.002;
  both.yard.parts.leaks.push_back(leak);
  const Network network = both.network();
  EXPECT_TRUE(near(network.links[0].from_mouth_m, 0.6, {1e-15, 0.0}));
  EXPECT_TRUE(near(network.links[0].to_mouth_m, 0.25, {1e-15, 0.0}));
  EXPECT_EQ(network.links[0].crest_m, 1.2);
  EXPECT_EQ(network.links[1].to_mouth_m, no_mouth);
  EXPECT_EQ(network.links[1].to_header, 0U);
  EXPECT_EQ(network.links[2].kind, Link::Kind::leak);
  EXPECT_TRUE(near(network.links[2].from_mouth_m, 0.6, {1e-15, 0.0}));
  EXPECT_EQ(network.links[2].to_mouth_m, network.links[2].from_mouth_m);
}

// Source of truth: vapour pressure is the least a hose can stand, some 10.2 m of water below the
// lowest place at sea level and 10 degC; nothing stands a metre over the highest rim.
TEST(Network, BoundsItsHeads) {
  Both both;
  const Network network = both.network();
  EXPECT_TRUE(near(network.lowest_head_m, 0.2 - 10.21, {0.0, 0.02}));
  EXPECT_TRUE(near(network.highest_head_m, 1.7 + 1.0, {1e-12, 0.0}));
  EXPECT_EQ(network.smallest_area_m2, 1.0);
}

TEST(TankLaw, FindsTheHeadOfEveryVolume) {
  SmallYard yard;
  yard.box("box", 0.7, 1.0, 0.3, 0.0);
  for (const Shape& shape : {Shape{Upright{0.9, 1.1}}, Shape{Lying{1.2, 2.0}},
                             Shape{DepthTable{{0.0, 0.4, 1.0}, {0.0, 0.1, 0.9}}}}) {
    Tank tank;
    tank.name = "tank-" + std::to_string(yard.parts.tanks.size());
    tank.shape = shape;
    tank.base_m = 0.3;
    yard.parts.tanks.push_back(tank);
  }
  const Network network(*yard.array());
  for (std::size_t i = 0; i < network.tanks.size(); ++i) {
    const TankLaw& law = network.tanks[i];
    const double capacity = capacity_m3(yard.parts.tanks[i].shape);
    for (double share = 0.01; share < 0.95; share += 0.09) {
      const double head = law.head_of(share * capacity);
      const TankLaw::Volume volume = law.volume_at(head);
      EXPECT_TRUE(near(volume.m3, share * capacity, {1e-11, 0.0})) << i << " " << share;
      const double step = 1e-7;
      const double slope =
          (law.volume_at(head + step).m3 - law.volume_at(head - step).m3) / (2.0 * step);
      EXPECT_TRUE(near(volume.surface_m2, slope, {1e-5, 0.0})) << i << " " << share;
    }
    // Below the floor a solve may look: volume goes on falling.
    EXPECT_LT(law.volume_at(0.3 - 0.1).m3, law.volume_at(0.3 - 0.05).m3) << i;
    EXPECT_LT(law.volume_at(0.3 - 0.05).m3, 0.0) << i;
    EXPECT_GT(law.volume_at(0.3 - 0.05).surface_m2, 0.0) << i;
    EXPECT_TRUE(near(law.head_of(0.0), 0.3, {1e-15, 0.0})) << i;
  }
}

}  // namespace network_test
}  // namespace tankyard
