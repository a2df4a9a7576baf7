// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

/// Standard gravity, exact (CGPM 1901; ISO 80000-3).
inline constexpr double gravity_m_per_s2 = 9.80665;

/// Density of air-free water at 101 325 Pa, kg/m3, 0 to 40 degC (CIPM: Tanaka et al., Metrologia 38
/// (2001) 301).
double water_density_kg_per_m3(double temperature_degc);

/// Dynamic viscosity of water at 0.1 MPa, Pa s, 0 to 110 degC (IAPWS SR6-08(2011)).
double water_viscosity_pa_s(double temperature_degc);

/// Vapour pressure of water, Pa absolute, 0.01 degC to the critical point (IAPWS SR1-86; Wagner and
/// Pruss 1993).
double water_vapour_pressure_pa(double temperature_degc);

/// Pressure of the standard atmosphere at a height above the sea, Pa absolute, up to 11 000 m
/// (ISO 2533:1975).
double atmosphere_pa(double altitude_m);

/// The properties a whole run shares.
struct Water {
  double density_kg_per_m3 = 0.0;
  double kinematic_viscosity_m2_per_s = 0.0;
  double vapour_pressure_pa = 0.0;  ///< absolute
  double atmosphere_pa = 0.0;       ///< absolute
};
Water water_at(double temperature_degc, double altitude_m);

}  // namespace tankyard
