// SPDX-License-Identifier: MIT
#include "io/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "io/characters.h"
#include "io/nearest.h"
#include "io/unit_table.h"
#include "io/utf8.h"

namespace tankyard {
namespace {

std::size_t skip_blanks(std::string_view text, std::size_t at) {
  while (at < text.size() && (text[at] == ' ' || text[at] == '\t')) ++at;
  return at;
}

/// The digits of a decimal number and the power of ten it is given with: "1.5e-3" is 1.5 and -3.
struct Decimal {
  std::string_view digits;
  int tens = 0;
  std::size_t end = 0;  ///< first byte after it
};

/// The number at the start of a text, if there is one. An `e` that no digits follow belongs to
/// whatever comes after.
std::optional<Decimal> decimal_at(std::string_view text, std::size_t start) {
  std::size_t at = start;
  if (at < text.size() && text[at] == '+')
    start = ++at;
  else if (at < text.size() && text[at] == '-')
    ++at;
  std::size_t digits = 0;
  for (; at < text.size() && is_digit(text[at]); ++at) ++digits;
  if (at < text.size() && text[at] == '.') {
    ++at;
    for (; at < text.size() && is_digit(text[at]); ++at) ++digits;
  }
  if (digits == 0) return std::nullopt;
  Decimal decimal = {text.substr(start, at - start), 0, at};
  if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
    std::size_t power = at + 1;
    if (power < text.size() && text[power] == '+') ++power;
    int tens = 0;
    const auto read = std::from_chars(text.data() + power, text.data() + text.size(), tens);
    if (read.ec == std::errc() && std::abs(tens) < 100000) {
      decimal.tens = tens;
      decimal.end = static_cast<std::size_t>(read.ptr - text.data());
    }
  }
  return decimal;
}

/// `digits` x 10^`tens`, rounded once; none if it is beyond the numbers a computer keeps.
template <class Real>
std::optional<Real> real_of(std::string_view digits, int tens) {
  const std::string text = fmt::format("{}e{}", digits, tens);
  Real value = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size()) return std::nullopt;
  if (!std::isfinite(value)) return std::nullopt;
  return value;
}

std::optional<double> to_si(const Decimal& decimal, const UnitScale& scale) {
  const bool power_of_ten = scale.times == 1 && scale.over == 1;
  const bool shifted = scale.first_less != 0.0 || scale.then_less != 0.0;
  if (power_of_ten && !shifted) return real_of<double>(decimal.digits, decimal.tens + scale.tens);
  const auto number = real_of<long double>(decimal.digits, decimal.tens + scale.tens);
  if (!number) return std::nullopt;
  // 273.15 is no binary number; asking for it in long double keeps the difference right.
  const long double then_less = scale.then_less != 0.0 ? 273.15L : 0.0L;
  const long double si = (*number - static_cast<long double>(scale.first_less)) *
                             static_cast<long double>(scale.times) /
                             static_cast<long double>(scale.over) -
                         then_less;
  const double rounded = static_cast<double>(si);
  if (!std::isfinite(rounded)) return std::nullopt;
  return rounded;
}

std::string example_with_article(const std::vector<Dimension>& wanted) {
  std::string text;
  for (const Dimension dimension : wanted) {
    if (!text.empty()) text += ", or ";
    text += fmt::format("{} is written like `{}`", with_article(dimension), example_of(dimension));
  }
  return text;
}

std::string dimension_names(const std::vector<Dimension>& wanted) {
  std::string text;
  for (const Dimension dimension : wanted) {
    if (!text.empty()) text += " or ";
    text += with_article(dimension);
  }
  return text;
}

QuantityProblem problem(std::string_view text, std::size_t from, std::size_t to,
                        std::string message, std::string help) {
  return {std::move(message), std::move(help), characters_in(text.substr(0, from)),
          characters_in(text.substr(from, to - from))};
}

/// Everything that can be said of a text that does not even start with a number.
QuantityProblem not_a_number(std::string_view text, const std::vector<Dimension>& wanted) {
  const std::string_view start = text.substr(skip_blanks(text, 0));
  if (start.empty()) {
    return problem(text, 0, text.size(), "is empty", example_with_article(wanted));
  }
  for (const std::string_view word : {"nan", "inf", "-inf", "+inf", "NaN", "Inf", "infinity"}) {
    if (start == word || start.starts_with(std::string(word) + " ")) {
      return problem(text, 0, text.size(),
                     fmt::format("is `{}`, which is not a finite number", text),
                     example_with_article(wanted));
    }
  }
  return problem(text, 0, text.size(),
                 fmt::format("is `{}`, which does not start with a number", text),
                 example_with_article(wanted));
}

/// The number with its comma turned into a point, if a comma follows the digits at `end`.
std::optional<QuantityProblem> comma_problem(std::string_view text, const Decimal& decimal) {
  if (decimal.end + 1 >= text.size() || text[decimal.end] != ',' ||
      !is_digit(text[decimal.end + 1])) {
    return std::nullopt;
  }
  std::string with_point(text);
  with_point[decimal.end] = '.';
  std::string joined(text);
  joined.erase(decimal.end, 1);
  std::size_t digits = 0;
  for (std::size_t at = decimal.end + 1; at < text.size() && is_digit(text[at]); ++at) ++digits;
  std::string help = fmt::format("decimals are written with a point: `{}`", with_point);
  if (digits == 3) help += fmt::format("; thousands without any mark: `{}`", joined);
  return problem(text, decimal.end, decimal.end + 1,
                 fmt::format("is `{}`, which has a comma", text), std::move(help));
}

std::optional<QuantityProblem> fraction_problem(std::string_view text, const Decimal& decimal) {
  const std::size_t slash = skip_blanks(text, decimal.end);
  if (slash >= text.size() || text[slash] != '/') return std::nullopt;
  const auto below = decimal_at(text, skip_blanks(text, slash + 1));
  if (!below) return std::nullopt;
  const auto upper_value = real_of<double>(decimal.digits, decimal.tens);
  const auto lower_value = real_of<double>(below->digits, below->tens);
  std::string help = "write the fraction as a decimal number";
  if (upper_value && lower_value && *lower_value != 0.0) {
    help += fmt::format(": `{:.6g}{}`", *upper_value / *lower_value, text.substr(below->end));
  }
  return problem(text, 0, below->end, fmt::format("is `{}`, a fraction", text), std::move(help));
}

/// Why the unit is none: which words were near it.
QuantityProblem unknown_unit(std::string_view text, std::size_t from, std::string_view name,
                             const std::vector<Dimension>& wanted) {
  std::string help;
  if (const auto told = advice_on(name)) {
    help = *told;
  } else {
    std::vector<std::string> candidates;
    for (const Dimension dimension : wanted) {
      for (std::string& unit : common_units(dimension)) candidates.push_back(std::move(unit));
    }
    help = example_with_article(wanted);
    if (const auto near = nearest_name(name, candidates)) {
      help = fmt::format("there is a unit with a similar name: `{}`", *near);
    }
  }
  return problem(text, from, from + name.size(),
                 fmt::format("is `{}`, and `{}` is no unit that a plan knows", text, name),
                 std::move(help));
}

}  // namespace

std::string_view with_article(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return "a length";
    case Dimension::area:
      return "an area";
    case Dimension::volume:
      return "a volume";
    case Dimension::flow:
      return "a flow";
    case Dimension::pressure:
      return "a pressure";
    case Dimension::rain:
      return "a rate of rain";
    case Dimension::temperature:
      return "a temperature";
    case Dimension::temperature_difference:
      return "a difference of temperatures";
    case Dimension::duration:
      return "a duration";
  }
  return "";
}

std::string_view example_of(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return "19 mm";
    case Dimension::area:
      return "66 m2";
    case Dimension::volume:
      return "450 L";
    case Dimension::flow:
      return "15 L/min";
    case Dimension::pressure:
      return "1.5 kPa";
    case Dimension::rain:
      return "12 mm/h";
    case Dimension::temperature:
      return "14 degC";
    case Dimension::temperature_difference:
      return "14 K";
    case Dimension::duration:
      return "90 min";
  }
  return "";
}

std::string_view si_unit_name(Dimension dimension) {
  switch (dimension) {
    case Dimension::length:
      return "metres";
    case Dimension::area:
      return "square metres";
    case Dimension::volume:
      return "cubic metres";
    case Dimension::flow:
      return "cubic metres a second";
    case Dimension::pressure:
      return "pascals";
    case Dimension::rain:
      return "metres a second";
    case Dimension::temperature:
    case Dimension::temperature_difference:
      return "kelvins";
    case Dimension::duration:
      return "seconds";
  }
  return "";
}

tl::expected<Quantity, QuantityProblem> parse_quantity(std::string_view text,
                                                       const std::vector<Dimension>& wanted) {
  const std::optional<Decimal> decimal = decimal_at(text, skip_blanks(text, 0));
  if (!decimal) return tl::unexpected(not_a_number(text, wanted));
  if (auto comma = comma_problem(text, *decimal)) return tl::unexpected(std::move(*comma));
  if (auto fraction = fraction_problem(text, *decimal)) {
    return tl::unexpected(std::move(*fraction));
  }

  const std::size_t from = skip_blanks(text, decimal->end);
  std::string_view name = text.substr(from);
  while (!name.empty() && (name.back() == ' ' || name.back() == '\t')) name.remove_suffix(1);
  if (name.empty()) {
    return tl::unexpected(problem(text, 0, text.size(),
                                  fmt::format("is `{}`, without a unit", text),
                                  example_with_article(wanted)));
  }
  const std::vector<Unit> meanings = units_named(name);
  if (meanings.empty()) return tl::unexpected(unknown_unit(text, from, name, wanted));
  for (const Unit& unit : meanings) {
    if (std::find(wanted.begin(), wanted.end(), unit.dimension) == wanted.end()) continue;
    const std::optional<double> si = to_si(*decimal, unit.scale);
    if (!si) {
      return tl::unexpected(
          problem(text, 0, decimal->end,
                  fmt::format("is `{}`, a number too large or too small to keep", text),
                  example_with_article(wanted)));
    }
    return Quantity{*si, unit.dimension};
  }
  return tl::unexpected(
      problem(text, from, from + name.size(),
              fmt::format("is `{}`, {} where {} is needed", text,
                          with_article(meanings.front().dimension), dimension_names(wanted)),
              example_with_article(wanted)));
}

tl::expected<double, QuantityProblem> parse_quantity(std::string_view text, Dimension wanted) {
  auto quantity = parse_quantity(text, std::vector<Dimension>{wanted});
  if (!quantity) return tl::unexpected(std::move(quantity.error()));
  return quantity->si;
}

}  // namespace tankyard
