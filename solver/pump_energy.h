// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>

#include "solver/water.h"

namespace tankyard {

/// What a running pump takes from the socket: rho g Q H / eta (any pump text), W.
///
/// `efficiency` is electrical power in to water power out, the same at every flow, which is crude:
/// a real pump's peaks in the middle of its curve, and against a shut tap it takes a third or more
/// of its power (common practice, no source) where this says none. Good for the cost of water
/// lifted, not for sizing a cable. Water pushed through faster than the pump can follow (head below
/// 0) gives nothing back and counts as no power. Requires: density and efficiency over 0, flow 0 or
/// more.
inline double electrical_power_w(double density_kg_per_m3, double flow_m3_per_s, double head_m,
                                 double efficiency) {
  return density_kg_per_m3 * gravity_m_per_s2 * flow_m3_per_s * std::fmax(0.0, head_m) / efficiency;
}

/// Energy of a power held for a time.
inline double energy_kwh(double power_w, double lasts_s) { return power_w * lasts_s / 3.6e6; }

}  // namespace tankyard
