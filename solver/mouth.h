// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <numbers>

namespace tankyard {

/// How much of a hose's round mouth stands under water.
///
/// A tank gives water through a mouth only as far as the mouth is covered. The part of a circle's
/// area below a level that stands x of its bore above its lowest point is the circular segment
///     s(x) = (acos(1 - 2x) - 2 (1 - 2x) sqrt(x - x^2)) / pi,     0 <= x <= 1,
/// (any table of mensuration). It is 0 when the mouth is dry, 1 when the bore is covered, and has
/// no corner at either end, so that flows do not bend sharply where a mouth uncovers.
struct Covered {
  double share = 0.0;        ///< s, 0 to 1
  double slope_per_m = 0.0;  ///< ds/d(level)
};

/// `level_m` and `mouth_m` above one datum; `mouth_m` is the lowest point of the mouth, and may be
/// minus infinity for an end that is always under water. Requires: bore_m > 0.
inline Covered covered(double level_m, double mouth_m, double bore_m) {
  const double x = (level_m - mouth_m) / bore_m;
  if (x <= 0.0) return {0.0, 0.0};
  if (x >= 1.0) return {1.0, 0.0};
  using std::numbers::pi;
  const double half_chord = std::sqrt(x - x * x);
  const double below = 1.0 - 2.0 * x;
  return {(std::acos(below) - 2.0 * below * half_chord) / pi, 8.0 / pi * half_chord / bore_m};
}

}  // namespace tankyard
