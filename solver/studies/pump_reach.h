// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "graph/array.h"

namespace tankyard {

/// How full the tanks are for one column of the reach table, in shares of the water of the plan.
inline constexpr std::array<double, 3> reach_fills = {1.0, 0.5, 0.1};

/// What one outlet gets when it is the only one open, by gravity alone or with one pump running.
struct Reach {
  OutletId outlet;
  std::optional<PumpId> pump;  ///< none: by gravity, all pumps standing
  struct AtFill {
    double m3_per_s = 0.0;
    /// Gauge pressure just before its mouth; none for a fixed draw, and where nothing comes.
    std::optional<double> gauge_pa;
    bool drew_air = false;  ///< the pump lost its prime, or had none
  };
  std::array<AtFill, reach_fills.size()> at;  ///< one for each of `reach_fills`
};

/// For every outlet: gravity first, then each pump whose delivery open hoses join to it, in plan
/// order. Valves stand as at the start, cut-outs and switches of pumps are left out; no rain. Each
/// figure is that of a run ten seconds after the outlet was opened and the pump started. A trial
/// that finds no answer is left out. Cost: three such runs a row.
std::vector<Reach> reach_of(const Array& array);

}  // namespace tankyard
