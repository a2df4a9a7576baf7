// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

/// Darcy friction factor of a full pipe by Churchill's one formula for all regimes (Chemical
/// Engineering 84, 7 Nov 1977, 91):
///
///     f = 8 ((8/Re)^12 + (A + B)^-1.5)^(1/12)
///     A = (2.457 ln(1 / ((7/Re)^0.9 + 0.27 e)))^16      B = (37530/Re)^16
///
/// with e the roughness over the bore. Laminar below Re 2000 or so, rough at the other end, and no
/// step between them, which is why it is preferred here to a chart's two branches. Against
/// Colebrook within 2.2 % from Re 4000 (tests/published); between 2000 and 4000 nobody knows better
/// than roughly.
///
/// Requires: `reynolds` over 0, `relative_roughness` from 0 to below 1. Fit for e up to 0.05.
double friction_factor(double reynolds, double relative_roughness);

/// What one hose costs, made ready once so that a step need not work it out again.
///
///     head = sign(Q) (f L/D + K) v^2 / 2g,    v = Q / (pi D^2 / 4)
struct HoseLoss {
  double reynolds_per_flow = 0.0;        ///< Re = this |Q|, s/m3
  double laminar_slope = 0.0;            ///< 128 nu L / (pi g D^4), s/m2
  double friction = 0.0;                 ///< head = f this Q^2, s2/m5
  double fittings = 0.0;                 ///< head = this Q^2, s2/m5
  double roughness_term = 0.0;           ///< 0.27 e
  double parabola_below_m3_per_s = 0.0;  ///< slower than this the law is a parabola
};

/// Requires: bore and viscosity over 0; length and `loss_k` (everything: entry, exit and what sits
/// between) 0 or more, not both 0; roughness from 0 to below the bore; all finite.
HoseLoss hose_loss(double bore_m, double length_m, double roughness_m, double loss_k,
                   double kinematic_viscosity_m2_per_s);

/// Head lost at a flow and how fast it grows with the flow.
struct HeadLoss {
  double head_m = 0.0;
  double slope_m_per_m3_per_s = 0.0;
  /// The slope's own slope, or 0 where it is not known; and how far from this flow the three tell
  /// the loss to 1e-7 of itself.
  double bend_s2_per_m5 = 0.0;
  double near_m3_per_s = 0.0;
};

/// Odd in the flow, rising, smooth; the slope is the exact derivative. At rest the slope is the
/// laminar one, and therefore zero for a hose without length.
HeadLoss head_lost(const HoseLoss& hose, double flow_m3_per_s);

/// The flow that costs this head, to 1e-13 of itself: the inverse of `head_lost`, odd as well.
/// Requires: `head_m` finite.
double flow_at(const HoseLoss& hose, double head_m);

}  // namespace tankyard
