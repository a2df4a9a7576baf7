// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"

namespace tankyard {

/// Where a pump's low-level cut-out must sit.
struct SetPoint {
  PumpId pump;
  int settings = 0;            ///< how many sets of valves of the day sheet were tried
  bool draws_air = false;      ///< in one of them at least, or on the day itself, without a cut-out
  std::optional<TankId> tank;  ///< whose level to watch: the one by whose mouth it drew air
  std::optional<double> depth_m;     ///< the set point; none: no level of that tank tells in time
  std::optional<double> worst_at_s;  ///< the step of the day sheet whose valves ask for it; 0: as
                                     ///< they stand at the start; none: the day as it is
  double left_m3 = 0.0;  ///< in all tanks at the end of that trial, however often it started
};

/// For every pump: it runs from the plan's fill with everything that it feeds open, no rain, all
/// other pumps standing, for a day, once for each set of valves that the day sheet comes by; and on
/// the day as it is written. The set point is the lowest depth, to 5 mm, with which it keeps its
/// prime in all of them; it starts again 50 mm higher. Requires: a sheet that passes
/// `check_day_sheet`. Cost: about ten runs of a day for each set of valves. Empty for a yard so
/// large that this would keep people waiting: more than 40 tanks.
std::vector<SetPoint> cut_out_set_points(const Array& array, const DaySheet& sheet);

}  // namespace tankyard
