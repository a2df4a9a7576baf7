// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <vector>

namespace tankyard {

/// Litres, millimetres, bar and hours live here and nowhere else: everything that comes in is
/// turned to SI, everything that is shown is turned back. Numbers are read and written with a point
/// for the decimals whatever the language of the machine.
///
/// The table of units is our own, some thirty rows (io/unit_table.h). A general unit library was
/// weighed and left: it needs its unit database installed at run time, it can say that a unit is
/// unknown but not which one was meant, nor that `2 kPa` is a pressure where a length is asked, and
/// a factor kept as a double makes 9 mm another number than 0.009 m.

inline constexpr double l_min_per_m3_s = 60000.0;

/// What a number measures. The SI unit of each: m, m2, m3, m3/s, Pa, m/s of rain, s. A temperature
/// is in degC, as everywhere in the program, a difference of temperatures in K.
enum class Dimension {
  length,
  area,
  volume,
  flow,
  pressure,
  rain,
  temperature,
  temperature_difference,
  duration
};

/// "a length", "a flow", ...
std::string_view with_article(Dimension dimension);

/// A quantity that may stand as an example in a message: "19 mm", "15 L/min", ...
std::string_view example_of(Dimension dimension);

/// The SI unit by name: "metres", "cubic metres a second", ...
std::string_view si_unit_name(Dimension dimension);

/// Why a text is no quantity of the dimension asked for.
struct QuantityProblem {
  std::string message;     ///< continues "`bore` of hose `x` "
  std::string help;        ///< what to write
  std::size_t first = 0;   ///< the part of the text that is wrong: first character, from 0, and ...
  std::size_t length = 0;  ///< ... how many
};

/// A number in SI with what it measures.
struct Quantity {
  double si = 0.0;
  Dimension dimension = Dimension::length;
};

/// Reads "19 mm" as one of the dimensions asked for (one, or two as for water in a tank). The
/// result is the double nearest to the decimal text wherever the unit is a power of ten of the SI
/// unit, so that "19 mm" and 0.019 are the same number; else within half a unit in the last place,
/// give or take one in a thousand of it.
tl::expected<Quantity, QuantityProblem> parse_quantity(std::string_view text,
                                                       const std::vector<Dimension>& wanted);
tl::expected<double, QuantityProblem> parse_quantity(std::string_view text, Dimension wanted);

/// The shortest text that reads back to exactly this number: 0.019 in "mm" gives "19 mm".
/// Requires: finite; a unit of io/README.md; a temperature in degC only.
std::string quantity_text(double si, std::string_view unit);

/// For people: rounded to what a tape measure, a bucket or a wrist watch can tell.
std::string litres_text(double m3);                   ///< "0.4 L", "12.5 L", "1045 L"
std::string millimetres_text(double m);               ///< "0.35 mm", "19 mm"
std::string litres_per_minute_text(double m3_per_s);  ///< "0.42 L/min", "18.3 L/min"
std::string duration_text(double s);  ///< "40 s", "90 min", "24 h", "1 h 10 min 5 s"

/// A clock time from seconds after midnight of the first day: "06:30", "06:30:15", and past the
/// first midnight "06:30 on day 2".
std::string clock_text(double s);

/// Seconds after midnight of "06:30", "6:30" or "06:30:15"; none if the text is no clock time.
std::optional<double> parse_clock(std::string_view text);

}  // namespace tankyard
