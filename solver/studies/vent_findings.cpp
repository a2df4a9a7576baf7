// SPDX-License-Identifier: MIT
#include <algorithm>
#include <string>
#include <utility>

#include "solver/find_each.h"
#include "solver/lid_again.h"
#include "solver/lid_words.h"
#include "solver/sentences.h"
#include "solver/studies/vent_study.h"

// What the vent study says, in the words and kinds of findings, so that `explain`, JSON and exit
// status are as everywhere.

namespace tankyard {
namespace {

std::string lid_is(const Tank& tank) {
  return "its lid is " + std::string(tank.lid.kind == Lid::Kind::sealed ? "" : "vented only by ") +
         in_words(tank.lid);
}

std::string drill(const Tank& tank, const LidNeeds& lid) {
  if (lid.hole_m && *lid.hole_m > 0.0) {
    return "drill a hole of " + in_drill(*lid.hole_m) + " " + in_place_of(tank.lid) + "; " +
           about_screen(tank.lid, *lid.hole_m);
  }
  if (lid.for_vacuum.beyond_drills) {
    return "no one hole up to 76 mm does: leave the lid of " + named(tank.name) + " off";
  }
  if (!lid.hole_m) {
    return "leave the lid of " + named(tank.name) +
           " loose until its hole is found; the yard is too large to try them here";
  }
  return "see to what fills " + named(tank.name) + ": no hole was found to help";
}

Finding collapse(const Array& array, const VentStudy& study, const LidNeeds& lid) {
  const Tank& tank = part(array.tanks(), lid.tank);
  const LidTrial& worst = lid.as_it_is[lid.worst_vacuum];
  Finding finding;
  finding.kind = FindingKind::vacuum_collapse;
  finding.severity = Severity::danger;
  finding.where = tank.name;
  finding.value = -worst.lowest_pa;
  finding.limit = lid.vacuum.pa;
  finding.unit = "Pa";
  finding.says = named(tank.name) + " can be sucked in: with " + study.trials[worst.trial].says +
                 ", the air above its water is past the " + in_pascals(lid.vacuum.pa) +
                 " below the air outside that it may bear (" + lid.vacuum.how + ") after " +
                 in_moments(*worst.folds_after_s);
  if (worst.out_by_then_m3 > 1e-4) {
    finding.says += ", when " + in_litres(worst.out_by_then_m3) + " have left it";
  }
  finding.says +=
      ", and comes to " + in_pascals(worst.lowest_pa) + " at the worst; " + lid_is(tank);
  const Trial& trial = study.trials[worst.trial];
  if (const auto yard = Array::make(trial.parts)) {
    const std::string through = pulled_through(*yard, trial.sheet, lid.tank, *worst.folds_after_s);
    if (!through.empty()) finding.says += "; " + through;
  }
  finding.do_this = "stop what draws before the lid is touched; then " + drill(tank, lid);
  return finding;
}

Finding bulge(const Array& array, const VentStudy& study, const LidNeeds& lid) {
  const Tank& tank = part(array.tanks(), lid.tank);
  const LidTrial& worst = lid.as_it_is[lid.worst_pressure];
  Finding finding;
  finding.kind = FindingKind::pressure_bulge;
  finding.severity = Severity::danger;
  finding.where = tank.name;
  finding.value = worst.highest_pa;
  finding.limit = lid.pressure.pa;
  finding.unit = "Pa";
  finding.says = named(tank.name) + " can be blown up: with " + study.trials[worst.trial].says +
                 ", the air above its water is past the " + in_pascals(lid.pressure.pa) +
                 " over the air outside that it may bear (" + lid.pressure.how + ") after " +
                 in_moments(*worst.bulges_after_s) + ", and comes to " +
                 in_pascals(worst.highest_pa) + " at the worst; " + lid_is(tank);
  const bool of_day = study.trials[worst.trial].pull == Trial::Pull::day;
  finding.do_this = lid.for_pressure.beyond_drills || of_day
                        ? "give " + named(tank.name) +
                              " an overflow as wide as what fills it; `tankyard run` " +
                              "tells what pushed"
                        : drill(tank, lid);
  if (of_day && lid.drill_now && lid.hole_m && *lid.hole_m > 0.0) {
    finding.do_this += "; and " + drill(tank, lid);
  }
  return finding;
}

/// The lid came to more than half of what the tank may bear, and not past it.
Finding too_small(const Array& array, const VentStudy& study, const LidNeeds& lid, bool vacuum) {
  const Tank& tank = part(array.tanks(), lid.tank);
  const LidTrial& worst = lid.as_it_is[vacuum ? lid.worst_vacuum : lid.worst_pressure];
  const double allowed_pa = vacuum ? lid.vacuum.pa : lid.pressure.pa;
  Finding finding;
  finding.kind = FindingKind::vent_too_small;
  finding.severity = Severity::warning;
  finding.where = tank.name;
  finding.value = vacuum ? -worst.lowest_pa : worst.highest_pa;
  finding.limit = kept_in_hand * allowed_pa;
  finding.unit = "Pa";
  finding.says = "with " + study.trials[worst.trial].says + ", the air above the water of " +
                 named(tank.name) + " comes to " + in_pascals(finding.value) +
                 (vacuum ? " below" : " over") + " the air outside, more than half of the " +
                 in_pascals(allowed_pa) + " that it may bear (" +
                 (vacuum ? lid.vacuum.how : lid.pressure.how) + "); " + lid_is(tank);
  finding.do_this = drill(tank, lid);
  return finding;
}

/// The lid does as the valves of the plan stand, and not with its neighbours shut off.
Finding too_small_alone(const Array& array, const VentStudy& study, const LidNeeds& lid) {
  const Tank& tank = part(array.tanks(), lid.tank);
  const LidTrial& did = *lid.feeding_alone;
  Finding finding;
  finding.kind = FindingKind::vent_too_small;
  finding.severity = Severity::warning;
  finding.where = tank.name;
  finding.value = -did.lowest_pa;
  finding.limit = kept_in_hand * lid.vacuum.pa;
  finding.unit = "Pa";
  finding.says = "should its neighbours ever be shut off, as for cleaning, then with " +
                 study.trials[did.trial].says + " the air above the water of " + named(tank.name) +
                 " comes to " + in_pascals(did.lowest_pa) +
                 " below the air outside, and it may bear " + in_pascals(lid.vacuum.pa) + " (" +
                 lid.vacuum.how + "); " + lid_is(tank);
  finding.do_this = lid.hole_feeding_alone_m
                        ? "drill a hole of " + in_drill(*lid.hole_feeding_alone_m) + " " +
                              in_place_of(tank.lid) +
                              ", or never shut its neighbours off while something draws"
                        : "never shut its neighbours off while something draws";
  return finding;
}

}  // namespace

std::vector<Finding> find_in_vents(const Array& array, const VentStudy& study) {
  std::vector<Finding> findings;
  std::vector<std::string> told;
  for (const LidNeeds& lid : study.lids) {
    const std::size_t before = findings.size();
    if (lid.can_fold()) findings.push_back(collapse(array, study, lid));
    if (lid.can_bulge()) findings.push_back(bulge(array, study, lid));
    const LidTrial& vacuum = lid.as_it_is[lid.worst_vacuum];
    const LidTrial& pressure = lid.as_it_is[lid.worst_pressure];
    if (!lid.can_fold() && -vacuum.lowest_pa > kept_in_hand * lid.vacuum.pa) {
      findings.push_back(too_small(array, study, lid, true));
    } else if (!lid.can_bulge() && !lid.can_fold() &&
               pressure.highest_pa > kept_in_hand * lid.pressure.pa) {
      findings.push_back(too_small(array, study, lid, false));
    }
    const bool alone =
        lid.feeding_alone && (lid.feeding_alone->folds_after_s ||
                              -lid.feeding_alone->lowest_pa > kept_in_hand * lid.vacuum.pa);
    if (alone && findings.size() == before) findings.push_back(too_small_alone(array, study, lid));
    if (findings.size() > before) told.push_back(part(array.tanks(), lid.tank).name);
  }
  for (Finding& finding : find_no_vent(array)) {
    if (std::find(told.begin(), told.end(), finding.where) == told.end()) {
      findings.push_back(std::move(finding));
    }
  }
  sort_worst_first(findings);
  return findings;
}

}  // namespace tankyard
