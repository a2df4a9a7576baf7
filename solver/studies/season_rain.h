// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "graph/result.h"

namespace tankyard {

/// Rain at one even rate, within one day.
struct Shower {
  double starts_s = 0.0;  ///< after midnight, 0 to 86400
  double lasts_s = 0.0;   ///< over 0; ends by midnight
  double depth_m = 0.0;   ///< 0 or more
};

/// What a rain record says of one day.
struct RainDay {
  double depth_m = 0.0;         ///< 0 or more
  bool measured = true;         ///< false: the record has nothing, and `depth_m` is a stand-in
  std::vector<Shower> showers;  ///< in order; empty: only the day's total is known
};

/// Rain on consecutive days.
struct RainRecord {
  std::chrono::sys_days first;  ///< the date of `days[0]`
  std::vector<RainDay> days;
};

enum class PourShape {
  even,
  triangle  ///< rises to twice the mean half way and falls again: the triangular design storm (Yen
            ///< and Chow, J. Hydraul. Div. ASCE 106 (1980) 1013), in steps of a sixth of its time
};

/// How a day's total falls within the day, where the record does not say.
struct PourRule {
  double starts_s = 12.0 * 3600.0;  ///< after midnight
  double lasts_s = 6.0 * 3600.0;    ///< ends by midnight
  PourShape shape = PourShape::even;
};

/// Every rule broken. Empty: usable.
Troubles check(const PourRule& rule);

/// A day's total as showers. Heavier than 1000 mm/h, the most a run takes, does not fall: the pour
/// then lasts longer, and ends later. Requires: `check(rule)` is empty; 0 <= depth_m <= 5.
std::vector<Shower> poured(double depth_m, const PourRule& rule);

/// Year, month and day of a date as numbers, as in 2014, 415.
int year_of(std::chrono::sys_days day);
int month_day_of(std::chrono::sys_days day);

/// "2014-04-15"
std::string date_text(std::chrono::sys_days day);

}  // namespace tankyard
