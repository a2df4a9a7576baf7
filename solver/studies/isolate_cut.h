// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "graph/isolating_valves.h"

namespace tankyard {

/// An air line between a tank that is taken out and one that stays.
struct AirLineAcross {
  AirLineId line;
  TankId out;
  TankId stays;
  /// The tank that stays has no other way to air: its lid is sealed, and no other air line leads on
  /// to a lid that lets air in. Shutting this one would trap it.
  bool only_air = false;
};

/// How tanks are cut off, or why they cannot be.
///
/// Asked in this order, and the first that has an answer is taken: every pump cut off by valves;
/// pumps that stay joined stopped instead; besides, hoses without a valve that are off when work
/// begins trusted to stay off, unless a step of the day puts them on.
struct IsolateCut {
  Isolation found;               ///< of the question that had an answer, else of the first one
  bool pumps_stopped = false;    ///< some pump is stopped in place of being cut off
  std::vector<HoseId> stay_off;  ///< off all day, without a valve, and must be left so
  std::vector<AirLineAcross> air_lines;  ///< in plan order

  bool possible() const { return !found.smallest.empty(); }
  /// Requires: possible.
  const ValveSet& best() const { return found.smallest.front(); }
};

/// Requires: at least one tank, ids of the array. Cost: that of `isolating_valves`, three times at
/// most.
IsolateCut isolate_cut(const Array& array, const std::vector<TankId>& tanks,
                       const DaySheet& sheet = {});

/// Per tank, whether it is one of these.
std::vector<bool> taken_out(const Array& array, const std::vector<TankId>& tanks);

/// The valve's name, or that of a hose without one.
const std::string& handle_of(const Hose& hose);

/// The name of the tank or header at the end of a hose in a set that is left with the rest.
const std::string& far_side_of(const Array& array, const IsolateCut& cut, const ValveSet& set,
                               HoseId hose);

}  // namespace tankyard
