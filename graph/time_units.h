// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

inline constexpr double hour_s = 3600.0;
inline constexpr double day_s = 24.0 * hour_s;

}  // namespace tankyard
