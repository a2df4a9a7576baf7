// SPDX-License-Identifier: MIT
#pragma once

#include "solver/studies/link_study.h"

namespace tankyard {

/// Water that somebody would miss: 5 L, or 2 % of the new tank.
double worth_noticing_m3(const LinkStudy& study);

/// Marks the ways that are beaten, finds the merits of each, and puts them in order: the
/// recommended one, the other unbeaten ones, the beaten ones. What is as good as what, and which is
/// recommended, stands at `study_link`. The order does not depend on that in which they come. Cost:
/// the square of the number of ways.
void rank(LinkStudy& study);

}  // namespace tankyard
