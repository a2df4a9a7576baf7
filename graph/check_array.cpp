// SPDX-License-Identifier: MIT
#include "graph/check_array.h"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <map>
#include <string>
#include <utility>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

constexpr const char* what_a_name_is =
    "a name has 1 to 200 characters, not all blank, and no control characters";

// Place of a chapter in the plan.
std::size_t chapter(const Trouble& trouble) {
  static constexpr const char* chapters[] = {"site",   "tank", "header", "hose", "pump",
                                             "outlet", "roof", "top_up", "leak", "air_line"};
  std::size_t place = 0;
  while (place < std::size(chapters) && trouble.about.kind != chapters[place]) ++place;
  return place;
}

bool comes_first(const Trouble& a, const Trouble& b) {
  const std::size_t a_chapter = chapter(a);
  const std::size_t b_chapter = chapter(b);
  return a_chapter != b_chapter ? a_chapter < b_chapter : a.about.index < b.about.index;
}

}  // namespace

void check_site(const Site& site, Complaints& complaints) {
  const Checked checked{"site", 0, site.name};
  const auto within = [&](const char* field, const char* what, double value, const Range& range) {
    return complaints.within(checked, field, what, value, range);
  };
  if (!site.name.empty() && !can_be_shown(site.name)) {
    complaints.add(checked.at("name"), "name of the site cannot be shown", what_a_name_is);
  }
  within("altitude", "altitude", site.altitude_m, {-100.0, 5000.0, told_in_m});
  within("water_temperature", "water temperature", site.water_temperature_degc,
         {0.0, 40.0, told_in_degc, true});
  within("air_temperature", "air temperature", site.air_temperature_degc,
         {-30.0, 60.0, told_in_degc});
  within("air_swing", "air swing", site.air_swing_k, any_swing);
  const Range hour{0.0, 24.0, told_plainly};
  const bool warmest = within("warmest_hour", "warmest hour", site.warmest_hour, hour);
  const bool coldest = within("coldest_hour", "coldest hour", site.coldest_hour, hour);
  const double apart = site.warmest_hour - site.coldest_hour;
  if (warmest && coldest && (apart == 0.0 || apart == 24.0 || apart == -24.0)) {
    complaints.add(
        checked.at("coldest_hour"), "the warmest and the coldest hour are the same",
        "the coldest hour must be another than " + told(site.warmest_hour, told_plainly));
  }
  within("water_price", "water price", site.water_price_per_m3, {0.0, 1e9, told_plainly});
}

// All parts share one set of names, valves too, since a step names any of them. Each name is told
// once for every part that takes it after the first.
void check_names(const Parts& parts, Complaints& complaints) {
  std::map<std::string, PartField> taken;
  const auto take = [&](const char* kind, std::size_t index, const char* field,
                        const std::string& name) {
    const bool is_valve = std::string(field) == "valve.name";
    const std::string whose = is_valve ? "valve of hose " + std::to_string(index + 1)
                                       : kind_in_words(kind) + " " + std::to_string(index + 1);
    if (!can_be_shown(name)) {
      complaints.add(
          {kind, index, field},
          name.empty() ? whose + " has no name" : "name of " + whose + " cannot be shown",
          what_a_name_is);
      return;
    }
    const auto [place, is_new] = taken.emplace(name, PartField{kind, index, field});
    if (is_new) return;
    const PartField& first = place->second;
    if (is_valve && first.field == field) {
      const std::string& hose = parts.hoses[index].name;
      const std::string& first_hose = parts.hoses[first.index].name;
      complaints.add({kind, index, field},
                     "valve `" + name +
                         "` is on two hoses: " + Checked{"hose", first.index, first_hose}.called() +
                         " and " + Checked{"hose", index, hose}.called(),
                     "give each valve a name of its own", first);
      return;
    }
    const auto kind_of = [](const PartField& at) {
      return at.field == "valve.name" ? std::string("valve") : kind_in_words(at.kind);
    };
    const std::string first_kind = kind_of(first);
    const std::string this_kind = is_valve ? "valve" : kind_in_words(kind);
    complaints.add({kind, index, field},
                   first_kind == this_kind
                       ? "two " + this_kind + "s are called `" + name + "`"
                       : with_article(first_kind) + " and " + with_article(this_kind) +
                             " are both called `" + name + "`",
                   "give each part a name of its own", first);
  };
  const auto take_all = [&](const char* kind, const auto& list) {
    for (std::size_t i = 0; i < list.size(); ++i) take(kind, i, "name", list[i].name);
  };
  take_all("tank", parts.tanks);
  take_all("header", parts.headers);
  take_all("hose", parts.hoses);
  take_all("pump", parts.pumps);
  take_all("outlet", parts.outlets);
  take_all("roof", parts.roofs);
  take_all("top_up", parts.top_ups);
  take_all("leak", parts.leaks);
  take_all("air_line", parts.air_lines);
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    if (parts.hoses[i].valve) take("hose", i, "valve.name", parts.hoses[i].valve->name);
  }
}

Troubles check_array(const Parts& parts) {
  Complaints complaints;
  check_site(parts.site, complaints);
  check_names(parts, complaints);
  const SoundTanks sound = check_tanks(parts, complaints);
  check_headers(parts, complaints);
  check_hoses(parts, sound, complaints);
  check_pumps(parts, sound, complaints);
  check_outlets(parts, sound, complaints);
  check_supplies(parts, sound, complaints);
  check_air_lines(parts, complaints);
  std::stable_sort(complaints.found.begin(), complaints.found.end(), comes_first);
  return std::move(complaints.found);
}

}  // namespace tankyard
