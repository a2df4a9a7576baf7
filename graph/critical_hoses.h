// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "graph/reach.h"

namespace tankyard {

/// What hangs on a single hose or a single place. Only who is joined to whom through open hoses, as
/// in graph/reach.h: pumps join nothing, and a non-return valve counts as open both ways. Heights
/// are physics.
///
/// Requires: an `OpenHoses` has one entry a hose, and ids are those of the array.

/// A hose without which something is cut off.
struct CriticalHose {
  HoseId hose;
  CutOff lost;  ///< never all empty
};

/// Every hose that is the only way for something: without it tanks that shared water no longer do,
/// or an outlet or pump is out of reach of any tank. In plan order. Cost: places times such hoses.
std::vector<CriticalHose> critical_hoses(const Array& array, const OpenHoses& open);

/// Places that are the only way between other places: without one, what it joined falls apart.
/// Tanks, then headers, then outlets, each in plan order. Cost is linear.
std::vector<Place> critical_places(const Array& array, const OpenHoses& open);

/// What is left of the group of a place without it, piece by piece: two pieces or more exactly if
/// the place is a critical one. Tanks first, then headers, then outlets within a piece; pieces by
/// their first place.
std::vector<std::vector<Place>> pieces_without(const Array& array, const OpenHoses& open,
                                               Place place);

/// Tanks that can drain to the ground once a hose comes off at one end, each list in plan order.
/// Water then leaves by the mouth that is bared and, while the hose passes water, by its loose end.
/// A non-return valve is not trusted to hold either back.
struct Draining {
  std::vector<TankId> tanks;      ///< drain by themselves
  std::vector<TankId> if_pumped;  ///< besides, drained by a pump that runs on: it delivers to where
                                  ///< the water leaves, perhaps through other pumps
};

struct Burst {
  Draining off_at_from;
  Draining off_at_to;
};

/// What can drain through a hose that comes off at its `from` end or at its `to` end. With
/// `open[hose]` the hose itself passes water, and both ends drain the same tanks; without, its
/// valve is shut and stays so, and only what is joined to the bared mouth drains. For what a person
/// who runs and shuts all valves can save, ask again with `with_every_valve_shut`
/// (graph/isolating_valves.h). Cost is linear.
Burst burst(const Array& array, const OpenHoses& open, HoseId hose);

}  // namespace tankyard
