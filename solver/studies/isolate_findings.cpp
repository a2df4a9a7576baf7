// SPDX-License-Identifier: MIT
#include <string>
#include <vector>

#include "solver/lid_words.h"
#include "solver/sentences.h"
#include "solver/studies/isolate_study.h"

// What the isolate study says, in the words and kinds of findings.

namespace tankyard {
namespace {

std::string hoses_of(const Array& array, const std::vector<HoseId>& hoses) {
  std::vector<std::string> names;
  names.reserve(hoses.size());
  for (const HoseId id : hoses) names.push_back(part(array.hoses(), id).name);
  return listed(names);
}

Finding cannot_isolate(const Array& array, const IsolateStudy& study) {
  const Isolation& found = study.cut.found;
  std::vector<std::string> tanks;
  for (const TankId id : study.tanks) tanks.push_back(part(array.tanks(), id).name);
  std::vector<std::string> joined;
  double water_m3 = 0.0;
  for (const TankId id : found.emptied_with) {
    joined.push_back(part(array.tanks(), id).name);
    water_m3 += part(array.tanks(), id).water_m3;
  }
  std::vector<std::string> pumps;
  for (const PumpId id : found.pumps_joined) pumps.push_back(part(array.pumps(), id).name);

  Finding finding;
  finding.kind = FindingKind::cannot_isolate;
  finding.severity = Severity::warning;
  finding.where = tanks.front();
  finding.value = found.to_fit.empty() ? 0.0 : static_cast<double>(found.to_fit[0].hoses.size());
  finding.unit = "missing";
  finding.says = "no valves cut " + listed(tanks) + " off";
  if (!joined.empty()) {
    finding.says +=
        ": with every valve shut, " + std::string(tanks.size() == 1 ? "it is" : "they are") +
        " still joined to " + listed(joined) + ", with " + in_litres(water_m3) + " in " +
        (joined.size() == 1 ? "it" : "them") + " as the plan starts: drain one and you drain all";
  }
  if (!pumps.empty()) {
    finding.says += std::string(joined.empty() ? ": " : "; ") + "pump" +
                    (pumps.size() == 1 ? " " : "s ") + listed(pumps) + " can be reached too";
  }
  if (!found.to_fit.empty()) {
    finding.do_this = "put a valve on " + hoses_of(array, found.to_fit[0].hoses);
    if (found.to_fit.size() > 1) {
      finding.do_this += "; or on " + hoses_of(array, found.to_fit[1].hoses);
      if (found.to_fit.size() > 2) {
        finding.do_this += "; " + std::to_string(found.to_fit.size() - 2) + " more ways";
      }
    }
  }
  return finding;
}

Finding of_lid(const Array& array, const IsolateEffect& effect, const std::string& during) {
  Finding finding;
  const bool vacuum = effect.kind == IsolateEffect::Kind::sucked_in;
  finding.kind = vacuum ? FindingKind::vacuum_collapse : FindingKind::pressure_bulge;
  finding.severity = Severity::danger;
  finding.where = effect.where;
  finding.at_s = effect.at_s;
  finding.value = effect.value;
  for (const Tank& tank : array.tanks()) {
    if (tank.name != effect.where) continue;
    finding.limit = vacuum ? allowed_vacuum(tank).pa : allowed_pressure(tank).pa;
  }
  finding.unit = "Pa";
  finding.says = effect.says + "; it begins at the step: " + during;
  finding.do_this =
      "loosen the lid of " + named(effect.where) + " before that step, or choose another time";
  return finding;
}

Finding of_drain(const Array& array, const TankDrains& drains) {
  const Tank& tank = part(array.tanks(), drains.point.tank);
  Finding finding;
  finding.kind = FindingKind::vacuum_collapse;
  finding.severity = Severity::danger;
  finding.where = tank.name;
  finding.value = -drains.as_it_is_lowest_pa;
  finding.limit = drains.vacuum.pa;
  finding.unit = "Pa";
  finding.says = "drained with its lid on, " + named(tank.name) + " is sucked in after " +
                 in_moments(*drains.as_it_is_folds_s) + ": the air under it comes to " +
                 in_pascals(drains.as_it_is_lowest_pa) + " below that outside, and it may bear " +
                 in_pascals(drains.vacuum.pa) + " (" + drains.vacuum.how + ")";
  finding.do_this = "take its lid off before the drain is opened, as the sheet says";
  return finding;
}

}  // namespace

std::vector<Finding> find_in_isolation(const Array& array, const IsolateStudy& study) {
  std::vector<Finding> findings;
  if (!study.cut.possible()) {
    findings.push_back(cannot_isolate(array, study));
    return findings;
  }
  for (const TankDrains& drains : study.drains) {
    if (drains.as_it_is_folds_s) findings.push_back(of_drain(array, drains));
  }
  for (const IsolateStep& step : study.steps) {
    for (const IsolateEffect& effect : step.meanwhile) {
      if (effect.kind == IsolateEffect::Kind::sucked_in ||
          effect.kind == IsolateEffect::Kind::blown_up) {
        findings.push_back(of_lid(array, effect, step.say));
      }
    }
  }
  sort_worst_first(findings);
  return findings;
}

}  // namespace tankyard
