// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "graph/array.h"

namespace tankyard {

// Who meets whom along hoses, for findings that have to name the hose or the tank. Pumps and
// overflows join nothing here, as in graph/reach.h, which answers the questions that need no names.

/// Tanks, then headers, then outlets, each in plan order, as one row of numbers.
class Row {
 public:
  explicit Row(const Parts& parts)
      : tanks_(parts.tanks.size()),
        headers_(parts.headers.size()),
        outlets_(parts.outlets.size()) {}

  std::size_t of(Place place) const;
  std::size_t size() const { return tanks_ + headers_ + outlets_; }
  std::size_t tanks() const { return tanks_; }

 private:
  std::size_t tanks_;
  std::size_t headers_;
  std::size_t outlets_;
};

/// The group of each place of the row, named by its smallest member. An outlet straight on a tank
/// or header belongs to it. Requires: one entry a hose.
std::vector<std::size_t> groups_in_row(const Parts& parts, const OpenHoses& open);

}  // namespace tankyard
