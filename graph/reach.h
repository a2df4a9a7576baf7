// SPDX-License-Identifier: MIT
#pragma once

#include <utility>
#include <vector>

#include "graph/array.h"

namespace tankyard {

/// Questions about an array that need no physics: only who is joined to whom through open hoses.
/// Pumps join nothing here; overflows neither; a non-return valve counts as open both ways, since
/// it is no isolation. An outlet straight on a tank or header is always joined to it.
///
/// Requires: an `OpenHoses` has one entry a hose, and ids are those of the array.

/// Tanks that share water through open hoses, group by group: groups in the order of their first
/// tank, tanks in plan order.
std::vector<std::vector<TankId>> joined_tanks(const Array& array, const OpenHoses& open);

/// What shutting some hoses takes away from the rest. Pumps count here, from suction to delivery:
/// an outlet behind a pump is lost with the pump's suction.
struct CutOff {
  std::vector<TankId> tanks;  ///< no longer joined to the largest remainder, by capacity, of the
                              ///< group they were in; of equals, the one first in the plan stays
  std::vector<OutletId> outlets;  ///< no tank in reach any more, though one was before
  std::vector<PumpId> pumps;      ///< suction: no tank in reach any more, though one was before
};
CutOff cut_off_by(const Array& array, const OpenHoses& open, const std::vector<HoseId>& shut);

/// The hoses that are the only way between two parts of the array: shut or lost, they split a group
/// of places, be they tanks, headers or outlets. In plan order. Cost is linear.
std::vector<HoseId> only_ways(const Array& array, const OpenHoses& open);

/// Headers and outlets that no tank can reach through open hoses, so that nothing there can move
/// unless a pump moves it. Headers first, each list in plan order.
std::vector<Place> without_storage(const Array& array, const OpenHoses& open);

/// The order in which places are best eliminated from a linear system that has one unknown a place
/// and one coupling a join: fewest neighbours first (minimum degree), so that a chain or a tree
/// fills nothing in. `joins` are pairs of places from 0 to `places` - 1; doubles and loops may
/// occur. Returns a permutation: entry k is the place eliminated k-th.
std::vector<int> elimination_order(int places, const std::vector<std::pair<int, int>>& joins);

}  // namespace tankyard
