// SPDX-License-Identifier: MIT
// The chapter [site] of a plan, and where its parts stand.
#include <fmt/format.h>

#include <cmath>

#include "io/plan_draft.h"

namespace tankyard {
namespace {

/// A clock hour: 15, 15.5, "15:30" or 15:30:00.
double read_clock_hour(Entry& site, std::string_view key, double otherwise) {
  const toml::node* const node = site.get(key);
  if (node == nullptr) return otherwise;
  if (const auto bare = node->is_number() ? node->value<double>() : std::nullopt) {
    if (std::isfinite(*bare)) return *bare;
  }
  if (const auto* const time = node->as_time()) {
    return time->get().hour + time->get().minute / 60.0 + time->get().second / 3600.0;
  }
  if (const auto* const string = node->as_string()) {
    if (const auto clock = parse_clock(string->get())) return *clock / 3600.0;
  }
  site.complain_at(
      *node, key, fmt::format("`{}` of {} is no clock time", key, site.owner()),
      fmt::format("write for example `{0} = \"{1:02}:00\"`, or the hour alone: `{0} = {1}`", key,
                  static_cast<int>(otherwise)));
  return no_number;
}

/// The warmest hour given is the coldest one that nobody gave: told at the hour that is there.
void check_warmest_hour(Entry& entry, const Site& site) {
  const toml::node* const node = entry.toml().get("warmest_hour");
  if (node == nullptr || entry.toml().contains("coldest_hour")) return;
  if (entry.reading().is_stand_in(entry.field("coldest_hour"))) return;  // it is there, misspelt
  if (site.warmest_hour != site.coldest_hour) return;
  entry.complain_at(*node, "warmest_hour",
                    fmt::format("the warmest hour is {0}, and the coldest hour is {0} too where "
                                "the plan gives no other",
                                site.coldest_hour),
                    "give the coldest hour as well: `coldest_hour = \"03:00\"`");
  entry.reading().set_aside(entry.field("coldest_hour"));
}

}  // namespace

void read_site(Draft& draft) {
  if (draft.source.entries("site").empty()) return;
  Entry entry(draft.reading, *draft.source.entries("site")[0], {"site", 0, ""}, "the site");
  Site& site = draft.parts.site;
  site.name = entry.text("name", "Larch Hill tree nursery").value_or("");
  site.altitude_m = entry.quantity_or("altitude", Dimension::length, site.altitude_m);
  site.water_temperature_degc =
      entry.quantity_or("water_temperature", Dimension::temperature, site.water_temperature_degc);
  site.air_temperature_degc =
      entry.quantity_or("air_temperature", Dimension::temperature, site.air_temperature_degc);
  site.air_swing_k =
      entry.quantity_or("air_swing", Dimension::temperature_difference, site.air_swing_k);
  site.warmest_hour = read_clock_hour(entry, "warmest_hour", site.warmest_hour);
  site.coldest_hour = read_clock_hour(entry, "coldest_hour", site.coldest_hour);
  site.water_price_per_m3 = entry.number_or("water_price", site.water_price_per_m3);
  entry.finish();
  check_warmest_hour(entry, site);
}

std::string read_name(Draft& draft, Entry& entry) {
  const PartField& about = entry.about();
  if (entry.get("name") == nullptr && !may_be_nameless(about.kind)) {
    entry.missing("name", fmt::format("\"{}-{}\"", about.kind, about.index + 1));
  }
  return draft.source.name(about.kind, about.index);
}

std::optional<Position> read_position(Entry& entry) {
  const toml::node* const node = entry.get("position");
  if (node == nullptr) return std::nullopt;
  const auto* const pair = node->as_array();
  if (pair == nullptr || pair->size() != 2) {
    entry.wrong_kind(*node, "position", "a pair of lengths", R"(["0.0 m", "2.4 m"])");
    return std::nullopt;
  }
  return Position{entry.quantity_at(*pair->get(0), "position", Dimension::length),
                  entry.quantity_at(*pair->get(1), "position", Dimension::length)};
}

}  // namespace tankyard
