// SPDX-License-Identifier: MIT

#include "io/json.h"
#include "io/json_numbers.h"
#include "io/link_words.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/units.h"

namespace tankyard {
namespace {

const char* word_for(LengthFrom from) {
  switch (from) {
    case LengthFrom::positions:
      return "positions";
    case LengthFrom::by_way_of:
      return "along a hose";
    case LengthFrom::assumed:
      break;
  }
  return "assumed";
}

const char* word_for(Stand stand) {
  switch (stand) {
    case Stand::lips_level:
      return "lips level";
    case Stand::mouths_level:
      return "mouths level";
    case Stand::as_planned:
      break;
  }
  return "as planned";
}

Json in_json(const LinkStudy& study, const LinkOption& option) {
  const WayToJoin& way = option.way;
  const LinkFigures& did = option.figures;
  Json joins = Json::array();
  Json lengths = Json::array();
  for (const Spur& spur : way.spurs) {
    joins.push_back(name_of(study.parts, spur.place));
    lengths.push_back({{"to", name_of(study.parts, spur.place)},
                       {"length_m", number(spur.length_m)},
                       {"from", word_for(spur.length_from)}});
  }
  return {{"rank", option.rank},
          {"beaten", option.beaten},
          {"joins", joins},
          {"bore_mm", millimetres(study.offered[way.hose].bore_m)},
          {"side_by_side", way.side_by_side},
          {"valves", way.valved},
          {"stand", word_for(way.stand)},
          {"base_m", number(way.base_m)},
          {"hoses", lengths},
          {"length_m", number(option.metres)},
          {"price", study.priced ? number(option.price) : Json(nullptr)},
          {"pieces", option.pieces},
          {"levels_in_s", number(did.levels_in_s)},
          {"levels_with", did.levels_with},
          {"lag_filling_mm", millimetres(did.lag_filling_m)},
          {"lag_drawing_mm", millimetres(did.lag_drawing_m)},
          {"stranded_l", litres(did.stranded_m3)},
          {"spilt_l", litres(did.storm_spilt_m3)},
          {"spilt_with_room_l", litres(did.storm_with_room_m3)},
          {"missed_l", litres(did.storm_missed_m3)},
          {"drawn_l", litres(did.drawn_m3)},
          {"gained_l", litres(option.gained_m3)},
          {"gained_for_litre_bought",
           number(option.gained_m3 / capacity_m3(part(study.parts.tanks, study.tank).shape))},
          {"kept_l", litres(option.kept_m3)},
          {"saved_l", litres(option.saved_m3)},
          {"day_spilt_l", litres(did.day_spilt_m3)},
          {"day_delivered_l", litres(did.day_delivered_m3)},
          {"full_l", litres(did.full_new_m3)},
          {"others_full_l", litres(did.full_others_m3)},
          {"peak_l_min", number(did.peak_m3_per_s * l_min_per_m3_s)},
          {"lid_hole_mm", option.lid_hole_m ? millimetres(*option.lid_hole_m) : Json(nullptr)},
          {"tanks_that_can_be_shut_off", option.keeping.isolable},
          {"valves_to_shut_it_off",
           option.keeping.valves_for_new ? Json(*option.keeping.valves_for_new) : Json(nullptr)},
          {"sole_hoses", option.keeping.sole_hoses},
          {"merits",
           {{"all_used", option.merits.all_used},
            {"can_be_shut_off", option.merits.can_be_shut_off},
            {"keeps_level", option.merits.keeps_level},
            {"levels_soon", option.merits.levels_soon}}}};
}

}  // namespace

std::string link_json(const Plan& plan, const LinkStudy& study) {
  Json json = {{"plan", plan.file},
               {"site", plan.array.parts().site.name},
               {"tank", part(study.parts.tanks, study.tank).name},
               {"says", link_answer(plan, study)}};
  Json options = Json::array();
  for (const LinkOption& option : study.options) options.push_back(in_json(study, option));
  json["options"] = std::move(options);
  json["unbeaten"] = study.unbeaten;
  json["to_paste"] =
      study.options.empty() ? Json(nullptr) : Json(toml_of(study, study.options.front()));
  json["without"] = {{"spilt_l", litres(study.without.storm_spilt_m3)},
                     {"drawn_l", litres(study.without.drawn_m3)},
                     {"day_spilt_l", litres(study.without.day_spilt_m3)},
                     {"day_delivered_l", litres(study.without.day_delivered_m3)},
                     {"tanks_that_can_be_shut_off", study.keeping_without.isolable},
                     {"sole_hoses", study.keeping_without.sole_hoses}};
  json["old_hose"] = nullptr;
  if (study.old_hose) {
    const OldHose& old = *study.old_hose;
    json["old_hose"] = {{"name", part(study.parts.hoses, old.hose).name},
                        {"bore_mm", millimetres(old.bore_m)},
                        {"saves_l", litres(old.saves_m3)},
                        {"best_way_l", litres(old.best_way_m3)},
                        {"helps_more", old.helps_more}};
  }
  Json failed = Json::array();
  for (const LinkStudy::Failed& each : study.failed) {
    failed.push_back({{"way", in_words(study, each.way)}, {"why", each.why}});
  }
  json["not_reckoned"] = std::move(failed);
  json["unfit"] = study.unfit;
  json["stopped"] = study.stopped;
  json["runs"] = study.runs;
  json["assumed"] = assumed_in(plan);
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace tankyard
