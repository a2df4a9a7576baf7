// SPDX-License-Identifier: MIT
#include "io/rain_cells.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "io/characters.h"
#include "io/utf8.h"

namespace tankyard {
namespace {

char small(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

std::string in_small(std::string_view text) {
  std::string result(text);
  std::transform(result.begin(), result.end(), result.begin(), small);
  return result;
}

int characters(std::string_view text) { return static_cast<int>(characters_in(text)); }

/// So many digits at the front, taken off; -1 if there are fewer.
int take_digits(std::string_view& text, std::size_t count) {
  if (text.size() < count) return -1;
  int value = 0;
  for (std::size_t k = 0; k < count; ++k) {
    if (!is_digit(text[k])) return -1;
    value = value * 10 + (text[k] - '0');
  }
  text.remove_prefix(count);
  return value;
}

bool take_character(std::string_view& text, char c) {
  if (text.empty() || text.front() != c) return false;
  text.remove_prefix(1);
  return true;
}

/// One or two digits at the front, taken off.
int take_one_or_two(std::string_view& text) {
  if (text.size() >= 2 && is_digit(text[0]) && is_digit(text[1])) return take_digits(text, 2);
  return take_digits(text, 1);
}

std::optional<std::chrono::sys_days> date_of(int year, int month, int day) {
  if (year < 1 || month < 1 || day < 1) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(year),
                                         std::chrono::month(static_cast<unsigned>(month)),
                                         std::chrono::day(static_cast<unsigned>(day))};
  if (!date.ok()) return std::nullopt;
  return std::chrono::sys_days(date);
}

}  // namespace

char separator_of(std::string_view line) {
  for (const char c : {'\t', ';'}) {
    if (line.find(c) != std::string_view::npos) return c;
  }
  return ',';
}

std::vector<RainCell> cells_of(std::string_view line, char separator) {
  std::vector<RainCell> cells;
  std::size_t at = 0;
  int column = 1;
  while (true) {
    const std::size_t begin = at;
    std::string text;
    std::size_t look = at;
    while (look < line.size() && line[look] == ' ') ++look;
    if (look < line.size() && line[look] == '"') {
      at = look + 1;
      for (; at < line.size(); ++at) {
        if (line[at] == '"') {
          if (at + 1 >= line.size() || line[at + 1] != '"') break;
          ++at;
        }
        text += line[at];
      }
      while (at < line.size() && line[at] != separator) ++at;
    } else {
      while (at < line.size() && line[at] != separator) ++at;
      text = line.substr(begin, at - begin);
    }
    const std::string_view raw = line.substr(begin, at - begin);
    const std::string_view shown = trimmed(raw);
    RainCell cell;
    cell.text = std::string(trimmed(text));
    const auto lead =
        shown.empty() ? std::size_t{0} : static_cast<std::size_t>(shown.data() - raw.data());
    cell.column = column + static_cast<int>(lead);
    cell.length = std::max(1, characters(shown));
    cells.push_back(std::move(cell));
    if (at >= line.size()) return cells;
    column += characters(raw) + 1;
    ++at;
  }
}

std::string rain_unit_of(std::string_view word) {
  const std::string unit = in_small(trimmed(word));
  struct Word {
    const char* said;
    const char* unit;
  };
  static constexpr std::array<Word, 12> words = {{{"mm", "mm"},
                                                  {"millimetre", "mm"},
                                                  {"millimetres", "mm"},
                                                  {"millimeter", "mm"},
                                                  {"millimeters", "mm"},
                                                  {"l/m2", "mm"},
                                                  {"cm", "cm"},
                                                  {"m", "m"},
                                                  {"in", "in"},
                                                  {"inch", "in"},
                                                  {"inches", "in"},
                                                  {"\"", "in"}}};
  for (const Word& each : words) {
    if (unit == each.said) return each.unit;
  }
  return {};
}

Heading heading_of_column(std::string_view text) {
  std::string name = in_small(trimmed(text));
  Heading heading;
  for (const auto& [open, close] : {std::pair{'(', ')'}, std::pair{'[', ']'}}) {
    const std::size_t from = name.find(open);
    const std::size_t to = name.find(close, from == std::string::npos ? 0 : from);
    if (from == std::string::npos || to == std::string::npos) continue;
    heading.unit = rain_unit_of(std::string_view(name).substr(from + 1, to - from - 1));
    name.erase(from);
    name = std::string(trimmed(name));
  }
  const std::size_t last = name.find_last_of("_ -.,/");
  if (heading.unit.empty() && last != std::string::npos) {
    heading.unit = rain_unit_of(std::string_view(name).substr(last + 1));
    if (!heading.unit.empty()) name.erase(last);
  }
  heading.name = std::string(trimmed(name));
  return heading;
}

std::optional<double> read_time_of_day(std::string_view text) {
  const int hour = take_one_or_two(text);
  if (hour < 0 || !take_character(text, ':')) return std::nullopt;
  const int minute = take_digits(text, 2);
  if (minute < 0 || minute > 59) return std::nullopt;
  int second = 0;
  if (take_character(text, ':')) {
    second = take_digits(text, 2);
    if (second < 0 || second > 59) return std::nullopt;
    if (take_character(text, '.')) {
      while (!text.empty() && is_digit(text.front())) text.remove_prefix(1);
    }
  }
  const double time_s = hour * 3600.0 + minute * 60.0 + second;
  if (time_s > 86400.0) return std::nullopt;
  text = trimmed(text);
  if (take_character(text, 'Z') || take_character(text, 'z') || text.empty()) {
    return text.empty() ? std::optional<double>(time_s) : std::nullopt;
  }
  if (!take_character(text, '+') && !take_character(text, '-')) return std::nullopt;
  if (take_digits(text, 2) < 0) return std::nullopt;
  take_character(text, ':');
  if (!text.empty() && take_digits(text, 2) < 0) return std::nullopt;
  return text.empty() ? std::optional<double>(time_s) : std::nullopt;
}

std::optional<RainStamp> read_stamp(std::string_view text, NoDate& why) {
  why = {"is no date", "write dates as 2014-04-15, with a time if there is one: 2014-04-15 13:00"};
  std::string_view rest = trimmed(text);
  std::optional<std::chrono::sys_days> day;
  int year = take_digits(rest, 4);
  if (year >= 0) {
    const char between = rest.empty() ? ' ' : rest.front();
    int month = 0;
    int date = 0;
    if (between == '-' || between == '/' || between == '.') {
      take_character(rest, between);
      month = take_one_or_two(rest);
      if (!take_character(rest, between)) return std::nullopt;
      date = take_one_or_two(rest);
    } else {
      month = take_digits(rest, 2);
      date = take_digits(rest, 2);
    }
    day = date_of(year, month, date);
    if (!day && month >= 1 && month <= 12 && date >= 1 && date <= 31) {
      why = {"is a day that its month does not have", "correct the date"};
    }
  } else {
    const int first = take_one_or_two(rest);
    if (first < 0 || rest.empty()) return std::nullopt;
    const char between = rest.front();
    take_character(rest, between);
    const int second = take_one_or_two(rest);
    if (second < 0 || !take_character(rest, between)) return std::nullopt;
    year = take_digits(rest, 4);
    if (between != '.') {
      if (year >= 0 && (between == '/' || between == '-')) {
        why = {"may be day and month either way round",
               "write the year first, then the month: 2014-04-15"};
      }
      return std::nullopt;
    }
    day = date_of(year, second, first);
  }
  if (!day) return std::nullopt;
  RainStamp stamp{*day, std::nullopt};
  if (rest.empty()) return stamp;
  if (!take_character(rest, 'T') && !take_character(rest, 't') && !take_character(rest, ' '))
    return std::nullopt;
  rest = trimmed(rest);
  stamp.second = read_time_of_day(rest);
  if (!stamp.second) {
    why = {"has no clock time behind its date", "write the time as 13:00 or 13:00:30"};
    return std::nullopt;
  }
  return stamp;
}

std::optional<double> read_depth(std::string_view text, bool comma) {
  std::string number(trimmed(text));
  if (comma && number.find('.') == std::string::npos) {
    const std::size_t at = number.find(',');
    if (at != std::string::npos) number[at] = '.';
  }
  const char* begin = number.data();
  const char* const end = begin + number.size();
  if (begin != end && *begin == '+') ++begin;
  double value = 0.0;
  const auto [to, error] = std::from_chars(begin, end, value);
  if (error != std::errc() || to != end || begin == end || !std::isfinite(value)) {
    return std::nullopt;
  }
  return value;
}

bool says_missing(std::string_view text) {
  const std::string word = in_small(trimmed(text));
  for (const char* missing : {"", "na", "n/a", "nan", "null", "none", "m", "-", "--", "missing"}) {
    if (word == missing) return true;
  }
  return false;
}

}  // namespace tankyard
