// SPDX-License-Identifier: MIT
#pragma once

#include "chain.h"
#include "full_day.h"

namespace bench {

/// The full day handed to SUNDIALS IDA: differential and algebraic equations of index one, variable
/// order BDF, modified Newton, a direct linear solver. Unknown are 12 volumes and 12 masses of air
/// (differential), 12 flows in hoses, the header's head and the pump's flow (algebraic).
///
/// What it gets, so that the comparison is fair:
/// - every law with its slopes is the one the tool uses (solver/friction.h, mouth.h, vent_flow.h,
///   spill.h, pump_law.h); a hose costs one call of the loss law, as its flow is an unknown and
///   none is searched for;
/// - the Jacobian is ours and exact, and reuses the slopes of the residual just evaluated; the
///   other way, by differences, is tried beside it, and the fastest of both and of three linear
///   solvers is taken;
/// - the yard is hard-wired: no lists of who joins whom, one nozzle taken into the pump's law, no
///   check for what this day does not have;
/// - its root finding looks for what turns something, the cut-out's two levels, and no more;
/// - it is stopped at each change of pump and rain and started again behind it from flows that meet
///   its equations;
/// - tolerances on volumes, and on masses as the same head of water times a factor, and on flows;
///   both are tried out, scanned for its fastest run whose largest error is under the same target.
///   Algebraic unknowns are left out of its error test, which makes it faster.
struct IdaSettings {
  enum class Linear { klu, dense, dense_by_differences };
  Linear linear = Linear::klu;
  double tolerance_m = 1e-6;
  double air_share = 3.0;  ///< tolerance on pressures, as metres of water, over that on depths
  /// Of flows, m3/s; a header's head counts a thousand times as much, m. They stand in no error
  /// test but weigh in where its turns stop.
  double flow_m3_per_s = 1e-7;
};
const char* name_of(IdaSettings::Linear linear);

struct IdaStatistics {
  long steps = 0;
  long residuals = 0;
  long jacobians = 0;
  long newton_turns = 0;
  long error_failures = 0;
  long newton_failures = 0;
  long roots = 0;
  long restarts = 0;   ///< after Newton turns that went in circles
  bool stuck = false;  ///< not carried to the end
  int highest_order = 0;
};

/// Depths of the twelve at every check time if asked (dense output of IDA itself), and the moments
/// at which the cut-out turned.
IdaStatistics run_ida(const FullDay& day, const IdaSettings& settings, Depths* depths,
                      std::vector<double>* turned_s = nullptr);

}  // namespace bench
