// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

/// What a round mouth passes under its own depth, as a number: with the water `x` bores over the
/// mouth's lowest point,
///
///     Q = Cd sqrt(2 g D^5) F(x),   F(x) = integral of 2 sqrt(y (1 - y)) sqrt(x - y) dy
///
/// over y from 0 to the lesser of x and 1. With y = x t (y = t where x > 1) that is Euler's
/// integral of the hypergeometric function (NIST Digital Library of Mathematical
/// Functions, 15.6.1):
///
///     F(x) = pi/4 x^2 E(x)          up to x = 1,
///     F(x) = pi/4 sqrt(x) E(1/x)    from there on,   E(z) = 2F1(-1/2, 3/2; 3; z).
///
/// E is followed along cubics between 257 points at which it and its slope are summed once (15.2.1
/// and 15.5.1, numbers from memory; at 1 by 15.4.20): within 4e-7 of itself, with a slope that is
/// the slope of what is given. Two quotients and a root, where summing strips takes eight sines,
/// cosines and roots.
struct RoundMouthFlow {
  double flow = 0.0;   ///< F
  double slope = 0.0;  ///< dF/dx
};

/// Requires: `x` > 0.
RoundMouthFlow round_mouth_flow(double x);

}  // namespace tankyard
