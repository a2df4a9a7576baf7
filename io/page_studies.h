// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "io/plan_file.h"
#include "io/report.h"
#include "solver/findings.h"

namespace tankyard {

// The pages of the studies, as HTML. Where a study compares many yards, the page shows the one that
// its answer is about.

/// The steps are the cases of the film: which valves are shut at each.
std::string isolate_page(const Plan& plan, const IsolateStudy& study,
                         const std::vector<Finding>& findings);

/// The day of the worst failure, moving.
std::string faults_page(const Plan& plan, const FaultStudy& study,
                        const std::vector<Finding>& findings);

/// The plan's day with the tank joined as recommended, moving. `text` is the plan that was studied;
/// `all` as in `link_chapters`.
std::string link_page(const Plan& plan, const std::string& text, const LinkStudy& study, bool all);

/// The months of the record over time; the yard as it stands.
std::string season_page(const Plan& plan, const SeasonAnswer& answer, bool every_month);

}  // namespace tankyard
