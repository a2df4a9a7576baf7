// SPDX-License-Identifier: MIT
#pragma once

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <string>
#include <utility>

#include "io/elevation.h"
#include "random_arrays.h"

// Yards for the tests of the side view: random ones with everything a yard can hold.

namespace tankyard {

YardMayHold anything(int most_tanks);

/// A random yard with air lines as well, some parts in places of their own, and some long names.
Parts any_yard(int most_tanks);

/// A moment of it: any depths, perhaps flows and headspaces.
ElevationState any_state(const Array& array);

/// Levels that each tank, or some tanks together, might come to.
std::vector<RestingGroup> any_rest(const Array& array);

Array array_of(Parts parts);

}  // namespace tankyard
