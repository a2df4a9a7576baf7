// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace find_stranded_water_test {

//  |own|-|other|     A draw of 1 L/s on the bottom of `own`, 1 m2 with 200 L in it: dry after some
//   ^ draw           200 s, while `other`, 1 m2 as well, holds 500 L.
SmallYard dry_tap() {
  SmallYard yard;
  const TankId own = yard.box("own", 1.0, 1.0, 0.0, 0.2);
  const TankId other = yard.box("other", 1.0, 1.0, 0.0, 0.5);
  yard.hose("link", other, own, 0.050).valve = Valve{"V1", true, 0.05};
  yard.draw("tap", own, 0.0, 1.0);
  return yard;
}

TEST(StrandedWater, StandsBehindAShutValve) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].valve->open = false;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_EQ(found.where, "tap");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_NEAR(found.value, 500.0, 0.1);
  EXPECT_EQ(found.unit, "L");
  // 200 L at 1 L/s, a little more for the last film.
  ASSERT_TRUE(found.at_s);
  EXPECT_GT(*found.at_s, 199.0);
  EXPECT_LT(*found.at_s, 400.0);
  EXPECT_THAT(found.says, testing::HasSubstr("500 L in `other` (`V1` is shut)"));
  EXPECT_THAT(found.do_this, testing::HasSubstr("open `V1`"));
}

// The twin: the valve is open, and all 700 L come.
TEST(StrandedWater, ComesWhenTheValveIsOpen) {
  const std::vector<Finding> found = dry_tap().found_in_run();
  EXPECT_TRUE(of_kind(found, FindingKind::stranded_water).empty());
}

// A valve shut by the day sheet counts as shut at the moment the tap runs dry.
TEST(StrandedWater, KnowsTheDaySheet) {
  SmallYard yard = dry_tap();
  yard.sheet.steps.push_back({10.0, {{Action::Does::close, HoseId{0}}}, std::nullopt});
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_THAT(found.says, testing::HasSubstr("`V1` is shut"));
}

TEST(StrandedWater, IsANoteWhereNoHoseLeadsAtAll) {
  SmallYard yard = dry_tap();
  yard.parts.hoses.clear();
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_EQ(found.severity, Severity::note);
  EXPECT_NEAR(found.value, 500.0, 0.1);
  EXPECT_THAT(found.says, testing::HasSubstr("no hose leads from there"));
}

// The hose leaves `other` 0.3 m above its bottom: 200 L come, 300 L stay. It ends as a trickle, and
// the tap counts as dry below a hundredth of a litre a second.
TEST(StrandedWater, StandsBelowTheMouth) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].from.height_m = 0.3;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_NEAR(found.value, 300.0, 12.0);
  EXPECT_THAT(found.says, testing::HasSubstr("no higher than the mouth of `link` at 0.30 m"));
  EXPECT_THAT(found.do_this, testing::HasSubstr("set the mouth of `link` lower"));
}

TEST(StrandedWater, StandsBehindANonReturnValve) {
  SmallYard yard = dry_tap();
  std::swap(yard.parts.hoses[0].from, yard.parts.hoses[0].to);
  yard.parts.hoses[0].one_way = true;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_NEAR(found.value, 500.0, 0.1);
  EXPECT_THAT(found.says, testing::HasSubstr("the non-return valve in `link`"));
}

TEST(StrandedWater, StandsBelowAHumpThatHoldsAir) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].crest_m = 0.8;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_NEAR(found.value, 500.0, 0.1);
  EXPECT_THAT(found.says, testing::HasSubstr("the hump of `link` at 0.80 m holds air"));
}

// A rail at 0.4 m above two tanks with 0.35 m of water never fills; the tap below it, at 0.1 m, has
// (0.35 - 0.1) m x 2 m2 = 500 L above its mouth.
TEST(StrandedWater, StandsBelowARailThatHoldsAir) {
  SmallYard yard;
  const HeaderId rail = yard.header("rail", 0.4);
  for (const char* name : {"a", "b"}) {
    const TankId tank = yard.box(name, 1.0, 1.0, 0.0, 0.35);
    yard.hose(std::string(name) + "-rail", tank, rail, 0.050);
  }
  const OutletId tap = yard.tap("tap", 0.1, 0.010);
  yard.hose("rail-tap", rail, tap, 0.025);
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_NEAR(found.value, 500.0, 0.1);
  EXPECT_THAT(found.says, testing::HasSubstr("`rail` at 0.40 m holds air"));
  // With the rail on the ground the tap runs, and not all of it in an hour: nothing to find.
  yard.parts.headers[0].height_m = 0.0;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::stranded_water).empty());
}

// 2 mm of bore bring mL where litres are asked for.
TEST(StrandedWater, StandsBehindAThinHose) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].bore_m = 0.002;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_GT(found.value, 490.0);
  EXPECT_THAT(found.says, testing::HasSubstr("`link` is too thin"));
}

// The hose is wide and open, but no air comes in over the 500 L.
TEST(StrandedWater, StandsUnderAVacuum) {
  SmallYard yard = dry_tap();
  yard.at(id_at<TankId>(1)).lid.kind = Lid::Kind::sealed;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_NEAR(found.value, 480.0, 20.0);
  EXPECT_THAT(found.says, testing::HasSubstr("its lid lets too little air in: a vacuum of 0."));
  EXPECT_THAT(found.do_this, testing::HasSubstr("let air in under the lid of `other`"));
}

// A tank that no hose joins to the tap is another matter while tanks of its own hold water back ...
TEST(StrandedWater, LeavesOutATankThatNoHoseJoinsToIt) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].valve->open = false;
  yard.box("lone", 2.0, 1.0, 0.0, 1.5);
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_NEAR(found.value, 500.0, 0.1);
  EXPECT_THAT(found.says, testing::HasSubstr("500 L in `other` (`V1` is shut)"));
  EXPECT_THAT(found.says, testing::Not(testing::HasSubstr("lone")));
}

// Most litres first; each with its own reason.
TEST(StrandedWater, ListsTanksByWhatTheyHold) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].valve->open = false;
  const TankId third = yard.box("third", 2.0, 1.0, 0.0, 1.5);
  yard.hose("low", id_at<TankId>(0), third, 0.050).one_way = true;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  EXPECT_NEAR(found.value, 2000.0, 0.1);
  EXPECT_THAT(found.says,
              testing::HasSubstr("1500 L in `third` (the non-return valve in `low` lets water only "
                                 "the other way); 500 L in `other` (`V1` is shut)"));
}

// Water within a centimetre of a draw's mouth comes in drips; that is no reason to say anything.
TEST(StrandedWater, LeavesOutTheLastFilm) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].valve->open = false;
  yard.parts.tanks[1].water_m3 = 0.0099;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::stranded_water).empty());
  yard.parts.tanks[1].water_m3 = 0.0101;
  EXPECT_FALSE(of_kind(yard.found_in_run(), FindingKind::stranded_water).empty());
}

// Dry for less than a minute is not dry: the tap is shut again 40 s after it ran dry.
TEST(StrandedWater, WaitsAMinute) {
  SmallYard yard = dry_tap();
  yard.parts.hoses[0].valve->open = false;
  const Finding found = the_one(yard.found_in_run(), FindingKind::stranded_water);
  ASSERT_TRUE(found.at_s);
  yard.sheet.steps.push_back(
      {*found.at_s + 40.0, {{Action::Does::close, OutletId{0}}}, std::nullopt});
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::stranded_water).empty());
}

// An outlet behind a pump alone is for the pump's findings.
TEST(StrandedWater, LeavesPumpedOutletsAlone) {
  SmallYard yard;
  const TankId tank = yard.box("tank", 1.0, 1.0, 0.0, 0.5);
  const OutletId spray = yard.tap("spray", 0.1, 0.005);
  Pump pump;
  pump.name = "booster";
  pump.from = tank;
  pump.to = spray;
  pump.curve = {{0.0, 30.0}, {1e-3, 5.0}};
  yard.parts.pumps.push_back(pump);
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::stranded_water).empty());
}

}  // namespace find_stranded_water_test
}  // namespace tankyard
