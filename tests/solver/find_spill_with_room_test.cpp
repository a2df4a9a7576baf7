// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace find_spill_with_room_test {

//  roof            A shower of 10 mm/h on 100 m2 for one hour: 1000 L into `near`, which is full to
//    \             its overflow already. `far` has 0.9 m x 1 m2 = 900 L of room.
//   |near|-|far|
SmallYard shower(double far_water_m3, double bore_m = 0.013, double total_k = 1.5) {
  SmallYard yard;
  const TankId near = yard.box("near", 1.0, 1.0, 0.0, 0.9);
  const TankId far = yard.box("far", 1.0, 1.0, 0.0, far_water_m3);
  yard.overflow(near, 0.9);
  yard.overflow(far, 0.9);
  yard.hose("near-far", near, far, bore_m, total_k);
  yard.roof("shed", near, 100.0);
  yard.rain(600.0, 4200.0, 10.0);
  yard.sheet.lasts_s = 4.0 * 3600.0;
  return yard;
}

// Behind a non-return valve that faces the wrong way, every litre goes to the ground. `near` starts
// and ends at its lip, within what its overflow still holds up.
TEST(SpillWithRoom, CountsEveryLitreBehindAWrongWayValve) {
  SmallYard yard = shower(0.0);
  std::swap(yard.parts.hoses[0].from, yard.parts.hoses[0].to);
  yard.parts.hoses[0].one_way = true;
  const Finding found = the_one(yard.found_in_run(), FindingKind::spill_with_room);
  EXPECT_EQ(found.where, "near");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_NEAR(found.value, 1000.0, 3.0);
  EXPECT_EQ(found.unit, "L");
  ASSERT_TRUE(found.at_s);
  EXPECT_NEAR(*found.at_s, 600.0, 30.0);
  EXPECT_THAT(found.says,
              testing::HasSubstr("`far`, joined to it, had room, 900 L of it at first"));
  EXPECT_THAT(found.says, testing::HasSubstr("non-return valve in hose `near-far`"));
}

// The twin: the same valve, but nothing is spilt that could have gone anywhere.
TEST(SpillWithRoom, IsNotFoundWhereTheOtherTankIsFull) {
  SmallYard yard = shower(0.9);
  std::swap(yard.parts.hoses[0].from, yard.parts.hoses[0].to);
  yard.parts.hoses[0].one_way = true;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::spill_with_room).empty());
  const std::optional<RunRecord> record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_NEAR(record->tanks[0].spilt_m3, 1.0, 0.003);
  EXPECT_DOUBLE_EQ(record->tanks[0].spilt_with_room_m3, 0.0);
}

TEST(SpillWithRoom, IsNotFoundBetweenTanksThatAreNotJoined) {
  SmallYard yard = shower(0.0);
  yard.parts.hoses[0].valve = Valve{"V1", false, 0.05};
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::spill_with_room).empty());
}

// Room that lies higher than the lip of the tank that spills is none: `far` on a stand of a metre.
TEST(SpillWithRoom, DoesNotSendWaterUphill) {
  SmallYard yard = shower(0.0);
  yard.at(id_at<TankId>(1)).base_m = 1.0;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::spill_with_room).empty());
}

double spilt_with_room_l(SmallYard yard, double bore_m) {
  yard.parts.hoses[0].bore_m = bore_m;
  const std::optional<RunRecord> record = yard.record();
  return record ? 1000.0 * record->tanks[0].spilt_with_room_m3 : -1.0;
}

// 700 L fit into `far`, and 0.278 L/s come for an hour, too much for 13 mm. The bore it names is
// the smallest of those sold: with the next smaller one litres are still lost.
TEST(SpillWithRoom, NamesTheSmallestBoreThatWouldDo) {
  SmallYard yard = shower(0.0, 0.013, 5.0);
  const Finding found = the_one(yard.found_in_run(), FindingKind::spill_with_room);
  EXPECT_GT(found.value, 100.0);
  EXPECT_THAT(found.says, testing::HasSubstr("hose `near-far` of 13 mm bore"));
  const std::vector<double> bores_mm = {13, 16, 19, 25, 32, 38, 40, 50, 63, 75, 90, 110};
  std::size_t smallest = 0;
  while (smallest < bores_mm.size() && spilt_with_room_l(yard, bores_mm[smallest] / 1000.0) > 1.0) {
    ++smallest;
  }
  ASSERT_GT(smallest, 0U);
  ASSERT_LT(smallest, bores_mm.size());
  EXPECT_THAT(
      found.do_this,
      testing::HasSubstr("a bore of " + std::to_string(static_cast<int>(bores_mm[smallest])) +
                         " mm for `near-far` would do"));
}

TEST(SpillWithRoom, SaysWhenTheMouthIsTooHigh) {
  SmallYard yard = shower(0.0);
  yard.parts.hoses[0].from.height_m = 0.95;
  yard.parts.hoses[0].to.height_m = 0.95;
  const Finding found = the_one(yard.found_in_run(), FindingKind::spill_with_room);
  EXPECT_THAT(found.says, testing::HasSubstr("meets its tank at 0.95 m"));
}

TEST(SpillWithRoom, SaysWhenTheHoseHoldsAir) {
  SmallYard yard = shower(0.0);
  yard.parts.hoses[0].crest_m = 0.98;
  const Finding found = the_one(yard.found_in_run(), FindingKind::spill_with_room);
  EXPECT_NEAR(found.value, 1000.0, 3.0);
  EXPECT_THAT(found.says, testing::HasSubstr("held air"));
}

// No water comes in where no air can leave: a sealed tank is no place to lead an overflow to.
TEST(SpillWithRoom, AsksForAHoleInASealedLid) {
  SmallYard yard = shower(0.0, 0.013, 5.0);
  yard.at(id_at<TankId>(1)).lid.kind = Lid::Kind::sealed;
  const Finding found = the_one(yard.found_in_run(), FindingKind::spill_with_room);
  EXPECT_THAT(found.says, testing::HasSubstr("the lid of `far` is sealed"));
  EXPECT_THAT(found.do_this, testing::StartsWith("drill a hole in the lid of `far`"));
  EXPECT_THAT(found.do_this, testing::Not(testing::HasSubstr("lead the overflow")));
}

// `near` on a stand of 1 m could run into `far` over its rim, if the valve lets nothing through.
TEST(SpillWithRoom, LeadsAnOverflowOnlyWhereAirCanLeave) {
  const auto advice = [](Lid lid) {
    SmallYard yard = shower(0.0);
    std::swap(yard.parts.hoses[0].from, yard.parts.hoses[0].to);
    yard.parts.hoses[0].one_way = true;
    yard.at(id_at<TankId>(0)).base_m = 1.0;
    yard.at(id_at<TankId>(1)).lid = lid;
    return the_one(yard.found_in_run(), FindingKind::spill_with_room).do_this;
  };
  EXPECT_THAT(advice({}), testing::EndsWith("lead the overflow of `near` into `far`"));
  EXPECT_THAT(advice({Lid::Kind::sealed, 0.0, 0.6, 1, 1.0}),
              testing::HasSubstr("once a hole is drilled in the lid of `far`"));
  EXPECT_THAT(advice({Lid::Kind::holed, 0.010, 0.6, 1, 1.0}),
              testing::HasSubstr("if the lid of `far` lets air out as fast as the water comes"));
}

// 1000 L come and `far` has room for 100 of them, which a thin hose brings there too within the
// day: a wide one spills as much, only later.
TEST(SpillWithRoom, OffersNoBoreThatSavesNothing) {
  const Finding found =
      the_one(shower(0.8, 0.013, 5.0).found_in_run(), FindingKind::spill_with_room);
  EXPECT_THAT(found.do_this, testing::StartsWith("a wider hose saves nothing: even with "));
  EXPECT_THAT(found.do_this, testing::Not(testing::HasSubstr("would do")));
}

TEST(SpillWithRoom, SaysWhenNoStepsWereLeftToTry) {
  TryWatch watch;
  watch.most_steps = 0;
  const Finding found =
      the_one(shower(0.0, 0.013, 5.0).found_in_run(watch), FindingKind::spill_with_room);
  EXPECT_THAT(found.do_this, testing::HasSubstr("(which bore would do was not tried: "));
}

// Of two tanks with room the one with more is named, and the hose that used up most head on the way
// there: past `middle`, whose own hose is wide. Both `near` and `middle` spill.
TEST(SpillWithRoom, FindsTheNarrowestHoseOfAChain) {
  SmallYard yard = shower(0.8, 0.050);
  yard.parts.tanks[1].name = "middle";
  const TankId end = yard.box("end", 3.0, 1.0, 0.0, 0.0);
  yard.hose("middle-end", id_at<TankId>(1), end, 0.006);
  const std::vector<Finding> found = of_kind(yard.found_in_run(), FindingKind::spill_with_room);
  ASSERT_FALSE(found.empty());
  for (const Finding& each : found) {
    EXPECT_THAT(each.says, testing::HasSubstr("`end`, joined to it, had room")) << each.where;
    EXPECT_THAT(each.says, testing::HasSubstr("hose `middle-end` of 6 mm bore")) << each.where;
  }
}

}  // namespace find_spill_with_room_test
}  // namespace tankyard
