// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "graph/ids.h"

namespace tankyard {

/// An air hose from one headspace to another, so that one lid's hole serves both tanks, or the air
/// that one tank's water drives out goes to the tank that gives the water. The trade's word is
/// balance line. It passes no water: it leaves both tanks above their highest level.
struct AirLine {
  std::string name;
  TankId from;
  TankId to;              ///< another tank than `from`
  double bore_m = 0.0;    ///< over 0
  double length_m = 0.0;  ///< 0 or more
  bool open = true;       ///< at the start; a fault or a step may shut it
};

}  // namespace tankyard
