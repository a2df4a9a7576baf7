// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "graph/use.h"
#include "solver/studies/season_rain.h"

namespace bench {

/// Six unlike caged tanks on a rail below them, a roof into the first, a tap on the rail that takes
/// 250 L every morning, and invented days of rain, two of five wet, 1200 mm a year.
///
///      roof
///       |
///     +----+ +----+        +----+
///     |  1 | |  2 |  ...   |  6 |
///     +-++-+ +-++-+        +-++-+
///       ||     ||            ||
///     ==++=====++====....====++=====-> tap, 15 L/min from 6 o'clock
struct SeasonCase {
  tankyard::Parts parts;
  std::vector<tankyard::Use> uses;
  tankyard::RainRecord rain;
};
SeasonCase six_on_a_rail(int years);

}  // namespace bench
