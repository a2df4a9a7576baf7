// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>

#include "solver/link_law.h"

namespace tankyard {

/// The loss law of one way, remembered where it was last looked up.
///
/// From turn to turn, and from step to step, most flows change by less than a hundredth, and the
/// law's logarithms and exponentials cost as much as the rest of a turn. So the law is followed
/// along its parabola while a flow stays near, to some 1e-7 of the loss at the default tolerance
/// (2e-6 at the worst, where laminar flow turns), closer in proportion to a finer one. `head_lost`
/// (solver/link_law.h) is the plain version, which `closeness` 0 always asks.
class LossNear {
 public:
  /// `closeness`: 0 to 3, of how far `HeadLoss::near_m3_per_s` allows; always the same for one way.
  HeadLoss at(const LossLaw& law, double flow_m3_per_s, double closeness) {
    const double moved = flow_m3_per_s - flow_m3_per_s_;
    if (std::fabs(moved) < near_m3_per_s_) {
      return {
          last_.head_m + moved * (last_.slope_m_per_m3_per_s + 0.5 * moved * last_.bend_s2_per_m5),
          last_.slope_m_per_m3_per_s + moved * last_.bend_s2_per_m5};
    }
    flow_m3_per_s_ = flow_m3_per_s;
    last_ = head_lost(law, flow_m3_per_s);
    // Off a tangent, where the bend is not known, goes with the square.
    const double near = last_.bend_s2_per_m5 == 0.0 ? closeness * std::sqrt(closeness) : closeness;
    near_m3_per_s_ = near * last_.near_m3_per_s;
    return last_;
  }

  /// What the law strays from its parabola goes with the cube of the way: so far for this
  /// tolerance.
  static double closeness_for(double depth_tolerance_m) {
    constexpr double at_m = 1e-4;
    return std::fmin(3.0, std::cbrt(depth_tolerance_m / at_m));
  }

 private:
  double flow_m3_per_s_ = 0.0;
  double near_m3_per_s_ = 0.0;  // nothing near yet
  HeadLoss last_;
};

}  // namespace tankyard
