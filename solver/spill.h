// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

/// A flow and how it changes with the level that drives it.
struct FlowAndSlope {
  double m3_per_s = 0.0;
  double slope_m2_per_s = 0.0;  ///< per metre of level
};

/// Water leaving through an overflow's round mouth, free on the far side.
///
/// The mouth is cut into level strips, each running as a small orifice under its own depth
/// (Torricelli by strips, as for large orifices in any hydraulics text, for example Unwin,
/// "Hydraulics", Encyclopaedia Britannica 11th ed., vol. 14):
///     Q = Cd integral over the wet mouth of  b(y) sqrt(2 g (h - y)) dy,
///     b(y) = 2 sqrt(y (D - y)).
/// While the mouth is part full this is a circular weir, once covered it is a full bore orifice;
/// there is no switch between the two. Zero at or below the mouth's lowest point, rising without a
/// corner.
///
/// `height_m`: of the water above the mouth's lowest point. Requires: bore_m > 0, 0 < coefficient
/// <= 1. Accurate to 1e-4 of the flow (eight-point Gauss rule; tests hold it to fine quadrature).
FlowAndSlope through_overflow(double height_m, double bore_m, double coefficient);

/// Water running over a level rim of some length: Q = 1.705 b H^1.5, a broad-crested weir (any weir
/// table in SI units; 1.705 = (2/3)^1.5 sqrt(g)). Zero at or below the rim.
FlowAndSlope over_rim(double height_m, double length_m);

/// A fixed draw, met in full where the water stands a centimetre or more over the place it is drawn
/// from, and fading to nothing at that place: share = x (2 - x), x = height / 1 cm. Without the
/// fade a draw on a dry place would have no answer. It sets out from nothing at a slope, not flat,
/// so that the head at which a dry header gives nothing is a plain root and is found in a turn or
/// two.
FlowAndSlope fixed_draw(double height_m, double asked_m3_per_s);

}  // namespace tankyard
