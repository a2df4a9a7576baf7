// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "io/page.h"

namespace tankyard {

/// What the script of a page works with, as one JSON object that may stand inside a script element
/// (no "<" in it).
///
/// Numbers over frames are written as differences of whole multiples of a resolution, so that a day
/// of a small yard takes tens of kilobytes: `{"step": 0.0001, "runs": [2200, [0, 89], -3, ...]}`,
/// first the value itself, then what is added for each frame, `[d, n]` standing for d, n times.
std::string page_data(const Page& page);

}  // namespace tankyard
