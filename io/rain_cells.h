// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tankyard {

/// One value of a line, with where it stands in it.
struct RainCell {
  std::string text;  ///< without quotes and the blanks around it
  int column = 1;    ///< of its first character, from 1
  int length = 1;
};

/// The separator of a line of headings: tab, semicolon or comma, the first that is there.
char separator_of(std::string_view line);

/// The values of a line (RFC 4180, one line a row).
std::vector<RainCell> cells_of(std::string_view line, char separator);

/// A heading taken apart: "Rain (mm)" is "rain" in "mm".
struct Heading {
  std::string name;  ///< in small letters
  std::string unit;  ///< as units.h writes it; empty: none is named
};
Heading heading_of_column(std::string_view text);

/// "in" for "inches", "mm" for "millimetres"; empty if it is no length that rain comes in.
std::string rain_unit_of(std::string_view word);

struct RainStamp {
  std::chrono::sys_days day;
  std::optional<double> second;  ///< after midnight, 0 to 86400; none: only the date is given
};

/// Why a text is no date.
struct NoDate {
  std::string message;  ///< continues "`15/04/2014` "
  std::string help;
};

/// Reads a date, perhaps with a time. None: no date; then `why` says more.
std::optional<RainStamp> read_stamp(std::string_view text, NoDate& why);

/// Seconds after midnight of "13:00", "13:00:30" or "24:00", a zone behind it passed over.
std::optional<double> read_time_of_day(std::string_view text);

/// A number with a point, or with a comma where `comma` allows; none if the text is none.
std::optional<double> read_depth(std::string_view text, bool comma);

/// "NA" and the like, or nothing at all.
bool says_missing(std::string_view text);

}  // namespace tankyard
