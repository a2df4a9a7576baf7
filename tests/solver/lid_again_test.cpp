// SPDX-License-Identifier: MIT
#include "solver/lid_again.h"

#include <gmock/gmock.h>

#include <cmath>

#include "solver/lid_words.h"
#include "solver/small_yard.h"

namespace tankyard {
namespace lid_again_test {

TEST(LidAgain, DrillsOneHoleAndKeepsTheScreen) {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.0, 1.0, 0.0, 0.5);
  yard.at(tank).lid = {Lid::Kind::holed, 0.004, 0.61, 3, 0.5};
  const Lid drilled = with_hole(yard.parts, tank, 0.012).tanks[0].lid;
  EXPECT_EQ(drilled.kind, Lid::Kind::holed);
  EXPECT_DOUBLE_EQ(drilled.hole_m, 0.012);
  EXPECT_EQ(drilled.count, 1);
  EXPECT_DOUBLE_EQ(drilled.coefficient, 0.61);
  EXPECT_DOUBLE_EQ(drilled.screen, 0.5);
  EXPECT_EQ(with_lid_blocked(yard.parts, tank).tanks[0].lid.kind, Lid::Kind::sealed);
}

// Four holes of 5 mm have the area of one of 10 mm.
TEST(LidAgain, SeesManyHolesAsOne) {
  EXPECT_DOUBLE_EQ(as_one_hole_m({Lid::Kind::holed, 0.005, 0.6, 4, 1.0}), 0.010);
  EXPECT_DOUBLE_EQ(as_one_hole_m({Lid::Kind::sealed, 0.0, 0.6, 1, 1.0}), 0.0);
}

TEST(LidAgain, FindsTheSmallestDrillThatDoes) {
  for (const double least_mm : {0.5, 1.0, 1.2, 6.56, 9.28, 11.67, 13.1, 60.0, 76.0}) {
    int asked = 0;
    const auto found = smallest_drill_m([&](double bore_m) {
      ++asked;
      return bore_m * 1000.0 >= least_mm;
    });
    ASSERT_TRUE(found) << least_mm;
    EXPECT_GE(*found * 1000.0, least_mm);
    EXPECT_LE(*found * 1000.0, std::max(1.0, least_mm + (least_mm < 13.0 ? 0.5 : 12.0)));
    EXPECT_LE(asked, 7);  // of 39
  }
  EXPECT_FALSE(smallest_drill_m([](double) { return false; }));
}

TEST(LidAgain, DoesNotTryAYardThatIsTooLarge) {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.0, 1.0, 0.0, 0.5);
  const Array array = *yard.array();
  RunRecord record = *yard.record();
  const auto any = [](const HeadspaceRecord&) { return true; };
  Tries few(array, yard.sheet, {}, record);
  LidAgain small(few);
  EXPECT_TRUE(small.worth_trying());
  EXPECT_TRUE(small.smallest_that_will_do(tank, any));
  record.effort.steps = 200'001;
  Tries many(array, yard.sheet, {}, record);
  LidAgain large(many);
  EXPECT_FALSE(large.worth_trying());
  EXPECT_FALSE(large.smallest_that_will_do(tank, any));
}

TEST(LidWords, TellLidsAndPressures) {
  EXPECT_EQ(in_pascals(-250.4), "250 Pa");
  EXPECT_EQ(in_pascals(9264.2), "9.26 kPa");
  EXPECT_EQ(in_pascals(23237.0), "23.2 kPa");
  EXPECT_EQ(in_drill(0.0115), "11.5 mm");
  EXPECT_EQ(in_drill(0.012), "12 mm");
  EXPECT_EQ(in_drill(0.0075), "7.5 mm");
  EXPECT_EQ(in_moments(0.3), "less than a second");
  EXPECT_EQ(in_moments(4.24), "4.2 s");
  EXPECT_EQ(in_moments(40.0), "40 s");
  EXPECT_EQ(in_words(Lid{Lid::Kind::sealed, 0.0, 0.6, 1, 1.0}), "sealed");
  EXPECT_EQ(in_words(Lid{Lid::Kind::holed, 0.004, 0.6, 1, 1.0}), "a hole of 4 mm");
  EXPECT_EQ(in_words(Lid{Lid::Kind::holed, 0.004, 0.6, 3, 0.5}),
            "3 holes of 4 mm under a screen that leaves 50 % of it");
}

/// A sealed tank that a hose joins to another, and a pump on it.
struct Lidded : SmallYard {
  TankId lidded = box("lidded", 1.0, 1.0, 0.0, 0.5);
  TankId other = box("other", 1.0, 1.0, 1.0, 0.5);

  Lidded() {
    at(lidded).lid.kind = Lid::Kind::sealed;
    hose("link", lidded, other, 0.025);
    Pump pump;
    pump.name = "booster";
    pump.from = lidded;
    pump.to = other;
    pump.curve = {{0.0, 20.0}, {1e-3, 2.0}};
    parts.pumps.push_back(pump);
  }
};

// Water that runs on through a pump that stands is not drawn by it.
TEST(LidWords, SayWhetherThePumpRan) {
  const Lidded yard;
  ShellMoment moment;
  moment.pump_m3_per_s = {12.0 / 60000.0};
  moment.pump_ran = {true};
  EXPECT_EQ(what_pulled(*yard.array(), yard.lidded, moment), "while pump `booster` drew 12 L/min");
  moment.pump_ran = {false};
  EXPECT_EQ(what_pulled(*yard.array(), yard.lidded, moment),
            "while 12 L/min ran on through pump `booster`, which stood");
}

// Warmth is a cause only where no water comes in; and only where the day has any.
TEST(LidWords, TellALidThatFillsFromOneThatGrowsWarm) {
  Lidded yard;
  const auto pushed = [&](double in_m3_per_s, double swing_k) {
    yard.at(yard.lidded).air_swing_k = swing_k;
    RunRecord record;
    record.tanks.resize(2);
    record.tanks[0].headspace.bulges = ShellMoment{};
    record.tanks[0].headspace.bulges->out_m3_per_s = -in_m3_per_s;
    return what_pushed(*yard.array(), yard.sheet, record, yard.lidded, 60.0);
  };
  const std::string fills = "while water ran into it from the tanks that it is joined to";
  EXPECT_EQ(pushed(1e-4, 15.0), fills);
  EXPECT_EQ(pushed(0.0, 15.0), "while the air under its lid grew warm");
  EXPECT_EQ(pushed(1e-4, 0.0), fills);
}

// A hole under a screen that leaves half has to be sqrt 2 wider: 12 mm x 1.414 = 16.97 mm, and the
// next drill is 19 mm.
TEST(LidWords, CountTheScreen) {
  const Lid plain{Lid::Kind::holed, 0.004, 0.6, 1, 1.0};
  EXPECT_THAT(about_screen(plain, 0.012), testing::HasSubstr("takes half of it, 19 mm"));
  const Lid screened{Lid::Kind::holed, 0.004, 0.6, 1, 0.5};
  EXPECT_THAT(about_screen(screened, 0.012), testing::HasSubstr("is counted in"));
}

}  // namespace lid_again_test
}  // namespace tankyard
