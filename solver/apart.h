// SPDX-License-Identifier: MIT
#pragma once

// Private to solver/: when levels at the ends of a hose count as apart, for who keeps the books and
// for who tells of it. All are our choice.

namespace tankyard {

inline constexpr double apart_m = 0.100;       // through an open hose
inline constexpr double apart_for_s = 600.0;   // so long at least
inline constexpr double held_apart_m = 0.050;  // held apart by air in a crest

}  // namespace tankyard
