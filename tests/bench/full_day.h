// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"
#include "report.h"

namespace bench {

/// Twelve unlike tanks under closed lids, each with a hole, whose hoses leave at several heights
/// for one suction header, and a pump with a nozzle:
///
///      roof
///       |
///     +----+ +----+        +----+
///     |  1 | |  2 |  ...   | 12 |      holes of 3 to 8 mm, overflows of 50 mm
///     +-+--+ +--+-+        +--+-+
///       |       |             |        mouths from the floor up to 0.33 m
///     ==+=======+======....===+=====[pump]-----o nozzle
///
/// A day from five in the morning: three waterings, the last of which runs several mouths dry until
/// the pump's low-level cut-out stops it, and a storm that makes the first tank spill.
struct FullDay {
  tankyard::Parts parts;
  tankyard::DaySheet sheet;
};
FullDay make_full_day();

/// That day by `tankyard::run` and by SUNDIALS IDA with its root finding, at one measured error.
void full_day(std::vector<Figure>& figures);

}  // namespace bench
