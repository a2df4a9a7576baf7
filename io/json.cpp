// SPDX-License-Identifier: MIT
#include "io/json.h"

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "graph/shape.h"
#include "io/report_words.h"
#include "solver/in_breathing.h"
#include "solver/lid_again.h"

namespace tankyard {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  if (!std::isfinite(value)) return nullptr;
  return value == 0.0 ? 0.0 : value;  // no minus before a zero
}

Json number(std::optional<double> value) { return value ? number(*value) : Json(nullptr); }

Json litres(double m3) { return number(m3 * 1000.0); }
Json litres_a_minute(double m3_per_s) { return number(m3_per_s * 60000.0); }

Json in_json(const std::vector<Finding>& findings) {
  Json list = Json::array();
  for (const Finding& finding : findings) {
    list.push_back({{"kind", about(finding.kind).name},
                    {"severity", word_for(finding.severity)},
                    {"where", finding.where},
                    {"at_s", number(finding.at_s)},
                    {"value", number(finding.value)},
                    {"limit", number(finding.limit)},
                    {"unit", finding.unit},
                    {"says", finding.says},
                    {"do_this", finding.do_this}});
  }
  return list;
}

Json names_of(const Array& array, const std::vector<TankId>& tanks) {
  Json list = Json::array();
  for (const TankId id : tanks) list.push_back(part(array.tanks(), id).name);
  return list;
}

Json in_json(const Array& array, const RestingGroup& group) {
  Json depths = Json::array();
  for (const double depth : group.depth_m) depths.push_back(number(depth));
  return {{"tanks", names_of(array, group.tanks)},
          {"level_m", number(group.level_m)},
          {"depth_m", depths},
          {"holds_l", litres(group.holds_m3)},
          {"nominal_l", litres(group.nominal_m3)},
          {"first_lip_m", number(group.first_lip_m)},
          {"first_lip_of", part(array.tanks(), group.first_lip_of).name}};
}

Json in_json(const Array& array, const Usable& usable) {
  Json left = Json::object();
  for (std::size_t t = 0; t < usable.left_per_tank_m3.size(); ++t) {
    if (usable.left_per_tank_m3[t] > 0.0) {
      left[array.tanks()[t].name] = litres(usable.left_per_tank_m3[t]);
    }
  }
  return {{"outlet", part(array.outlets(), usable.outlet).name},
          {"gravity", usable.gravity},
          {"usable_l", litres(usable.usable_m3)},
          {"left_l", litres(usable.left_m3)},
          {"nominal_l", litres(usable.nominal_m3)},
          {"left_per_tank_l", left},
          {"dry_below_m", number(usable.dry_below_m)},
          {"first_l_min", litres_a_minute(usable.first_m3_per_s)}};
}

Json tanks_in_json(const Array& array, const RunRecord& record) {
  Json list = Json::array();
  for (std::size_t t = 0; t < record.tanks.size(); ++t) {
    const TankRecord& tank = record.tanks[t];
    const Shape& shape = array.tanks()[t].shape;
    list.push_back({{"name", array.tanks()[t].name},
                    {"depth_m", number(tank.end_depth_m)},
                    {"volume_l", litres(tank.end_m3)},
                    {"headspace_pa", number(tank.headspace.end_pa)},
                    {"lowest_headspace_pa", number(tank.headspace.lowest_pa)},
                    {"highest_headspace_pa", number(tank.headspace.highest_pa)},
                    {"lowest_depth_m", number(tank.lowest_depth_m)},
                    {"highest_depth_m", number(tank.highest_depth_m)},
                    {"lowest_at_s", number(tank.lowest_at_s)},
                    {"highest_at_s", number(tank.highest_at_s)},
                    {"start_depth_m", number(depth_m(shape, tank.start_m3))},
                    {"start_l", litres(tank.start_m3)},
                    {"rain_l", litres(tank.roof_m3)},
                    {"topped_up_l", litres(tank.topped_up_m3)},
                    {"overflowed_in_l", litres(tank.overflowed_in_m3)},
                    {"overflowed_out_l", litres(tank.overflowed_out_m3)},
                    {"over_rim_l", litres(tank.over_rim_m3)},
                    {"spilt_l", litres(tank.spilt_m3)},
                    {"first_spilt_at_s", number(tank.first_spilt_at_s)},
                    {"spilt_with_room_l", litres(tank.spilt_with_room_m3)}});
  }
  return list;
}

Json hoses_in_json(const Array& array, const RunRecord& record) {
  Json list = Json::array();
  for (std::size_t h = 0; h < record.hoses.size(); ++h) {
    const HoseRecord& hose = record.hoses[h];
    list.push_back({{"name", array.hoses()[h].name},
                    {"carried_l", litres(hose.carried_m3)},
                    {"peak_l_min", litres_a_minute(hose.peak_m3_per_s)},
                    {"peak_at_s", number(hose.peak_at_s)},
                    {"moved_l", litres(hose.moved_m3)},
                    {"head_lost_m", number(record.lags[h].head_lost_m)},
                    {"head_lost_at_s", number(record.lags[h].at_s)}});
  }
  return list;
}

Json pumps_in_json(const Array& array, const RunRecord& record) {
  Json list = Json::array();
  for (std::size_t p = 0; p < record.pumps.size(); ++p) {
    list.push_back({{"name", array.pumps()[p].name},
                    {"delivered_l", litres(record.pumps[p].delivered_m3)},
                    {"ran_s", number(record.pumps[p].ran_s)},
                    {"lowest_npsh_available_m", nullptr},
                    {"energy_kwh", nullptr}});
  }
  return list;
}

Json outlets_in_json(const Array& array, const RunRecord& record) {
  Json list = Json::array();
  for (std::size_t o = 0; o < record.outlets.size(); ++o) {
    const OutletRecord& outlet = record.outlets[o];
    list.push_back({{"name", array.outlets()[o].name},
                    {"delivered_l", litres(outlet.delivered_m3)},
                    {"asked_l", litres(outlet.asked_m3)},
                    {"short_l", litres(outlet.short_m3)},
                    {"open_s", number(outlet.open_s)},
                    {"dry_s", number(outlet.dry_s)},
                    {"first_dry_at_s", number(outlet.first_dry_at_s)},
                    {"stranded_l", litres(outlet.stranded_m3)},
                    {"peak_l_min", litres_a_minute(outlet.peak_m3_per_s)}});
  }
  return list;
}

Json supplies_in_json(const Array& array, const RunRecord& record, Json& top_ups, Json& leaks) {
  const Parts& parts = array.parts();
  Json roofs = Json::array();
  for (std::size_t r = 0; r < record.roofs.size(); ++r) {
    const RoofRecord& roof = record.roofs[r];
    roofs.push_back({{"name", parts.roofs[r].name},
                     {"into", part(parts.tanks, parts.roofs[r].into).name},
                     {"fell_l", litres(roof.fell_m3)},
                     {"first_flush_l", litres(roof.first_flush_m3)},
                     {"over_gutter_l", litres(roof.over_gutter_m3)},
                     {"caught_l", litres(roof.caught_m3)}});
  }
  top_ups = Json::array();
  for (std::size_t t = 0; t < record.top_ups.size(); ++t) {
    top_ups.push_back({{"name", parts.top_ups[t].name},
                       {"into", part(parts.tanks, parts.top_ups[t].into).name},
                       {"let_in_l", litres(record.top_ups[t].let_in_m3)},
                       {"starts", record.top_ups[t].starts}});
  }
  leaks = Json::array();
  for (std::size_t l = 0; l < record.leaks.size(); ++l) {
    leaks.push_back({{"name", parts.leaks[l].name},
                     {"tank", part(parts.tanks, parts.leaks[l].tank).name},
                     {"lost_l", litres(record.leaks[l].lost_m3)}});
  }
  return roofs;
}

Json in_json(const Ledger& ledger) {
  return {{"start_l", litres(ledger.start_m3)},
          {"rain_l", litres(ledger.rain_m3)},
          {"topped_up_l", litres(ledger.topped_up_m3)},
          {"delivered_l", litres(ledger.delivered_m3)},
          {"overflowed_l", litres(ledger.overflowed_m3)},
          {"leaked_l", litres(ledger.leaked_m3)},
          {"drained_l", 0.0},
          {"end_l", litres(ledger.end_m3)},
          {"closing_error_l", litres(ledger.closing_error_m3())},
          {"passed_l", litres(ledger.passed_m3)}};
}

Json millimetres(std::optional<double> m) {
  return m ? number(std::round(*m * 1e6) / 1e3) : Json(nullptr);
}

Json in_json(const RuleOfInBreathing& rule, const char* name, double air_per_water) {
  return {{"rule", name},
          {"air_per_water", air_per_water},
          {"air_l_min", litres_a_minute(rule.air_m3_per_s)},
          {"hole_mm", number(rule.hole_m * 1000.0)}};
}

Json in_json(const VentStudy& study, const LidTrial& did) {
  return {{"pull", study.trials[did.trial].says},
          {"lowest_headspace_pa", number(did.lowest_pa)},
          {"highest_headspace_pa", number(did.highest_pa)},
          {"collapses_after_s", number(did.folds_after_s)},
          {"bulges_after_s", number(did.bulges_after_s)}};
}

Json hole_of(const HoleNeeded& hole) {
  return hole.tried && !hole.beyond_drills ? millimetres(hole.bore_m) : Json(nullptr);
}

Json in_json(const Array& array, const VentStudy& study, const LidNeeds& lid) {
  const Tank& tank = part(array.tanks(), lid.tank);
  const LidTrial& vacuum = lid.as_it_is[lid.worst_vacuum];
  const LidTrial& pressure = lid.as_it_is[lid.worst_pressure];
  const auto pull = [&](std::optional<std::size_t> trial) {
    return trial ? Json(study.trials[*trial].says) : Json(nullptr);
  };
  Json json = {
      {"tank", tank.name},
      {"lid", tank.lid.kind == Lid::Kind::sealed ? "sealed" : "holed"},
      {"hole_now_mm", millimetres(as_one_hole_m(tank.lid))},
      {"screen", number(tank.lid.screen)},
      {"allowed_vacuum_pa", number(lid.vacuum.pa)},
      {"allowed_vacuum_from", word_for(lid.vacuum.from)},
      {"allowed_vacuum_how", lid.vacuum.how},
      {"allowed_pressure_pa", number(lid.pressure.pa)},
      {"allowed_pressure_from", word_for(lid.pressure.from)},
      {"allowed_pressure_how", lid.pressure.how},
      {"lowest_headspace_pa", number(vacuum.lowest_pa)},
      {"lowest_by", vacuum.lowest_pa < 0.0 ? pull(vacuum.trial) : Json(nullptr)},
      {"collapses_after_s",
       lid.first_to_fold ? number(lid.as_it_is[*lid.first_to_fold].folds_after_s) : Json(nullptr)},
      {"collapses_first_by",
       lid.first_to_fold ? pull(lid.as_it_is[*lid.first_to_fold].trial) : Json(nullptr)},
      {"highest_headspace_pa", number(pressure.highest_pa)},
      {"highest_by", pressure.highest_pa > 0.0 ? pull(pressure.trial) : Json(nullptr)},
      {"bulges_after_s", number(pressure.bulges_after_s)},
      {"drill_today", lid.drill_now},
      {"hole_needed_mm", millimetres(lid.hole_m)},
      {"hole_for_vacuum_mm", hole_of(lid.for_vacuum)},
      {"hole_for_vacuum_by", pull(lid.for_vacuum.decided_by)},
      {"hole_for_pressure_mm", hole_of(lid.for_pressure)},
      {"hole_for_pressure_by", pull(lid.for_pressure.decided_by)},
      {"lowest_feeding_alone_pa",
       lid.feeding_alone ? number(lid.feeding_alone->lowest_pa) : Json(nullptr)},
      {"hole_feeding_alone_mm", millimetres(lid.hole_feeding_alone_m)},
      {"lowest_with_hole_pa", number(lid.lowest_alone_pa)},
      {"lowest_with_all_holes_pa", number(lid.lowest_together_pa)},
      {"highest_with_all_holes_pa", number(lid.highest_together_pa)},
      {"pull_l_min", litres_a_minute(lid.pull_alone_m3_per_s)},
      {"in_breathing",
       {in_json(lid.api_2000_5th, "API Std 2000, 5th ed.", in_breathing_api_2000_5th),
        in_json(lid.iso_28300, "ISO 28300:2008", in_breathing_iso_28300)}},
      {"blocked_tried", lid.blocked_tried},
      {"blocked_collapses_after_s",
       lid.blocked ? number(lid.blocked->folds_after_s) : Json(nullptr)},
      {"blocked_by", lid.blocked ? pull(lid.blocked->trial) : Json(nullptr)}};
  Json pulls = Json::array();
  for (const LidTrial& did : lid.as_it_is) pulls.push_back(in_json(study, did));
  json["pulls"] = std::move(pulls);
  return json;
}

Json events_in_json(const Plan& plan, const RunRecord& record) {
  Json list = Json::array();
  for (const Event& event : record.events) {
    Json entry = {{"at_s", number(event.at_s)},
                  {"kind", word_for(event.kind)},
                  {"says", in_words(plan, event)}};
    if (event.hose) entry["hose"] = part(plan.array.hoses(), *event.hose).name;
    list.push_back(std::move(entry));
  }
  return list;
}

std::string in_text(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace

std::string check_json(const Plan& plan, const AtRest& at_rest,
                       const std::vector<Finding>& findings,
                       const std::optional<DrySpell>& dry_spell) {
  const Array& array = plan.array;
  Json json = {{"plan", plan.file}, {"site", array.parts().site.name}};
  Json tanks = Json::array();
  for (const Tank& tank : array.tanks()) {
    tanks.push_back({{"name", tank.name},
                     {"base_m", number(tank.base_m)},
                     {"rim_m", number(rim_m(tank))},
                     {"lip_m", number(lip_m(tank))},
                     {"nominal_l", litres(capacity_m3(tank.shape))},
                     {"volume_l", litres(tank.water_m3)},
                     {"depth_m", number(depth_m(tank.shape, tank.water_m3))}});
  }
  json["tanks"] = std::move(tanks);
  Json groups = Json::array();
  for (const RestingGroup& group : at_rest.groups) groups.push_back(in_json(array, group));
  json["groups"] = std::move(groups);
  Json usable = Json::array();
  for (const Usable& one : at_rest.usable) usable.push_back(in_json(array, one));
  json["usable"] = std::move(usable);
  json["not_joined"] = names_of(array, at_rest.not_joined);
  json["joined_if_opened"] = names_of(array, at_rest.joined_if_opened);
  Json roofs = Json::array();
  for (const Roof& roof : array.parts().roofs) {
    roofs.push_back({{"name", roof.name},
                     {"into", part(array.tanks(), roof.into).name},
                     {"per_10_mm_l", litres(yield_of_10_mm_m3(roof))}});
  }
  json["roofs"] = std::move(roofs);
  json["dry_spell"] = dry_spell
                          ? Json{{"tried_days", dry_spell->tried_days},
                                 {"lasts_days", dry_spell->lasts_days ? Json(*dry_spell->lasts_days)
                                                                      : Json(nullptr)},
                                 {"daily_l", litres(dry_spell->daily_m3)},
                                 {"short_l", litres(dry_spell->short_m3)},
                                 {"at_first_l", litres(dry_spell->at_first_m3)}}
                          : Json(nullptr);
  json["findings"] = in_json(findings);
  json["assumed"] = assumed_in(plan);
  return in_text(json);
}

std::string run_json(const Plan& plan, const RunRecord& record,
                     const std::vector<Finding>& findings) {
  const Array& array = plan.array;
  Json json = {{"plan", plan.file},
               {"lasted_s", number(record.lasted_s)},
               {"site", array.parts().site.name},
               {"starts_clock_s", number(plan.sheet.starts_clock_s)}};
  json["tanks"] = tanks_in_json(array, record);
  json["hoses"] = hoses_in_json(array, record);
  json["pumps"] = pumps_in_json(array, record);
  json["ledger"] = in_json(record.ledger);
  json["findings"] = in_json(findings);
  json["outlets"] = outlets_in_json(array, record);
  Json top_ups;
  Json leaks;
  json["roofs"] = supplies_in_json(array, record, top_ups, leaks);
  json["top_ups"] = std::move(top_ups);
  json["leaks"] = std::move(leaks);
  json["events"] = events_in_json(plan, record);
  json["effort"] = {{"steps", record.effort.steps},
                    {"rejected", record.effort.rejected},
                    {"turns", record.effort.turns},
                    {"quartered", record.effort.quartered},
                    {"swept", record.effort.swept}};
  json["assumed"] = assumed_in(plan);
  return in_text(json);
}

std::string vent_json(const Plan& plan, const VentStudy& study,
                      const std::vector<Finding>& findings) {
  const Array& array = plan.array;
  Json json = {{"plan", plan.file}, {"site", array.parts().site.name}};
  Json lids = Json::array();
  for (const LidNeeds& lid : study.lids) lids.push_back(in_json(array, study, lid));
  json["lids"] = std::move(lids);
  json["all_tried"] = study.all_tried;
  json["holds_together"] = study.holds_together;
  Json failed = Json::array();
  for (const NotReckoned& each : study.not_reckoned) {
    failed.push_back({{"pull", study.trials[each.trial].says}, {"why", each.why}});
  }
  json["not_reckoned"] = std::move(failed);
  json["runs"] = study.runs;
  json["findings"] = in_json(findings);
  json["assumed"] = assumed_in(plan);
  return in_text(json);
}

std::string kinds_json(const std::vector<KindOfFinding>& kinds) {
  Json list = Json::array();
  for (const KindOfFinding& kind : kinds) {
    list.push_back({{"name", kind.name},
                    {"means", kind.means},
                    {"matters", kind.matters},
                    {"remedy", kind.remedy}});
  }
  return in_text({{"kinds", list}});
}

}  // namespace tankyard
