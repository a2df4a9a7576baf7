// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "chain.h"

namespace bench {

/// The chain handed to SUNDIALS CVODE: variable order BDF, modified Newton, a direct linear solver
/// and our analytic Jacobian. Depths are the unknowns.
///
/// What it gets, so that the comparison is fair:
/// - the hoses' loss law is the one the tool uses (solver/friction.h), and flow from head is found
/// by
///   Newton turns that start at that hose's last flow: one or two turns, see `friction_turns`;
/// - the Jacobian reuses the slopes of the right-hand side just evaluated, so it costs no friction;
/// - the linear solver and its order are tried out and the fastest is taken;
/// - it is stopped at each change of tap and rain and started again behind it, as its guide says,
/// so
///   that it never has to find a jump by failing;
/// - the chain is hard-wired: no lists of who joins whom;
/// - absolute tolerance on depth, scanned until the largest error is just under the same target.
/// Everything else is as SUNDIALS sets it out of the box.
struct PeerSettings {
  enum class Solver { klu_colamd, klu_amd, klu_natural, band };
  Solver solver = Solver::klu_amd;
  double tolerance_m = 1e-6;
};
const char* name_of(PeerSettings::Solver solver);

struct PeerStatistics {
  long steps = 0;
  long right_hand_sides = 0;
  long jacobians = 0;
  long factorisations = 0;
  long newton_turns = 0;
  long error_failures = 0;
  long newton_failures = 0;
  long long flows = 0;           ///< of one hose from one head
  long long friction_turns = 0;  ///< evaluations of the loss law these took
  int highest_order = 0;
};

/// Steps the chain to its end. Fills `depths` at every check time if asked (dense output of CVODE
/// itself), and `end_m` with the last depths.
PeerStatistics run_peer(const Chain& chain, const PeerSettings& settings, Depths* depths,
                        Depths* end_m);

std::string peer_version();

}  // namespace bench
