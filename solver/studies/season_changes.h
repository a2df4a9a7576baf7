// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"

namespace tankyard {

/// The same yard with more or less of something, for comparing seasons. Heights, mouths, hoses and
/// names stay, so that whatever differs is owed to the size alone.

/// Every tank so many times as wide: areas and volumes times `factor`, depths and heights as they
/// are. Each begins with the same litres, or full to its lip if that is less. 0.01 <= factor <=
/// 100.
Result<Array> with_storage(const Array& array, double factor);

/// Every roof so many times as large, and its gutter with it. 0 <= factor <= 100.
Result<Array> with_roofs(const Array& array, double factor);

/// One more tank, empty, like another: its shape, height, lid and overflow, joined by hoses like
/// its hoses to the same places at the other ends; if it has none but to outlets, by a hose of
/// `plain_join_bore_m` and a metre to the tank itself. Roofs, outlets, pumps, top-ups, leaks and
/// air lines are not repeated. The new tank is the last.
constexpr double plain_join_bore_m = 0.032;
Result<Array> with_tank_again(const Array& array, TankId like);

/// One more roof like another, into the same tank.
Result<Array> with_roof_again(const Array& array, RoofId like);

/// The tanks worth repeating: of each group that shares water through open hoses the largest; of
/// equals, the first in the plan.
std::vector<TankId> tanks_to_repeat(const Array& array);

/// The roofs worth repeating: the largest, by area times runoff, of those that lead to each such
/// group; of equals, the first in the plan.
std::vector<RoofId> roofs_to_repeat(const Array& array);

/// Sum of what all tanks hold up to their lips, m3.
double holds_m3(const Array& array);

}  // namespace tankyard
