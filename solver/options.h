// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <limits>

#include "graph/result.h"

namespace tankyard {

/// What a caller may set about a run, as in `run(array, sheet, {.depth_tolerance_m = 1e-5})`.
struct RunOptions {
  /// Error a single step may make in any tank's depth, m. The error over days is about twice it
  /// at the default and some twenty times it at 1e-7 m (measured in solver/README.md). Default 0.1
  /// mm: 0.1 L in a caged 1000-litre tank. 1e-12 to 0.1.
  double depth_tolerance_m = 1e-4;

  /// No step is longer than this, s. For convergence studies; leave it alone otherwise.
  double longest_step_s = std::numeric_limits<double>::infinity();

  /// State events (a port uncovers, a float switch trips) are located to this, s. 1e-6 to 1.
  double event_tolerance_s = 1e-3;

  /// Keep levels and flows over time at least this often, s; 0 keeps none and memory stays flat.
  double record_every_s = 0.0;

  /// A run gives up after this many steps, so that no plan can hang a study. 1 to 1e12.
  long long most_steps = 200'000'000;

  /// Asked before every step, with the steps taken and taken back so far; true: the run gives up.
  /// It must not change what the run does. None: nobody asks.
  std::function<bool(long long steps)> give_up = {};
};

/// Every rule broken by the options, with the value and the range. Empty: usable.
Troubles check(const RunOptions& options);

}  // namespace tankyard
