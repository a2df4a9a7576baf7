// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "io/plan_file.h"
#include "io/report.h"
#include "solver/at_rest.h"
#include "solver/findings.h"
#include "solver/run.h"
#include "solver/studies/faults_study.h"
#include "solver/studies/isolate_study.h"
#include "solver/studies/link_study.h"
#include "solver/studies/vent_study.h"

namespace tankyard {

/// Answers as one JSON object (RFC 8259) for programs. Keys only ever get more: none is renamed,
/// and none changes its unit, which stands in its name. Lists are in plan order, findings worst
/// first. What is not known is null; there is never a NaN. Ends with a line break.

std::string check_json(const Plan& plan, const AtRest& at_rest,
                       const std::vector<Finding>& findings,
                       const std::optional<DrySpell>& dry_spell = std::nullopt,
                       const PumpStudies& pumps = {});

std::string run_json(const Plan& plan, const RunRecord& record,
                     const std::vector<Finding>& findings, const std::vector<Reach>& reaches = {});

std::string vent_json(const Plan& plan, const VentStudy& study,
                      const std::vector<Finding>& findings);

std::string isolate_json(const Plan& plan, const IsolateStudy& study,
                         const std::vector<Finding>& findings);

/// The same of every tank by itself: {"plan", "site", "isolations": [...], "findings", "assumed"}.
std::string isolate_all_json(const Plan& plan, const std::vector<IsolateStudy>& studies,
                             const std::vector<Finding>& findings);
std::string season_json(const Plan& plan, const SeasonAnswer& answer);

/// Every failure that was tried, worst first, and pairs that are worse than their parts.
std::string faults_json(const Plan& plan, const FaultStudy& study,
                        const std::vector<Finding>& findings);

std::string link_json(const Plan& plan, const LinkStudy& study);

/// {"kinds": [{"name", "means", "matters", "remedy"}]}
std::string kinds_json(const std::vector<KindOfFinding>& kinds);

}  // namespace tankyard
