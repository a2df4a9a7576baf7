// SPDX-License-Identifier: MIT
#pragma once

#include "solver/mouth.h"
#include "solver/pump_law.h"

namespace tankyard {

/// The two ends of a running pump at some heads of its places.
struct PumpEnds {
  double inlet_m = 0.0;       ///< head it draws from
  double inlet_slope = 1.0;   ///< with the head of its place, 0 to 1
  double outlet_m = 0.0;      ///< head it pushes against
  double outlet_slope = 1.0;  ///< likewise
  Covered mouth{1.0, 0.0};    ///< of a tank it draws straight from; slope with the tank's head
};

/// One Newton turn of a running pump, as the balance eliminates ways (solver/balance.cpp).
struct PumpTurn {
  double flow_m3_per_s = 0.0;  ///< where the turn sets out from
  double of_from = 0.0;        ///< dQ/dH of the place it draws from, 0 or more
  double of_to = 0.0;          ///< -dQ/dH of the place it delivers to, 0 or more
  double shift = 0.0;          ///< flow change at unchanged heads that meets the law
  bool smooth = true;          ///< no mouth, throttle or shut-off took part
};

/// The law of solver/pump_law.h, its drive times the square of the mouth's cover. A flow of 0 that
/// could pass, and one that a mouth running dry has left far off, set out from the law's own flow;
/// no other does: taking the flow from the heads more often sends turns in circles.
PumpTurn pump_turn(const PumpLaw& law, double flow_m3_per_s, const PumpEnds& ends);

/// The flow between two such ends.
inline double pump_flow(const PumpLaw& law, const PumpEnds& ends) {
  return pump_flow(law, ends.inlet_m, ends.outlet_m, ends.mouth.share * ends.mouth.share);
}

}  // namespace tankyard
