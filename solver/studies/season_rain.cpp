// SPDX-License-Identifier: MIT
#include "solver/studies/season_rain.h"

#include <algorithm>
#include <cstdio>

#include "graph/time_units.h"

namespace tankyard {
namespace {

constexpr double heaviest_m_per_s = 1.0 / 3600.0;  // 1000 mm/h: graph/check_day_sheet.cpp

}  // namespace

Troubles check(const PourRule& rule) {
  Troubles troubles;
  const auto complain = [&](const char* message, const char* help) {
    Trouble trouble;
    trouble.message = message;
    trouble.help = help;
    troubles.push_back(std::move(trouble));
  };
  if (!(rule.lasts_s >= 60.0 && rule.lasts_s <= day_s)) {
    complain("a day's rain must fall within 1 min to 24 h", "for example 6h");
  }
  if (!(rule.starts_s >= 0.0 && rule.starts_s < day_s)) {
    complain("a day's rain must begin between 00:00 and 24:00", "for example 12:00");
  } else if (troubles.empty() && rule.starts_s + rule.lasts_s > day_s) {
    complain("a day's rain must have fallen by midnight",
             "let it begin sooner, or fall in less time");
  }
  return troubles;
}

std::vector<Shower> poured(double depth_m, const PourRule& rule) {
  if (depth_m <= 0.0) return {};
  const double peak = rule.shape == PourShape::even ? 1.0 : 5.0 / 3.0;  // over the mean rate
  // A tenth of a percent under the limit, for a rate made of times that are rounded.
  const double least_s = peak * depth_m / (0.999 * heaviest_m_per_s);
  const double lasts_s = std::max(rule.lasts_s, std::min(least_s, day_s));
  const double starts_s = std::min(rule.starts_s, day_s - lasts_s);
  if (rule.shape == PourShape::even) return {{starts_s, lasts_s, depth_m}};
  std::vector<Shower> showers;
  showers.reserve(6);
  const double sixth_s = lasts_s / 6.0;
  constexpr double shares[] = {1.0, 3.0, 5.0, 5.0, 3.0, 1.0};  // eighteenths
  for (int k = 0; k < 6; ++k) {
    showers.push_back({starts_s + k * sixth_s, sixth_s, depth_m * shares[k] / 18.0});
  }
  return showers;
}

int year_of(std::chrono::sys_days day) {
  return static_cast<int>(std::chrono::year_month_day(day).year());
}

int month_day_of(std::chrono::sys_days day) {
  const std::chrono::year_month_day date(day);
  return static_cast<int>(static_cast<unsigned>(date.month()) * 100 +
                          static_cast<unsigned>(date.day()));
}

std::string date_text(std::chrono::sys_days day) {
  const int month_day = month_day_of(day);
  char text[32];
  std::snprintf(text, sizeof text, "%04d-%02d-%02d", year_of(day), month_day / 100,
                month_day % 100);
  return text;
}

}  // namespace tankyard
