// SPDX-License-Identifier: MIT
#include "io/link_words.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>

#include "io/report_words.h"
#include "io/units.h"

namespace tankyard {
namespace {

bool on_another_stand(const LinkStudy& study, const WayToJoin& way) {
  return way.base_m != new_tank(study).base_m;
}

/// `"text"` in TOML, whatever is in it.
std::string in_toml_quotes(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

std::string hose_in_toml(const LinkStudy& study, const Hose& hose,
                         const std::vector<std::string>& fittings) {
  std::string text = "[[hose]]\n";
  text += fmt::format("name = {}\n", in_toml_quotes(hose.name));
  text += fmt::format("from = {}\n", in_toml_quotes(name_of(study.parts, hose.from.place)));
  text += fmt::format("to = {}\n", in_toml_quotes(name_of(study.parts, hose.to.place)));
  text += fmt::format("bore = {}\n", in_toml_quotes(quantity_text(hose.bore_m, "mm")));
  text += fmt::format("length = {}\n", in_toml_quotes(quantity_text(hose.length_m, "m")));
  std::vector<std::string> names;
  names.reserve(fittings.size());
  for (const std::string& fitting : fittings) names.push_back(in_toml_quotes(fitting));
  text += fmt::format("fittings = [{}]\n", fmt::join(names, ", "));
  if (hose.valve) text += fmt::format("valve = {}\n", in_toml_quotes(hose.valve->name));
  return text;
}

/// The new hoses alone.
std::string hoses_in_toml(const LinkStudy& study, const WayToJoin& way) {
  const Parts joined = with_way(study.parts, study.tank, way, study.offered);
  std::size_t next = study.parts.hoses.size();
  std::string text;
  for (const SpurFittings& spur : fittings_of(study.parts, study.tank, way)) {
    for (const std::vector<std::string>& fittings : spur.per_hose) {
      if (!text.empty()) text += "\n";
      text += hose_in_toml(study, joined.hoses[next++], fittings);
    }
  }
  return text;
}

std::string base_in_toml(const WayToJoin& way) {
  return in_toml_quotes(quantity_text(way.base_m, "m"));
}

std::string lid_in_toml(double hole_m) {
  return fmt::format("{{ hole = {} }}", in_toml_quotes(quantity_text(hole_m, "mm")));
}

/// Byte at which a line and column of toml++ (characters, from 1) stand.
std::size_t byte_at(const std::string& text, const toml::source_position& position) {
  std::size_t byte = 0;
  for (toml::source_index line = 1; line < position.line; ++line) {
    byte = text.find('\n', byte);
    if (byte == std::string::npos) return text.size();
    ++byte;
  }
  for (toml::source_index column = 1; column < position.column && byte < text.size(); ++column) {
    ++byte;
    while (byte < text.size() && (static_cast<unsigned char>(text[byte]) & 0xC0U) == 0x80U) ++byte;
  }
  return byte;
}

/// Sets a key of a table: in place of its value, or on a line of its own below the name.
void set_key(std::string& text, const toml::table& table, const char* key, const std::string& value,
             const char* line_end) {
  if (const toml::node* const old = table.get(key)) {
    const std::size_t first = byte_at(text, old->source().begin);
    const std::size_t last = byte_at(text, old->source().end);
    text.replace(first, last - first, value);
    return;
  }
  const toml::node* const name = table.get("name");
  if (name == nullptr) return;
  const std::size_t end = text.find('\n', byte_at(text, name->source().end));
  const std::string line = fmt::format("{} = {}{}", key, value, line_end);
  if (end == std::string::npos) {
    text += line_end + line;
  } else {
    text.insert(end + 1, line);
  }
}

const toml::table* tank_table(const toml::table& root, std::size_t index) {
  const toml::node* const tanks = root.get("tank");
  if (tanks == nullptr || tanks->as_array() == nullptr) return nullptr;
  const toml::node* const entry = tanks->as_array()->get(index);
  return entry == nullptr ? nullptr : entry->as_table();
}

/// `base` and, where a closed lid needs a wider hole, `lid`. One after the other, since each moves
/// what stands below it.
bool set_tank(std::string& text, const LinkStudy& study, const LinkOption& option,
              const char* line_end) {
  std::vector<std::pair<const char*, std::string>> keys;
  if (on_another_stand(study, option.way)) keys.emplace_back("base", base_in_toml(option.way));
  if (option.lid_hole_m) keys.emplace_back("lid", lid_in_toml(*option.lid_hole_m));
  for (const auto& [key, value] : keys) {
    try {
      const toml::table root = toml::parse(text, std::string_view("plan"));
      const toml::table* const table = tank_table(root, study.tank.index);
      if (table == nullptr) return false;
      set_key(text, *table, key, value, line_end);
    } catch (const toml::parse_error&) {
      return false;
    }
  }
  return true;
}

}  // namespace

std::string places_of(const LinkStudy& study, const WayToJoin& way) {
  std::vector<std::string> names;
  for (const Spur& spur : way.spurs) names.push_back(name_of(study.parts, spur.place));
  return list_of(names);
}

std::string hose_of(const LinkStudy& study, const WayToJoin& way) {
  const std::string bore = millimetres_text(study.offered[way.hose].bore_m);
  return way.side_by_side == 2 ? "two of " + bore : bore;
}

std::string in_words(const LinkStudy& study, const WayToJoin& way) {
  const std::string bore = millimetres_text(study.offered[way.hose].bore_m);
  std::string text = "to " + places_of(study, way);
  if (way.two_places()) {
    text += fmt::format(", each by a {} hose {} a valve", bore, way.valved ? "with" : "without");
  } else if (way.side_by_side == 2) {
    text += fmt::format(" by two {} hoses side by side, {} a valve in each", bore,
                        way.valved ? "with" : "without");
  } else {
    text += fmt::format(" by a {} hose {} a valve", bore, way.valved ? "with" : "without");
  }
  if (on_another_stand(study, way)) {
    const double change_m = way.base_m - new_tank(study).base_m;
    text += fmt::format(", on a stand {:.0f} mm {}", std::abs(change_m) * 1000.0,
                        change_m > 0.0 ? "higher" : "lower");
  }
  return text;
}

std::string price_cell(const LinkStudy& study, const LinkOption& option) {
  return study.priced ? fmt::format("{:.2f}", option.price) : "-";
}

std::string toml_of(const LinkStudy& study, const LinkOption& option) {
  std::string text;
  const std::string& name = new_tank(study).name;
  if (on_another_stand(study, option.way)) {
    text += fmt::format("# and in tank {}: base = {}\n", in_toml_quotes(name),
                        base_in_toml(option.way));
  }
  if (option.lid_hole_m) {
    text += fmt::format("# and in tank {}: lid = {}\n", in_toml_quotes(name),
                        lid_in_toml(*option.lid_hole_m));
  }
  return text + hoses_in_toml(study, option.way);
}

Result<std::string> plan_with(const std::string& text, const LinkStudy& study,
                              const LinkOption& option) {
  const char* const line_end = text.find("\r\n") == std::string::npos ? "\n" : "\r\n";
  std::string changed = text;
  const bool set = set_tank(changed, study, option, line_end);
  if (!changed.empty() && changed.back() != '\n') changed += line_end;
  std::string comment = in_words(study, option.way);
  comment.erase(std::remove(comment.begin(), comment.end(), '`'), comment.end());
  const std::string added = fmt::format("\n# {} joined {}.\n", new_tank(study).name, comment) +
                            hoses_in_toml(study, option.way);
  for (const char c : added) {
    if (c == '\n') {
      changed += line_end;
    } else {
      changed += c;
    }
  }
  Result<Plan> again = read_plan(changed, "the plan with the new hoses");
  if (set && again) return changed;
  Trouble trouble;
  trouble.message = "the way cannot be put into the plan as its tables are written";
  if (!again) trouble.notes.push_back(again.error().front().message);
  trouble.help = "write each tank and hose under a heading of its own, [[tank]] and [[hose]]";
  return refuse(std::move(trouble));
}

}  // namespace tankyard
