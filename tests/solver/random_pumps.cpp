// SPDX-License-Identifier: MIT
#include "solver/random_pumps.h"

namespace tankyard {

std::vector<CurvePoint> any_pump_points() {
  const auto part = [] { return *rc::gen::inRange(1, 1001) / 1000.0; };
  const double head_m = 2.0 * std::pow(30.0, part());
  const double flow_m3_per_s = 5e-5 * std::pow(100.0, part());
  const int stretches = *rc::gen::inRange(1, 6);
  std::vector<double> flow{*rc::gen::inRange(0, 4) == 0 ? part() : 0.0};
  std::vector<double> fall{0.0};
  for (int i = 0; i < stretches; ++i) {
    flow.push_back(flow.back() + part());
    fall.push_back(fall.back() + part());
  }
  const double falls_by = *rc::gen::inRange(0, 4) == 0 ? 1.2 : 0.2 + 0.8 * part();
  std::vector<CurvePoint> points;
  for (std::size_t i = 0; i < flow.size(); ++i) {
    points.push_back(
        {flow_m3_per_s * flow[i] / flow.back(), head_m * (1.0 - falls_by * fall[i] / fall.back())});
  }
  return points;
}

std::vector<CurvePoint> any_sound_pump_points() {
  const auto part = [] { return *rc::gen::inRange(1, 1001) / 1000.0; };
  const double head_m = 2.0 * std::pow(30.0, part());
  const double flow_m3_per_s = 5e-5 * std::pow(100.0, part());
  const double power = 1.0 + 1.5 * part();
  const double falls_by = 0.5 + 0.5 * part();
  const int stretches = *rc::gen::inRange(1, 8);
  std::vector<CurvePoint> points;
  for (int i = 0; i <= stretches; ++i) {
    const double x = static_cast<double>(i) / stretches;
    points.push_back({flow_m3_per_s * x, head_m * (1.0 - falls_by * std::pow(x, power))});
  }
  return points;
}

}  // namespace tankyard
