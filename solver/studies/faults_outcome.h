// SPDX-License-Identifier: MIT
#pragma once

#include "solver/studies/faults_study.h"
#include "solver/studies/faults_yard.h"

namespace tankyard {

/// Rows of the trace that outcomes are read from, s.
inline constexpr double fault_row_s = 300.0;

/// Runs a yard with these faults and compares it with `healthy`, the day on which nothing fails and
/// which was run with `options` too. Its trace has a row each `fault_row_s`.
FaultOutcome outcome_of(const FaultYard& yard, const std::vector<Fault>& faults,
                        const RunRecord& healthy, const RunOptions& options);

/// Water a record lost to the ground, and rain it did not catch, more than `healthy`.
double lost_m3(const RunRecord& record, const std::vector<OutletId>& to_ground,
               const RunRecord& healthy);

/// Worst first; of equals the first in the plan.
void rank(std::vector<FaultOutcome>& outcomes);

/// Lost and short, neither below 0.
double cost_m3(const FaultOutcome& outcome);

}  // namespace tankyard
