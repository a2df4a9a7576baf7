// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

#include "io/page.h"
#include "solver/run.h"

namespace tankyard {

// What a page of any study can be filled with once it has a run with a trace.

/// How often a run has to be recorded for a page: often enough that peaks stand, and not more than
/// fits in memory with ease (some tens of megabytes).
double page_row_s(const Array& array, double lasts_s);

/// The trace as frames, a channel a tank's depth and headspace, a hose's and an outlet's flow, and
/// the rain. Headspaces of open lids are left out.
Frames frames_of_run(const Plan& plan, const RunRecord& record);

/// The yard moving through a run. Long runs show fewer moments, always those of the findings.
/// Requires: a trace.
Film film_of_run(const Plan& plan, const RunRecord& record, const Frames& frames,
                 const std::vector<Finding>& findings);

/// The trace for the plots: as it is where it is short, else thinned to its peaks, those that fell
/// between two rows of the trace included.
Frames plotted_of_run(const Plan& plan, const RunRecord& record, const Frames& frames);

/// Levels, flows, air under closed lids.
std::vector<Plot> plots_of_run(const Plan& plan, const Frames& plotted);

LitresOnPage litres_of(const Ledger& ledger);

/// The page of `run`. Requires: a record with a trace.
Page page_of_run(const Plan& plan, const RunRecord& record, const std::vector<Finding>& findings);

}  // namespace tankyard
