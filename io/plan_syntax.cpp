// SPDX-License-Identifier: MIT
// What a line that is no TOML probably should have been. People who write a plan do not know TOML;
// the parser's own words ("could not determine value type") do not help them.
#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "io/characters.h"
#include "io/plan_draft.h"
#include "io/utf8.h"

namespace tankyard {
namespace {

bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

/// Byte of a line at which a column, counted in characters from 1, begins.
std::size_t byte_of(std::string_view line, int column) {
  std::size_t at = 0;
  for (int i = 1; i < column && at < line.size(); ++i) next_character(line, at);
  return at;
}

/// The value that the parser stumbled over: from the last `=`, comma or bracket to the next one.
struct Stumble {
  std::string_view key;  ///< empty if there is none in front
  std::string_view value;
};

Stumble stumble(std::string_view line, std::size_t at) {
  at = std::min(at, line.size());
  std::size_t start = at;
  while (start > 0 && std::string_view("=,[{").find(line[start - 1]) == std::string_view::npos) {
    --start;
  }
  const std::size_t end = std::min(line.find_first_of(",]}#", at), line.size());
  Stumble found;
  const std::string_view whole = line.substr(start, end - start);
  found.value = trimmed(whole);
  if (start > 0 && line[start - 1] == '=') {
    std::string_view key = line.substr(0, start - 1);
    const std::size_t before = key.find_last_of(",{");
    if (before != std::string_view::npos) key.remove_prefix(before + 1);
    found.key = trimmed(key);
  }
  return found;
}

bool starts_like_a_number(std::string_view value) {
  if (!value.empty() && (value[0] == '-' || value[0] == '+')) value.remove_prefix(1);
  return !value.empty() && is_digit(value[0]);
}

/// "19 mm", "19mm", "1000 L/h" without its quotes.
bool is_bare_quantity(std::string_view value) {
  if (!starts_like_a_number(value)) return false;
  if (value.find_first_of("\"':=") != std::string_view::npos) return false;
  const std::size_t unit = value.find_first_not_of("+-0123456789. \t");
  return unit != std::string_view::npos;
}

bool is_bare_clock(std::string_view value) {
  return starts_like_a_number(value) && parse_clock(value).has_value();
}

bool is_bare_word(std::string_view value) {
  if (value.empty() || value.find_first_of("\"'=") != std::string_view::npos) return false;
  return is_letter(value[0]) || static_cast<unsigned char>(value[0]) >= 0x80;
}

struct Advice {
  std::string message;
  std::string help;
  bool about_value = false;  ///< point at the whole value and not at the character
};

std::string with_key(const Stumble& at, std::string_view value) {
  return at.key.empty() ? std::string(value) : fmt::format("{} = {}", at.key, value);
}

/// Advice that the line itself suggests.
std::optional<Advice> advice_from_line(std::string_view line, std::size_t at,
                                       const Stumble& found) {
  const std::string_view start = trimmed(line);
  if (start.starts_with("//")) return Advice{"this line is no TOML", "a comment begins with `#`"};
  for (const std::string_view quote : {"“", "”", "„", "‘", "’", "«", "»"}) {
    if (found.value.find(quote) == std::string_view::npos) continue;
    return Advice{fmt::format("`{}` is no quotation mark that a plan knows", quote),
                  "use straight quotes: `\"19 mm\"`"};
  }
  if (at < line.size() && static_cast<unsigned char>(line[at]) >= 0x80 &&
      (found.key.empty() || found.value.data() == start.data())) {
    return Advice{"a key without quotes cannot hold this character",
                  "keys are written with the letters a to z, digits, `-` and `_`"};
  }
  const bool comma = at > 0 && at + 1 < line.size() && line[at] == ',' && is_digit(line[at - 1]) &&
                     is_digit(line[at + 1]);
  if (comma && !found.key.empty()) {
    std::size_t end = at + 1;
    while (end < line.size() && is_digit(line[end])) ++end;
    const std::string_view decimals = line.substr(at + 1, end - at - 1);
    return Advice{"there is a comma in a number",
                  fmt::format("decimals are written with a point: `{}`",
                              with_key(found, fmt::format("{}.{}", found.value, decimals)))};
  }
  if (is_bare_clock(found.value)) {
    return Advice{
        fmt::format("`{}` is no clock time of TOML, which has seconds", found.value),
        fmt::format("put it in quotes: `{}`", with_key(found, fmt::format("\"{}\"", found.value))),
        true};
  }
  if (is_bare_quantity(found.value)) {
    return Advice{fmt::format("`{}` is neither a number nor a text", found.value),
                  fmt::format("a quantity with a unit goes in quotes: `{}`",
                              with_key(found, fmt::format("\"{}\"", found.value))),
                  true};
  }
  if (found.value == "True" || found.value == "TRUE" || found.value == "False" ||
      found.value == "FALSE") {
    const bool yes = found.value[0] == 'T';
    return Advice{fmt::format("`{}` is not written like this", found.value),
                  fmt::format("small letters: `{}`", with_key(found, yes ? "true" : "false")),
                  true};
  }
  if (is_bare_word(found.value) && (!found.key.empty() || start.front() != '[') &&
      found.value.data() != start.data()) {
    return Advice{fmt::format("`{}` stands without quotes", found.value),
                  fmt::format("a name or word goes in quotes: `{}`",
                              with_key(found, fmt::format("\"{}\"", found.value))),
                  true};
  }
  return std::nullopt;
}

/// The last word in single quotes of the parser's own words: the key it speaks of.
std::string quoted_name(std::string_view said) {
  const std::size_t end = said.rfind('\'');
  if (end == std::string_view::npos || end == 0) return {};
  const std::size_t start = said.rfind('\'', end - 1);
  return start == std::string_view::npos ? std::string()
                                         : std::string(said.substr(start + 1, end - start - 1));
}

/// Advice that the parser's words suggest.
Advice advice_from_parser(std::string_view said) {
  const auto says = [&](std::string_view words) {
    return said.find(words) != std::string_view::npos;
  };
  const std::string name = quoted_name(said);
  if (says("cannot redefine existing array") && says("as table")) {
    return {fmt::format("`{}` is a list of parts, and here it stands with single brackets", name),
            fmt::format("a plan can have many of it, so the brackets are double: `[[{}]]`", name)};
  }
  if (says("as array-of-tables")) {
    return {fmt::format("`{}` stands with double brackets here, and with single ones before", name),
            fmt::format("write `[[{}]]` at every one of them", name)};
  }
  if (says("cannot redefine existing table")) {
    return {fmt::format("`[{}]` stands here for the second time", name),
            "put all its keys under the first"};
  }
  if (says("cannot redefine")) {
    return {fmt::format("`{}` is given for the second time", name),
            "keep one of the two; another part begins with a line of its own, such as `[[tank]]`"};
  }
  if (says("nested")) {
    return {"there are too many brackets inside brackets",
            "no part of a plan needs more than three"};
  }
  if (says("control characters")) {
    return {"a text does not end on the line it begins on, or holds a control character",
            "close it with the same quote that it begins with"};
  }
  if (says("table header")) {
    return {
        "this header line is not complete",
        "brackets close as they open: `[site]`, and `[[tank]]` for what a plan can have many of"};
  }
  if (says("dangling comma")) {
    return {"there is a comma before `}`", "leave it out: `{ hole = \"12 mm\" }`"};
  }
  if (says("inline table")) {
    return {
        "a table in braces is not complete on this line",
        "all of it stands on one line, keys apart by commas: `{ hole = \"12 mm\", count = 2 }`"};
  }
  if (says("array")) {
    return {"a list is not complete", "values stand apart by commas, and `]` ends the list"};
  }
  if (says("expected value")) {
    return {"there is nothing after `=`", "write a value, for example `bore = \"19 mm\"`"};
  }
  if (says("saw ':'")) {
    return {"`:` stands where `=` is needed", "write `key = value`, as in `bore = \"19 mm\"`"};
  }
  if (says("expected '='")) {
    return {"this line is no `key = value`",
            "a key is one word, and `=` follows: `bore = \"19 mm\"`"};
  }
  if (says("escape sequence")) {
    return {"a backslash in a text stands for something else here",
            "write it twice, `\\\\`, or use single quotes"};
  }
  if (says("not representable") || says("could not be interpreted")) {
    return {"this number is too large", "write it shorter, or with a larger unit in quotes", true};
  }
  if (says("floating-point") || says("integer") || says("leading zero")) {
    return {"this is not how a number is written",
            "digits on both sides of the point, and no zero in front of others: `0.5`, `19`", true};
  }
  return {"this line is no TOML",
          "a line is `key = value`, a header such as `[[tank]]`, or a comment after `#`"};
}

/// Moves the spot on a part of the line.
void point_at(Spot& spot, std::string_view line, std::string_view part) {
  const auto first = static_cast<std::size_t>(part.data() - line.data());
  spot.column = static_cast<int>(characters_in(line.substr(0, first))) + 1;
  spot.length = std::max(1, static_cast<int>(characters_in(part)));
}

}  // namespace

Trouble syntax_trouble(const Reading& reading, const toml::parse_error& error) {
  Spot spot = reading.spot_of(error.source());
  spot.line = std::max(spot.line, 1);
  spot.column = std::max(spot.column, 1);
  spot.length = 1;
  const std::string_view line = reading.line(spot.line);
  const std::size_t at = byte_of(line, spot.column);
  const Stumble found = stumble(line, at);
  const std::string_view said = error.description();
  const bool second_time = said.find("cannot redefine") != std::string_view::npos;
  const bool broken_text = said.find("string") != std::string_view::npos;

  std::optional<Advice> advice;
  if (!second_time && !broken_text) advice = advice_from_line(line, at, found);
  if (!advice) advice = advice_from_parser(said);
  const bool at_line_start = trimmed(line.substr(0, at)).empty();
  if (at_line_start && said.find("parsing array") != std::string_view::npos) {
    advice = Advice{"a list that began above this line is not complete",
                    "values stand apart by commas, and `]` ends the list"};
  }
  if (advice->about_value && !found.value.empty()) {
    point_at(spot, line, found.value);
  } else if (second_time) {
    // The whole header, or the key: the parser points before or behind it.
    const std::string_view start = trimmed(line);
    const bool header = start.starts_with('[');
    point_at(spot, line, trimmed(start.substr(0, start.find(header ? '#' : '='))));
  } else if (broken_text) {
    const std::size_t quote = line.substr(0, at).find_first_of("\"'");
    const bool unclosed = quote != std::string_view::npos && at >= line.size();
    if (unclosed) point_at(spot, line, trimmed(line.substr(quote)));
  }
  Trouble trouble;
  trouble.message = advice->message;
  trouble.help = advice->help;
  trouble.spot = spot;
  return trouble;
}

}  // namespace tankyard
