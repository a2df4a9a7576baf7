// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>

#include "solver/vent_flow.h"

namespace tankyard {

// What published rules ask of a vent, and the hole that a steady pull needs by hand: second
// opinions beside the hole that the array itself asks for when it is run.

/// Air to be let in for each cubic metre of water drawn off, m3 of air at 0 degC and 101 325 Pa.
/// The rules are made for petroleum tanks far larger than these; for other liquids they ask for
/// sound engineering judgement. Both say: as much air as water.
///
/// API Standard 2000, 5th ed.: 5.6 cubic feet an hour of air, at 60 degF, for each barrel an hour.
inline constexpr double in_breathing_api_2000_5th = 0.94;
/// ISO 28300:2008, and API Standard 2000 from its 6th ed. on.
inline constexpr double in_breathing_iso_28300 = 1.0;

/// Air drawn in by a tank that a sudden shower cools, m3/s at 0 degC and 101 325 Pa, by ISO 28300:
///
///     V = C (capacity in m3)^0.7  m3/h
///
/// C is 3 for a tank of water at 42 to 58 degrees of latitude, 4 nearer the equator (from memory).
/// A tank of 1 m3 is outside the rule's intended size, so that its 50 L/min are a hint and no more.
/// Uninsulated tanks. Requires: a capacity of 0 or more.
inline double thermal_in_breathing_m3_per_s(double capacity_m3, double c = 3.0) {
  return c * std::pow(capacity_m3, 0.7) / 3600.0;
}

/// Bore of the one hole that holds the vacuum of a steady pull to what is allowed, by Bernoulli
/// alone:
///
///     d^2 = 4/pi Q / (Cd sqrt(2 dp / rho))
///
/// so that the vacuum goes with the fourth power of the bore. Close below 1 kPa; half a per cent of
/// flow there. `pull_m3_per_s`: water drawn off, and the air volume that has to take its place.
/// `coefficient`: the hole's, times the part that a screen leaves free. Requires: a pull of 0 or
/// more, all else over 0.
inline double hole_for_slow_air_m(double pull_m3_per_s, double vacuum_pa, double coefficient,
                                  double air_kg_per_m3) {
  constexpr double quarter_pi = 0.785398163397448309616;
  const double velocity_m_per_s = std::sqrt(2.0 * vacuum_pa / air_kg_per_m3);
  return std::sqrt(pull_m3_per_s / (coefficient * velocity_m_per_s * quarter_pi));
}

/// The same by the compressible law of vent_flow.h, and with the air in the headspace as thin as it
/// is there: what comes in has to fill `pull_m3_per_s` at the lowered pressure. Requires besides: a
/// vacuum below the outside pressure.
inline double hole_for_pull_m(double pull_m3_per_s, double vacuum_pa, double coefficient,
                              double outside_pa, double outside_k, double inside_k) {
  constexpr double quarter_pi = 0.785398163397448309616;
  const double inside_pa = outside_pa - vacuum_pa;
  const double asked_kg_per_s = pull_m3_per_s * inside_pa / (air_gas_constant * inside_k);
  // Flow goes with the area, so one square metre tells all.
  const double kg_per_s_m2 = air_into(1.0, outside_pa, outside_k, inside_pa, inside_k).kg_per_s;
  return std::sqrt(asked_kg_per_s / (kg_per_s_m2 * coefficient * quarter_pi));
}

}  // namespace tankyard
