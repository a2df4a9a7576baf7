// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "graph/ids.h"

namespace tankyard {

/// An isolating valve in a hose. Open, it adds its loss; shut, nothing passes at all.
struct Valve {
  std::string name;
  bool open = true;
  double loss_k =
      0.05;  ///< K on the hose's own velocity when open (ball valve, full bore: 0.04-0.05)
};

/// One end of a hose.
struct HoseEnd {
  Place place;
  /// Lowest point of the mouth above the tank's inside bottom, m; none: the tank's outlet height.
  /// Only for an end at a tank: at a header or an outlet the height is theirs.
  std::optional<double> height_m;
};

/// Any pipe or hose between two places. Flow is positive from `from` to `to`.
struct Hose {
  std::string name;
  HoseEnd from;
  HoseEnd to;
  double bore_m = 0.0;
  double length_m = 0.0;
  double roughness_m = 1.5e-6;  ///< drawn plastic: 0.0015 mm
  double loss_k = 0.0;  ///< K of what sits between the ends; entry, exit and valve come on top
  std::optional<double>
      crest_m;          ///< highest point above the yard's datum, where it rises over something
  bool primed = false;  ///< a hose with a crest starts full of water
  std::optional<Valve> valve;
  bool one_way = false;          ///< has a non-return valve: passes from `from` to `to` only
  double cracking_head_m = 0.0;  ///< head the non-return valve asks before it opens
  bool open = true;  ///< joined at both ends; a step may take it off or put it back by name
};

/// Whether water can pass as the plan has it at the start.
inline bool starts_open(const Hose& hose) { return hose.open && (!hose.valve || hose.valve->open); }

}  // namespace tankyard
