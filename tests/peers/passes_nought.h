// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>

namespace plain {

/// Where a falling function passes nought between two places, by Ridders' rule (IEEE Trans.
/// Circuits and Systems 26 (1979) 979): halve, take off the exponential that makes the three values
/// straight, and go to where the straight line meets nought. The bracket at least halves each turn.
template <class Function>
double passes_nought(Function function, double low, double at_low, double high, double at_high,
                     double to_within) {
  const auto narrow = [&](double place, double value) {
    if (place <= low || place >= high) return;
    (value > 0.0 ? low : high) = place;
    (value > 0.0 ? at_low : at_high) = value;
  };
  double before = high;
  for (int turn = 0; turn < 200 && high - low > to_within; ++turn) {
    const double middle = 0.5 * (low + high);
    const double at_middle = function(middle);
    const double root = std::sqrt(at_middle * at_middle - at_low * at_high);
    if (at_middle == 0.0 || !(root > 0.0)) return middle;
    const double better = middle + (middle - low) * at_middle / root;
    if (std::fabs(better - before) <= to_within) return better;
    before = better;
    narrow(middle, at_middle);
    narrow(better, function(better));
  }
  return 0.5 * (low + high);
}

template <class Function>
double passes_nought(Function function, double low, double high, double to_within) {
  return passes_nought(function, low, function(low), high, function(high), to_within);
}

}  // namespace plain
