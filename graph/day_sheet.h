// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "graph/ids.h"

namespace tankyard {

/// One hand on one part. A hose with an isolating valve is opened and closed by its valve's name or
/// its own; without a valve, closing it means taking it off and capping both ends. An air line is
/// opened and closed by its own name: closed, no air passes.
struct Action {
  enum class Does { open, close, start, stop };
  Does does = Does::open;
  std::variant<HoseId, OutletId, PumpId, AirLineId> part;
};

/// What is done at one moment, in the order given.
struct TimedStep {
  double at_s = 0.0;  ///< after the start of the run
  std::vector<Action> actions;
  std::optional<double> rain_m_per_s;  ///< holds until the next step that says rain
};

/// The timed steps of a run, sorted by time; equal times keep the order of the plan.
struct DaySheet {
  double lasts_s = 86400.0;
  double starts_clock_s = 0.0;  ///< clock time of second 0, seconds after midnight
  std::vector<TimedStep> steps;
};

}  // namespace tankyard
