// SPDX-License-Identifier: MIT
// What people in the trade say to each other, put to the tool: common practice, no source.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/published/table.h"
#include "tests/published/yard.h"

namespace published {
namespace trade_facts_test {

using namespace tankyard;

constexpr double hour_s = 3600.0;
constexpr double day_s = 24.0 * hour_s;

Row fact(const char* what, double said, double ours, const char* unit, Band band) {
  return {.what = what,
          .source = "said in the trade",
          .sure = Sure::practice,
          .published = said,
          .ours = ours,
          .unit = unit,
          .band = std::move(band)};
}

/// A tap that draws a fixed flow at the floor of a tank, open by the clock.
void tap(Yard& yard, TankId tank, double m3_per_s) {
  Outlet outlet;
  outlet.name = "tap";
  outlet.at = HoseEnd{tank, std::nullopt};
  outlet.draw_m3_per_s = m3_per_s;
  yard.parts.outlets.push_back(outlet);
}

double caught_l(double rain_m) {
  Yard yard;
  Roof roof;
  roof.name = "roof";
  roof.area_m2 = 50.0;
  roof.runoff_fraction = 1.0;
  roof.into = yard.vessel(10.0, 1.0);
  yard.parts.roofs.push_back(roof);
  yard.sheet.steps.push_back({0.0, {}, rain_m / hour_s});
  yard.sheet.steps.push_back({hour_s, {}, 0.0});
  const auto record = yard.run(2.0 * hour_s);
  return record ? 1e3 * record->roofs[0].caught_m3 : std::nan("");
}

TEST(TradeFacts, ACentimetreOfRainOnFiftySquareMetresIsFiveHundredLitres) {
  row(fact("1 cm of rain on 50 m2", 500.0, caught_l(0.01), "L", percent(500.0, 1e-6)));
  row(fact("6 cm of rain on 50 m2", 3000.0, caught_l(0.06), "L", percent(3000.0, 1e-6)));
}

// 10 m of 19 mm hose with a fall of 1 m. (Half-inch hose needs some 6 m for it, that is mains
// pressure.)
TEST(TradeFacts, AGardenHoseRunsAboutAThousandLitresAnHour) {
  Yard yard;
  const TankId tank = yard.vessel(1000.0, 1.0, 0.5);
  const TankId far = yard.vessel(1000.0, 0.5, 0.0);
  yard.pipe(tank, far, 0.019, 10.0, 1e-5, 3.0);
  const auto record = yard.run(hour_s);
  ASSERT_TRUE(record);
  row(fact("garden hose 19 mm, 10 m, fall 1 m, in an hour", 1000.0,
           1e3 * record->hoses[0].carried_m3, "L", between(700.0, 1300.0)));
}

// Three 10-litre cans a day from a 300-litre butt, until a can no longer fills.
TEST(TradeFacts, AButtOfThreeHundredLitresLastsTenDays) {
  Yard yard;
  const TankId butt = yard.vessel(0.25, 1.2);
  const double can_m3 = 0.010;
  const double fills_in_s = 60.0;
  tap(yard, butt, can_m3 / fills_in_s);
  for (int day = 0; day < 14; ++day) {
    for (int can = 0; can < 3; ++can) {
      const double at_s = day * day_s + (7.0 + 5.0 * can) * hour_s;
      yard.sheet.steps.push_back({at_s, {{Action::Does::open, OutletId{0}}}, {}});
      yard.sheet.steps.push_back({at_s + fills_in_s, {{Action::Does::close, OutletId{0}}}, {}});
    }
  }
  const auto record = yard.run(14.0 * day_s);
  ASSERT_TRUE(record);
  row(fact("three 10-L cans a day: asked in a day", 30.0, 1e3 * record->outlets[0].asked_m3 / 14.0,
           "L", percent(30.0, 1e-6)));
  ASSERT_TRUE(record->outlets[0].first_dry_at_s);
  row(fact("300-L butt at 30 L a day is dry after", 10.0,
           *record->outlets[0].first_dry_at_s / day_s, "days", between(9.0, 11.0)));
}

// Half an hour of hose a day at the trade's 1000 L an hour, for forty dry days.
TEST(TradeFacts, FortyDryDaysOfHalfAnHourOfHoseTakeTwentyThousandLitres) {
  Yard yard;
  const TankId cistern = yard.vessel(20.0, 1.5);
  tap(yard, cistern, 1.0 / hour_s);
  for (int day = 0; day < 40; ++day) {
    const double at_s = day * day_s + 19.0 * hour_s;
    yard.sheet.steps.push_back({at_s, {{Action::Does::open, OutletId{0}}}, {}});
    yard.sheet.steps.push_back({at_s + 0.5 * hour_s, {{Action::Does::close, OutletId{0}}}, {}});
  }
  const auto record = yard.run(40.0 * day_s);
  ASSERT_TRUE(record);
  row(fact("half an hour of hose a day, 40 days", 20000.0, 1e3 * record->outlets[0].delivered_m3,
           "L", percent(20000.0, 1e-4)));
}

/// What a nozzle at the end of a hose gives in a minute, held so high above the tank's floor.
double in_a_minute_l(double nozzle_m, double water_m) {
  Yard yard;
  const TankId tank = yard.vessel(100.0, water_m);
  Outlet nozzle;
  nozzle.name = "nozzle";
  nozzle.height_m = nozzle_m;
  nozzle.bore_m = 0.006;
  nozzle.open = true;
  yard.parts.outlets.push_back(nozzle);
  yard.pipe(tank, OutletId{0}, 0.0125, 10.0, 1e-5, 3.0);
  const auto record = yard.run(60.0);
  return record ? 1e3 * record->outlets[0].delivered_m3 : std::nan("");
}

TEST(TradeFacts, AHoseHeldAboveTheWaterGivesNothingAndLessAsTheLevelFalls) {
  row(fact("hose held 0.1 m above the water gives", 0.0, in_a_minute_l(1.1, 1.0), "L/min",
           give_or_take(0.0, 0.0)));
  const double full = in_a_minute_l(0.3, 1.0);
  const double half = in_a_minute_l(0.3, 0.6);
  EXPECT_GT(half, 0.0);
  row(fact("hose at 0.3 m: water 0.6 m deep over 1.0 m deep", 1.0, half / full, "",
           between(0.3, 0.99)));
}

}  // namespace trade_facts_test
}  // namespace published
