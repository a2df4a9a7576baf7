// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

#include "graph/array.h"
#include "solver/run.h"
#include "solver/studies/day_pieces.h"
#include "solver/studies/isolate_study.h"

// Private to the isolate study: a day with the work held against the same day without.

namespace tankyard {

/// A piece of both days, with a trace each.
struct DayPiece {
  double from_s = 0.0;
  double to_s = 0.0;
  bool inflows_away = false;  ///< what would run into the tanks is turned away
  RunRecord with;
  RunRecord without;
};

/// Fills in what the work costs, and puts every effect beside the step during which it begins.
/// `with`, `without`: the yard at the end. `first_drain`: where the drains stand among outlets.
void put_effects_beside(const Array& array, const std::vector<DayPiece>& pieces,
                        const Between& with, const Between& without, std::size_t first_drain,
                        IsolateStudy& study);

}  // namespace tankyard
