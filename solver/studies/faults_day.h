// SPDX-License-Identifier: MIT
#pragma once

#include "graph/array.h"
#include "graph/day_sheet.h"

namespace tankyard {

/// From when on nobody is about, and until when, seconds after midnight. Common practice, no
/// source.
inline constexpr double night_from_clock_s = 22.0 * 3600.0;
inline constexpr double night_to_clock_s = 6.0 * 3600.0;

/// The day that failures are rehearsed on: the plan's day sheet, run on to the morning after.
///
/// What fails by degrees or by a hand (a blocked hole, a valve left shut) stands all the day. A
/// hose that comes off does so at night after the last watering, when the yard is as the day left
/// it and nobody is there to see: at ten, or at the end of a watering that ends later. It runs
/// until six in the morning. Valves are then as the sheet has them.
struct FaultDay {
  DaySheet sheet;          ///< of the plan, lasting until the morning at least
  double night_s = 0.0;    ///< when hoses come off, after the start
  double morning_s = 0.0;  ///< when somebody comes
  bool quiet = false;      ///< the plan has no day sheet: a night without rain or watering is taken
};

FaultDay fault_day(const DaySheet& sheet);

/// Whether a hose passes water at `at_s`, once the steps of that moment are done.
bool open_at(const Parts& parts, const DaySheet& sheet, HoseId hose, double at_s);

}  // namespace tankyard
