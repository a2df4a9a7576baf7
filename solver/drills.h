// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

namespace tankyard {

/// Bores one can drill with what a shed or a hire shop has: twist drills by half millimetres to 13
/// mm, which most chucks end at, one of 14 mm, and hole saws from there. Common practice, no
/// source.
inline constexpr double drills_mm[] = {1.0,  1.5,  2.0,  2.5,  3.0,  3.5,  4.0,  4.5,  5.0,  5.5,
                                       6.0,  6.5,  7.0,  7.5,  8.0,  8.5,  9.0,  9.5,  10.0, 10.5,
                                       11.0, 11.5, 12.0, 12.5, 13.0, 14.0, 16.0, 19.0, 22.0, 25.0,
                                       29.0, 32.0, 35.0, 38.0, 44.0, 51.0, 57.0, 64.0, 76.0};

/// The smallest drill that makes a hole at least so wide, m. None beyond 76 mm: that takes two
/// holes or more. A hole wanted of exactly a drill's size gets that drill, though rounding may have
/// made it a nanometre more. Requires: a number.
inline std::optional<double> next_drill_m(double at_least_m) {
  for (const double drill_mm : drills_mm) {
    if (drill_mm / 1000.0 >= at_least_m - 1e-9) return drill_mm / 1000.0;
  }
  return std::nullopt;
}

}  // namespace tankyard
