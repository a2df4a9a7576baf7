// SPDX-License-Identifier: MIT
#include <string>

#include "io/faults_words.h"
#include "io/json.h"
#include "io/json_numbers.h"
#include "io/report_words.h"

namespace tankyard {
namespace {

Json in_json(const Parts& parts, const FaultDanger& danger) {
  const bool pump = danger.kind == FindingKind::pump_runs_dry;
  return {{"kind", about(danger.kind).name},
          {"part", pump ? parts.pumps[danger.part].name : parts.tanks[danger.part].name},
          {"at_s", number(danger.at_s)},
          {"headspace_pa", pump ? Json(nullptr) : number(danger.pa)}};
}

Json in_json(const Plan& plan, const FaultStudy& study, const FaultOutcome& outcome) {
  const Parts& parts = plan.array.parts();
  Json failed = Json::array();
  for (const Fault& fault : outcome.faults) {
    failed.push_back({{"kind", word_for(fault.kind)}, {"part", part_name(parts, fault)}});
  }
  Json json = {{"failed", failed}, {"says", in_words(parts, outcome)}};
  json["reckoned"] = outcome.reckoned;
  if (!outcome.reckoned) {
    json["why_not"] = outcome.why_not;
    return json;
  }
  Json dangers = Json::array();
  for (const FaultDanger& danger : outcome.dangers) dangers.push_back(in_json(parts, danger));
  json["dangers"] = std::move(dangers);
  json["lost_l"] = litres(outcome.lost_m3);
  json["short_l"] = litres(outcome.short_m3);
  json["shortest"] =
      outcome.shortest ? Json(part(parts.outlets, *outcome.shortest).name) : Json(nullptr);
  Json emptied = Json::array();
  for (const TankId tank : outcome.emptied) emptied.push_back(part(parts.tanks, tank).name);
  json["emptied"] = std::move(emptied);
  const bool seen = outcome.sign.kind != FirstSign::Kind::none;
  json["first_sign"] = {{"kind", word_for(outcome.sign.kind)},
                        {"at_s", seen ? number(outcome.sign.at_s) : Json(nullptr)},
                        {"says", sign_in_words(plan, study, outcome.sign)}};
  return json;
}

Json in_json(const FaultToll& toll) {
  return {{"harmed", toll.harmed},
          {"cost_l", litres(toll.cost_m3)},
          {"worst_l", litres(toll.worst_m3)}};
}

Json in_json(const Parts& parts, const std::vector<TriedChange>& changes) {
  Json list = Json::array();
  for (const TriedChange& tried : changes) {
    list.push_back({{"kind", word_for(tried.change.kind)},
                    {"says", in_words(parts, tried.change)},
                    {"toll", in_json(tried.toll)},
                    {"healthy_cost_l", litres(tried.healthy_cost_m3)}});
  }
  return list;
}

}  // namespace

std::string faults_json(const Plan& plan, const FaultStudy& study,
                        const std::vector<Finding>& findings) {
  const Parts& parts = plan.array.parts();
  Json json = {{"plan", plan.file}, {"site", parts.site.name}};
  json["stopped"] = study.stopped;
  json["quiet_night_assumed"] = study.day.quiet;
  json["starts_clock_s"] = number(study.day.sheet.starts_clock_s);
  json["night_s"] = number(study.day.night_s);
  json["morning_s"] = number(study.day.morning_s);
  json["lasted_s"] = number(study.healthy.lasted_s);
  Json failures = Json::array();
  for (const FaultOutcome& each : study.singles) failures.push_back(in_json(plan, study, each));
  json["failures"] = std::move(failures);
  json["failures_in_all"] = study.singles_in_all;
  Json harmed = Json::array();
  for (const TankId tank : harmed_on(study.healthy)) harmed.push_back(part(parts.tanks, tank).name);
  json["harmed_when_nothing_fails"] = std::move(harmed);
  json["toll"] = in_json(study.toll);
  json["best_changes"] = in_json(parts, study.best);
  json["changes"] = in_json(parts, study.tried);
  Json pairs = Json::array();
  for (const FaultOutcome& each : study.pairs) pairs.push_back(in_json(plan, study, each));
  json["pairs"] = std::move(pairs);
  json["pairs_tried"] = study.pairs_tried;
  json["pairs_in_all"] = study.pairs_in_all;
  json["runs"] = study.runs;
  Json found = Json::array();
  for (const Finding& finding : findings) {
    found.push_back({{"kind", about(finding.kind).name},
                     {"severity", word_for(finding.severity)},
                     {"where", finding.where},
                     {"at_s", finding.at_s ? number(*finding.at_s) : Json(nullptr)},
                     {"value", number(finding.value)},
                     {"limit", finding.limit ? number(*finding.limit) : Json(nullptr)},
                     {"unit", finding.unit},
                     {"says", finding.says},
                     {"do_this", finding.do_this}});
  }
  json["findings"] = std::move(found);
  json["assumed"] = assumed_in(plan);
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace tankyard
