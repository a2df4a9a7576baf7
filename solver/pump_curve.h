// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/pump.h"
#include "solver/friction.h"
#include "solver/link_law.h"
#include "solver/monotone_cubic.h"

namespace tankyard {

/// Head that a running pump gives at a flow, and how it changes with the flow.
struct HeadGiven {
  double head_m = 0.0;
  double slope_m_per_m3_per_s = 0.0;  ///< below 0
};

/// A running pump's head-flow curve through the maker's points, strictly falling, no corner, with
/// exact slopes.
///
/// Kept as what the pump loses inside it: a pump is its shut-off head and a passage that costs
///     loss(Q) = shut-off head - head(Q),
/// which is 0 at no flow and rises, as a hose's does. That is also the form a solver wants
/// (solver/pump_law.h).
///
/// - From the first point to the last: a monotone cubic (solver/monotone_cubic.h), nowhere flatter
///   than about a twentieth of its stretch. A pump's curve sets out level, on which a flow has no
///   finite slope with the head; the twentieth keeps it finite and costs 0.75 % of the first
///   stretch's fall at most.
/// - Before the first point, should that one's flow be over 0: straight on. The shut-off head is
///   where this meets no flow; a real curve flattens and stands lower.
/// - After the last point: as the square of the flow,
///       head = H_n - s (Q^2 - Q_n^2) / (2 Q_n),    -s the slope at the last point,
///   through zero head, where the box's "maximum flow" is measured, and on: there water pushed
///   faster than the pump can follow finds it an obstacle.
/// - Backwards: nothing. A running pump is taken as one-way: where the head against it is above its
///   shut-off head it stands still, though a real one without a non-return valve would let some
///   back. The curve goes straight on below no flow at the slope it has there, but only so that a
///   solve may look there; no answer stays there.
class PumpCurve {
 public:
  /// Requires: two points or more, finite, flows 0 or more and rising, heads falling, the first
  /// one over 0.
  explicit PumpCurve(const std::vector<CurvePoint>& points);

  double shut_off_head_m() const { return shut_off_head_m_; }
  /// The flow at no head.
  double free_flow_m3_per_s() const { return free_flow_m3_per_s_; }

  HeadGiven head_at(double flow_m3_per_s) const;

  /// The flow at a head: the inverse, to rounding. 0 at the shut-off head and above it; a head
  /// below 0 pushes water through.
  double flow_at(double head_m) const { return flow_at_loss(shut_off_head_m_ - head_m); }

  /// The head lost inside; zero at no flow, strictly rising.
  HeadLoss loss_at(double flow_m3_per_s) const;
  /// Its inverse, 0 where the loss is 0 or less.
  double flow_at_loss(double loss_m) const;

 private:
  MonotoneCubic loss_;  // flow to head lost, at the maker's points
  double shut_off_head_m_ = 0.0;
  double free_flow_m3_per_s_ = 0.0;
};

/// What a standing pump costs water that runs through it, either way: as much at the free flow as
/// the running one loses inside at that flow, which is all its shut-off head, and in proportion to
/// the square of the flow:
///     head = H_shut-off (Q / Q_free)^2.
/// An assumption, no source: makers print no such figure, and the size of the passages is not
/// known. For 40 m and 3500 L/h it is K = 200 on a 25 mm bore. Rounded off like a hole below a
/// ten-thousandth of the free flow, for a slope at rest.
///
/// So a garden pump that stands is a narrow place, not a shut valve: water finds its way back
/// through it unless a non-return valve (the same law, one way) or a shut valve (no way at all)
/// stops it. A pump that closes when it stands (a piston or a membrane with valves) is no way at
/// all.
LossLaw standing_pump_law(const PumpCurve& curve);

/// The maker's points at another speed (affinity): flow goes with the speed, head with its square,
/// any pump text. Good near full speed; far below it losses do not scale so. Requires:
/// `speed_share` over 0.
std::vector<CurvePoint> at_speed(const std::vector<CurvePoint>& points, double speed_share);

}  // namespace tankyard
