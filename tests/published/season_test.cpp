// SPDX-License-Identifier: MIT
// The season against the outside: a real rain record, the rules of yield after and before spillage,
// and what people in the trade say.
#include <gtest/gtest.h>

#include <cmath>

#include "io/rain_file.h"
#include "season_yards.h"
#include "solver/studies/season_bucket.h"
#include "solver/studies/season_study.h"
#include "tests/published/table.h"

namespace published {
namespace season_test {

using namespace tankyard;

RainFileOptions in_mm() {
  RainFileOptions options;
  options.unit = "mm";
  return options;
}

Row figure(const char* what, const char* source, Sure sure, double said, double ours,
           const char* unit, Band band) {
  return {.what = what,
          .source = source,
          .sure = sure,
          .published = said,
          .ours = ours,
          .unit = unit,
          .band = std::move(band)};
}

TEST(Season, ReadsFourRealYears) {
  NEEDS_REAL_RAIN(real);
  const auto file = read_rain(real.text(), real.path, in_mm());
  ASSERT_TRUE(file) << file.error().front().message;
  EXPECT_EQ(file->rain.days.size(), 1461U);
  EXPECT_EQ(file->missing_days, 0U);
  const OneTank yard(1000.0, 500.0, 60.0, 0.81, 250.0);
  const auto season = yard.season(file->rain);
  ASSERT_TRUE(season);
  ASSERT_EQ(season->years.size(), 4U);
  const double sums_mm[] = {1226.0, 828.0, 1232.8, 1139.2};
  for (std::size_t y = 0; y < 4; ++y) {
    row(figure("Seattle rain in a year", "NOAA, in vega-datasets 2.11.0", Sure::seen, sums_mm[y],
               1e3 * season->years[y].tally.rain_m, "mm", give_or_take(sums_mm[y], 0.05)));
    // Annual yield Y = A h e n, the form of EN 16941-1 and BS 8515.
    row(figure("yield of 60 m2, e 0.9, n 0.9", "Y = A h e n, EN 16941-1 form", Sure::computed,
               60.0 * sums_mm[y] * 0.81, 1e3 * season->years[y].tally.caught_m3, "L",
               percent(60.0 * sums_mm[y] * 0.81, 1e-4)));
  }
}

// A tap at the very floor of one box, so that hoses take nothing: on the real record its litres
// have to lie between the two rules, whatever the hours of rain and watering. A ten-thousandth on
// top is for the millimetre that stands over a real rim while it spills, which no bucket has.
TEST(Season, OneTankLiesBetweenTheTwoRulesOfYield) {
  NEEDS_REAL_RAIN(real);
  const auto file = read_rain(real.text(), real.path, in_mm());
  ASSERT_TRUE(file) << file.error().front().message;
  struct Case {
    const char* what;
    double holds_l;
    double daily_l;
    double draws_at_h;
    PourRule pour;
  };
  const Case cases[] = {
      {"1000 L, 250 L at 06:00, rain after noon", 1000.0, 250.0, 6.0, {12.0 * 3600, 6.0 * 3600}},
      {"1000 L, 250 L at noon, rain all day", 1000.0, 250.0, 12.0, {0.0, 86400.0}},
      {"1000 L, 250 L at 20:00, rain from midnight", 1000.0, 250.0, 20.0, {0.0, 6.0 * 3600}},
      {"3000 L, 150 L at 12:00, rain in an hour", 3000.0, 150.0, 12.0, {12.0 * 3600, 3600.0}},
      {"300 L, 250 L at noon, rain all day", 300.0, 250.0, 12.0, {0.0, 86400.0}}};
  for (const Case& each : cases) {
    OneTank yard(each.holds_l, 0.3 * each.holds_l, 60.0, 0.81, each.daily_l);
    yard.uses[0].at_s = each.draws_at_h * 3600.0;
    SeasonOptions options;
    options.pour = each.pour;
    const auto season = yard.season(file->rain, options);
    ASSERT_TRUE(season);
    Bucket after{each.holds_l * 1e-3, 0.3e-3 * each.holds_l};
    Bucket before = after;
    double after_m3 = 0.0;
    double before_m3 = 0.0;
    for (const RainDay& day : file->rain.days) {
      const double inflow_m3 = day.depth_m * 60.0 * 0.81;
      after_m3 += yield_after_spillage(after, inflow_m3, each.daily_l * 1e-3).used_m3;
      before_m3 += yield_before_spillage(before, inflow_m3, each.daily_l * 1e-3).used_m3;
    }
    row(figure(each.what,
               "yield after and before spillage: Jenkins et al. 1978, Fewkes and "
               "Butler 2000",
               Sure::computed, 0.5e3 * (after_m3 + before_m3), 1e3 * season->total.used_m3, "L",
               between(1e3 * after_m3, 1.0001e3 * before_m3)));
  }
}

double lasts_days(double holds_l, double daily_l, int tried) {
  const OneTank yard(holds_l, holds_l, 10.0, 1.0, daily_l);
  const auto array = yard.array();
  const Result<DrySpell> spell = live_dry(*array, yard.uses, tried);
  if (!spell || !spell->lasts_days) return std::nan("");
  return *spell->lasts_days;
}

TEST(Season, LastsAsLongAsTheTradeSays) {
  row(figure("3000 L at 500 L a day", "said in the trade", Sure::practice, 6.0,
             lasts_days(3000.0, 500.0, 30), "days", give_or_take(6.0, 0.0)));
  row(figure("a 300-L butt at three 10-L cans a day", "said in the trade", Sure::practice, 10.0,
             lasts_days(300.0, 30.0, 30), "days", give_or_take(10.0, 0.0)));
  row(figure("20 000 L at 500 L a day", "said in the trade", Sure::practice, 40.0,
             lasts_days(20000.0, 500.0, 60), "days", give_or_take(40.0, 0.0)));
  const OneTank roof(10000.0, 0.0, 50.0, 1.0, 1.0);
  const auto season = roof.season(days_of_mm({10.0}));
  ASSERT_TRUE(season);
  row(figure("1 cm of rain on 50 m2, as a day's total", "said in the trade", Sure::practice, 500.0,
             1e3 * season->total.caught_m3, "L", percent(500.0, 1e-6)));
}

}  // namespace season_test
}  // namespace published
