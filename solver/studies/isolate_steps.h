// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "solver/studies/day_pieces.h"
#include "solver/studies/isolate_study.h"

// Private to the isolate study: what its lines say, and in which order they stand.

namespace tankyard {

/// Everything before the drain, a hand's time apart from `study.starts_at_s` on. Inflows first, so
/// that nothing runs over once the valves are shut; pumps before the valves that would strand them;
/// valves that nobody hangs on before those by which somebody is supplied; then lids, for a tank
/// that is cut off gives nothing and needs no air, and one that was held down pushes no neighbour;
/// air lines last, when the tank has air of its own. `now`: the yard when work begins.
std::vector<IsolateStep> steps_to_shut(const Array& array, const IsolateStudy& study,
                                       const Between& now);

/// Lowering, watching, draining, getting the rest out. `lower_s`: how long the drains are open
/// first; 0: there is nothing to lower. `drain_s`: how long they then are. Starts when the last
/// valve is shut.
std::vector<IsolateStep> steps_to_empty(const Array& array, const IsolateStudy& study,
                                        double starts_at_s, double lower_s, double drain_s,
                                        double bail_s, double watched_surface_m2);

/// Cleaning, shutting the drain, giving inflows back, up to the first valves.
std::vector<IsolateStep> steps_to_refill(const Array& array, const IsolateStudy& study,
                                         const IsolateOptions& options);

/// The other valves, and everything as it was. `then`: the yard as it would be without the work.
std::vector<IsolateStep> steps_back(const Array& array, const IsolateStudy& study,
                                    double starts_at_s, const Between& then);

/// What the open lid is for, once it is known what the lid as it is would do.
void tell_why_lids_are_opened(const Array& array, IsolateStudy& study);

}  // namespace tankyard
