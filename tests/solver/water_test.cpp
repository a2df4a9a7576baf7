// SPDX-License-Identifier: MIT
#include "solver/water.h"

#include <gtest/gtest.h>

#include <initializer_list>

namespace tankyard {
namespace water_test {

// Published tables stand in tests/published; here is what the formulas owe by their own nature.

// Source of truth: 999.974950 kg/m3 at the densest, the CIPM formula's own constant; 1.0016 mPa s
// at 20 degC, the standard of viscosity (ISO/TR 3666, from memory); 611.657 Pa at the triple point
// (IAPWS, from memory).
TEST(Water, MeetsTheFormulasOwnAnchors) {
  EXPECT_NEAR(water_density_kg_per_m3(3.983035), 999.974950, 1e-9);
  EXPECT_NEAR(water_viscosity_pa_s(20.0), 1.0016e-3, 0.0001e-3);
  EXPECT_NEAR(water_vapour_pressure_pa(0.01), 611.657, 0.02);
  EXPECT_EQ(atmosphere_pa(0.0), 101325.0);
}

TEST(Water, IsDensestNearFourDegrees) {
  for (const double t : {0.5, 2.0, 3.9, 4.1, 6.0, 20.0, 40.0}) {
    EXPECT_LT(water_density_kg_per_m3(t), water_density_kg_per_m3(3.983035)) << t;
  }
}

TEST(Water, ThinsAndSteamsAsItWarms) {
  for (double t = 0.5; t < 40.0; t += 0.5) {
    EXPECT_LT(water_viscosity_pa_s(t), water_viscosity_pa_s(t - 0.5)) << t;
    EXPECT_GT(water_vapour_pressure_pa(t), water_vapour_pressure_pa(t - 0.5 + 0.01)) << t;
  }
}

// Source of truth: water boils where its vapour pressure meets the air's: 100 degC at sea level
// within the change of scale of 1990 (99.974 degC).
TEST(Water, BoilsAtTheStandardAtmosphere) {
  EXPECT_NEAR(water_vapour_pressure_pa(99.974), atmosphere_pa(0.0), 20.0);
}

// Source of truth: dp/dH = -rho g with the gas law, 101325 Pa and 288.15 K falling 6.5 K a km.
TEST(Water, AirThinsByItsOwnWeight) {
  for (const double height : {-100.0, 0.0, 180.0, 1500.0, 5000.0}) {
    const double slope = (atmosphere_pa(height + 1.0) - atmosphere_pa(height - 1.0)) / 2.0;
    const double air_density = atmosphere_pa(height) / (287.05287 * (288.15 - 0.0065 * height));
    EXPECT_NEAR(slope, -air_density * gravity_m_per_s2, 1e-6 * air_density * gravity_m_per_s2);
  }
}

TEST(Water, PutsTogetherWhatARunShares) {
  const Water water = water_at(14.0, 180.0);
  EXPECT_EQ(water.density_kg_per_m3, water_density_kg_per_m3(14.0));
  EXPECT_EQ(water.kinematic_viscosity_m2_per_s,
            water_viscosity_pa_s(14.0) / water_density_kg_per_m3(14.0));
  EXPECT_EQ(water.vapour_pressure_pa, water_vapour_pressure_pa(14.0));
  EXPECT_EQ(water.atmosphere_pa, atmosphere_pa(180.0));
}

}  // namespace water_test
}  // namespace tankyard
