// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"

namespace tankyard {

// The ways in which one more tank can be joined to a yard, and the yard with one of them built.

/// A hose that may be bought.
struct HoseOnOffer {
  double bore_m = 0.0;
  double price_per_m = 0.0;  ///< in the reader's own money; 0: free, or not known
};

/// Where the length of a hose comes from. Whatever is not measured is said.
enum class LengthFrom {
  positions,  ///< straight distance between two positions, times `run_per_metre`
  by_way_of,  ///< a header without a position: to a tank that hangs on it, then along its hose
  assumed,    ///< no position is known
};

/// Hose laid where no position tells how far it is, m. Common practice, no source.
inline constexpr double assumed_length_m = 5.0;
/// Two tanks side by side still want so much hose from tap to tap, m. Common practice, no source.
inline constexpr double shortest_hose_m = 0.5;

/// One place that the new tank can be joined to.
struct Spur {
  Place place;
  double length_m = 0.0;  ///< of hose, in whole tenths of a metre, rounded up
  LengthFrom length_from = LengthFrom::assumed;
};

/// Why the new tank stands as high as it does.
enum class Stand {
  as_planned,
  lips_level,    ///< it and its neighbours start to spill at one level
  mouths_level,  ///< its lowest mouth and that of its neighbours lie at one level
};

/// One way to join the new tank.
struct WayToJoin {
  std::vector<Spur> spurs;  ///< one, or two for a tank joined to two places at once
  std::size_t hose = 0;     ///< in the list of hoses on offer
  int side_by_side = 1;     ///< hoses in each spur
  bool valved = true;       ///< an isolating valve in each of them
  Stand stand = Stand::as_planned;
  double base_m = 0.0;  ///< of the new tank, above the datum

  bool two_places() const { return spurs.size() == 2; }
};

/// Metres of hose in all.
double hose_metres(const WayToJoin& way);

/// Fittings and valves in the hoses of one spur, in plan words, in the order of the hoses: what is
/// to be bought, and what their `loss_k` is made of. "elbow" at a mouth that is the hose's own,
/// "tee-branch" at a header and where a mouth is shared.
struct SpurFittings {
  std::vector<std::vector<std::string>> per_hose;
};
std::vector<SpurFittings> fittings_of(const Parts& parts, TankId tank, const WayToJoin& way);

/// The places the tank can be joined to, nearest first, of equal ones tanks first, in plan order:
/// every other tank, and every header that a tank can reach through open hoses.
/// `run_per_metre`: metres of hose for a metre of straight distance, 1 or more.
std::vector<Spur> spurs_of(const Array& array, TankId tank, double run_per_metre);

/// A yard with the tank joined in this way: its base set, the hoses put at the end of the list,
/// named after their ends, their valves `V` and the next free number.
Parts with_way(const Parts& parts, TankId tank, const WayToJoin& way,
               const std::vector<HoseOnOffer>& offered);

/// What the tank's neighbours have, by which a stand can be set: those are the tanks at the spurs'
/// places, and for a header the tanks that hang on it.
std::vector<TankId> neighbours_of(const Parts& parts, TankId tank, const std::vector<Spur>& spurs);

/// Base at which the tank's lip lies level with the lowest lip of all tanks that it would share
/// water with, or its lowest mouth level with that of its neighbours, m above the datum.
double base_for(const Array& array, TankId tank, const std::vector<Spur>& spurs, Stand stand);

}  // namespace tankyard
