// SPDX-License-Identifier: MIT
#pragma once

#include "solver/pump_curve.h"
#include "solver/suction.h"

namespace tankyard {

/// A running, primed pump between two places, as a way for water.
///
/// With a and b the heads at inlet and outlet, H0 the shut-off head, loss(Q) what the curve loses
/// inside (solver/pump_curve.h) and s the throttle (solver/suction.h):
///
///     loss(Q) = s(a, Q) (H0 + a - b)    where H0 + a - b > 0,    else Q = 0.
///
/// With s = 1 this says that the pump's head at Q is b - a: the curve. In form it is a hose with a
/// non-return valve whose cracking head is -H0, and s stands where a mouth's cover stands. Short
/// suction takes away from what drives the water through, not from the head given: with no share
/// left nothing flows, whichever way the heads point.
///
/// One flow for each pair of heads, and monotone at both ends (an M-function, solver/README.md):
/// write r(Q, a, b) = loss(Q) - s (H0 + a - b), D = H0 + a - b > 0. Then
///
///     dr/dQ = loss' - s_Q D   over 0:   loss' > 0, and s never rises with the flow
///     dr/da = -s - s_a D      0 or less: s >= 0 never falls with the inlet's head
///     dr/db = s               0 or more
///
/// so r rises with Q through its one root, and along r = 0
///
///     dQ/da = -(dr/da) / (dr/dQ) >= 0,      dQ/db = -(dr/db) / (dr/dQ) <= 0.
///
/// At D = 0 the flow goes to 0 from above and stays there below: continuous. Throttling the flow
/// instead, Q = s Q_curve(b - a), would be monotone as well, but its law in the flow, loss(Q / s),
/// has no value where s is 0. Throttling the head given, s head(Q) = b - a, would leave an open
/// passage at s = 0, through which water would run unhindered wherever a > b.
struct PumpLaw {
  PumpCurve curve;
  Suction suction;
};

/// The law's residual and its slopes with its three unknowns.
struct PumpTerms {
  double residual_m = 0.0;                ///< 0 where the law is met; rises with the flow
  double with_flow_m_per_m3_per_s = 0.0;  ///< over 0
  double with_inlet = 0.0;                ///< 0 or less
  double with_outlet = 0.0;               ///< 0 or more
};

/// With no flow, and H0 + a - b < 0 or the inlet's water below boiling, the pump stands: residual
/// and slopes with the heads are 0. Exactly at either edge it counts as open. While something still
/// flows forth beyond them it counts as open too, the throttle's line drawn straight on below
/// boiling, so that a turn is led back to the edge; what would then have the wrong sign is left out
/// of the slopes. Everywhere else they are exact derivatives. A flow below 0 is no answer; see
/// `PumpCurve` for what is found there.
///
/// `drive_share` multiplies s: the square of the share of a tank's mouth that stands under water,
/// for a pump straight on a tank, as with a hose.
///
/// Tried so in full turns on a pump between two reservoirs, through two random hoses, from cold and
/// without any store on the way (tests/solver/pump_law_test.cpp): with curves such as makers print
/// all of 20 000 settled, half of them within 6 turns, 23 at most. With flat stretches after steep
/// ones 42 of 20 000 went round in circles; halving turns from the 25th on left 3.
PumpTerms pump_terms(const PumpLaw& law, double flow_m3_per_s, double inlet_head_m,
                     double outlet_head_m, double drive_share = 1.0);

/// The flow between two heads: the one root, 0 where the pump stands against too much.
double pump_flow(const PumpLaw& law, double inlet_head_m, double outlet_head_m,
                 double drive_share = 1.0);

}  // namespace tankyard
