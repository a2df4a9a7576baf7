// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"

namespace bench {

/// A row of tanks with everything smooth, so that a general integrator can be given the same work:
///
///     tap                                               roof
///      |   +----+   +----+   +----+          +----+      |
///      +---|  1 |   |  2 |   |  3 |   ...    |  n |<-----+
///          |    |===|    |===|    |===    ===|    |
///          +----+   +----+   +----+          +----+
///
/// Boxes of 1 m2 with open lids, 4 m high, about half full; hoses at the floor, under water all the
/// time, of 12.5 to 25 mm bore and 1.5 to 5 m length. Long rows are groups of a hundred tanks, each
/// with a tap on its first tank and a roof into its last. Six changes a day: the taps run from 6 to
/// 8 and from 18 to 20 o'clock, rain falls from 12 to 16, by turns a little less and a little more
/// than is drawn, so that levels stay in range for years.
struct Chain {
  int tanks = 5;
  double lasts_s = 86400.0;
  double uneven_m = 0.0;  ///< levels at the start lie this far to either side of 2 m, at random
  std::vector<double> bore_m;    ///< per hose; hose k joins tank k and tank k + 1
  std::vector<double> length_m;  ///< per hose
  std::vector<double> start_m;   ///< per tank

  /// A stretch in which nothing changes but levels.
  struct Stretch {
    double until_s = 0.0;
    double tap_m3_per_s = 0.0;   ///< out of the first tank of each group
    double roof_m3_per_s = 0.0;  ///< into the last tank of each group
  };
  std::vector<Stretch> stretches;

  int group() const { return tanks < 100 ? tanks : 100; }
};

inline constexpr double tank_area_m2 = 1.0;
inline constexpr double tank_height_m = 4.0;
inline constexpr double roughness_m = 1.5e-6;
inline constexpr double fittings_k = 2.0;  ///< on top of entry and exit, 1.5
inline constexpr double degc = 12.0;

/// Bores, lengths and levels are drawn at random once per tank, or repeat every `repeats_every`
/// tanks: then a long row has the same things to do as a short one, only more often.
Chain make_chain(int tanks, double lasts_s, double uneven_m, int repeats_every = 1'000'000);

/// The same as an array and a day sheet.
tankyard::Array array_of(const Chain& chain);
tankyard::DaySheet sheet_of(const Chain& chain);

/// When depths of both sides are compared: every ten minutes; that falls on every change too.
inline constexpr double check_every_s = 600.0;

/// Depths of all tanks at every check time, one row after the other.
using Depths = std::vector<double>;
double largest_difference(const Depths& a, const Depths& b);

}  // namespace bench
