// SPDX-License-Identifier: MIT
#pragma once

#include "graph/array.h"

namespace tankyard {

/// Everything that is wrong with the parts before any water moves, in plan order, each trouble with
/// its part and field: numbers out of range or not finite, a mouth above its tank, an overflow
/// above the rim, a loop of overflows, names used twice (also a valve's), ids that point nowhere,
/// an outlet with no way to it, a hose or an air line from a place to itself, a depth table that
/// does not rise. Empty: the parts can be joined. Cost grows as n log n.
Troubles check_array(const Parts& parts);

/// The same for a day sheet on those parts: times outside the run, pumps opened, outlets or air
/// lines started.
Troubles check_day_sheet(const Parts& parts, const DaySheet& sheet);

}  // namespace tankyard
