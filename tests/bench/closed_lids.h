// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"

namespace bench {

/// One yard twice: its lids open, and closed. Nothing else differs.
struct LidPair {
  std::string name;   ///< stable, for results files
  std::string words;  ///< what is closed how
  tankyard::Parts open;
  tankyard::Parts closed;
  tankyard::DaySheet sheet;
  int days = 0;
  double goal = 0.0;  ///< closed over open, at most; 0: none
};

/// Twelve caged 1000-litre tanks on a header:
///
///      roof
///       |
///     +----+ +----+        +----+
///     |  1 | |  2 |  ...   | 12 |      holes of 3 to 8 mm, the last lid sealed
///     +-++-+ +-++-+        +-++-+
///       ||     ||            ||
///     ==++=====++====....====++=====-> tap, 12 L/min, 6 to 7 and 18 to 19 o'clock
///
/// and rain into the first from 12 to 16 o'clock, as much as is drawn; a month. Twice: air of one
/// temperature, and a swing of 14 K, which only closed lids notice. Then the two ends of stiffness:
/// two tanks of which one is closed, some litres drawn four times a day and put back by rain.
std::vector<LidPair> lid_pairs();

}  // namespace bench
