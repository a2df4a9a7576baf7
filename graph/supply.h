// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "graph/ids.h"
#include "graph/site.h"

namespace tankyard {

struct Roof {
  std::string name;
  double area_m2 = 0.0;          ///< plan area
  double runoff_fraction = 0.9;  ///< part of the rain that reaches the gutter, 0 to 1
  double first_flush_m = 0.0;    ///< depth of rain that is turned away once a run
  std::optional<double> gutter_limit_m3_per_s;  ///< the most its gutter and downpipe pass
  TankId into;
  std::optional<Position> position;
};

/// Mains or well water let in by a float valve or switch.
struct TopUp {
  std::string name;
  TankId into;
  double flow_m3_per_s = 0.0;
  double starts_below_m = 0.0;      ///< depth in the tank
  double stops_above_m = 0.0;       ///< depth in the tank, higher than `starts_below_m`
  std::optional<double> air_gap_m;  ///< clear drop from its mouth to the highest water
  bool stuck_open = false;          ///< no longer shuts, however high the water: a failure
};

struct Leak {
  std::string name;
  TankId tank;
  double height_m = 0.0;  ///< above the tank's inside bottom
  double bore_m = 0.0;
  double coefficient = 0.6;  ///< sharp-edged orifice
};

}  // namespace tankyard
