// SPDX-License-Identifier: MIT
#include "solver/pump_way.h"

#include <cmath>

namespace tankyard {

PumpTurn pump_turn(const PumpLaw& law, double flow_m3_per_s, const PumpEnds& ends) {
  const double share = ends.mouth.share * ends.mouth.share;
  const double drive_m = law.curve.shut_off_head_m() + ends.inlet_m - ends.outlet_m;
  const double available_m = npsh_available_m(ends.inlet_m, law.suction.boils_at_m);
  PumpTurn turn;
  turn.flow_m3_per_s = flow_m3_per_s;
  if (share == 0.0) {
    turn.shift = -flow_m3_per_s;
    turn.smooth = false;
    return turn;
  }
  const auto terms_now = [&] {
    return pump_terms(law, turn.flow_m3_per_s, ends.inlet_m, ends.outlet_m, share);
  };
  PumpTerms terms = terms_now();
  double loss_m = law.curve.loss_at(turn.flow_m3_per_s).head_m;
  const bool from_rest = flow_m3_per_s == 0.0 && drive_m > 0.0 && available_m > 0.0;
  const bool far_off = share < 1.0 && loss_m > 4.0 * std::fabs(loss_m - terms.residual_m);
  if (from_rest || far_off) {
    turn.flow_m3_per_s = pump_flow(law, ends);
    terms = terms_now();
    loss_m = law.curve.loss_at(turn.flow_m3_per_s).head_m;
  }
  const double per = 1.0 / terms.with_flow_m_per_m3_per_s;
  turn.of_from = -terms.with_inlet * per * ends.inlet_slope;
  if (ends.mouth.slope_per_m != 0.0) {
    const double driven_m = std::fmax(0.0, loss_m - terms.residual_m);
    turn.of_from += 2.0 * ends.mouth.slope_per_m / ends.mouth.share * driven_m * per;
  }
  turn.of_to = terms.with_outlet * per * ends.outlet_slope;
  turn.shift = -terms.residual_m * per;
  turn.smooth = share == 1.0 && drive_m > 0.0 &&
                available_m > law.suction.required.at(turn.flow_m3_per_s).value;
  return turn;
}

}  // namespace tankyard
