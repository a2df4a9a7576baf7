// SPDX-License-Identifier: MIT
#include "io/plan_words.h"

#include <fmt/format.h>

#include <algorithm>

#include "io/nearest.h"
#include "io/utf8.h"

namespace tankyard {
namespace {

/// Whether one key is the other or lies inside it: "overflow" and "overflow.height".
bool touches(const std::string& a, const std::string& b) {
  const std::string& outer = a.size() < b.size() ? a : b;
  const std::string& inner = a.size() < b.size() ? b : a;
  if (!inner.starts_with(outer)) return false;
  return inner.size() == outer.size() || outer.empty() || inner[outer.size()] == '.';
}

}  // namespace

Reading::Reading(std::string_view text, std::string file) : file_(std::move(file)) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    lines_.push_back(text.substr(at, end - at));
    if (!lines_.back().empty() && lines_.back().back() == '\r') lines_.back().remove_suffix(1);
    at = end + 1;
  }
}

std::string_view Reading::line(int number) const {
  const auto index = static_cast<std::size_t>(number - 1);
  return number >= 1 && index < lines_.size() ? lines_[index] : std::string_view{};
}

Spot Reading::spot_of(const toml::source_region& region) const {
  Spot spot = {file_, static_cast<int>(region.begin.line), static_cast<int>(region.begin.column),
               1};
  if (region.end.line == region.begin.line && region.end.column > region.begin.column) {
    spot.length = static_cast<int>(region.end.column - region.begin.column);
  } else if (region.end.line > region.begin.line) {
    const auto in_line = static_cast<int>(characters_in(line(spot.line)));
    spot.length = std::max(1, in_line - spot.column + 1);
  }
  return spot;
}

Spot Reading::spot_inside(const toml::node& value, std::size_t first, std::size_t length) const {
  Spot spot = spot_of(value.source());
  const auto* const string = value.as_string();
  if (string == nullptr || length == 0) return spot;
  const auto inside = static_cast<std::size_t>(spot.length) - 2;
  if (spot.length < 2 || characters_in(string->get()) != inside) return spot;
  spot.column += 1 + static_cast<int>(first);
  spot.length = static_cast<int>(length);
  return spot;
}

void Reading::complain(Spot spot, std::string message, std::string help, PartField about,
                       std::vector<std::string> notes) {
  Trouble trouble;
  trouble.message = std::move(message);
  trouble.notes = std::move(notes);
  trouble.help = std::move(help);
  trouble.about = std::move(about);
  trouble.spot = std::move(spot);
  troubles.push_back(std::move(trouble));
}

bool Reading::is_stand_in(const PartField& field) const {
  const auto part = stand_ins_.find({field.kind, field.index});
  if (part == stand_ins_.end()) return false;
  return std::any_of(part->second.begin(), part->second.end(), [&](const std::string& aside) {
    return field.field.empty() ? aside.empty() : touches(aside, field.field);
  });
}

void Reading::set_aside(const PartField& field) {
  stand_ins_[{field.kind, field.index}].push_back(field.field);
}

std::optional<std::string> Reading::likely(std::string_view wrong,
                                           const std::vector<std::string>& names) {
  if (searches_left_ == 0) return std::nullopt;
  --searches_left_;
  return nearest_name(wrong, names);
}

void Reading::note_bare_number(const PartField& field, Dimension dimension) {
  bare_numbers_[{field.kind, field.index, field.field}] =
      fmt::format("a bare number counts in {}", si_unit_name(dimension));
}

const std::string* Reading::bare_number(const PartField& field) const {
  const auto entry = bare_numbers_.find({field.kind, field.index, field.field});
  return entry == bare_numbers_.end() ? nullptr : &entry->second;
}

std::string listed(const std::vector<std::string>& words, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    text += i == 0 ? "" : i + 1 == words.size() ? last : ", ";
    text += words[i];
  }
  return text;
}

std::string what_it_is(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::string:
      return "a text";
    case toml::node_type::integer:
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    case toml::node_type::date:
    case toml::node_type::date_time:
      return "a date";
    case toml::node_type::time:
      return "a clock time";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::table:
      return "a table";
    case toml::node_type::none:
      break;
  }
  return "nothing";
}

}  // namespace tankyard
