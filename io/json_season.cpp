// SPDX-License-Identifier: MIT
#include <chrono>
#include <optional>

#include "io/json.h"
#include "io/json_numbers.h"
#include "solver/studies/season_changes.h"

namespace tankyard {
namespace {

Json date(const std::optional<std::chrono::sys_days>& day) {
  return day ? Json(date_text(*day)) : Json(nullptr);
}

void add(Json& json, const SeasonTally& tally, double price_per_m3) {
  json["days"] = tally.days;
  json["days_not_measured"] = tally.days_not_measured;
  json["rain_mm"] = number(tally.rain_m * 1000.0);
  json["ran_off_roofs_l"] = litres(tally.fell_m3);
  json["first_flush_l"] = litres(tally.first_flush_m3);
  json["over_gutters_l"] = litres(tally.over_gutter_m3);
  json["caught_l"] = litres(tally.caught_m3);
  json["asked_l"] = litres(tally.asked_m3);
  json["used_l"] = litres(tally.used_m3);
  json["short_l"] = litres(tally.short_m3());
  json["cover"] = number(tally.cover());
  json["asked_days"] = tally.asked_days;
  json["short_days"] = tally.short_days;
  json["spilt_l"] = litres(tally.spilt_m3);
  json["spilt_with_room_l"] = litres(tally.spilt_with_room_m3);
  json["leaked_l"] = litres(tally.leaked_m3);
  json["mains_l"] = litres(tally.mains_m3);
  json["mains_cost"] = number(tally.mains_m3 * price_per_m3);
  json["start_l"] = litres(tally.start_m3);
  json["end_l"] = litres(tally.end_m3);
}

Json in_json(const SeasonTally& tally, double price_per_m3) {
  Json json = Json::object();
  add(json, tally, price_per_m3);
  return json;
}

Json in_json(const PourRule& rule) {
  return {{"starts_clock_s", number(rule.starts_s)},
          {"lasts_s", number(rule.lasts_s)},
          {"shape", rule.shape == PourShape::even ? "even" : "triangle"}};
}

Json in_json(const YearlyGain& gain) {
  return {
      {"whole_years", gain.years},
      {"mean_cover", number(gain.mean)},
      {"least_cover", number(gain.least)},
      {"most_cover", number(gain.most)},
      {"standard_error_cover", gain.standard_error ? number(*gain.standard_error) : Json(nullptr)}};
}

Json in_json(const DryRun& run) { return {{"days", run.days}, {"until", date(run.until)}}; }

const char* word_for(RainRows rows) {
  switch (rows) {
    case RainRows::days:
      return "days";
    case RainRows::intervals:
      return "intervals";
    case RainRows::events:
      return "events";
  }
  return "";
}

const char* word_for(MissingDays missing) {
  switch (missing) {
    case MissingDays::dry:
      return "dry";
    case MissingDays::average:
      return "average";
    case MissingDays::refuse:
      return "refuse";
  }
  return "";
}

Json rain_in_json(const SeasonAnswer& answer) {
  const RainFile& rain = answer.rain;
  Json missing = Json::array();
  for (const MissingRange& range : rain.missing) {
    missing.push_back({{"from", date_text(range.from)}, {"until", date_text(range.until)}});
  }
  return {{"column", rain.column},
          {"unit", rain.unit},
          {"rows", rain.rows},
          {"rows_are", word_for(rain.rows_are)},
          {"interval_s", number(rain.interval_s)},
          {"from", date_text(rain.rain.first)},
          {"until", date_text(rain.rain.first + std::chrono::days(rain.rain.days.size() - 1))},
          {"missing", std::move(missing)},
          {"missing_days", rain.missing_days},
          {"missing_intervals", rain.missing_intervals},
          {"missing_counted_as", word_for(answer.missing)},
          {"traces", rain.traces},
          {"poured", in_json(answer.options.season.pour)}};
}

Json uses_in_json(const Plan& plan, const Season& season) {
  const Parts& parts = plan.array.parts();
  Json uses = Json::array();
  for (std::size_t u = 0; u < plan.uses.size(); ++u) {
    const Use& use = plan.uses[u];
    const SeasonUse& came = season.uses[u];
    uses.push_back({{"outlet", part(parts.outlets, use.outlet).name},
                    {"pump", use.pump ? Json(part(parts.pumps, *use.pump).name) : Json(nullptr)},
                    {"at_clock_s", number(use.at_s)},
                    {"daily_l", litres(use.daily_m3)},
                    {"asked_l", litres(came.asked_m3)},
                    {"used_l", litres(came.used_m3)},
                    {"asked_days", came.asked_days},
                    {"short_days", came.short_days},
                    {"first_short", date(came.first_short)}});
  }
  return uses;
}

Json tanks_in_json(const Plan& plan, const Season& season) {
  Json tanks = Json::array();
  for (std::size_t t = 0; t < season.tanks.size(); ++t) {
    const SeasonTank& tank = season.tanks[t];
    tanks.push_back({{"name", plan.array.tanks()[t].name},
                     {"nominal_l", litres(tank.capacity_m3)},
                     {"first_dry", date(tank.first_dry)},
                     {"dry_days", tank.dry_days},
                     {"spilt_l", litres(tank.spilt_m3)},
                     {"spilt_with_room_l", litres(tank.spilt_with_room_m3)},
                     {"tenth_percentile", number(tank.tenth_share)},
                     {"median", number(tank.median_share)},
                     {"ninetieth_percentile", number(tank.ninetieth_share)}});
  }
  return tanks;
}

}  // namespace

std::string season_json(const Plan& plan, const SeasonAnswer& answer) {
  const SeasonStudy& study = answer.study;
  const Season& now = study.as_it_is;
  const Parts& parts = plan.array.parts();
  const double price = parts.site.water_price_per_m3;
  Json json = {{"plan", plan.file}, {"site", parts.site.name}};
  json["rain"] = rain_in_json(answer);
  json["total"] = in_json(now.total, price);
  json["years"] = Json::array();
  for (const SeasonYear& year : now.years) {
    Json each = {{"year", year.year}};
    add(each, year.tally, price);
    json["years"].push_back(std::move(each));
  }
  json["months"] = Json::array();
  for (const SeasonMonth& month : now.months) {
    Json each = {{"year", month.year}, {"month", month.month}};
    add(each, month.tally, price);
    json["months"].push_back(std::move(each));
  }
  json["uses"] = uses_in_json(plan, now);
  json["tanks"] = tanks_in_json(plan, now);
  json["first_short"] = date(now.first_short);
  json["longest_dry_run"] = in_json(now.longest_dry_run);
  json["longest_survived"] = in_json(now.longest_survived);
  json["holds_l"] = litres(holds_m3(plan.array));
  json["ideal"] = in_json(study.ideal.total, price);
  json["poured_otherwise"] = Json::array();
  for (const PourEffect& effect : study.pours) {
    Json each = in_json(effect.rule);
    each["total"] = in_json(effect.total, price);
    json["poured_otherwise"].push_back(std::move(each));
  }
  json["roofs_a_tenth_less"] =
      study.tenth_less_roof ? in_json(*study.tenth_less_roof, price) : Json(nullptr);
  json["one_more_tank"] = Json::array();
  for (const OneMoreTank& more : study.tanks) {
    json["one_more_tank"].push_back({{"like", part(parts.tanks, more.like).name},
                                     {"total", in_json(more.season.total, price)},
                                     {"gain", in_json(gain_by_year(now, more.season))}});
  }
  json["one_more_roof"] = Json::array();
  for (const OneMoreRoof& more : study.roofs) {
    json["one_more_roof"].push_back({{"like", part(parts.roofs, more.like).name},
                                     {"total", in_json(more.season.total, price)},
                                     {"gain", in_json(gain_by_year(now, more.season))}});
  }
  json["sizes"] = nullptr;
  if (study.sizes) {
    Json rows = Json::array();
    for (const auto& row : study.sizes->cover) {
      Json cells = Json::array();
      for (const auto& cover : row) cells.push_back(cover ? number(*cover) : Json(nullptr));
      rows.push_back(std::move(cells));
    }
    json["sizes"] = {
        {"storage", study.sizes->storage}, {"roof", study.sizes->roof}, {"cover", std::move(rows)}};
  }
  json["more_tanks"] = nullptr;
  if (study.more_tanks) {
    const MoreTanks& more = *study.more_tanks;
    json["more_tanks"] = {{"cover_asked", number(more.cover_asked)},
                          {"like", part(parts.tanks, more.like).name},
                          {"cover_with", more.cover_with},
                          {"enough", more.enough ? Json(*more.enough) : Json(nullptr)}};
  }
  json["not_reckoned"] = study.not_reckoned;
  json["seasons"] = study.seasons;
  json["stopped"] = study.stopped;
  json["assumed"] = plan.assumed;
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace tankyard
