// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "graph/ids.h"
#include "graph/site.h"

namespace tankyard {

/// One of the maker's points.
struct CurvePoint {
  double flow_m3_per_s = 0.0;
  double head_m = 0.0;
};

/// A low-level cut-out with its dead band.
struct LowLevelStop {
  TankId tank;
  double depth_m = 0.0;          ///< stops below this depth
  double resumes_depth_m = 0.0;  ///< may start again above this one; higher than `depth_m`
};

struct Pump {
  std::string name;
  Place from;
  Place to;
  std::vector<CurvePoint> curve;          ///< rising flow, falling head; at least two points
  std::vector<CurvePoint> npsh_required;  ///< one point: the same at every flow
  double efficiency = 0.35;  ///< electrical power in to water power out, over 0, up to 1
  bool running = false;      ///< at the start
  std::optional<LowLevelStop> stops_below;
  std::optional<Position> position;
};

}  // namespace tankyard
