// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

// Private to io/: numbers as they stand in JSON, which has neither infinity nor NaN.

namespace tankyard {

using Json = nlohmann::ordered_json;

inline Json number(double value) {
  if (!std::isfinite(value)) return nullptr;
  return value == 0.0 ? 0.0 : value;  // no minus before a zero
}
inline Json number(std::optional<double> value) { return value ? number(*value) : Json(nullptr); }
inline Json litres(double m3) { return number(m3 * 1000.0); }
inline Json millimetres(double m) { return number(m * 1000.0); }

}  // namespace tankyard
