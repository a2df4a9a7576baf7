// SPDX-License-Identifier: MIT
// What a run tells of the air under closed lids.
#include <gtest/gtest.h>

#include <cmath>

#include "near.h"
#include "small_yard.h"
#include "solver/air_temperature.h"
#include "solver/shell.h"

namespace tankyard {
namespace headspace_run_test {

//   |  air |   sealed, a fifth full, nobody at it
//   |~~~~~~|   coldest at 5, warmest at 15; starts at midnight
SmallYard left_alone(double swing_k) {
  SmallYard yard;
  const TankId tank = yard.box("a", 1.0, 1.0, 0.0, 0.2);
  yard.at(tank).lid.kind = Lid::Kind::sealed;
  yard.parts.site.air_temperature_degc = 15.0;
  yard.parts.site.air_swing_k = swing_k;
  yard.sheet.lasts_s = 30.0 * 3600.0;
  return yard;
}

// Source: p / T is constant (Gay-Lussac). At midnight the air is 14 hours' half wave from 15 h
// towards 5 h: T = 288.15 + 7 cos(pi 9/14) K.
TEST(HeadspaceRun, SeesAWarmDayAndAColdNightThatNoWaterFollows) {
  const auto record = left_alone(14.0).record();
  ASSERT_TRUE(record);
  const HeadspaceRecord& air = record->tanks[0].headspace;
  const double midnight_k = 288.15 + 7.0 * std::cos(3.14159265358979 * 9.0 / 14.0);
  const double lowest_pa = 101325.0 * (281.15 / midnight_k - 1.0);
  const double highest_pa = 101325.0 * (295.15 / midnight_k - 1.0);
  // The level gives a ten-thousandth of that, as the water does not move.
  EXPECT_TRUE(near(air.lowest_pa, lowest_pa, {0.0, 0.5}));
  EXPECT_TRUE(near(air.highest_pa, highest_pa, {0.0, 0.5}));
  EXPECT_TRUE(near(air.highest_at_s, 15.0 * 3600.0, {0.0, 0.01}));
  EXPECT_TRUE(near(std::fmod(air.lowest_at_s, 86400.0), 5.0 * 3600.0, {0.0, 0.01}));
}

TEST(HeadspaceRun, StaysAtOutsidePressureWhileTheAirKeepsItsWarmth) {
  const auto record = left_alone(0.0).record();
  ASSERT_TRUE(record);
  EXPECT_NEAR(record->tanks[0].headspace.lowest_pa, 0.0, 0.1);
  EXPECT_NEAR(record->tanks[0].headspace.highest_pa, 0.0, 0.1);
  EXPECT_FALSE(record->tanks[0].headspace.folds);
}

TEST(HeadspaceRun, TellsWhenTheAllowedVacuumWasPassedAndWhoDrew) {
  // 0.1 L/s from under a litre-tight lid with 0.2 m3 of air: p = p0 0.2 / (0.2 + V), so 1 kPa is
  // passed when V = 0.2 x 1000 / (101325 - 1000) m3 = 1.9935 L have left.
  SmallYard yard;
  const TankId tank = yard.box("a", 1.0, 1.0, 0.0, 0.8);
  yard.at(tank).lid.kind = Lid::Kind::sealed;
  yard.at(tank).allowed_vacuum_pa = 1000.0;
  const OutletId tap = yard.draw("tap", tank, 0.0, 0.1);
  yard.sheet.lasts_s = 25.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const HeadspaceRecord& air = record->tanks[0].headspace;
  ASSERT_TRUE(air.folds);
  EXPECT_TRUE(near(air.folds->out_m3, 1.9935e-3, {0.0, 2e-6}));
  EXPECT_TRUE(near(air.folds->at_s, 19.935, {0.0, 0.02}));
  EXPECT_TRUE(near(air.folds->outlet_m3_per_s[tap.index], 1e-4, {0.0, 1e-9}));
  EXPECT_TRUE(near(air.past_vacuum_s, 25.0 - air.folds->at_s, {0.0, 0.01}));
  EXPECT_FALSE(air.bulges);
}

TEST(HeadspaceRun, AnAirLineToAnOpenTankVentsAndAShutOneDoesNot) {
  const auto lowest_pa = [](bool line, bool open) {
    SmallYard yard;
    const TankId tank = yard.box("a", 1.0, 1.0, 0.0, 0.8);
    const TankId other = yard.box("b", 1.0, 1.0, 5.0, 0.0);
    yard.at(tank).lid.kind = Lid::Kind::sealed;
    yard.draw("tap", tank, 0.0, 0.1);
    if (line) yard.parts.air_lines.push_back({"line", tank, other, 0.019, 1.0, open});
    yard.sheet.lasts_s = 60.0;
    return yard.record()->tanks[0].headspace.lowest_pa;
  };
  EXPECT_GT(lowest_pa(true, true), -5.0);
  EXPECT_LT(lowest_pa(true, false), -1000.0);
  EXPECT_NEAR(lowest_pa(true, false), lowest_pa(false, true), 1e-3);
}

TEST(HeadspaceRun, SharesOneVacuumAlongAnAirLine) {
  // Two like headspaces of 0.2 m3, water drawn from one: with a wide air line both expand.
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.8);
  const TankId b = yard.box("b", 1.0, 1.0, 5.0, 0.8);
  yard.at(a).lid.kind = yard.at(b).lid.kind = Lid::Kind::sealed;
  yard.draw("tap", a, 0.0, 0.1);
  yard.parts.air_lines.push_back({"line", a, b, 0.032, 1.0, true});
  yard.sheet.lasts_s = 20.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  // Boyle over both: 0.4 m3 to 0.402 m3.
  const double vacuum_pa = 101325.0 * (0.4 / 0.402 - 1.0);
  EXPECT_TRUE(near(record->tanks[a.index].headspace.end_pa, vacuum_pa, {0.0, 2.0}));
  EXPECT_TRUE(near(record->tanks[b.index].headspace.end_pa, vacuum_pa, {0.0, 2.0}));
}

TEST(HeadspaceRun, StepsOpenAndShutAnAirLine) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.8);
  const TankId b = yard.box("b", 1.0, 1.0, 5.0, 0.0);
  yard.at(a).lid.kind = Lid::Kind::sealed;
  yard.draw("tap", a, 0.0, 0.1);
  yard.parts.air_lines.push_back({"line", a, b, 0.019, 1.0, true});
  yard.sheet.lasts_s = 60.0;
  yard.sheet.steps.push_back({30.0, {{Action::Does::close, AirLineId{0}}}, std::nullopt});
  const auto record = yard.record();
  ASSERT_TRUE(record);
  // 3 L have left by then; the rest leaves a headspace of 0.203 m3 shut.
  const double vacuum_pa = 101325.0 * (0.203 / 0.206 - 1.0);
  EXPECT_TRUE(near(record->tanks[0].headspace.end_pa, vacuum_pa, {0.0, 3.0}));
}

TEST(HeadspaceRun, TurnsRainAwayFromAFullTankAndSpillsByTheLidsHoles) {
  SmallYard yard;
  const TankId tight = yard.box("tight", 1.0, 1.0, 0.0, 0.99);
  const TankId holed = yard.box("holed", 1.0, 1.0, 0.0, 0.99);
  yard.at(tight).lid.kind = Lid::Kind::sealed;
  yard.at(holed).lid.kind = Lid::Kind::holed;
  yard.at(holed).lid.hole_m = 0.020;
  for (const TankId tank : {tight, holed}) {
    Roof roof;
    roof.name = tank == tight ? "r1" : "r2";
    roof.area_m2 = 100.0;
    roof.runoff_fraction = 1.0;
    roof.into = tank;
    yard.parts.roofs.push_back(roof);
  }
  yard.sheet.steps.push_back({0.0, {}, 1e-6});  // 0.1 L/s on each
  yard.sheet.lasts_s = 3600.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const HeadspaceRecord& shut = record->tanks[tight.index].headspace;
  const HeadspaceRecord& open = record->tanks[holed.index].headspace;
  // 360 L came to each and there was room for 10. Boyle: its 10 L of air under 3 m of water let in
  // 10 (1 - 10.33 / 13.33) = 2.25 L, and not a drop more.
  EXPECT_TRUE(near(shut.turned_away_m3, 0.35775, {0.0, 2e-4}));
  EXPECT_TRUE(near(open.out_of_lid_m3, 0.350, {0.0, 1e-3}));
  EXPECT_NEAR(open.turned_away_m3, 0.0, 1e-9);
  EXPECT_TRUE(shut.bulges);
  EXPECT_LT(shut.highest_pa, 3.0 * 1000.0 * 9.80665);
  EXPECT_NEAR(record->ledger.closing_error_m3(), 0.0, 1e-12);
}

}  // namespace headspace_run_test
}  // namespace tankyard
