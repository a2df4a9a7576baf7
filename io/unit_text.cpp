// SPDX-License-Identifier: MIT
// The way back: SI into what people read (io/units.h).
#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "graph/time_units.h"
#include "io/unit_table.h"
#include "io/units.h"

namespace tankyard {
namespace {

/// A long double with so many figures, the zeros at its end left off, a point in any language.
std::string figures(long double value, int count) {
  char buffer[64];
  const auto written =
      std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::general, count);
  return {buffer, written.ptr};
}

/// Fixed decimals with the zeros at the end left off, and no minus in front of a zero.
std::string without_end_zeros(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

/// About three figures and never more than the unit can be measured to.
std::string measured(double value, std::string_view unit) {
  const double size = std::abs(value);
  const int decimals = size < 1.0 ? 2 : size < 100.0 ? 1 : 0;
  return fmt::format("{} {}", without_end_zeros(value, decimals), unit);
}

}  // namespace

std::string quantity_text(double si, std::string_view unit) {
  const std::vector<Unit> meanings = units_named(unit);
  if (meanings.empty() || !std::isfinite(si)) {
    fmt::print(stderr,
               "breach: quantity_text({}, \"{}\"): a finite number and a known unit needed\n", si,
               unit);
    std::abort();
  }
  const UnitScale& scale = meanings.front().scale;
  long double number = static_cast<long double>(si) * static_cast<long double>(scale.over) /
                       static_cast<long double>(scale.times);
  for (int tens = scale.tens; tens < 0; ++tens) number *= 10.0L;
  for (int tens = scale.tens; tens > 0; --tens) number /= 10.0L;
  // 17 figures always suffice for a double; the long double is a little off, so go on to 21.
  for (int count = 6; count <= 21; ++count) {
    std::string text = fmt::format("{} {}", figures(number, count), unit);
    const auto back = parse_quantity(text, meanings.front().dimension);
    if (back && *back == si) return text;
  }
  return fmt::format("{} {}", figures(number, 21), unit);
}

std::string litres_text(double m3) { return measured(m3 * 1e3, "L"); }

std::string millimetres_text(double m) { return measured(m * 1e3, "mm"); }

std::string litres_per_minute_text(double m3_per_s) { return measured(m3_per_s * 6e4, "L/min"); }

std::string duration_text(double s) {
  if (!(std::abs(s) < 1e15)) return fmt::format("{:g} s", s);
  if (s < 0.0) return "-" + duration_text(-s);
  if (s < 120.0 && s != 60.0) return fmt::format("{} s", without_end_zeros(s, 1));
  const auto whole = static_cast<long long>(std::llround(s));
  const long long hours = whole / 3600;
  const long long minutes = whole % 3600 / 60;
  const long long seconds = whole % 60;
  if (seconds == 0 && (minutes == 0 || hours == 0 || whole <= 5LL * 3600)) {
    return minutes == 0 ? fmt::format("{} h", hours) : fmt::format("{} min", whole / 60);
  }
  std::string text;
  if (hours > 0) text = fmt::format("{} h ", hours);
  if (minutes > 0) text += fmt::format("{} min ", minutes);
  if (seconds > 0) text += fmt::format("{} s ", seconds);
  text.pop_back();
  return text;
}

std::string clock_text(double s) {
  if (!(std::abs(s) < 1e15)) return fmt::format("{:g} s", s);
  const auto whole = static_cast<long long>(std::floor(s + 0.5));
  const auto per_day = static_cast<long long>(day_s);
  const long long day = (whole >= 0 ? whole : whole - per_day + 1) / per_day;
  const long long rest = whole - day * per_day;
  std::string text = fmt::format("{:02}:{:02}", rest / 3600, rest % 3600 / 60);
  if (rest % 60 != 0) text += fmt::format(":{:02}", rest % 60);
  if (day != 0) text += fmt::format(" on day {}", day + 1);
  return text;
}

std::optional<double> parse_clock(std::string_view text) {
  int parts[3] = {0, 0, 0};
  std::size_t count = 0;
  const char* at = text.data();
  const char* const end = text.data() + text.size();
  while (count < 3) {
    const char* const start = at;
    while (at != end && *at >= '0' && *at <= '9') ++at;
    const auto digits = at - start;
    if (digits > 2 || digits == 0 || (count > 0 && digits != 2)) return std::nullopt;
    std::from_chars(start, at, parts[count]);
    ++count;
    if (at == end) break;
    if (*at != ':' || count == 3) return std::nullopt;
    ++at;
  }
  if (at != end || count < 2) return std::nullopt;
  if (parts[0] > 23 || parts[1] > 59 || parts[2] > 59) return std::nullopt;
  return parts[0] * 3600.0 + parts[1] * 60.0 + parts[2];
}

}  // namespace tankyard
