// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <chrono>

#include "io/asked_quantity.h"
#include "io/commands.h"
#include "io/json.h"
#include "io/page_vent.h"
#include "io/report.h"
#include "io/units.h"
#include "solver/studies/vent_study.h"

namespace tankyard {
namespace {

/// What can be said no to before the plan is read.
std::optional<VentOptions> vent_options(const Asked& asked, const Desk& desk) {
  VentOptions options;
  if (!take_tolerance(asked, desk, options.run)) return std::nullopt;
  return options;
}

}  // namespace

Answer answer_vent(const Asked& asked, const Desk& desk) {
  const std::optional<VentOptions> options = vent_options(asked, desk);
  if (!options) return {Exit::unusable, {}};
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  if (asked.page && !can_be_written("--page", *asked.page, asked, desk)) {
    return {Exit::unusable, {}};
  }
  const auto started = std::chrono::steady_clock::now();
  const Result<VentStudy> study = study_vents(plan->array, plan->sheet, *options);
  if (!study) {
    complain(desk.err, study.error());
    return {Exit::failed, {}};
  }
  desk.detail(fmt::format(
      "{} closed lids, {} pulls, {} runs in {:.0f} ms", study->lids.size(), study->trials.size(),
      study->runs,
      std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started)
          .count()));
  const std::vector<Finding> findings = find_in_vents(plan->array, *study);
  Exit exit = exit_for(findings);
  // Without every pull there is no saying that nothing folds.
  if (exit == Exit::done && !study->not_reckoned.empty()) {
    for (const NotReckoned& each : study->not_reckoned) {
      complain(desk.err,
               fmt::format("one pull could not be reckoned: {}", study->trials[each.trial].says),
               "no danger was found in the others; please report the plan", {each.why});
    }
    exit = Exit::failed;
  }
  if (asked.page &&
      !write_page(*asked.page, page_html(page_of_vent(*plan, *study, findings)), desk)) {
    return {Exit::failed, {}};
  }
  return {exit, asked.json ? vent_json(*plan, *study, findings)
                           : vent_text(*plan, *study, findings, desk.columns)};
}

}  // namespace tankyard
