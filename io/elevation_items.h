// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"

namespace tankyard::elevation {

/// Something that stands in the yard with a place of its own from left to right. Outlets straight
/// on a tank are drawn with the tank and are none.
struct Item {
  enum class Kind { tank, header, outlet, pump };
  Kind kind = Kind::tank;
  std::size_t index = 0;  ///< in the plan's list of its kind
  std::optional<Position> position;
};

/// A way for water between two items: a hose, a pump's suction or delivery, or the bit of pipe by
/// which an outlet sits straight on a header.
struct Link {
  enum class Kind { hose, suction, delivery, direct };
  Kind kind = Kind::hose;
  std::size_t index = 0;           ///< hose, pump or outlet
  std::size_t item[2] = {0, 0};    ///< `from`, `to`
  double mouth_m[2] = {0.0, 0.0};  ///< above the datum; at a pump: see `at_pump`
  bool at_pump[2] = {false, false};
  double bore_m = 0.0;  ///< 0: not known
  std::optional<double> crest_m;
};

struct Items {
  std::vector<Item> all;
  std::vector<Link> links;
  std::vector<std::size_t> tank;  ///< item of each tank
  std::vector<std::size_t> header;
  std::vector<std::optional<std::size_t>> outlet;  ///< none: straight on a tank
  std::vector<std::size_t> pump;
};

Items items_of(const Parts& parts);

/// The items from left to right, by the places they have in `Items::all`: those with a position by
/// its x; the others where their links are short in sum (a descent from the order of the plan, one
/// item moved at a time).
std::vector<std::size_t> left_to_right(const Parts& parts, const Items& items);

}  // namespace tankyard::elevation
