// SPDX-License-Identifier: MIT
#include "io/json.h"

#include <cmath>
#include <optional>

#include "graph/shape.h"
#include "io/json_numbers.h"
#include "io/report_words.h"
#include "io/units.h"
#include "solver/in_breathing.h"
#include "solver/lid_again.h"
#include "solver/pump_stranded.h"

namespace tankyard {
namespace {

Json litres_a_minute(double m3_per_s) { return number(m3_per_s * l_min_per_m3_s); }

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
  Json pumps = Json::array();
  for (const PumpId id : group.runs_off_through) pumps.push_back(part(array.pumps(), id).name);
  return {{"tanks", names_of(array, group.tanks)},
          {"level_m", number(group.level_m)},
          {"depth_m", depths},
          {"holds_l", litres(group.holds_m3)},
          {"nominal_l", litres(group.nominal_m3)},
          {"first_lip_m", number(group.first_lip_m)},
          {"first_lip_of", part(array.tanks(), group.first_lip_of).name},
          {"runs_off_through", std::move(pumps)}};
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
    const PumpRecord& pump = record.pumps[p];
    const auto inlet = [](const std::optional<PumpRecord::Inlet>& at,
                          double PumpRecord::Inlet::*of) {
      return at ? number((*at).*of) : Json(nullptr);
    };
    Json air_drawn = nullptr;
    if (pump.air_drawn) {
      const PumpStranded stranded = stranded_by(array, id_at<PumpId>(p), *pump.air_drawn);
      Json tanks = Json::array();
      for (const PumpStranded::Tank& tank : stranded.tanks) {
        tanks.push_back(
            {{"tank", part(array.tanks(), tank.tank).name},
             {"stranded_l", litres(tank.m3)},
             {"kept_by", tank.hose ? Json(part(array.hoses(), *tank.hose).name) : Json(nullptr)},
             {"why", tank.why}});
      }
      air_drawn = {{"at_s", number(pump.air_drawn->at_s)},
                   {"stranded_l", litres(stranded.total_m3)},
                   {"tanks", tanks}};
    }
    list.push_back(
        {{"name", array.pumps()[p].name},
         {"delivered_l", litres(pump.delivered_m3)},
         {"ran_back_l", litres(pump.ran_back_m3)},
         {"ran_on_l", litres(pump.ran_on_m3)},
         {"ran_s", number(pump.ran_s)},
         {"starts", pump.starts},
         {"cut_outs", pump.cut_outs},
         {"first_started_at_s", number(pump.first_started_at_s)},
         {"last_stopped_at_s", number(pump.last_stopped_at_s)},
         {"peak_l_min", litres_a_minute(pump.peak_m3_per_s)},
         {"energy_kwh", number(pump.energy_kwh)},
         {"lowest_npsh_available_m", inlet(pump.lowest, &PumpRecord::Inlet::npsh_available_m)},
         {"npsh_required_m", inlet(pump.lowest, &PumpRecord::Inlet::npsh_required_m)},
         {"lowest_inlet_pa", inlet(pump.lowest, &PumpRecord::Inlet::gauge_pa)},
         {"lowest_inlet_at_s", inlet(pump.lowest, &PumpRecord::Inlet::at_s)},
         {"throttled_s", number(pump.throttled_s)},
         {"dry_s", number(pump.dry_s)},
         {"first_dry_at_s", number(pump.first_dry_at_s)},
         {"shut_s", number(pump.shut_s)},
         {"lost_prime", pump.lost_prime},
         {"air_drawn", air_drawn}});
  }
  return list;
}

Json in_json(const Array& array, const std::vector<Reach>& reaches) {
  Json list = Json::array();
  for (const Reach& reach : reaches) {
    Json fills = Json::array();
    for (std::size_t k = 0; k < reach.at.size(); ++k) {
      fills.push_back({{"of_water_now", reach_fills[k]},
                       {"flow_l_min", litres_a_minute(reach.at[k].m3_per_s)},
                       {"pressure_pa", number(reach.at[k].gauge_pa)},
                       {"drew_air", reach.at[k].drew_air}});
    }
    list.push_back({{"outlet", part(array.outlets(), reach.outlet).name},
                    {"pump", reach.pump ? Json(part(array.pumps(), *reach.pump).name) : Json()},
                    {"at", fills}});
  }
  return list;
}

Json in_json(const Array& array, const std::vector<SetPoint>& points) {
  Json list = Json::array();
  for (const SetPoint& point : points) {
    list.push_back({{"pump", part(array.pumps(), point.pump).name},
                    {"draws_air", point.draws_air},
                    {"tank", point.tank ? Json(part(array.tanks(), *point.tank).name) : Json()},
                    {"stops_below_m", number(point.depth_m)},
                    {"worst_at_s", number(point.worst_at_s)},
                    {"left_l", point.depth_m ? litres(point.left_m3) : Json()},
                    {"settings_tried", point.settings}});
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

Json rounded_millimetres(std::optional<double> m) {
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
  return hole.tried && !hole.beyond_drills ? rounded_millimetres(hole.bore_m) : Json(nullptr);
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
      {"hole_now_mm", rounded_millimetres(as_one_hole_m(tank.lid))},
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
      {"hole_needed_mm", rounded_millimetres(lid.hole_m)},
      {"hole_for_vacuum_mm", hole_of(lid.for_vacuum)},
      {"hole_for_vacuum_by", pull(lid.for_vacuum.decided_by)},
      {"hole_for_pressure_mm", hole_of(lid.for_pressure)},
      {"hole_for_pressure_by", pull(lid.for_pressure.decided_by)},
      {"lowest_feeding_alone_pa",
       lid.feeding_alone ? number(lid.feeding_alone->lowest_pa) : Json(nullptr)},
      {"hole_feeding_alone_mm", rounded_millimetres(lid.hole_feeding_alone_m)},
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

const char* word_for(IsolateStep::Does does) {
  switch (does) {
    case IsolateStep::Does::turn_away:
      return "turn_away";
    case IsolateStep::Does::stop_pump:
      return "stop_pump";
    case IsolateStep::Does::open_lid:
      return "open_lid";
    case IsolateStep::Does::air_line:
      return "air_line";
    case IsolateStep::Does::shut_outlet:
      return "shut_outlet";
    case IsolateStep::Does::shut_valve:
      return "shut_valve";
    case IsolateStep::Does::leave_shut:
      return "leave_shut";
    case IsolateStep::Does::lower:
      return "lower";
    case IsolateStep::Does::watch:
      return "watch";
    case IsolateStep::Does::drain:
      return "drain";
    case IsolateStep::Does::bail:
      return "bail";
    case IsolateStep::Does::clean:
      return "clean";
    case IsolateStep::Does::shut_drain:
      return "shut_drain";
    case IsolateStep::Does::give_back:
      return "give_back";
    case IsolateStep::Does::loosen_lid:
      return "loosen_lid";
    case IsolateStep::Does::open_slowly:
      return "open_slowly";
    case IsolateStep::Does::open_rest:
      return "open_rest";
    case IsolateStep::Does::put_back:
      return "put_back";
  }
  return "";
}

const char* word_for(IsolateEffect::Kind kind) {
  switch (kind) {
    case IsolateEffect::Kind::loses_supply:
      return "loses_supply";
    case IsolateEffect::Kind::spills:
      return "spills";
    case IsolateEffect::Kind::sucked_in:
      return "sucked_in";
    case IsolateEffect::Kind::blown_up:
      return "blown_up";
    case IsolateEffect::Kind::loses_prime:
      return "loses_prime";
    case IsolateEffect::Kind::draws_air:
      return "draws_air";
    case IsolateEffect::Kind::runs_dry:
      return "runs_dry";
  }
  return "";
}

template <class IdType, class List>
Json names_in(const List& list, const std::vector<IdType>& ids) {
  Json names = Json::array();
  for (const IdType id : ids) names.push_back(part(list, id).name);
  return names;
}

Json valves_in(const Array& array, const std::vector<HoseId>& hoses) {
  Json names = Json::array();
  for (const HoseId id : hoses) names.push_back(handle_of(part(array.hoses(), id)));
  return names;
}

Json in_json(const IsolateStep& step) {
  Json meanwhile = Json::array();
  for (const IsolateEffect& effect : step.meanwhile) {
    const bool air = effect.kind == IsolateEffect::Kind::sucked_in ||
                     effect.kind == IsolateEffect::Kind::blown_up;
    const bool water = effect.kind == IsolateEffect::Kind::loses_supply ||
                       effect.kind == IsolateEffect::Kind::spills;
    meanwhile.push_back({{"does", word_for(effect.kind)},
                         {"where", effect.where},
                         {"at_s", number(effect.at_s)},
                         {"litres", water ? litres(effect.value) : Json(nullptr)},
                         {"pa", air ? number(effect.value) : Json(nullptr)},
                         {"says", effect.says}});
  }
  return {{"does", word_for(step.does)},     {"at_s", number(step.at_s)},
          {"takes_s", number(step.takes_s)}, {"says", step.say},
          {"because", step.because},         {"meanwhile", std::move(meanwhile)}};
}

Json in_json(const Array& array, const TankDrains& drains) {
  const DrainPoint& point = drains.point;
  return {
      {"tank", part(array.tanks(), point.tank).name},
      {"outlet", point.outlet ? Json(part(array.outlets(), *point.outlet).name) : Json(nullptr)},
      {"assumed_bore_mm", point.outlet ? Json(nullptr) : rounded_millimetres(point.bore_m)},
      {"height_m", number(point.height_m)},
      {"from_l", litres(drains.from_m3)},
      {"takes_s", number(drains.takes_s)},
      {"lid_on_takes_s", number(drains.as_it_is_s)},
      {"lid_on_lowest_headspace_pa", number(drains.as_it_is_lowest_pa)},
      {"lid_on_collapses_after_s", number(drains.as_it_is_folds_s)},
      {"allowed_vacuum_pa", number(drains.vacuum.pa)},
      {"allowed_vacuum_from", word_for(drains.vacuum.from)},
      {"left_l", litres(point.left_m3)},
      {"left_kg", number(point.left_kg)}};
}

Json in_json(const Array& array, const Refill& refill) {
  Json gives = Json::object();
  for (std::size_t i = 0; i < refill.lost_m3.size(); ++i) {
    if (refill.lost_m3[i] > 5e-4) gives[array.tanks()[i].name] = litres(refill.lost_m3[i]);
  }
  return {{"tanks", names_of(array, refill.tanks)},
          {"open_first",
           refill.first ? Json(handle_of(part(array.hoses(), *refill.first))) : Json(nullptr)},
          {"held_back", refill.held_back},
          {"loosen_lids_of", names_of(array, refill.loosened)},
          {"wide_open_l_min", litres_a_minute(refill.full_m3_per_s)},
          {"first_l_min", litres_a_minute(refill.first_m3_per_s)},
          {"level_after_s", refill.first ? number(refill.level_after_s) : Json(nullptr)},
          {"comes_to_l", litres(refill.comes_to_m3)},
          {"neighbours_give_l", std::move(gives)}};
}

Json in_json(const Array& array, const IsolateStudy& study) {
  const bool can = study.cut.possible();
  const Isolation& found = study.cut.found;
  Json json = {{"tanks", names_of(array, study.tanks)}, {"can_isolate", can}};
  json["close"] = can ? valves_in(array, study.cut.best().shut) : Json::array();
  Json others = Json::array();
  for (std::size_t i = 1; i < found.smallest.size(); ++i) {
    others.push_back(valves_in(array, found.smallest[i].shut));
  }
  json["would_do_too"] = std::move(others);
  json["stay_off"] = names_in(array.hoses(), study.cut.stay_off);
  Json fit = Json::array();
  for (const ValvesToFit& each : found.to_fit) fit.push_back(names_in(array.hoses(), each.hoses));
  json["fit_valves_on"] = std::move(fit);
  json["emptied_with"] = names_of(array, found.emptied_with);
  json["pumps_joined"] = names_in(array.pumps(), found.pumps_joined);
  json["still_supplied"] = names_in(array.outlets(), study.still_supplied);
  json["drains_l"] = can ? litres(study.drains_m3()) : Json(nullptr);
  json["left_kg"] = can ? number(study.left_kg()) : Json(nullptr);
  const auto known = [can](double value) { return can ? number(value) : Json(nullptr); };
  json["starts_at_s"] = known(study.starts_at_s);
  json["empty_from_s"] = known(study.empty_from_s);
  json["empty_until_s"] = known(study.empty_until_s);
  json["back_at_s"] = known(study.back_at_s);
  Json steps = Json::array();
  for (const IsolateStep& step : study.steps) steps.push_back(in_json(step));
  json["steps"] = std::move(steps);
  Json drains = Json::array();
  for (const TankDrains& each : study.drains) drains.push_back(in_json(array, each));
  json["drains"] = std::move(drains);
  Json refills = Json::array();
  for (const Refill& each : study.refills) refills.push_back(in_json(array, each));
  json["refills"] = std::move(refills);
  const IsolateCost& cost = study.cost;
  json["cost"] = can ? Json{{"drained_l", litres(cost.drained_m3)},
                            {"bailed_l", litres(cost.bailed_m3)},
                            {"turned_away_l", litres(cost.turned_away_m3)},
                            {"spilt_more_l", litres(cost.spilt_m3)},
                            {"missed_at_outlets_l", litres(cost.short_m3)},
                            {"stands_less_l", litres(cost.stands_less_m3)}}
                     : Json(nullptr);
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
                       const std::optional<DrySpell>& dry_spell, const PumpStudies& pumps) {
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
  json["reach"] = in_json(array, pumps.reaches);
  json["cut_outs"] = in_json(array, pumps.set_points);
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
                     const std::vector<Finding>& findings, const std::vector<Reach>& reaches) {
  const Array& array = plan.array;
  Json json = {{"plan", plan.file},
               {"lasted_s", number(record.lasted_s)},
               {"site", array.parts().site.name},
               {"starts_clock_s", number(plan.sheet.starts_clock_s)}};
  json["tanks"] = tanks_in_json(array, record);
  json["hoses"] = hoses_in_json(array, record);
  json["pumps"] = pumps_in_json(array, record);
  json["reach"] = in_json(array, reaches);
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

std::string isolate_json(const Plan& plan, const IsolateStudy& study,
                         const std::vector<Finding>& findings) {
  Json json = {{"plan", plan.file}, {"site", plan.array.parts().site.name}};
  json.update(in_json(plan.array, study));
  json["times_tried"] = study.times_tried;
  json["findings"] = in_json(findings);
  json["assumed"] = assumed_in(plan);
  return in_text(json);
}

std::string isolate_all_json(const Plan& plan, const std::vector<IsolateStudy>& studies,
                             const std::vector<Finding>& findings) {
  Json json = {{"plan", plan.file}, {"site", plan.array.parts().site.name}};
  Json list = Json::array();
  for (const IsolateStudy& study : studies) list.push_back(in_json(plan.array, study));
  json["isolations"] = std::move(list);
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
