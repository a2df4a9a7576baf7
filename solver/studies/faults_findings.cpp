// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "solver/lid_words.h"
#include "solver/sentences.h"
#include "solver/shell.h"
#include "solver/studies/faults_study.h"

// What the study of failures says, in the words and kinds of findings.

namespace tankyard {
namespace {

/// A hole in that very lid that takes harm away; failing that, whatever takes most of it away.
const TriedChange* mends_harm(const FaultStudy& study, TankId tank) {
  const TriedChange* most = nullptr;
  for (const TriedChange& tried : study.tried) {
    if (tried.toll.harmed >= study.toll.harmed) continue;
    const bool in_lid =
        tried.change.kind == Change::Kind::second_hole || tried.change.kind == Change::Kind::hole;
    if (in_lid && tried.change.part == tank.index) return &tried;
    if (most == nullptr && !in_lid) most = &tried;
  }
  return most;
}

/// "`V2` left shut", "the float of `mains` stuck open".
std::string with_article(const std::string& phrase) {
  if (phrase.front() == '`' || phrase.rfind("a ", 0) == 0) return phrase;
  return "the " + phrase;
}

/// Tanks that are in danger with nothing failing at all.
std::vector<Finding> find_harm_of_the_day(const Array& array, const FaultStudy& study) {
  std::vector<Finding> findings;
  for (const TankId id : harmed_on(study.healthy)) {
    const Tank& tank = part(array.tanks(), id);
    const HeadspaceRecord& air = part(study.healthy.tanks, id).headspace;
    const bool sucked = air.folds.has_value();
    Finding finding;
    finding.kind = sucked ? FindingKind::vacuum_collapse : FindingKind::pressure_bulge;
    finding.severity = Severity::danger;
    finding.where = tank.name;
    finding.at_s = sucked ? air.folds->at_s : air.bulges->at_s;
    finding.value = std::fabs(sucked ? air.lowest_pa : air.highest_pa);
    finding.limit = sucked ? allowed_vacuum(tank).pa : allowed_pressure(tank).pa;
    finding.unit = "Pa";
    finding.says = named(tank.name) + (sucked ? " is sucked in" : " is blown up") +
                   " on this day even when nothing fails; what is said of failures is said of a "
                   "yard with that tank still whole";
    finding.do_this = "see to this first: `tankyard vent` says which hole it needs";
    findings.push_back(std::move(finding));
  }
  return findings;
}

std::string others_too(std::size_t others) {
  if (others == 0) return {};
  return "; " + std::to_string(others) + " more single failure" + (others == 1 ? " does" : "s do") +
         " the same";
}

Finding dry_pump(const Parts& parts, const FaultDanger& danger, const FaultOutcome& outcome,
                 std::size_t others) {
  const Pump& pump = parts.pumps[danger.part];
  Finding finding;
  finding.kind = FindingKind::pump_runs_dry;
  finding.severity = Severity::warning;
  finding.where = pump.name;
  finding.at_s = danger.at_s;
  finding.value = outcome.lost_m3 > 0.0 ? outcome.lost_m3 * litres_per_m3 : 0.0;
  finding.unit = "L";
  finding.says = "with " + with_article(in_words(parts, outcome.faults.front())) + ", " +
                 named(pump.name) + " runs without water at its inlet" + others_too(others);
  finding.do_this = pump.stops_below ? "give it a second switch, such as a limit on its run "
                                       "(`runs_at_most`), and try the cut-out twice a year"
                                     : "give it a low-level cut-out (`stops_below`) or a limit on "
                                       "its run (`runs_at_most`)";
  return finding;
}

/// One finding a tank and kind, of the failure that takes it furthest.
std::vector<Finding> find_harm(const Array& array, const FaultStudy& study) {
  struct Worst {
    FaultDanger danger;
    const FaultOutcome* outcome;
    std::size_t others;
  };
  std::vector<Worst> worst;
  for (const FaultOutcome& single : study.singles) {
    for (const FaultDanger& danger : single.dangers) {
      const auto known = std::find_if(worst.begin(), worst.end(), [&](const Worst& each) {
        return each.danger.same_as(danger);
      });
      if (known == worst.end()) {
        worst.push_back({danger, &single, 0});
        continue;
      }
      ++known->others;
      if (std::fabs(danger.pa) > std::fabs(known->danger.pa)) {
        known->danger = danger;
        known->outcome = &single;
      }
    }
  }
  std::vector<Finding> findings;
  for (const Worst& each : worst) {
    if (each.danger.kind == FindingKind::pump_runs_dry) {
      findings.push_back(dry_pump(array.parts(), each.danger, *each.outcome, each.others));
      continue;
    }
    const Tank& tank = array.tanks()[each.danger.part];
    const bool sucked = each.danger.kind == FindingKind::vacuum_collapse;
    const double bears_pa = sucked ? allowed_vacuum(tank).pa : allowed_pressure(tank).pa;
    Finding finding;
    finding.kind = each.danger.kind;
    finding.severity = Severity::danger;
    finding.where = tank.name;
    finding.at_s = each.danger.at_s;
    finding.value = std::fabs(each.danger.pa);
    finding.limit = bears_pa;
    finding.unit = "Pa";
    finding.says = "with " + with_article(in_words(array.parts(), each.outcome->faults.front())) +
                   ", " + named(tank.name) + (sucked ? " is sucked in" : " is blown up") +
                   ": the air above its water comes to " + in_pascals(each.danger.pa) +
                   (sucked ? " below" : " above") + " the air outside, and it may bear " +
                   in_pascals(bears_pa);
    finding.says += others_too(each.others);
    if (const TriedChange* change = mends_harm(study, id_at<TankId>(each.danger.part))) {
      finding.do_this = in_words(array.parts(), change->change);
    } else {
      finding.do_this =
          "keep what can block clear, and ask `tankyard vent` for a hole that leaves "
          "more in hand";
    }
    findings.push_back(std::move(finding));
  }
  return findings;
}

/// A hose without a valve whose loss, at one end, empties more than one tank.
std::vector<Finding> find_burst_drains(const Array& array, const FaultStudy& study) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    if (hose.valve) continue;
    const FaultOutcome* worst = nullptr;
    for (const FaultOutcome& single : study.singles) {
      const Fault& fault = single.faults.front();
      if (!is_burst(fault) || fault.part != i || single.emptied.size() < 2) continue;
      if (worst == nullptr || single.lost_m3 > worst->lost_m3) worst = &single;
    }
    if (worst == nullptr) continue;
    std::vector<std::string> names;
    for (const TankId tank : worst->emptied) names.push_back(named(part(parts.tanks, tank).name));
    Finding finding;
    finding.kind = FindingKind::burst_drains;
    finding.severity = Severity::warning;
    finding.where = hose.name;
    finding.at_s = study.day.night_s;
    finding.value = worst->lost_m3 * litres_per_m3;
    finding.unit = "L";
    finding.says = "with " + in_words(parts, worst->faults.front()) + " at night, " +
                   joined_up(names) + " run empty by morning: " + in_litres(worst->lost_m3) +
                   " are lost, and " + named(hose.name) + " has no valve to stop it";
    const TriedChange* mend = nullptr;
    for (const TriedChange& tried : study.tried) {
      const bool here =
          tried.change.part == i && (tried.change.kind == Change::Kind::valve_at_from ||
                                     tried.change.kind == Change::Kind::valve_at_to);
      if (here && (mend == nullptr || tried.toll.cost_m3 < mend->toll.cost_m3)) mend = &tried;
    }
    if (mend != nullptr) {
      finding.do_this = in_words(parts, mend->change) + ": that takes " +
                        in_litres(study.toll.cost_m3 - mend->toll.cost_m3) +
                        " off what the single failures cost together";
    } else {
      finding.do_this = "fit a valve right where " + named(hose.name) +
                        " leaves the water, and shut it when nobody waters";
    }
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace

std::vector<Finding> find_in_faults(const Array& array, const FaultStudy& study) {
  std::vector<Finding> findings = find_harm(array, study);
  for (Finding& each : find_harm_of_the_day(array, study)) findings.push_back(std::move(each));
  for (Finding& each : find_burst_drains(array, study)) findings.push_back(std::move(each));
  sort_worst_first(findings);
  return findings;
}

}  // namespace tankyard
