// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>

// Private to solver/: what the finders have in common. All are our choice.

namespace tankyard {

inline constexpr double least_m3 = 1e-3;      // 1 L: less water is worth no word
inline constexpr double least_dry_s = 60.0;   // an outlet dry for less is worth none either
inline constexpr std::size_t most_tried = 3;  // findings whose remedy is sought by running again
inline constexpr std::size_t most_named = 4;  // parts that one finding names

}  // namespace tankyard
