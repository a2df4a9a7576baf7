// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>

#include "dice.h"
#include "graph/array.h"
#include "graph/day_sheet.h"

namespace peers {

/// Leads overflows into tanks they can fall into: over a rim that is lower than they are. Going
/// down each time, they cannot run in a circle.
void lead_overflows(Dice& dice, tankyard::Parts& parts);

/// A hose without its ends, the `index`-th from 0.
tankyard::Hose draw_hose(Dice& dice, std::size_t index, double widest_m);

/// Steps spread over the day, at most this many less one: hoses, outlets and air lines opened and
/// shut, rain up to so much.
void draw_steps(Dice& dice, const tankyard::Parts& parts, std::size_t fewer_than,
                double most_rain_m_per_s, tankyard::DaySheet& sheet);

/// A mouth anywhere in the lower part of a tank.
tankyard::HoseEnd end_at(Dice& dice, const tankyard::Parts& parts, std::size_t tank, double bore_m);

}  // namespace peers
