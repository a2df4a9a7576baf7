// SPDX-License-Identifier: MIT
#pragma once

#include <memory>

#include "graph/array.h"

// Private to graph/. What is drawn, and with which library, only reach.cpp knows.

namespace tankyard {

/// Draws who is joined to whom: a point for every tank, header and outlet; a line for every hose
/// (two hoses between the same places are two lines), for every pump, and for every outlet that
/// sits straight on a tank or header. Requires: parts that check_array has nothing against.
std::shared_ptr<const Array::Joins> draw_joins(const Parts& parts);

}  // namespace tankyard
