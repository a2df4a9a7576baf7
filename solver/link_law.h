// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>

#include "solver/friction.h"

namespace tankyard {

/// The loss law of any way for water: a hose with friction, or a bare hole.
///
/// A bare hole (a leak, a tap straight on a tank) has no length and so no laminar slope of its own.
/// Real holes turn laminar too, below a Reynolds number of about ten (Merritt, Hydraulic Control
/// Systems, 1967, ch. 3, from memory). The quadratic law is rounded off there:
///     head = k Q sqrt(Q^2 + Q0^2),   Q0 the flow at Re = 10,
/// which changes the flow by less than a millionth above Re = 10 000 and gives the slope at rest
/// that a solver needs.
struct LossLaw {
  HoseLoss hose;
  double hole_rest_flow_m3_per_s = 0.0;  ///< Q0; 0 for anything with length
};

/// A hose or pipe; `loss_k` counts everything on the hose's own velocity.
inline LossLaw hose_law(double bore_m, double length_m, double roughness_m, double loss_k,
                        double kinematic_viscosity_m2_per_s) {
  LossLaw law{hose_loss(bore_m, length_m, roughness_m, loss_k, kinematic_viscosity_m2_per_s), 0.0};
  if (length_m == 0.0) law.hole_rest_flow_m3_per_s = 10.0 / law.hose.reynolds_per_flow;
  return law;
}

/// A hole of discharge coefficient c: K = 1 / c^2 on its own area.
inline LossLaw hole_law(double bore_m, double coefficient, double kinematic_viscosity_m2_per_s) {
  return hose_law(bore_m, 0.0, 0.0, 1.0 / (coefficient * coefficient),
                  kinematic_viscosity_m2_per_s);
}

/// Head used up by a flow, and its slope; odd and strictly rising.
inline HeadLoss head_lost(const LossLaw& law, double flow_m3_per_s) {
  const double rest = law.hole_rest_flow_m3_per_s;
  if (rest == 0.0) return head_lost(law.hose, flow_m3_per_s);
  const double root = std::sqrt(flow_m3_per_s * flow_m3_per_s + rest * rest);
  return {law.hose.fittings * flow_m3_per_s * root,
          law.hose.fittings * (root + flow_m3_per_s * flow_m3_per_s / root)};
}

/// The flow that uses up a head: the inverse.
inline double flow_at(const LossLaw& law, double head_m) {
  const double rest = law.hole_rest_flow_m3_per_s;
  if (rest == 0.0) return flow_at(law.hose, head_m);
  // q = Q^2 solves q^2 + Q0^2 q = (head / k)^2; written so that nothing cancels.
  const double wanted = head_m / law.hose.fittings;
  const double half = 0.5 * rest * rest;
  const double q = wanted * wanted / (half + std::sqrt(half * half + wanted * wanted));
  return std::copysign(std::sqrt(q), head_m);
}

}  // namespace tankyard
