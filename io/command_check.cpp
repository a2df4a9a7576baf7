// SPDX-License-Identifier: MIT
#include "io/commands.h"
#include "io/json.h"
#include "io/report.h"
#include "solver/at_rest.h"
#include "solver/find.h"

namespace tankyard {

Answer answer_check(const Asked& asked, const Desk& desk) {
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  const Result<AtRest> resting = at_rest(plan->array);
  if (!resting) {
    complain(desk.err, resting.error());
    return {Exit::failed, {}};
  }
  std::vector<Finding> findings = find_at_rest(plan->array);
  sort_worst_first(findings);
  return {exit_for(findings), asked.json ? check_json(*plan, *resting, findings)
                                         : check_text(*plan, *resting, findings, desk.columns)};
}

}  // namespace tankyard
