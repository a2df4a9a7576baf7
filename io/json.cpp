// SPDX-License-Identifier: MIT
#include "io/json.h"

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "graph/shape.h"
#include "io/report_words.h"

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
                       const std::vector<Finding>& findings) {
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
