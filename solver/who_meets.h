// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <limits>
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

/// The hoses that are open just after a moment of the day.
OpenHoses open_at(const Array& array, const DaySheet& sheet, double at_s);

/// One hose on a way, and which way round it is gone through.
struct Leg {
  HoseId hose;
  bool forwards = true;  ///< from its `from` to its `to`

  const HoseEnd& near_end(const Parts& parts) const {
    return forwards ? part(parts.hoses, hose).from : part(parts.hoses, hose).to;
  }
  const HoseEnd& far_end(const Parts& parts) const {
    return forwards ? part(parts.hoses, hose).to : part(parts.hoses, hose).from;
  }
};

/// The cheapest ways along hoses from one place to all others.
class WaysFrom {
 public:
  /// What a way costs with one more leg; never less than without it; infinite where there is no
  /// passage.
  using Cost = std::function<double(double so_far, const Leg& leg)>;

  /// Of ways at equal cost the one with fewer hoses is taken, then the one whose last hose comes
  /// first by name, so that the order of the plan decides nothing.
  WaysFrom(const Parts& parts, Place origin, double cost_at_origin, const Cost& cost);

  bool reaches(Place place) const {
    return found_[row_.of(place)].leg || row_.of(place) == origin_;
  }
  double cost_of(Place place) const { return found_[row_.of(place)].cost; }
  std::vector<Leg> way_to(Place place) const;  ///< from the origin outwards

 private:
  struct Found {
    double cost = std::numeric_limits<double>::infinity();
    std::size_t legs = 0;
    std::optional<Leg> leg;  ///< the last one
    std::size_t before = 0;
    bool settled = false;
  };
  Row row_;
  std::size_t origin_;
  std::vector<Found> found_;
};

}  // namespace tankyard
