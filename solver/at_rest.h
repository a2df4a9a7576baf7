// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <vector>

#include "graph/array.h"
#include "graph/result.h"

namespace tankyard {

/// Tanks joined by hoses that are open at the start, left alone with every outlet shut and no rain.
struct RestingGroup {
  std::vector<TankId> tanks;  ///< in plan order
  std::optional<double>
      level_m;                  ///< above the datum, if all of them come to one level (within 5 mm)
  std::vector<double> depth_m;  ///< where each comes to rest, per tank of the group
  double holds_m3 = 0.0;        ///< when filled slowly until the first drop is spilt
  double nominal_m3 = 0.0;      ///< sum of the tanks' capacities up to their rims
  double first_lip_m = 0.0;     ///< the lowest overflow or rim above the datum: it caps them all
  TankId first_lip_of;
  /// Pumps without a non-return valve through which a group that was filled to its lips runs off
  /// while they stand, so that it never comes to spill; in plan order.
  std::vector<PumpId> runs_off_through = {};
};

/// What one outlet can draw by gravity from a yard that is as full as it can be.
struct Usable {
  OutletId outlet;
  bool gravity = true;      ///< false: stands so high that nothing comes even when full
  double usable_m3 = 0.0;   ///< comes out before it runs dry
  double left_m3 = 0.0;     ///< then still stands in tanks joined to it
  double nominal_m3 = 0.0;  ///< capacities of the tanks joined to it
  std::vector<double> left_per_tank_m3;  ///< per tank of the array; 0 where not joined
  double dry_below_m = 0.0;              ///< level above the datum below which nothing comes
  double first_m3_per_s = 0.0;           ///< flow when full
};

/// Where an array comes to rest and what can be had from it, found by the array's own physics (its
/// mouths, crests and non-return valves), not by geometry alone: each answer lets a copy of the
/// array stand, or run out, until nothing moves any more.
struct AtRest {
  std::vector<RestingGroup> groups;      ///< in the order of their first tank; lone tanks too
  std::vector<Usable> usable;            ///< per outlet that a tank can reach, in plan order
  std::vector<TankId> not_joined;        ///< no open hose at all
  std::vector<TankId> joined_if_opened;  ///< of those: a hose is there, but shut
};
Result<AtRest> at_rest(const Array& array);

}  // namespace tankyard
