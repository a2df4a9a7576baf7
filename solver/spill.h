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
/// <= 1. In closed form (round_mouth.h), to 4e-7 of the flow.
FlowAndSlope through_overflow(double height_m, double bore_m, double coefficient);

/// The same under a lid: the water's surface also bears the headspace's gauge pressure, `gas_m` as
/// a head of water. Every strip under the surface then runs under h - y + gas; against a vacuum
/// only those do that lie below h + gas. Where a pressed mouth is part full its strips are summed,
/// to 1e-6 of the flow (sixteen-point Gauss rule; tests hold it to fine quadrature).
struct GasDriven {
  double m3_per_s = 0.0;
  double slope_with_level_m2_per_s = 0.0;
  double slope_with_gas_m2_per_s = 0.0;
};
GasDriven through_overflow_under_gas(double height_m, double gas_m, double bore_m,
                                     double coefficient);

/// Water out of a lid's holes once the tank is full and presses: Cd A sqrt(2 g gas), rounded off
/// below 1 mm of head, times the share of the headspace's last thousandth that is gone.
/// `area_m2` has its coefficient in it; `gone` 0 to 1.
FlowAndSlope out_of_lid(double gas_m, double area_m2, double gone);

/// How far a headspace that presses holds back what is let in from above (a roof's downpipe, a
/// top-up): nothing up to 2 m of water, all of it at 3 m. Few downpipes stand higher (common
/// practice, no source); the water runs over at its top instead. Share turned away, and its slope
/// with the gas head.
FlowAndSlope backed_up_share(double gas_m);

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
