// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <cmath>

#include "graph/time_units.h"
#include "io/commands.h"
#include "io/json.h"
#include "io/report.h"
#include "io/units.h"
#include "solver/at_rest.h"
#include "solver/find.h"
#include "solver/studies/season_study.h"

namespace tankyard {
namespace {

constexpr int most_days = 1000;

/// Days of `--dry`; 0: it is not given. None: it cannot be used.
std::optional<int> days_of(const Asked& asked, const Desk& desk) {
  if (!asked.dry) return 0;
  const auto time_s = parse_quantity(*asked.dry, Dimension::duration);
  if (!time_s) {
    complain(desk.err, fmt::format("`--dry` {}", time_s.error().message), time_s.error().help);
    return std::nullopt;
  }
  const double days = std::round(*time_s / day_s);
  if (days < 1.0 || days > most_days || std::fabs(days * day_s - *time_s) > 1.0) {
    complain(desk.err, fmt::format("`--dry` is `{}`", *asked.dry),
             fmt::format("it must be whole days, 1d to {}d", most_days));
    return std::nullopt;
  }
  return static_cast<int>(days);
}

/// As many days as were asked for; else until the yard runs short, a year at most.
Result<DrySpell> dry_spell_of(const Plan& plan, int asked_days) {
  if (asked_days > 0) return live_dry(plan.array, plan.uses, asked_days);
  Result<DrySpell> spell = DrySpell{};
  for (const int days : {30, 120, 366}) {
    spell = live_dry(plan.array, plan.uses, days);
    if (!spell || spell->lasts_days) break;
  }
  return spell;
}

}  // namespace

Answer answer_check(const Asked& asked, const Desk& desk) {
  const std::optional<int> days = days_of(asked, desk);
  if (!days) return {Exit::unusable, {}};
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  if (*days > 0 && plan->uses.empty()) {
    complain(desk.err, "`--dry` asks how long the water lasts, and this plan has no `[[use]]`",
             "say what is taken: [[use]] with `outlet = \"tap\"` and `daily = \"200 L\"`");
    return {Exit::unusable, {}};
  }
  const Result<AtRest> resting = at_rest(plan->array);
  if (!resting) {
    complain(desk.err, resting.error());
    return {Exit::failed, {}};
  }
  std::optional<DrySpell> dry_spell;
  if (!plan->uses.empty()) {
    const Result<DrySpell> spell = dry_spell_of(*plan, *days);
    if (!spell) {
      complain(desk.err, spell.error());
      return {Exit::failed, {}};
    }
    dry_spell = *spell;
  }
  PumpStudies pumps;
  if (!plan->array.pumps().empty()) {
    pumps.reaches = reach_of(plan->array);
    pumps.set_points = cut_out_set_points(plan->array, plan->sheet);
  }
  std::vector<Finding> findings = find_at_rest(plan->array);
  sort_worst_first(findings);
  return {exit_for(findings),
          asked.json ? check_json(*plan, *resting, findings, dry_spell, pumps)
                     : check_text(*plan, *resting, findings, desk.columns, dry_spell, pumps)};
}

}  // namespace tankyard
