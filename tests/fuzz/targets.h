// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

namespace tankyard::fuzz {

/// Reads any text as a plan and, if it is one, asks all that can be asked of it in bounded time:
/// its rest, its day, its picture. There is an answer or there are troubles, each with its spot in
/// the text; anything else (a breach, an exception, a sanitizer's word) ends the program.
void try_plan(std::string_view text);

/// Reads any text as a rain record, by each way to take missing days. There is a record of whole
/// days, none with less than no rain, whose showers lie within it and add up to it; or there are
/// troubles, each with its spot.
void try_rain(std::string_view text);

/// Reads any text as a quantity of each dimension. What is read is finite, and is read as the same
/// number when it is written out again.
void try_quantity(std::string_view text);

}  // namespace tankyard::fuzz
