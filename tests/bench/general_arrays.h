// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "report.h"

namespace bench {

/// A hundred arrays of fifty tanks drawn at random: a ring with twenty more hoses across it, ports
/// at any height, two headers, taps and rain. Prints the median and the worst
/// time a tank takes for a day, the worst over the median, and how many found no answer.
void general_arrays(std::vector<Figure>& figures);

}  // namespace bench
