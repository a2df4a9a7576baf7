// SPDX-License-Identifier: MIT
#include "solver/headspace.h"

#include <gtest/gtest.h>
// rapidcheck after GoogleTest, as it asks.
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace tankyard {
namespace headspace_test {

Parts one_tank(double area_m2, double height_m, double water_m, Lid lid) {
  Tank tank;
  tank.name = "tank";
  tank.shape = Prism{area_m2, height_m};
  tank.water_m3 = area_m2 * water_m;
  tank.lid = lid;
  Parts parts;
  parts.site.water_temperature_degc = 10.0;
  parts.tanks.push_back(tank);
  return parts;
}

Lid sealed() {
  Lid lid;
  lid.kind = Lid::Kind::sealed;
  return lid;
}

Lid holed(double hole_m) {
  Lid lid;
  lid.kind = Lid::Kind::holed;
  lid.hole_m = hole_m;
  return lid;
}

/// A stage of one tank, made ready to be asked at any head.
struct Stage {
  explicit Stage(const Parts& parts, double weight_s = 1e-9)
      : array(*Array::make(parts)), network(array), headspaces(network) {
    for (const Tank& tank : parts.tanks) volume_m3.push_back(tank.water_m3);
    air_k.assign(volume_m3.size(), 288.15);
    air_kg = headspaces.air_at_rest_kg(volume_m3, air_k);
    ask.weight_s = weight_s;
    ask.air_wanted_kg = &air_kg;
    ask.tank_air_k = &air_k;
    points.resize(volume_m3.size());
  }
  const Headspaces::Point& at(double head_m) {
    headspaces.at_heads(ask, {head_m}, points);
    return points[0];
  }

  Array array;
  Network network;
  Headspaces headspaces;
  std::vector<double> volume_m3;
  std::vector<double> air_k;
  std::vector<double> air_kg;
  Headspaces::Ask ask;
  std::vector<Headspaces::Point> points;
};

// A sealed box drains through an outlet under water until its own vacuum holds the rest. Gas height
// g0, water h0 over the outlet, suction S below it: the level falls by
//   x = (-(P + g0 - h0 - S) + sqrt((P + g0 - h0 - S)^2 + 4 (h0 + S) g0)) / 2,   P = p_atm / rho g,
// from Boyle's law alone (worked out for these cases in double arithmetic, rho 999.7 kg/m3).
TEST(Headspace, HoldsASealedTanksWaterWhereBoyleSays) {
  struct Case {
    double gas_m, water_m, suction_m, falls_mm;
  };
  const Case cases[] = {{0.05, 0.95, 0.0, 5.0316},  {0.1, 0.9, 0.0, 9.4292},
                        {0.5, 0.5, 0.0, 24.1324},   {0.1, 0.9, 1.5, 29.7577},
                        {0.05, 0.85, 5.0, 63.6011}, {0.1, 0.9, 7.0, 280.5475}};
  for (const Case& c : cases) {
    Stage stage(one_tank(1.0, c.gas_m + c.water_m, c.water_m, sealed()));
    // At the stall the head at the outlet is that of the suction.
    const double falls_mm = 1e3 * (c.water_m - stage.at(-c.suction_m).volume_m3);
    EXPECT_NEAR(falls_mm, c.falls_mm, 2e-4 * c.falls_mm) << "gas " << c.gas_m;
  }
}

TEST(Headspace, OfAFullSealedTankTakesNextToNoWaterHoweverHardItIsPressed) {
  // A ten-thousandth of the tank for each atmosphere, as walls give.
  Stage stage(one_tank(1.0, 1.0, 1.0, sealed()));
  const double full_m3 = stage.at(1.0).volume_m3;
  EXPECT_NEAR(stage.at(21.0).volume_m3, full_m3, 3e-4);
  EXPECT_NEAR(stage.at(21.0).gas_m, 20.0, 3e-4);
}

TEST(Headspace, FallsNoLowerThanVapourPressure) {
  // Full: there is next to no air that could spread out instead.
  Stage stage(one_tank(1.0, 1.0, 1.0, sealed()));
  const double weight = stage.network.water.density_kg_per_m3 * gravity_m_per_s2;
  const double deepest_m =
      (stage.network.water.vapour_pressure_pa - stage.network.water.atmosphere_pa) / weight;
  const double vapour_m = stage.network.water.vapour_pressure_pa / weight;
  const Headspaces::Point point = stage.at(-9.9);
  EXPECT_GT(point.gas_m, deepest_m);
  EXPECT_LT(point.gas_m, deepest_m + 0.05 * vapour_m);
}

RC_GTEST_PROP(Headspace, IsPositiveAndFollowsTheHeadMonotonically, (unsigned seed)) {
  const double height_m = 0.2 + 1e-3 * (seed % 2000);
  const double water_m = height_m * 1e-3 * ((seed / 7) % 1000);
  const double hole_m = 1e-3 * (1 + (seed / 11) % 40);
  Stage stage(one_tank(0.05 + 1e-2 * (seed % 300), height_m, water_m,
                       seed % 3 == 0 ? sealed() : holed(hole_m)),
              std::pow(10.0, static_cast<int>(seed % 9) - 4));
  const double weight = stage.network.water.density_kg_per_m3 * gravity_m_per_s2;
  double last_volume_m3 = -1e9;
  double last_gas_m = -1e9;
  for (double head_m = -8.0; head_m < 8.0; head_m += 0.37) {
    const Headspaces::Point point = stage.at(head_m);
    RC_ASSERT(point.gas_m * weight + stage.network.water.atmosphere_pa > 0.0);
    // 0.1 mL in a cubic metre: where volume by gas and volume by level meet.
    RC_ASSERT(point.volume_m3 >= last_volume_m3 - 1e-7 * (1.0 + last_volume_m3));
    RC_ASSERT(point.gas_m >= last_gas_m - 1e-9);
    last_volume_m3 = point.volume_m3;
    last_gas_m = point.gas_m;
  }
}

RC_GTEST_PROP(Headspace, HasTheSlopeThatDifferencesShow, (unsigned seed)) {
  const double water_m = 0.05 + 1e-3 * (seed % 900);
  Stage stage(one_tank(1.0, 1.0, water_m, seed % 2 == 0 ? sealed() : holed(0.004)), 10.0);
  // Not where no air moves: there the vent's slope itself bends within a few micrometres.
  const double head_m = water_m - 1e-3 * (1 + (seed / 5) % 900);
  const Headspaces::Point point = stage.at(head_m);
  const double step_m = 1e-5;
  const double higher = stage.at(head_m + step_m).volume_m3;
  const double lower = stage.at(head_m - step_m).volume_m3;
  const double differenced = (higher - lower) / (2.0 * step_m);
  RC_ASSERT(std::fabs(point.volume_slope_m2 - differenced) <= 1e-4 * (differenced + 1e-3));
}

RC_GTEST_PROP(Headspace, UnderABiggerHoleHasNoDeeperVacuum, (unsigned seed)) {
  const double hole_m = 1e-3 * (1 + seed % 30);
  const double head_m = -1.0 + 1e-3 * (seed % 1500);
  Stage small(one_tank(1.0, 1.0, 0.6, holed(hole_m)), 30.0);
  Stage big(one_tank(1.0, 1.0, 0.6, holed(1.3 * hole_m)), 30.0);
  const double in_small = small.at(head_m).gas_m;
  const double in_big = big.at(head_m).gas_m;
  RC_ASSERT(std::fabs(in_big) <= std::fabs(in_small) + 1e-9);
}

}  // namespace headspace_test
}  // namespace tankyard
