// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <numbers>

#include "graph/site.h"

namespace tankyard {

inline constexpr double zero_degc_k = 273.15;

/// Temperature of the air at a clock time, K: the site's mean, rising from the coldest hour to the
/// warmest and falling back along half waves of a cosine (common practice, no source). `swing_k`:
/// warmest less coldest, 0 or more. `clock_s`: seconds after some midnight. What the air in a
/// headspace takes on: it follows the outside at once, which is the worst case for a thin wall.
inline double air_temperature_k(const Site& site, double swing_k, double clock_s) {
  const double mean = zero_degc_k + site.air_temperature_degc;
  if (swing_k == 0.0) return mean;
  using std::numbers::pi;
  constexpr double day_h = 24.0;
  const double hour = std::fmod(clock_s / 3600.0, day_h);
  const double rises_h = std::fmod(site.warmest_hour - site.coldest_hour + day_h, day_h);
  const double since_coldest_h = std::fmod(hour - site.coldest_hour + 2.0 * day_h, day_h);
  const double phase = since_coldest_h <= rises_h
                           ? pi * since_coldest_h / rises_h
                           : pi + pi * (since_coldest_h - rises_h) / (day_h - rises_h);
  return mean - 0.5 * swing_k * std::cos(phase);
}

/// How long from a clock time until the air is next at its coldest or its warmest, s; over 0.
inline double until_air_turns_s(const Site& site, double clock_s) {
  constexpr double day_h = 24.0;
  const double hour = std::fmod(clock_s / 3600.0, day_h);
  const double to_coldest_h = std::fmod(site.coldest_hour - hour + 2.0 * day_h, day_h);
  const double to_warmest_h = std::fmod(site.warmest_hour - hour + 2.0 * day_h, day_h);
  constexpr double now_h = 1e-6;  // a turn just reached is past
  double next_h = day_h;
  if (to_coldest_h > now_h) next_h = std::fmin(next_h, to_coldest_h);
  if (to_warmest_h > now_h) next_h = std::fmin(next_h, to_warmest_h);
  return 3600.0 * next_h;
}

}  // namespace tankyard
