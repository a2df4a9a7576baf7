// SPDX-License-Identifier: MIT
#include "solver/weather.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "near.h"

namespace tankyard {
namespace weather_test {

constexpr double mm_an_hour = 1e-3 / 3600.0;

/// A house of 50 m2 that turns away 2 mm and passes 0.1 L/s, and a shed of 10 m2, into one butt.
struct HouseAndShed {
  Parts parts;
  std::vector<RoofRecord> roofs{2};
  std::vector<TankRecord> tanks{1};

  HouseAndShed() {
    Tank butt;
    butt.name = "butt";
    butt.shape = Prism{1.0, 2.0};
    parts.tanks.push_back(butt);
    Roof house;
    house.name = "house";
    house.area_m2 = 50.0;
    house.runoff_fraction = 0.9;
    house.first_flush_m = 0.002;
    house.gutter_limit_m3_per_s = 1e-4;
    Roof shed;
    shed.name = "shed";
    shed.area_m2 = 10.0;
    shed.runoff_fraction = 0.5;
    parts.roofs = {house, shed};
  }

  static double inflow(const Weather& weather) {
    std::vector<double> inflow = {1e-3};  // what is there already stays
    weather.add_inflow(inflow);
    return inflow[0] - 1e-3;
  }
};

// Source of truth: by hand. At 10 mm an hour 50 m2 give 0.125 L/s at a runoff of 0.9, 10 m2 at 0.5
// give 0.01389 L/s; 2 mm have fallen after 720 s.
TEST(Weather, TurnsTheFirstFlushAwayThenFillsTheGutter) {
  HouseAndShed yard;
  Weather weather(yard.parts);
  weather.set_rain(10.0 * mm_an_hour);
  EXPECT_TRUE(near(weather.changes_in_s(), 720.0, {1e-12, 0.0}));
  EXPECT_TRUE(near(yard.inflow(weather), 1.388889e-5, {1e-6, 0.0}));  // the shed alone

  weather.fall(300.0, {}, yard.roofs, yard.tanks);
  EXPECT_TRUE(near(weather.changes_in_s(), 420.0, {1e-12, 0.0}));
  weather.fall(weather.changes_in_s(), {}, yard.roofs, yard.tanks);
  EXPECT_TRUE(std::isinf(weather.changes_in_s()));
  EXPECT_TRUE(near(yard.inflow(weather), 1e-4 + 1.388889e-5, {1e-6, 0.0}));

  weather.fall(1000.0, {}, yard.roofs, yard.tanks);
  EXPECT_TRUE(near(yard.roofs[0].fell_m3, 1.25e-4 * 1720.0, {1e-12, 0.0}));
  EXPECT_TRUE(near(yard.roofs[0].first_flush_m3, 0.09, {1e-12, 0.0}));
  EXPECT_TRUE(near(yard.roofs[0].caught_m3, 0.1, {1e-12, 0.0}));
  EXPECT_TRUE(near(yard.roofs[0].over_gutter_m3, 0.025, {1e-12, 0.0}));
  EXPECT_TRUE(near(yard.roofs[1].caught_m3, 1720.0 * 10.0 * 0.5 * 10.0 * mm_an_hour, {1e-12, 0.0}));
  EXPECT_TRUE(
      near(yard.tanks[0].roof_m3, yard.roofs[0].caught_m3 + yard.roofs[1].caught_m3, {1e-12, 0.0}));
}

// Source of truth: by hand. A drizzle that stays below the gutter's limit loses nothing over it.
TEST(Weather, LosesNothingOverAGutterThatCopes) {
  HouseAndShed yard;
  yard.parts.roofs[0].first_flush_m = 0.0;
  Weather weather(yard.parts);
  weather.set_rain(7.9 * mm_an_hour);
  weather.fall(3600.0, {}, yard.roofs, yard.tanks);
  EXPECT_TRUE(near(yard.roofs[0].caught_m3, 50.0 * 0.9 * 7.9e-3, {1e-12, 0.0}));
  EXPECT_EQ(yard.roofs[0].over_gutter_m3, 0.0);
}

TEST(Weather, KeepsWhatIsLeftOfAFirstFlushOverADrySpell) {
  HouseAndShed yard;
  Weather weather(yard.parts);
  weather.set_rain(10.0 * mm_an_hour);
  weather.fall(360.0, {}, yard.roofs, yard.tanks);
  weather.set_rain(0.0);
  EXPECT_TRUE(std::isinf(weather.changes_in_s()));
  EXPECT_EQ(yard.inflow(weather), 0.0);
  weather.fall(1e6, {}, yard.roofs, yard.tanks);
  weather.set_rain(20.0 * mm_an_hour);
  EXPECT_TRUE(near(weather.changes_in_s(), 180.0, {1e-12, 0.0}));  // 1 mm is left
}

TEST(Weather, IsDryAtFirst) {
  HouseAndShed yard;
  const Weather weather(yard.parts);
  EXPECT_EQ(yard.inflow(weather), 0.0);
  EXPECT_TRUE(std::isinf(weather.changes_in_s()));
}

}  // namespace weather_test
}  // namespace tankyard
