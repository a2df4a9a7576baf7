// SPDX-License-Identifier: MIT
#include "solver/sentences.h"

#include <cmath>
#include <cstddef>
#include <cstdio>

namespace tankyard {
namespace {

/// One decimal for small figures that have one, none for others: nobody reads tenths of a litre in
/// a thousand.
std::string rounded(double value, const char* unit) {
  const double tenths = std::round(value * 10.0);
  const bool whole = std::fabs(value) >= 9.95 || std::fmod(tenths, 10.0) == 0.0;
  char text[64];
  std::snprintf(text, sizeof text, whole ? "%.0f %s" : "%.1f %s", value, unit);
  return text;
}

}  // namespace

std::string named(const std::string& name) { return "`" + name + "`"; }

std::string listed(const std::vector<std::string>& names) {
  std::vector<std::string> phrases;
  phrases.reserve(names.size());
  for (const std::string& name : names) phrases.push_back(named(name));
  return joined_up(phrases);
}

std::string joined_up(const std::vector<std::string>& phrases) {
  std::string text;
  for (std::size_t i = 0; i < phrases.size(); ++i) {
    if (i > 0) text += i + 1 == phrases.size() ? " and " : ", ";
    text += phrases[i];
  }
  return text;
}

std::string in_litres(double volume_m3) { return rounded(volume_m3 * litres_per_m3, "L"); }

std::string in_mm(double length_m) { return rounded(length_m * mm_per_m, "mm"); }

std::string in_metres(double length_m) {
  char text[64];
  std::snprintf(text, sizeof text, "%.2f m", length_m);
  return text;
}

std::string in_litres_a_minute(double m3_per_s) {
  return rounded(std::fabs(m3_per_s) * litres_per_m3 * 60.0, "L/min");
}

std::string in_minutes(double time_s) {
  char text[64];
  if (time_s < 99.5) {
    std::snprintf(text, sizeof text, "%.0f s", time_s);
    return text;
  }
  const double minutes = std::round(time_s / 60.0);
  if (minutes < 100.0) {
    std::snprintf(text, sizeof text, "%.0f min", minutes);
  } else if (minutes < 48.0 * 60.0) {
    const double hours = std::floor(minutes / 60.0);
    std::snprintf(text, sizeof text, "%.0f h %.0f min", hours, minutes - 60.0 * hours);
  } else {
    std::snprintf(text, sizeof text, "%.0f days", std::round(minutes / 1440.0));
  }
  return text;
}

}  // namespace tankyard
