// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

#include "yards.h"

namespace peers {

/// A yard with closed lids and its day, drawn at random from a number. One to six tanks, some
/// sealed, some with holes of 1 to 40 mm, some open; hoses of 8 to 50 mm, non-return valves, up to
/// two headers, outlets, leaks, overflows, roofs, top-ups, air lines, warm days and cold nights.
/// Lasts ten minutes to a day.
///
/// A closed tank of it may fill up and a header may run low: who runs it has to look.
struct MayBreathe {
  bool swing = false;      ///< the air's temperature, and that of lids in the sun
  bool overflows = false;  ///< of closed tanks; those of open ones are there in any case
};
Drawn draw_air_yard(std::uint64_t number, const MayBreathe& may = {true, true});

}  // namespace peers
