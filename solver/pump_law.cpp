// SPDX-License-Identifier: MIT
#include "solver/pump_law.h"

#include <cmath>

namespace tankyard {

PumpTerms pump_terms(const PumpLaw& law, double flow_m3_per_s, double inlet_head_m,
                     double outlet_head_m, double drive_share) {
  const double drive_m = law.curve.shut_off_head_m() + inlet_head_m - outlet_head_m;
  const double available_m = npsh_available_m(inlet_head_m, law.suction.boils_at_m);
  const HeadLoss loss = law.curve.loss_at(flow_m3_per_s);
  const double forth_m = drive_share * std::fmax(0.0, drive_m);
  if (flow_m3_per_s <= 0.0 && (drive_m < 0.0 || available_m < 0.0)) {
    return {loss.head_m, loss.slope_m_per_m3_per_s, 0.0, 0.0};
  }
  if (available_m < 0.0) {
    // The throttle's line straight on, that the way back to boiling may be seen from here.
    const double per_m = 2.0 / law.suction.required.at(flow_m3_per_s).value;
    return {loss.head_m - per_m * available_m * forth_m, loss.slope_m_per_m3_per_s,
            -per_m * forth_m, 0.0};
  }
  const Throttle left = throttle(law.suction, inlet_head_m, flow_m3_per_s);
  const double share = drive_share * left.share;
  return {loss.head_m - share * drive_m,
          loss.slope_m_per_m3_per_s - left.with_flow_s_per_m3 * forth_m,
          -share - left.with_inlet_per_m * forth_m, share};
}

double pump_flow(const PumpLaw& law, double inlet_head_m, double outlet_head_m,
                 double drive_share) {
  const double drive_m = drive_share * (law.curve.shut_off_head_m() + inlet_head_m - outlet_head_m);
  if (!(drive_m > 0.0)) return 0.0;
  // The share falls with the flow, so that the flow lies between those at the share that it has at
  // no flow and at the flow this would let through.
  double high = law.curve.flow_at_loss(throttle(law.suction, inlet_head_m, 0.0).share * drive_m);
  double low = law.curve.flow_at_loss(throttle(law.suction, inlet_head_m, high).share * drive_m);
  double flow = low;
  for (int turn = 0; turn < 200 && low < high; ++turn) {
    const PumpTerms terms = pump_terms(law, flow, inlet_head_m, outlet_head_m, drive_share);
    if (terms.residual_m == 0.0) return flow;
    (terms.residual_m > 0.0 ? high : low) = flow;
    // Newton's step where it stays between what is known, else halve.
    double next = flow - terms.residual_m / terms.with_flow_m_per_m3_per_s;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::fabs(next - flow) <= 2e-16 * flow || next == low || next == high) break;
    flow = next;
  }
  return flow;
}

}  // namespace tankyard
