// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "io/units.h"

namespace tankyard {

/// How a unit turns into SI: SI = (number x 10^tens x times / over) - below. Whole numbers and
/// powers of ten, so that nothing is rounded before the end.
struct UnitScale {
  int tens = 0;
  std::int64_t times = 1;
  std::int64_t over = 1;
  double first_less = 0.0;  ///< taken off the number before scaling: 32 for degF
  double then_less = 0.0;   ///< taken off the scaled number: 273.15 for K
};

/// A unit as one dimension understands it.
struct Unit {
  Dimension dimension = Dimension::length;
  UnitScale scale;
};

/// The meanings of a unit, simple ("mm") or made of two ("L/min"): several where one word serves
/// two dimensions (K, degC), none where it is not known.
std::vector<Unit> units_named(std::string_view name);

/// Units worth proposing for a dimension, the common ones first.
std::vector<std::string> common_units(Dimension dimension);

/// What to write in place of a word that people use for a unit, in words for a help line: "litres"
/// gives "the unit is written `L`"; none if the word is not one of those.
std::optional<std::string> advice_on(std::string_view word);

}  // namespace tankyard
