// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace tankyard {

// How findings put numbers and names into sentences. The one place in solver/ that rounds and
// leaves SI; what is reckoned with never comes from here.

/// "`shed-1`".
std::string named(const std::string& name);

/// "`a`", "`a` and `b`", "`a`, `b` and `c`".
std::string listed(const std::vector<std::string>& names);

/// The same of phrases that stand as they are.
std::string joined_up(const std::vector<std::string>& phrases);

std::string in_litres(double volume_m3);          ///< "0.5 L", "12 L", "1240 L"
std::string in_mm(double length_m);               ///< "19 mm"; tenths below 10 mm
std::string in_metres(double length_m);           ///< "1.35 m"
std::string in_litres_a_minute(double m3_per_s);  ///< "0.4 L/min", "25 L/min"; without a sign
std::string in_minutes(double time_s);            ///< "40 s", "25 min", "3 h 10 min", "4 days"

constexpr double litres_per_m3 = 1000.0;
constexpr double mm_per_m = 1000.0;

}  // namespace tankyard
