// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "solver/findings.h"
#include "solver/run.h"
#include "solver/tries.h"

namespace tankyard {

/// What is risky or wrong about an array before any day is run: uneven-rims, no-overflow,
/// dead-water, air-lock (a crest that nothing will fill), back-flow (a top-up without a clear
/// drop), no-vent (a sealed lid over water that can move).
std::vector<Finding> find_at_rest(const Array& array);

/// What a run shows: spill-with-room, stranded-water, slow-link (the hose, and the bore that would
/// do, found by running the day again with wider ones), air-lock (a hose that stayed shut by air
/// while the levels it joins stood apart), vacuum-collapse and pressure-bulge (and the hole that
/// would have prevented it, found by running the day again with it), vent-too-small, and those of
/// pumps. Worst first; includes those of `find_at_rest`. All that is run again draws on one purse
/// of steps (solver/tries.h); a finding whose remedy was not tried, because that was empty or the
/// watch wanted an end, says so.
std::vector<Finding> find_in_run(const Array& array, const DaySheet& sheet,
                                 const RunOptions& options, const RunRecord& record,
                                 const TryWatch& watch = {});

}  // namespace tankyard
