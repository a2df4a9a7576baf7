// SPDX-License-Identifier: MIT
// What graph/ has to say against a draft, and what the reader filled in by itself.
#include <fmt/format.h>

#include <cmath>

#include "graph/check_array.h"
#include "io/plan_draft.h"

namespace tankyard {
namespace {

/// Outlets that nothing leads to. While some hose or pump ends at a place that the plan does not
/// have, the end that is missing there may be the very one that is missing here.
std::vector<bool> unreached_outlets(const Parts& parts) {
  std::vector<bool> unreached(parts.outlets.size(), true);
  const auto reach = [&](const Place& place) {
    if (const auto* id = std::get_if<OutletId>(&place)) unreached[id->index] = false;
  };
  for (const Hose& hose : parts.hoses) reach(hose.to.place);
  for (const Pump& pump : parts.pumps) reach(pump.to);
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    if (parts.outlets[i].at) unreached[i] = false;
  }
  return unreached;
}

void take_over(Draft& draft, Troubles found) {
  std::vector<bool> unreached = unreached_outlets(draft.parts);
  for (Trouble& trouble : found) {
    const PartField& about = trouble.about;
    if (about.kind == "tank" && about.index >= draft.tanks_in_plan) continue;
    if (draft.reading.is_stand_in(about)) continue;
    if (about.kind == "outlet" && about.field.empty() && draft.reading.an_end_is_missing &&
        unreached[about.index]) {
      unreached[about.index] = false;  // only that one complaint; the first that graph/ makes
      continue;
    }
    trouble.spot = draft.source.locate(about);
    if (const std::string* bare = draft.reading.bare_number(about)) trouble.notes.push_back(*bare);
    if (trouble.see_also) trouble.see_also_spot = draft.source.locate(*trouble.see_also);
    draft.reading.troubles.push_back(std::move(trouble));
  }
}

void complain_of_no_tank(Draft& draft) {
  const auto& found = draft.reading.troubles;
  const bool misspelt = !found.empty() && draft.parts.tanks.size() == 2;
  if (draft.tanks_in_plan > 0 || misspelt) return;
  draft.reading.complain(
      draft.reading.whole_file(), "the plan has no tank",
      "begin a tank with a line `[[tank]]`; `tankyard new FILE` writes a plan to "
      "start from");
}

/// "all 5 hoses", "hoses `a` and `b`", "6 of 8 hoses".
std::string whom(const std::string& kind, const std::vector<std::string>& names, std::size_t of) {
  constexpr std::size_t most_named = 3;
  if (names.size() == 1) return fmt::format("{} `{}`", kind, names[0]);
  if (names.size() == of && of == 2) return fmt::format("both {}s", kind);
  if (names.size() == of) return fmt::format("all {} {}s", of, kind);
  if (names.size() > most_named) return fmt::format("{} of {} {}s", names.size(), of, kind);
  std::string text = kind + "s";
  for (std::size_t i = 0; i < names.size(); ++i) {
    text += fmt::format("{} `{}`", i == 0 ? "" : i + 1 == names.size() ? " and" : ",", names[i]);
  }
  return text;
}

/// One sentence for all parts of a kind that `left_out` holds for.
template <class List, class LeftOut>
void tell(Draft& draft, const std::string& kind, const List& list, LeftOut left_out,
          std::string_view sentence) {
  std::vector<std::string> names;
  const auto& entries = draft.source.entries(kind);
  for (std::size_t i = 0; i < entries.size(); ++i) {
    if (left_out(list[i], *entries[i])) names.push_back(list[i].name);
  }
  if (names.empty()) return;
  draft.assumed.push_back(whom(kind, names, entries.size()) + ": " + std::string(sentence));
}

}  // namespace

void check_draft(Draft& draft) {
  complain_of_no_tank(draft);
  take_over(draft, check_array(draft.parts));
  Troubles sheet = check_day_sheet(draft.parts, draft.sheet);
  // The steps are still in the order of the file; they are sorted once all is well.
  std::erase_if(sheet, [](const Trouble& trouble) {
    return trouble.about.field == "at" && trouble.see_also.has_value();
  });
  take_over(draft, std::move(sheet));
}

void tell_what_was_assumed(Draft& draft) {
  const Parts& parts = draft.parts;
  const auto without = [](const char* key) {
    return [key](const auto&, const toml::table& table) { return !table.contains(key); };
  };
  tell(draft, "tank", parts.tanks, without("water"),
       "`water` left out, taken as empty at the start");
  tell(draft, "tank", parts.tanks, without("lid"),
       "`lid` left out, taken as open to the air, so that no vacuum can form");
  tell(
      draft, "tank", parts.tanks,
      [](const Tank& tank, const toml::table&) {
        return tank.lid.kind != Lid::Kind::open && !tank.allowed_vacuum_pa && !tank.wall;
      },
      "neither `allowed_vacuum` nor `wall` given, so the vacuum that is borne is a cautious guess");
  tell(draft, "hose", parts.hoses, without("roughness"),
       "`roughness` left out, taken as smooth plastic, 0.0015 mm");
  tell(
      draft, "hose", parts.hoses,
      [](const Hose&, const toml::table& table) {
        return !table.contains("loss") && !table.contains("fittings");
      },
      "neither `loss` nor `fittings` given, so nothing is lost between the ends but along the "
      "hose");
  tell(draft, "pump", parts.pumps, without("npsh_required"),
       "`npsh_required` left out, so there is no maker's figure to hold the suction against");
  tell(draft, "pump", parts.pumps, without("efficiency"),
       "`efficiency` left out, taken as 0.35, which only the energy used depends on");
  tell(draft, "roof", parts.roofs, without("runoff"),
       "`runoff` left out, taken as 0.9 of the rain");
  const auto& site = draft.source.entries("site");
  if (!parts.pumps.empty() && (site.empty() || !site[0]->contains("altitude"))) {
    draft.assumed.emplace_back(
        "the site: `altitude` left out, taken as sea level, which gives pumps "
        "their best suction");
  }
}

}  // namespace tankyard
