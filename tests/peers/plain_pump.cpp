// SPDX-License-Identifier: MIT
#include "plain_pump.h"

#include <algorithm>
#include <cmath>

#include "passes_nought.h"

namespace plain {
namespace {

constexpr double least_share = 0.05;
constexpr double assumed_npsh_m = 2.5;
constexpr double least_npsh_m = 0.5;

/// Slope at `at` of the parabola through three points.
double parabola_slope(double x0, double y0, double x1, double y1, double x2, double y2, double at) {
  const double first = (y1 - y0) / (x1 - x0);
  const double second = ((y2 - y1) / (x2 - x1) - first) / (x2 - x0);
  return first + second * (2.0 * at - x0 - x1);
}

Bent lost_of(const std::vector<tankyard::CurvePoint>& curve) {
  std::vector<double> flow, lost;
  for (const auto& point : curve) {
    flow.push_back(point.flow_m3_per_s);
    lost.push_back(curve.front().head_m - point.head_m);
  }
  return {flow, lost, least_share};
}

Bent needed_of(const std::vector<tankyard::CurvePoint>& points) {
  std::vector<double> flow, need;
  for (const auto& point : points) {
    flow.push_back(point.flow_m3_per_s);
    need.push_back(std::max({point.head_m, least_npsh_m, need.empty() ? 0.0 : need.back()}));
  }
  // One figure, or none: level.
  if (points.size() < 2) {
    const double level = points.empty() ? assumed_npsh_m : need[0];
    return {{0.0, 1.0}, {level, level}, 0.0};
  }
  Bent needed{flow, need, 0.0};
  needed.start_level();
  return needed;
}

}  // namespace

Bent::Bent(std::vector<double> x, std::vector<double> y, double share)
    : x_(std::move(x)), y_(std::move(y)) {
  const std::size_t many = x_.size();
  std::vector<double> mean;
  for (std::size_t i = 0; i + 1 < many; ++i) {
    mean.push_back((y_[i + 1] - y_[i]) / (x_[i + 1] - x_[i]));
  }
  for (std::size_t i = 0; i < many; ++i) {
    if (many == 2) {
      slope_.push_back(mean[0]);
      continue;
    }
    const std::size_t first = std::min(i == 0 ? 0 : i - 1, many - 3);
    slope_.push_back(
        std::max(0.0, parabola_slope(x_[first], y_[first], x_[first + 1], y_[first + 1],
                                     x_[first + 2], y_[first + 2], x_[i])));
  }
  for (std::size_t i = 0; i + 1 < many; ++i) {
    if (mean[i] == 0.0) {
      slope_[i] = slope_[i + 1] = 0.0;
      continue;
    }
    const double length = std::hypot(slope_[i], slope_[i + 1]) / mean[i];
    if (length <= 3.0) continue;
    slope_[i] *= 3.0 / length;
    slope_[i + 1] *= 3.0 / length;
  }
  for (std::size_t i = 0; i < many; ++i) {
    const double before = mean[i == 0 ? 0 : i - 1];
    const double after = mean[i + 1 == many ? i - 1 : i];
    slope_[i] = std::max(slope_[i], share * std::min(before, after));
  }
}

double Bent::at(double x) const {
  if (x <= x_.front()) return y_.front() + slope_.front() * (x - x_.front());
  if (x >= x_.back()) return y_.back() + slope_.back() * (x - x_.back());
  std::size_t i = 0;
  while (x > x_[i + 1]) ++i;
  // Hermite's cubic by its four basis functions.
  const double width = x_[i + 1] - x_[i];
  const double t = (x - x_[i]) / width;
  const double u = 1.0 - t;
  return y_[i] * u * u * (1.0 + 2.0 * t) + y_[i + 1] * t * t * (3.0 - 2.0 * t) +
         width * t * u * (slope_[i] * u - slope_[i + 1] * t);
}

PlainPump::PlainPump(const tankyard::Pump& pump, double boils_m)
    : lost_(lost_of(pump.curve)),
      needed_(needed_of(pump.npsh_required)),
      one_need_(pump.npsh_required.size() < 2),
      shut_off_m_(pump.curve.front().head_m),
      boils_m_(boils_m) {
  const auto given = [this](double flow) { return shut_off_m_ - lost_inside_m(flow); };
  double high = lost_.end_x();
  while (given(high) > 0.0) high *= 2.0;
  free_m3_per_s_ = passes_nought(given, 0.0, high, 1e-15 * high);
}

double PlainPump::lost_inside_m(double flow) const {
  if (flow <= lost_.end_x()) return lost_.at(flow);
  const double over = flow * flow - lost_.end_x() * lost_.end_x();
  return lost_.end_y() + lost_.end_slope() * over / (2.0 * lost_.end_x());
}

double PlainPump::npsh_required_m(double flow) const {
  return one_need_ ? needed_.end_y() : needed_.at(std::max(flow, needed_.start_x()));
}

double PlainPump::left_by_suction(double inlet_m, double flow) const {
  const double x = (inlet_m - boils_m_) / npsh_required_m(flow);
  return x <= 0.0 ? 0.0 : x >= 1.0 ? 1.0 : x * (2.0 - x);
}

double PlainPump::running_m3_per_s(double inlet_m, double outlet_m, double share_covered) const {
  const double drive = share_covered * share_covered * (shut_off_m_ + inlet_m - outlet_m);
  const auto spare = [&](double flow) {
    return left_by_suction(inlet_m, flow) * drive - lost_inside_m(flow);
  };
  if (!(drive > 0.0) || !(spare(0.0) > 0.0)) return 0.0;
  double high = free_m3_per_s_;
  while (spare(high) > 0.0) high *= 2.0;
  return passes_nought(spare, 0.0, high, 1e-14 * free_m3_per_s_);
}

// Q sqrt(Q^2 + Q0^2) = head Q_free^2 / H0, a quadratic in Q^2.
double PlainPump::standing_m3_per_s(double head_m) const {
  const double wanted = std::fabs(head_m) * free_m3_per_s_ * free_m3_per_s_ / shut_off_m_;
  const double rest = std::pow(1e-4 * free_m3_per_s_, 2.0);
  const double square =
      2.0 * wanted * wanted / (rest + std::sqrt(rest * rest + 4.0 * wanted * wanted));
  return std::copysign(std::sqrt(square), head_m);
}

}  // namespace plain
