// SPDX-License-Identifier: MIT
#include "solver/water.h"

#include <cmath>

#include "solver/air_temperature.h"
#include "solver/vent_flow.h"

namespace tankyard {

// rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4))), t in degC: Tanaka, Girard, Davis, Peuto and
// Bignell, "Recommended table for the density of water between 0 C and 40 C", Metrologia 38 (2001)
// 301. The constants are quoted from memory; what they give is held against a printed handbook
// table in tests/published.
double water_density_kg_per_m3(double temperature_degc) {
  const double t = temperature_degc;
  const double from_densest = t - 3.983035;
  return 999.974950 *
         (1.0 - from_densest * from_densest * (t + 301.797) / (522528.9 * (t + 69.34881)));
}

// mu = 1e-6 Pa s (280.68 T^-1.9 + 511.45 T^-7.7 + 61.131 T^-19.6 + 0.45903 T^-40), T in units of
// 300 K: IAPWS SR6-08(2011), the equation for 0.1 MPa.
double water_viscosity_pa_s(double temperature_degc) {
  const double t = (temperature_degc + zero_degc_k) / 300.0;
  return 1e-6 * (280.68 * std::pow(t, -1.9) + 511.45 * std::pow(t, -7.7) +
                 61.131 * std::pow(t, -19.6) + 0.45903 * std::pow(t, -40.0));
}

// ln(p / pc) = (Tc / T) (a1 x + a2 x^1.5 + a3 x^3 + a4 x^3.5 + a5 x^4 + a6 x^7.5), x = 1 - T / Tc:
// IAPWS SR1-86; Wagner and Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783.
double water_vapour_pressure_pa(double temperature_degc) {
  constexpr double critical_k = 647.096;
  constexpr double critical_pa = 22.064e6;
  const double t_k = temperature_degc + zero_degc_k;
  const double x = 1.0 - t_k / critical_k;
  const double root = std::sqrt(x);
  const double cube = x * x * x;
  return critical_pa * std::exp(critical_k / t_k *
                                (-7.85951783 * x + 1.84408259 * x * root - 11.7866497 * cube +
                                 22.6807411 * cube * root - 15.9618719 * cube * x +
                                 1.80122502 * cube * cube * x * root));
}

// p = p0 (1 - L H / T0)^(g / (R L)), H the geopotential height (at 5000 m some 4 m less than the
// geometric one, which is neglected): ISO 2533:1975.
double atmosphere_pa(double altitude_m) {
  constexpr double sea_level_pa = 101325.0;
  constexpr double sea_level_k = 288.15;
  constexpr double lapse_k_per_m = 0.0065;
  return sea_level_pa * std::pow(1.0 - lapse_k_per_m * altitude_m / sea_level_k,
                                 gravity_m_per_s2 / (air_gas_constant * lapse_k_per_m));
}

Water water_at(double temperature_degc, double altitude_m) {
  Water water;
  water.density_kg_per_m3 = water_density_kg_per_m3(temperature_degc);
  water.kinematic_viscosity_m2_per_s =
      water_viscosity_pa_s(temperature_degc) / water.density_kg_per_m3;
  water.vapour_pressure_pa = water_vapour_pressure_pa(temperature_degc);
  water.atmosphere_pa = atmosphere_pa(altitude_m);
  return water;
}

}  // namespace tankyard
