// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"

namespace tankyard {

/// Per tank: whether air reaches it, by an open lid, a hole in the lid, or air lines that are open
/// at the start and lead, even by way of others, to a tank that has one.
std::vector<bool> aired(const Parts& parts);

}  // namespace tankyard
