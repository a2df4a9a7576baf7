// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>
#include <string>
#include <vector>

#include "solver/find_each.h"
#include "solver/find_limits.h"
#include "solver/pump_again.h"
#include "solver/pump_stranded.h"
#include "solver/sentences.h"

// What a day shows of its pumps: air drawn, running dry, too little at the inlet.

namespace tankyard {
namespace {

constexpr double least_pumped_dry_s = 10.0;
constexpr double thirsty_share = 0.9;       // of what is required: less is worth a word
constexpr double leaky_below_pa = -5000.0;  // half a metre of suction

std::string in_tenths_of_kpa(double pa) {
  char text[40];
  std::snprintf(text, sizeof text, "%.1f kPa", pa / 1000.0);
  return text;
}

/// Tanks kept by the same thing are told together.
std::string stranded_in_words(const Parts& parts, const PumpStranded& stranded) {
  std::string text;
  std::vector<bool> told(stranded.tanks.size(), false);
  std::size_t causes = 0;
  double told_m3 = 0.0;
  std::size_t left = stranded.tanks.size();
  for (std::size_t i = 0; i < stranded.tanks.size() && causes < most_named; ++i) {
    if (told[i]) continue;
    std::vector<std::string> phrases;
    for (std::size_t k = i; k < stranded.tanks.size(); ++k) {
      if (stranded.tanks[k].why != stranded.tanks[i].why) continue;
      told[k] = true;
      --left;
      told_m3 += stranded.tanks[k].m3;
      phrases.push_back(in_litres(stranded.tanks[k].m3) + " in " +
                        named(part(parts.tanks, stranded.tanks[k].tank).name));
    }
    text += (text.empty() ? "" : "; ") + joined_up(phrases) + " (" + stranded.tanks[i].why + ")";
    ++causes;
  }
  if (left > 0) {
    text += "; " + in_litres(stranded.total_m3 - told_m3) + " in " + std::to_string(left) + " more";
  }
  return text;
}

/// A hose, or all hoses, to widen: found by running the day again.
std::optional<std::string> wider(const Array& array, PumpId pump, const PumpStranded& stranded,
                                 DayAgain& again, const PumpAgain& pumps) {
  const Parts& parts = array.parts();
  std::vector<HoseId> thin;
  for (const PumpStranded::Tank& tank : stranded.tanks) {
    if (!tank.thin || !tank.hose) continue;
    if (std::find(thin.begin(), thin.end(), *tank.hose) == thin.end()) thin.push_back(*tank.hose);
  }
  const auto keeps_prime = [&](const RunRecord& record) {
    return record.pumps[pump.index].lost_prime == 0;
  };
  for (const HoseId id : thin) {
    const Hose& hose = part(parts.hoses, id);
    if (const auto found = again.smallest_that_will_do(id, keeps_prime)) {
      return "fit a bore of " + in_mm(found->bore_m) + " in place of " + in_mm(hose.bore_m) +
             " for " + named(hose.name) + smaller_not_tried(*found, again.tries()) +
             ": then it draws no air that day";
    }
  }
  if (thin.size() < 2) return std::nullopt;
  const std::optional<double> bore_m = pumps.bore_of_all_m(pump, thin);
  if (!bore_m) return std::nullopt;
  std::vector<std::string> names;
  names.reserve(thin.size());
  for (const HoseId id : thin) names.push_back(part(parts.hoses, id).name);
  return "fit a bore of " + in_mm(*bore_m) + " for " + listed(names) +
         ", all of them: then it draws no air that day";
}

std::string what_to_do(const Array& array, PumpId pump, const PumpRecord& record,
                       const PumpStranded& stranded, DayAgain& again, const PumpAgain& pumps) {
  const Parts& parts = array.parts();
  std::vector<std::string> steps;
  std::vector<std::string> airless;
  for (const PumpStranded::Tank& tank : stranded.tanks) {
    if (tank.by_vacuum) airless.push_back(part(parts.tanks, tank.tank).name);
  }
  if (!airless.empty()) {
    steps.push_back("let air in under the lid" + std::string(airless.size() == 1 ? "" : "s") +
                    " of " + listed(airless) + " first, by holes as `tankyard vent` finds them");
  }
  if (const auto hose = wider(array, pump, stranded, again, pumps)) steps.push_back(*hose);
  const std::optional<TankId> by = drew_air_by(array, pump, *record.air_drawn);
  if (by) {
    if (const auto set = pumps.cut_out(pump, *by)) {
      steps.push_back("let a low-level cut-out stop it at " + in_mm(set->depth_m) + " in " +
                      named(part(parts.tanks, *by).name) +
                      ": it keeps its prime that day and "
                      "delivers " +
                      in_litres(set->delivered_m3) + " in place of " +
                      in_litres(record.delivered_m3));
    }
  }
  if (const auto slow = pumps.throttle(pump)) {
    steps.push_back("throttle it to " + in_litres_a_minute(slow->peak_m3_per_s) +
                    ": then it draws no air that day and delivers " +
                    in_litres(slow->delivered_m3));
  }
  const bool over = pumps.tries().over();
  if (steps.empty() && by) {
    steps.push_back("stop it before " + named(part(parts.tanks, *by).name) +
                    " falls to the mouth of its hose, or shut that hose first");
  }
  if (std::holds_alternative<HeaderId>(part(parts.pumps, pump).from) && stranded.tanks.size() > 1 &&
      steps.size() < 3 && by) {
    steps.push_back("or move its suction to the end of the header that is nearer the full tanks");
  }
  std::string text;
  for (const std::string& step : steps) text += (text.empty() ? "" : "; ") + step;
  if (text.empty()) text = "stop it before its water runs out";
  if (over) text += "; what else may help was " + pumps.tries().not_tried();
  return text;
}

Finding draws_air(const Array& array, PumpId id, const PumpRecord& record, DayAgain& again,
                  const PumpAgain& pumps, bool mend) {
  const Parts& parts = array.parts();
  const Pump& pump = part(parts.pumps, id);
  const PumpStranded stranded = stranded_by(array, id, *record.air_drawn);
  Finding finding;
  finding.kind = FindingKind::pump_draws_air;
  finding.severity = Severity::warning;
  finding.where = pump.name;
  finding.at_s = record.air_drawn->at_s;
  finding.value = stranded.total_m3 * litres_per_m3;
  finding.unit = "L";
  const double ran_s = record.air_drawn->at_s - record.first_started_at_s.value_or(0.0);
  const std::optional<TankId> by = drew_air_by(array, id, *record.air_drawn);
  finding.says = named(pump.name) + " drew air " + in_minutes(ran_s) + " after it first started";
  if (by) {
    finding.says += ", by the mouth that " + named(part(parts.tanks, *by).name) + " had fallen to";
  }
  finding.says +=
      ", lost its prime and delivered nothing more until it was stopped and started "
      "with water at its inlet. ";
  if (stranded.tanks.empty()) {
    finding.says += "No other tank held water that could have come";
  } else {
    finding.says +=
        in_litres(stranded.total_m3) + " stood stranded: " + stranded_in_words(parts, stranded);
  }
  finding.do_this = mend ? what_to_do(array, id, record, stranded, again, pumps)
                         : "see what helps the other pumps first, then run the day again";
  return finding;
}

Finding runs_dry(const Parts& parts, PumpId id, const PumpRecord& record) {
  Finding finding;
  finding.kind = FindingKind::pump_runs_dry;
  finding.severity = Severity::warning;
  finding.where = part(parts.pumps, id).name;
  finding.at_s = record.first_dry_at_s;
  finding.value = record.dry_s / 60.0;
  finding.limit = least_pumped_dry_s / 60.0;
  finding.unit = "min";
  finding.says =
      named(finding.where) + " ran for " + in_minutes(record.dry_s) + " with no water at its inlet";
  if (record.started_dry) {
    finding.says += ": there was none when it was started";
    finding.do_this =
        "open what leads to its inlet and let the water in before it is started; "
        "where it stands above the water, fit a foot valve and fill the suction hose "
        "by hand (`primed = true`)";
  } else if (record.lost_prime > 0) {
    finding.says += ", having drawn air";
    finding.do_this =
        "keep it from drawing air (see pump-draws-air), or give it a switch that "
        "stops it when it runs dry: a low-level cut-out (`stops_below`) or a limit "
        "on its run (`runs_at_most`)";
  } else {
    finding.says += ": every way to its inlet was shut";
    finding.do_this =
        "open a way to its inlet before it is started, or stop it before the last "
        "one is shut";
  }
  finding.says += ". Seals that run dry burn out within minutes";
  return finding;
}

std::optional<Finding> low_suction(const Parts& parts, PumpId id, const PumpRecord& record) {
  if (!record.scarcest || !record.lowest) return std::nullopt;
  const PumpRecord::Inlet& scarce = *record.scarcest;
  const PumpRecord::Inlet& low = *record.lowest;
  const bool starved = scarce.npsh_available_m < thirsty_share * scarce.npsh_required_m;
  if (!starved && low.gauge_pa > leaky_below_pa) return std::nullopt;
  Finding finding;
  finding.kind = FindingKind::low_suction;
  finding.severity = starved ? Severity::warning : Severity::note;
  finding.where = part(parts.pumps, id).name;
  if (starved) {
    finding.at_s = scarce.at_s;
    finding.value = scarce.npsh_available_m;
    finding.limit = scarce.npsh_required_m;
    finding.unit = "m";
    finding.says = named(finding.where) + " had " + in_metres(scarce.npsh_available_m) +
                   " of suction left at its inlet (NPSH) and needs " +
                   in_metres(scarce.npsh_required_m) + " at " +
                   in_litres_a_minute(scarce.flow_m3_per_s) +
                   ": it cavitates, delivers less than its curve says, and wears";
    finding.do_this =
        "fit a wider or shorter suction hose, set the pump lower or the tanks "
        "higher, or throttle its delivery until the noise stops";
    return finding;
  }
  finding.at_s = low.at_s;
  finding.value = low.gauge_pa / 1000.0;
  finding.limit = leaky_below_pa / 1000.0;
  finding.unit = "kPa";
  finding.says = "the water at the inlet of " + named(finding.where) + " stood " +
                 in_tenths_of_kpa(-low.gauge_pa) +
                 " below the air outside: push-on couplings and hose clips "
                 "that hold water at pressure let air in there";
  finding.do_this =
      "use suction hose that does not fold and couplings with a clamp and a seal, "
      "or set the pump lower";
  return finding;
}

}  // namespace

std::vector<Finding> find_pumps(const Array& array, const RunRecord& record, DayAgain& again,
                                const PumpAgain& pumps) {
  std::vector<Finding> findings;
  std::size_t mended = 0;
  for (std::size_t i = 0; i < record.pumps.size(); ++i) {
    const auto id = id_at<PumpId>(i);
    const PumpRecord& pump = record.pumps[i];
    if (pump.air_drawn) {
      findings.push_back(draws_air(array, id, pump, again, pumps, mended++ < most_tried));
    }
    if (pump.dry_s >= least_pumped_dry_s) findings.push_back(runs_dry(array.parts(), id, pump));
    if (auto low = low_suction(array.parts(), id, pump)) findings.push_back(std::move(*low));
  }
  return findings;
}

}  // namespace tankyard
