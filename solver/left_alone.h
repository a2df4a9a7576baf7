// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "solver/run.h"

namespace tankyard {

/// How long a yard is left alone before it counts as settled, s: 60 days.
inline constexpr double settles_within_s = 60.0 * 86400.0;

/// A copy of the parts in which nobody does anything: outlets shut, pumps off, no roofs, top-ups or
/// leaks. Hoses and valves stay as the plan has them at the start.
Parts left_alone(const Parts& parts);

/// Lets such a yard stand for a time. Flows of the first moment and of the last are kept in the
/// trace. The depth tolerance is that of any run: with 1 mm, water running over a rim was seen to
/// overshoot by 2 mm, 6 L in two caged tanks, and to take that much off what they hold.
Result<RunRecord> let_stand(Parts parts, double for_s);

/// Water in each tank when the yard stands as full as it can, m3: every tank filled to its lip,
/// then left until nothing spills any more. Joined tanks are capped by the lowest lip among them,
/// as far as mouths, crests and non-return valves let them feel it.
Result<std::vector<double>> water_when_full(const Array& array);

/// The same, and what else the yard did while it came to stand so: an overflow that is no way out,
/// since a standing pump is.
Result<RunRecord> standing_full(const Array& array);
/// Water in each tank at the end of it, m3.
std::vector<double> water_in(const Array& array, const RunRecord& standing_full);

}  // namespace tankyard
