// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "graph/result.h"
#include "io/plan_file.h"
#include "solver/studies/link_study.h"

namespace tankyard {

// How a way of joining a tank is said, and how it is written into a plan.

/// The tank that is to be joined.
inline const Tank& new_tank(const LinkStudy& study) { return part(study.parts.tanks, study.tank); }

/// "`shed-1`", "`shed-3` and `shed-1`".
std::string places_of(const LinkStudy& study, const WayToJoin& way);

/// "32 mm", "two of 19 mm".
std::string hose_of(const LinkStudy& study, const WayToJoin& way);

/// "to `shed-3` and `shed-1`, each by a 32 mm hose with a valve", and the stand if it is another.
std::string in_words(const LinkStudy& study, const WayToJoin& way);

/// "44.10", or "-" where nothing on offer has a price.
std::string price_cell(const LinkStudy& study, const LinkOption& option);

/// The hoses of a way as they stand in a plan, and above them what else changes, as comments: to be
/// pasted at a plan's end. Each line ends with a line break.
std::string toml_of(const LinkStudy& study, const LinkOption& option);

/// A plan's text with the way in it: the hoses at its end, the tank's `base` and `lid` set where
/// they change; nothing else is touched, comments and line ends are kept. `text` must be the plan
/// that was studied. Refuses where the result would be no plan.
Result<std::string> plan_with(const std::string& text, const LinkStudy& study,
                              const LinkOption& option);

}  // namespace tankyard
