// SPDX-License-Identifier: MIT
#pragma once

#include <optional>

#include "graph/ids.h"

namespace tankyard {

/// Water that is taken every day of a season, in place of a day sheet: so many litres out of one
/// outlet, through a pump if it needs one.
struct Use {
  OutletId outlet;
  std::optional<PumpId> pump;               ///< started with the outlet and stopped with it
  double daily_m3 = 0.0;                    ///< over 0
  double at_s = 6.0 * 3600.0;               ///< clock time it begins, s after midnight, below 86400
  std::optional<int> from_month_day;        ///< month * 100 + day: the first day of its season, ...
  std::optional<int> until_month_day;       ///< ... and the last; none: the year's end
  std::optional<double> skip_after_rain_m;  ///< nothing is taken on a day with so much rain
};

/// Whether a day of the year, month * 100 + day, lies in the use's season. A season that ends
/// before it begins runs over New Year.
inline bool in_season(const Use& use, int month_day) {
  const int from = use.from_month_day.value_or(101);
  const int until = use.until_month_day.value_or(1231);
  if (from <= until) return from <= month_day && month_day <= until;
  return month_day >= from || month_day <= until;
}

}  // namespace tankyard
