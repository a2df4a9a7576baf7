// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace tankyard {

/// What the whole yard shares.
struct Site {
  std::string name;
  double altitude_m = 0.0;               ///< above sea level, -100 to 5000
  double water_temperature_degc = 10.0;  ///< above 0, up to 40
  double air_temperature_degc = 15.0;    ///< -30 to 60
  double air_swing_k = 0.0;              ///< warmest less coldest hour of the air, 0 or more
  double warmest_hour = 15.0;            ///< clock hour of the warmest air, 0 to 24
  double coldest_hour = 5.0;             ///< clock hour of the coldest air, 0 to 24
  double water_price_per_m3 = 0.0;       ///< what mains water costs, in the reader's own money
};

/// Where a part stands, seen from above.
struct Position {
  double x_m = 0.0;
  double y_m = 0.0;
};

}  // namespace tankyard
