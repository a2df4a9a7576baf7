// SPDX-License-Identifier: MIT
#include "solver/suction.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "graph/breach.h"

namespace tankyard {
NpshRequired::NpshRequired(const std::vector<CurvePoint>& points) {
  std::vector<double> flow, needed;
  for (const CurvePoint& point : points) {
    require("NpshRequired", std::isfinite(point.flow_m3_per_s) && std::isfinite(point.head_m),
            "finite points");
    require("NpshRequired",
            point.flow_m3_per_s >= 0.0 && (flow.empty() || point.flow_m3_per_s > flow.back()),
            "flows of 0 or more, rising");
    flow.push_back(point.flow_m3_per_s);
    needed.push_back(
        std::max(point.head_m, needed.empty() ? least_npsh_required_m : needed.back()));
  }
  if (flow.size() < 2) {
    curve_ = {{0.0}, {needed.empty() ? assumed_npsh_required_m : needed[0]}, {0.0}};
    return;
  }
  curve_ = monotone_cubic(std::move(flow), std::move(needed), 0.0);
  curve_.slope.front() = 0.0;
}

ValueAndSlope NpshRequired::at(double flow_m3_per_s) const {
  if (flow_m3_per_s <= curve_.x.front()) return {curve_.y.front(), 0.0};
  const double beyond = flow_m3_per_s - curve_.x.back();
  if (beyond > 0.0) return {curve_.y.back() + beyond * curve_.slope.back(), curve_.slope.back()};
  return value_at(curve_, flow_m3_per_s);
}

Throttle throttle(const Suction& suction, double inlet_head_m, double flow_m3_per_s) {
  const ValueAndSlope needed = suction.required.at(flow_m3_per_s);
  const double x = npsh_available_m(inlet_head_m, suction.boils_at_m) / needed.value;
  if (x >= 1.0) return {1.0, 0.0, 0.0};
  if (x < 0.0) return {0.0, 0.0, 0.0};
  const double with_x = 2.0 * (1.0 - x);
  return {x * (2.0 - x), with_x / needed.value, -with_x * x * needed.slope / needed.value};
}

}  // namespace tankyard
