// SPDX-License-Identifier: MIT
// The season, day by day. Source of truth: sums by hand, the rules of yield after and before
// spillage, and the same days run in one piece.
#include "solver/studies/season.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "near.h"
#include "season_yards.h"
#include "solver/run.h"
#include "solver/small_yard.h"
#include "solver/studies/season_bucket.h"
#include "solver/studies/season_changes.h"
#include "solver/studies/season_study.h"

namespace tankyard {
namespace season_test {

constexpr double hour_s = 3600.0;

std::vector<double> dry(std::size_t days) { return std::vector<double>(days, 0.0); }

TEST(Season, TakesWhatIsThereDayByDayAndSaysWhatIsShort) {
  // 1000 L at 300 a day: three whole days, 100 L on the fourth, nothing on the fifth.
  const OneTank yard(2000.0, 1000.0, 10.0, 1.0, 300.0);
  const auto season = yard.season(days_of_mm(dry(5)));
  ASSERT_TRUE(season);
  EXPECT_TRUE(near(season->total.asked_m3, 1.5, {1e-12, 0.0}));
  EXPECT_TRUE(near(season->total.used_m3, 1.0, {0.0, 0.003})) << "less a film on the floor";
  EXPECT_EQ(season->total.short_days, 2);
  EXPECT_EQ(season->total.asked_days, 5);
  ASSERT_TRUE(season->first_short);
  EXPECT_EQ(date_text(*season->first_short), "2021-01-04");
  EXPECT_EQ(season->longest_dry_run.days, 5);
  EXPECT_EQ(season->longest_survived.days, 3);
  EXPECT_EQ(date_text(*season->longest_survived.until), "2021-01-03");
  ASSERT_TRUE(season->tanks[0].first_dry);
  EXPECT_EQ(date_text(*season->tanks[0].first_dry), "2021-01-04");
  EXPECT_NEAR(season->total.closing_error_m3(), 0.0, 1e-11);
}

TEST(Season, CatchesRainTimesRoofTimesRunoff) {
  // Annual yield A h e n, EN 16941-1 form: 60 m2 x 0.9 x 0.9 x 44 mm.
  const OneTank yard(100000.0, 0.0, 60.0, 0.9 * 0.9, 1.0);
  const auto season = yard.season(days_of_mm({0, 12, 3, 0, 0, 25, 1, 0, 3, 0}));
  ASSERT_TRUE(season);
  EXPECT_TRUE(near(season->total.caught_m3, 60.0 * 0.81 * 0.044, {1e-9, 0.0}));
  EXPECT_TRUE(near(season->total.rain_m, 0.044, {1e-12, 0.0}));
}

TEST(Season, GuttersPassNoMoreThanTheyCan) {
  // Rational formula: 10 mm in 1 h on 36 m2 is 0.1 L/s; a gutter of half of it lets 180 L by.
  OneTank yard(100000.0, 0.0, 36.0, 1.0, 1.0);
  yard.parts.roofs[0].gutter_limit_m3_per_s = 0.05e-3;
  SeasonOptions options;
  options.pour.lasts_s = hour_s;
  const auto season = yard.season(days_of_mm({10.0}), options);
  ASSERT_TRUE(season);
  EXPECT_TRUE(near(season->total.caught_m3, 0.180, {1e-9, 0.0}));
  EXPECT_TRUE(near(season->total.over_gutter_m3, 0.180, {1e-9, 0.0}));
}

TEST(Season, TurnsAwayTheFirstFlushAgainAfterADryDay) {
  OneTank yard(100000.0, 0.0, 100.0, 1.0, 1.0);
  yard.parts.roofs[0].first_flush_m = 0.002;
  // 5 and 1 mm on end: one flush. A dry day. 1 mm, then 4: the flush takes the first and 1 mm more.
  const auto season = yard.season(days_of_mm({5, 1, 0, 1, 4}));
  ASSERT_TRUE(season);
  EXPECT_TRUE(near(season->total.first_flush_m3, 0.4, {1e-9, 0.0}));
  EXPECT_TRUE(near(season->total.caught_m3, 0.7, {1e-9, 0.0}));
}

TEST(Season, SkipsUseAfterRainAndOutOfItsSeason) {
  OneTank yard(100000.0, 50000.0, 10.0, 1.0, 100.0);
  yard.uses[0].skip_after_rain_m = 0.005;
  yard.uses[0].from_month_day = 1230;
  yard.uses[0].until_month_day = 102;
  // 28 December to 4 January; 5 mm on the 31st.
  const auto season =
      yard.season(days_of_mm({0, 0, 0, 5, 4.9, 0, 0, 0}, std::chrono::year(2020) / 12 / 28));
  ASSERT_TRUE(season);
  EXPECT_EQ(season->total.asked_days, 3) << "30 December, 1 and 2 January";
  EXPECT_TRUE(near(season->total.used_m3, 0.3, {1e-9, 0.0}));
  ASSERT_EQ(season->years.size(), 2U);
  EXPECT_EQ(season->years[0].year, 2020);
  EXPECT_EQ(season->years[0].tally.days, 4);
  EXPECT_EQ(season->months.size(), 2U);
}

TEST(Season, AnswersDoNotDependOnTheOrderOfUsesInThePlan) {
  OneTank yard(1000.0, 700.0, 10.0, 1.0, 200.0);
  Use evening = yard.uses[0];
  evening.at_s = 20.0 * hour_s;
  evening.daily_m3 = 0.1;
  yard.uses.insert(yard.uses.begin(), evening);
  const auto season = yard.season(days_of_mm(dry(3)));
  ASSERT_TRUE(season);
  // 200 + 100 a day: 700 L last two days and one morning's half.
  EXPECT_TRUE(near(season->uses[0].used_m3, 0.200, {0.0, 0.003}));
  EXPECT_TRUE(near(season->uses[1].used_m3, 0.500, {0.0, 0.003}));
}

TEST(Season, ATapOfANozzleStaysOpenUntilItsLitresHaveCome) {
  SmallYard yard;
  const TankId tank = yard.box("tank", 2.0, 1.0, 1.0, 1.5);
  const OutletId tap = yard.tap("tap", 0.2, 0.010);
  yard.hose("hose", tank, tap, 0.019, 4.0);
  Use use;
  use.outlet = tap;
  use.daily_m3 = 0.150;
  const auto array = yard.array();
  ASSERT_TRUE(array);
  const Result<Season> season = step_season(*array, {use}, days_of_mm(dry(12)));
  ASSERT_TRUE(season) << season.error().front().message;
  // Ten days of 150 L, then nothing: the tank drains to its floor through the hose.
  EXPECT_EQ(season->total.short_days, 2);
  EXPECT_TRUE(near(season->months[0].tally.used_m3, 1.5, {0.0, 0.006}));
  EXPECT_NEAR(season->total.closing_error_m3(), 0.0, 1e-11);
}

TEST(Season, APumpIsStartedForItsUseAndStoppedAfterIt) {
  // A tank under ground, a pump in its suction header, a nozzle two metres up.
  SmallYard yard;
  const TankId tank = yard.box("tank", 2.0, 1.0, 0.0, 1.8);
  const HeaderId suction = yard.header("suction", 0.05);
  yard.hose("suction-hose", tank, suction, 0.040, 2.0);
  const OutletId nozzle = yard.tap("nozzle", 2.0, 0.008);
  Pump pump;
  pump.name = "pump";
  pump.from = suction;
  pump.to = nozzle;
  pump.curve = {{0.0, 20.0}, {1e-3, 10.0}};
  yard.parts.pumps.push_back(pump);
  Use use;
  use.outlet = nozzle;
  use.pump = PumpId{0};
  use.daily_m3 = 0.4;
  const auto array = yard.array();
  ASSERT_TRUE(array);
  const Result<Season> season = step_season(*array, {use}, days_of_mm(dry(4)));
  ASSERT_TRUE(season) << season.error().front().message;
  EXPECT_EQ(season->total.short_days, 0);
  EXPECT_TRUE(near(season->total.used_m3, 1.6, {0.003, 0.0}));
  EXPECT_TRUE(near(season->total.end_m3, 0.2, {0.0, 0.005})) << "and nothing runs at night";
}

TEST(Season, TopUpsAreMainsAndDoNotCountAsCover) {
  OneTank yard(1000.0, 300.0, 10.0, 1.0, 200.0);
  TopUp mains;
  mains.name = "mains";
  mains.into = TankId{0};
  mains.flow_m3_per_s = 0.1e-3;
  mains.starts_below_m = 0.1;
  mains.stops_above_m = 0.2;
  yard.parts.top_ups.push_back(mains);
  const auto season = yard.season(days_of_mm(dry(10)));
  ASSERT_TRUE(season);
  EXPECT_EQ(season->total.short_days, 0);
  EXPECT_GT(season->total.mains_m3, 1.7);
  EXPECT_LT(season->total.cover(), 0.16);
  EXPECT_NEAR(season->total.closing_error_m3(), 0.0, 1e-11);
}

TEST(Season, ShowersAtTheirOwnTimesArePouredThen) {
  // 40 L of room: what falls before the draw of 06:00 spills, what falls after it does not.
  OneTank yard(100.0, 60.0, 10.0, 1.0, 50.0);
  RainRecord rain = days_of_mm({6.0});
  rain.days[0].showers = {{1.0 * hour_s, hour_s, 0.006}};
  const auto before = yard.season(rain);
  rain.days[0].showers = {{8.0 * hour_s, hour_s, 0.006}};
  const auto after = yard.season(rain);
  ASSERT_TRUE(before && after);
  EXPECT_TRUE(near(before->total.spilt_m3, 0.020, {0.0, 0.0006})) << "less what stands over a rim";
  EXPECT_EQ(after->total.spilt_m3, 0.0);
}

// The tap is open for half an hour from 06:00 and again as long while litres are missing; the tank
// has half of what is asked, and a shower fills it before the first half hour ends, at its end, or
// after it. Source of truth: what is asked, 50 L; at a known draw 2 % more at most, and with a
// nozzle what it gives till it is looked at again.
TEST(Season, NoUseTakesMuchMoreThanItAsksWhenRainComesWhileItsTapIsOpen) {
  for (const bool nozzle : {false, true}) {
    for (const double rains_h : {6.1, 6.4, 6.5, 6.6}) {
      OneTank yard(400.0, 25.0, 100.0, 1.0, 50.0);
      if (nozzle) {
        yard.parts.outlets[0].draw_m3_per_s = std::nullopt;
        yard.parts.outlets[0].bore_m = 0.006;
      }
      RainRecord rain = days_of_mm({6.0});
      rain.days[0].showers = {{rains_h * hour_s, 0.25 * hour_s, 0.006}};
      const auto season = yard.season(rain);
      ASSERT_TRUE(season);
      EXPECT_GE(season->total.used_m3, 0.0499) << nozzle << " " << rains_h;
      EXPECT_LE(season->total.used_m3, nozzle ? 0.054 : 0.0511) << nozzle << " " << rains_h;
    }
  }
}

// The tank is dry at 06:30 and nothing changes any more, but that its roof's first flush has run
// off by 06:36, and then there is plenty. Source of truth: what is asked, 50 L, and 2 % more at
// most.
TEST(Season, NoUseTakesMuchMoreThanItAsksWhenWaterComesWithoutASign) {
  OneTank yard(400.0, 25.0, 100.0, 1.0, 50.0);
  yard.parts.roofs[0].first_flush_m = 0.002;
  RainRecord rain = days_of_mm({10.0});
  rain.days[0].showers = {{6.4 * hour_s, hour_s, 0.010}};
  const auto season = yard.season(rain);
  ASSERT_TRUE(season);
  EXPECT_GE(season->total.used_m3, 0.0499);
  EXPECT_LE(season->total.used_m3, 0.0511);
}

TEST(Season, SaysHowFullTheTanksStood) {
  // 10 L less each day from 1000 L: at midnight 99, 98, ... 0 % of the tank.
  const OneTank yard(1000.0, 1000.0, 10.0, 1.0, 10.0);
  const auto season = yard.season(days_of_mm(dry(99)));
  ASSERT_TRUE(season);
  EXPECT_TRUE(near(season->tanks[0].median_share, 0.50, {0.0, 0.006}));
  EXPECT_TRUE(near(season->tanks[0].tenth_share, 0.10, {0.0, 0.006}));
  EXPECT_TRUE(near(season->tanks[0].ninetieth_share, 0.90, {0.0, 0.006}));
}

TEST(Season, StopsWhenToldAndRefusesWhatItCannotStep) {
  const OneTank yard(1000.0, 1000.0, 10.0, 1.0, 10.0);
  const auto array = yard.array();
  ASSERT_TRUE(array);
  const Result<Season> stopped = step_season(*array, yard.uses, days_of_mm(dry(200)), {},
                                             [](double share) { return share < 0.3; });
  ASSERT_FALSE(stopped);
  EXPECT_THAT(stopped.error().front().message, ::testing::HasSubstr("stopped"));

  EXPECT_FALSE(step_season(*array, {}, days_of_mm(dry(2))));
  EXPECT_FALSE(step_season(*array, yard.uses, RainRecord{}));
  std::vector<Use> nowhere = yard.uses;
  nowhere[0].outlet = OutletId{7};
  EXPECT_FALSE(step_season(*array, nowhere, days_of_mm(dry(2))));
  SeasonOptions late;
  late.pour.starts_s = 20.0 * hour_s;
  EXPECT_FALSE(step_season(*array, yard.uses, days_of_mm(dry(2)), late));
}

TEST(SeasonRain, ATrianglePoursAllOfItAndPeaksAtTwiceTheMeanLessItsSteps) {
  const PourRule rule{12.0 * hour_s, 6.0 * hour_s, PourShape::triangle};
  const std::vector<Shower> showers = poured(0.018, rule);
  ASSERT_EQ(showers.size(), 6U);
  double sum_m = 0.0;
  for (const Shower& shower : showers) sum_m += shower.depth_m;
  EXPECT_TRUE(near(sum_m, 0.018, {1e-12, 0.0}));
  EXPECT_TRUE(near(showers[2].depth_m, 0.005, {1e-12, 0.0}));
  EXPECT_EQ(showers.front().starts_s, 12.0 * hour_s);
  EXPECT_TRUE(near(showers.back().starts_s + showers.back().lasts_s, 18.0 * hour_s, {1e-12, 0.0}));
}

TEST(SeasonRain, PoursNoHeavierThanARunTakes) {
  // 200 mm in 5 min would be 2400 mm/h.
  for (const PourShape shape : {PourShape::even, PourShape::triangle}) {
    const std::vector<Shower> showers = poured(0.200, {23.9 * hour_s, 300.0, shape});
    double sum_m = 0.0;
    for (const Shower& shower : showers) {
      EXPECT_LT(shower.depth_m / shower.lasts_s, 1.0 / hour_s);
      sum_m += shower.depth_m;
    }
    EXPECT_TRUE(near(sum_m, 0.200, {1e-12, 0.0}));
    EXPECT_LE(showers.back().starts_s + showers.back().lasts_s, 86400.0 + 1e-6);
  }
}

TEST(SeasonBucket, FollowsTheTenDayTableOfBothRules) {
  // Computed by hand, a day a line, from the rules as printed (Fewkes and Butler, Build. Serv. Eng.
  // Res. Technol. 21 (2000) 99): roof 60 m2, e 0.9, n 0.9, S 1000 L, V0 300 L, D 250 L a day.
  const double rain_mm[] = {0, 12, 3, 0, 0, 25, 1, 0, 0, 0};
  const double after[][3] = {{250, 50, 0},  {50, 583.2, 0}, {250, 479, 0},    {250, 229, 0},
                             {229, 0, 0},   {0, 1000, 215}, {250, 750, 48.6}, {250, 500, 0},
                             {250, 250, 0}, {250, 0, 0}};
  const double before[][3] = {{250, 50, 0},    {250, 383.2, 0}, {250, 279, 0},   {250, 29, 0},
                              {29, 0, 0},      {250, 965, 0},   {250, 763.6, 0}, {250, 513.6, 0},
                              {250, 263.6, 0}, {250, 13.6, 0}};
  Bucket yas{1.0, 0.3};
  Bucket ybs{1.0, 0.3};
  for (int d = 0; d < 10; ++d) {
    const double inflow_m3 = rain_mm[d] * 1e-3 * 60.0 * 0.9 * 0.9;
    const BucketDay a = yield_after_spillage(yas, inflow_m3, 0.250);
    const BucketDay b = yield_before_spillage(ybs, inflow_m3, 0.250);
    const double got[] = {a.used_m3, yas.water_m3, a.spilt_m3, b.used_m3, ybs.water_m3, b.spilt_m3};
    for (int k = 0; k < 3; ++k) {
      EXPECT_TRUE(near(1e3 * got[k], after[d][k], {0.0, 0.05})) << "day " << d + 1;
      EXPECT_TRUE(near(1e3 * got[k + 3], before[d][k], {0.0, 0.05})) << "day " << d + 1;
    }
  }
}

TEST(SeasonBucket, TheYardItselfFollowsTheRuleOfItsTimes) {
  // Rain after the draw: the day's rain is there for the next day only, as by yield after spillage,
  // but the draw has made room for it first. So day 7 keeps its 48.6 L.
  const OneTank yard(1000.0, 300.0, 60.0, 0.81, 250.0);
  const RainRecord rain = days_of_mm({0, 12, 3, 0, 0, 25, 1, 0, 0, 0});
  const auto season = yard.season(rain);
  ASSERT_TRUE(season);
  EXPECT_TRUE(near(1e3 * season->total.used_m3, 2029.0, {0.0, 8.0})) << "less a film each time";
  const auto array = yard.array();
  const Season ideal = ideal_season(*array, yard.uses, rain);
  EXPECT_TRUE(near(1e3 * ideal.total.used_m3, 2029.0, {0.0, 0.05}));
  EXPECT_TRUE(near(1e3 * ideal.total.spilt_m3, 263.6 - 48.6, {0.0, 0.05}));
  EXPECT_NEAR(ideal.total.closing_error_m3(), 0.0, 1e-12);
}

TEST(SeasonChanges, WiderTanksKeepTheirHeightsAndHoldSoManyTimesAsMuch) {
  SmallYard yard;
  yard.box("box", 2.0, 1.0, 0.0, 1.8);
  yard.overflow(TankId{0}, 0.9);
  yard.parts.tanks.push_back(yard.parts.tanks[0]);
  yard.parts.tanks[1].name = "butt";
  yard.parts.tanks[1].shape = Upright{0.6, 1.0};
  yard.parts.tanks[1].water_m3 = 0.1;
  yard.parts.tanks.push_back(yard.parts.tanks[1]);
  yard.parts.tanks[2].name = "table";
  yard.parts.tanks[2].shape = DepthTable{{0.0, 0.5, 1.0}, {0.0, 0.2, 0.9}};
  yard.parts.tanks.push_back(yard.parts.tanks[1]);
  yard.parts.tanks[3].name = "lying";
  yard.parts.tanks[3].shape = Lying{1.0, 2.0};
  const auto array = yard.array();
  ASSERT_TRUE(array);
  for (const double factor : {0.5, 3.0}) {
    const Result<Array> wide = with_storage(*array, factor);
    ASSERT_TRUE(wide);
    for (std::size_t t = 0; t < 4; ++t) {
      EXPECT_TRUE(near(capacity_m3(wide->tanks()[t].shape),
                       factor * capacity_m3(array->tanks()[t].shape), {1e-12, 0.0}));
      EXPECT_EQ(height_m(wide->tanks()[t].shape), height_m(array->tanks()[t].shape));
    }
    EXPECT_TRUE(near(holds_m3(*wide), factor * holds_m3(*array), {1e-12, 0.0}));
  }
  EXPECT_TRUE(near(with_storage(*array, 0.5)->tanks()[0].water_m3, 0.9, {1e-12, 0.0}))
      << "full to the lip, no more";
}

TEST(SeasonChanges, ATankAgainIsJoinedAsItsLikeIs) {
  SmallYard yard;
  const TankId first = yard.box("first", 1.0, 1.0, 0.5, 0.4);
  const TankId second = yard.box("second", 1.0, 1.0, 0.5, 0.4);
  const HeaderId rail = yard.header("rail", 0.4);
  yard.hose("first-rail", first, rail, 0.032);
  yard.parts.hoses[0].valve = Valve{"V1", true, 0.05};
  yard.hose("rail-second", rail, second, 0.025);
  const OutletId tap = yard.tap("tap", 0.1, 0.010);
  yard.hose("tap-hose", first, tap, 0.019);
  const auto array = yard.array();
  ASSERT_TRUE(array);
  const Result<Array> more = with_tank_again(*array, first);
  ASSERT_TRUE(more) << more.error().front().message;
  ASSERT_EQ(more->tanks().size(), 3U);
  EXPECT_EQ(more->tanks()[2].water_m3, 0.0);
  ASSERT_EQ(more->hoses().size(), 4U) << "the hose to the rail, and not that to the tap";
  EXPECT_EQ(more->hoses()[3].from.place, Place(TankId{2}));
  EXPECT_EQ(more->hoses()[3].to.place, Place(rail));
  EXPECT_EQ(more->hoses()[3].bore_m, 0.032);
  // And once more: names stay apart.
  EXPECT_TRUE(with_tank_again(*more, first));
  EXPECT_EQ(tanks_to_repeat(*array), std::vector<TankId>{first});
}

TEST(SeasonChanges, ALoneTankAgainIsJoinedToIt) {
  const OneTank yard(1000.0, 100.0, 10.0, 1.0, 50.0);
  const auto array = yard.array();
  const Result<Array> more = with_tank_again(*array, TankId{0});
  ASSERT_TRUE(more);
  ASSERT_EQ(more->hoses().size(), 1U);
  EXPECT_EQ(more->hoses()[0].bore_m, plain_join_bore_m);
}

TEST(SeasonStudy, OneMoreTankHelpsWhereRainSpilt) {
  // 30 mm every tenth day on 100 m2: 3000 L for a tank of 1000, at 150 L a day.
  OneTank yard(1000.0, 1000.0, 100.0, 1.0, 150.0);
  std::vector<double> mm(730, 0.0);
  for (std::size_t d = 0; d < mm.size(); d += 10) mm[d] = 30.0;
  const auto array = yard.array();
  SeasonStudyOptions options;
  options.cover = 0.99;
  options.sizes = true;
  const Result<SeasonStudy> study = study_season(*array, yard.uses, days_of_mm(mm), options);
  ASSERT_TRUE(study) << study.error().front().message;
  // 1000 L of each 1500: two thirds. With another tank all of it.
  EXPECT_TRUE(near(study->as_it_is.total.cover(), 2.0 / 3.0, {0.0, 0.02}));
  ASSERT_EQ(study->tanks.size(), 1U);
  EXPECT_GT(study->tanks[0].season.total.cover(), 0.985);
  const YearlyGain gain = gain_by_year(study->as_it_is, study->tanks[0].season);
  EXPECT_EQ(gain.years, 2);
  EXPECT_TRUE(near(gain.mean, 1.0 / 3.0, {0.0, 0.02}));
  ASSERT_TRUE(gain.standard_error);
  EXPECT_LT(*gain.standard_error, 0.01) << "every ten days are alike";
  ASSERT_TRUE(study->more_tanks);
  EXPECT_THAT(study->more_tanks->enough, ::testing::Optional(::testing::AnyOf(1, 2)));
  ASSERT_TRUE(study->sizes);
  EXPECT_TRUE(near(*study->sizes->cover[1][1], study->as_it_is.total.cover(), {1e-12, 0.0}));
  EXPECT_TRUE(near(*study->sizes->cover[0][1], 1.0 / 3.0, {0.0, 0.02})) << "half the storage";
  EXPECT_EQ(study->not_reckoned.size(), 0U);
  EXPECT_EQ(study->pours.size(), 2U);
}

TEST(SeasonStudy, GainsCountWholeYearsOnly) {
  OneTank yard(1000.0, 1000.0, 100.0, 1.0, 150.0);
  const auto short_record = yard.season(days_of_mm(dry(200)));
  ASSERT_TRUE(short_record);
  EXPECT_EQ(gain_by_year(*short_record, *short_record).years, 0);
}

TEST(RunInStretches, GoesOnFromWhereItEnded) {
  // Two boxes, a hose, a tap and rain: an hour in one piece and in four.
  SmallYard yard;
  const TankId left = yard.box("left", 1.0, 1.0, 0.0, 0.8);
  const TankId right = yard.box("right", 0.5, 1.0, 0.0, 0.1);
  yard.hose("hose", left, right, 0.019, 4.0);
  const OutletId tap = yard.draw("tap", right, 0.0, 0.1);
  yard.at(left).outlet_height_m = 0.0;
  yard.roof("roof", left, 20.0);
  yard.rain(1000.0, 2500.0, 10.0);
  yard.sheet.steps.push_back({3000.0, {{Action::Does::close, tap}}, std::nullopt});
  const auto array = yard.array();
  const auto whole = yard.record();
  ASSERT_TRUE(array && whole);

  RunInStretches pieces(*array);
  double rain_m3 = 0.0;
  double drawn_m3 = 0.0;
  std::vector<TankRecord> ended;
  for (const double from_s : {0.0, 900.0, 1800.0, 2700.0}) {
    DaySheet sheet;
    sheet.lasts_s = 900.0;
    sheet.starts_clock_s = from_s;
    for (const TimedStep& step : yard.sheet.steps) {
      if (step.at_s < from_s || step.at_s >= from_s + 900.0) continue;
      sheet.steps.push_back(step);
      sheet.steps.back().at_s -= from_s;
    }
    const Result<RunRecord> record = pieces.go_on(sheet);
    ASSERT_TRUE(record) << record.error().front().message;
    if (!ended.empty()) {
      EXPECT_EQ(record->tanks[0].start_m3, ended[0].end_m3);
      EXPECT_EQ(record->tanks[1].start_m3, ended[1].end_m3);
    }
    EXPECT_EQ(record->lasted_s, 900.0);
    ended = record->tanks;
    rain_m3 += record->ledger.rain_m3;
    drawn_m3 += record->outlets[0].delivered_m3;
  }
  EXPECT_TRUE(near(rain_m3, whole->ledger.rain_m3, {1e-12, 0.0}));
  EXPECT_TRUE(near(drawn_m3, whole->outlets[0].delivered_m3, {1e-9, 0.0}));
  EXPECT_TRUE(near(ended[0].end_m3, whole->tanks[0].end_m3, {0.0, 2e-4}));
  EXPECT_TRUE(near(ended[1].end_m3, whole->tanks[1].end_m3, {0.0, 1e-4}));
}

}  // namespace season_test
}  // namespace tankyard
