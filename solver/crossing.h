// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

inline constexpr double share_precision_s = 1e-3;  // moments are located to a millisecond

/// Share of a step at which a number that has the other sign at the end than at the start passes
/// zero, by halving. `number`: of the share, 0 to 1. `length_s`: of the step, over 0.
template <class Number>
double crossing(Number number, double length_s) {
  double low = 0.0;
  double high = 1.0;
  const bool rises = number(1.0) > 0.0;
  while ((high - low) * length_s > share_precision_s) {
    const double middle = 0.5 * (low + high);
    ((number(middle) > 0.0) == rises ? high : low) = middle;
  }
  return high;
}

}  // namespace tankyard
