// SPDX-License-Identifier: MIT
#include "solver/studies/faults_day.h"

#include <algorithm>
#include <cmath>
#include <variant>

#include "graph/time_units.h"

namespace tankyard {
namespace {

/// Seconds from one clock time to the next time it is another; 0 if it is.
double until_s(double clock_s, double wanted_s) {
  const double ahead = std::fmod(wanted_s - clock_s, day_s);
  return ahead < 0.0 ? ahead + day_s : ahead;
}

/// The last moment at which somebody opened, shut, started or stopped what uses water.
double last_use_s(const DaySheet& sheet) {
  double last = 0.0;
  for (const TimedStep& step : sheet.steps) {
    for (const Action& action : step.actions) {
      if (std::holds_alternative<OutletId>(action.part) ||
          std::holds_alternative<PumpId>(action.part)) {
        last = std::max(last, step.at_s);
      }
    }
  }
  return last;
}

}  // namespace

FaultDay fault_day(const DaySheet& sheet) {
  FaultDay day;
  day.sheet = sheet;
  if (sheet.steps.empty()) {
    day.quiet = true;
    day.sheet.starts_clock_s = night_from_clock_s;
    day.sheet.lasts_s = until_s(night_from_clock_s, night_to_clock_s);
    day.morning_s = day.sheet.lasts_s;
    return day;
  }
  const double used_s = std::min(last_use_s(sheet), sheet.lasts_s);
  const double clock_s = sheet.starts_clock_s + used_s;
  const double night_s = day_s - night_from_clock_s + night_to_clock_s;
  const bool is_night = until_s(night_from_clock_s, clock_s) < night_s;
  day.night_s = is_night ? used_s : used_s + until_s(clock_s, night_from_clock_s);
  day.morning_s = day.night_s + until_s(sheet.starts_clock_s + day.night_s, night_to_clock_s);
  day.sheet.lasts_s = std::max(sheet.lasts_s, day.morning_s);
  return day;
}

bool open_at(const Parts& parts, const DaySheet& sheet, HoseId hose, double at_s) {
  bool open = starts_open(part(parts.hoses, hose));
  for (const TimedStep& step : sheet.steps) {
    if (step.at_s > at_s) break;
    for (const Action& action : step.actions) {
      const auto* id = std::get_if<HoseId>(&action.part);
      if (id != nullptr && *id == hose) open = action.does == Action::Does::open;
    }
  }
  return open;
}

}  // namespace tankyard
