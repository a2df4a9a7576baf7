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

/// A pressure switch on the delivery side, of the pump's own gauge pressure there.
struct PressureSwitch {
  double cut_in_pa = 0.0;   ///< starts below this
  double cut_out_pa = 0.0;  ///< stops above this one; higher than `cut_in_pa`
};

/// Stands at the height of the place it draws from: a header's own, or that of a tank's outlet.
struct Pump {
  std::string name;
  Place from;
  Place to;
  std::vector<CurvePoint> curve;          ///< rising flow, falling head; at least two points
  std::vector<CurvePoint> npsh_required;  ///< one point: the same at every flow
  double efficiency = 0.35;  ///< electrical power in to water power out, over 0, up to 1
  bool running = false;      ///< at the start
  bool one_way = false;      ///< has a non-return valve; one with a pressure switch always has
  bool primed = false;       ///< its suction header was filled by hand before the start
  std::optional<LowLevelStop> stops_below;
  std::optional<PressureSwitch> pressure_switch;
  std::optional<double> runs_at_most_s;  ///< then stops until it is started again
  std::optional<Position> position;
};

/// Whether water can run back through it while it stands.
inline bool lets_back(const Pump& pump) { return !pump.one_way && !pump.pressure_switch; }

}  // namespace tankyard
