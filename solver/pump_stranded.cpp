// SPDX-License-Identifier: MIT
#include "solver/pump_stranded.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "graph/shape.h"
#include "solver/find_limits.h"
#include "solver/what_keeps.h"

namespace tankyard {
PumpStranded stranded_by(const Array& array, PumpId id, const AirDrawn& moment) {
  const Parts& parts = array.parts();
  const Pump& pump = part(parts.pumps, id);
  const WhatKeeps judge(parts, pump.from, -std::numeric_limits<double>::infinity(), moment,
                        WhatKeeps::Thin::by_levels);
  PumpStranded stranded;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const auto tank = id_at<TankId>(i);
    if (pump.from == Place(tank)) continue;
    const Keeper keeper = judge.keeper_of(tank);
    if (keeper.is == Keeper::Is::no_hose || keeper.is == Keeper::Is::mouth) continue;
    const Tank& it = parts.tanks[i];
    // What stands below the lowest sill is dead to this pump however wide the hoses are.
    const bool sill_known = std::isfinite(keeper.sill_m);
    const double sill_m = sill_known ? keeper.sill_m : it.base_m + it.outlet_height_m;
    const double below_m3 =
        volume_m3(it.shape, std::clamp(sill_m - it.base_m, 0.0, height_m(it.shape)));
    const double above_m3 = moment.water_m3[i] - below_m3;
    if (above_m3 < least_m3) continue;
    const bool thin = keeper.is == Keeper::Is::thin;
    const bool by_vacuum = keeper.is == Keeper::Is::vacuum;
    stranded.tanks.push_back(
        {tank, above_m3, keeper.hose, thin, by_vacuum, in_words(parts, keeper)});
    stranded.total_m3 += above_m3;
  }
  std::stable_sort(
      stranded.tanks.begin(), stranded.tanks.end(),
      [](const PumpStranded::Tank& a, const PumpStranded::Tank& b) { return a.m3 > b.m3; });
  return stranded;
}

}  // namespace tankyard
