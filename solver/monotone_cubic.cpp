// SPDX-License-Identifier: MIT
#include "solver/monotone_cubic.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "graph/breach.h"

namespace tankyard {
namespace {

// On a stretch of length h, mean slope m and end slopes a, b, with t from 0 to 1:
//     y = y0 + h t (a + t ((3 m - 2 a - b) + t (a + b - 2 m)))
struct Stretch {
  double length = 0.0;
  double first = 0.0;   // a
  double second = 0.0;  // 3 m - 2 a - b
  double third = 0.0;   // a + b - 2 m

  double rise(double t) const { return length * t * (first + t * (second + t * third)); }
  double slope(double t) const { return first + t * (2.0 * second + t * 3.0 * third); }
};

Stretch stretch(const MonotoneCubic& curve, std::size_t i) {
  const double length = curve.x[i + 1] - curve.x[i];
  const double mean = (curve.y[i + 1] - curve.y[i]) / length;
  const double a = curve.slope[i];
  const double b = curve.slope[i + 1];
  return {length, a, 3.0 * mean - 2.0 * a - b, a + b - 2.0 * mean};
}

// The stretch that holds a number among rising ones; at a point, the one that begins there.
std::size_t stretch_of(const std::vector<double>& rising, double number) {
  const auto after = std::upper_bound(rising.begin() + 1, rising.end() - 1, number);
  return static_cast<std::size_t>(after - rising.begin()) - 1;
}

// Slope at the first of three points of the parabola through them; 0 if it would fall.
double end_slope(double near_length, double near_mean, double far_length, double far_mean) {
  const double slope =
      near_mean + (near_mean - far_mean) * near_length / (near_length + far_length);
  return std::max(0.0, slope);
}

}  // namespace

MonotoneCubic monotone_cubic(std::vector<double> x, std::vector<double> y, double least_share) {
  require("monotone_cubic", x.size() >= 2 && x.size() == y.size(), "two points or more");
  require("monotone_cubic", least_share >= 0.0 && least_share <= 0.1,
          "a least share from 0 to 0.1");
  const std::size_t last = x.size() - 1;
  std::vector<double> length(last), mean(last);
  for (std::size_t i = 0; i < last; ++i) {
    require("monotone_cubic", std::isfinite(x[i]) && std::isfinite(x[i + 1]) && x[i + 1] > x[i],
            "x rising from point to point");
    require("monotone_cubic", std::isfinite(y[i]) && std::isfinite(y[i + 1]) && y[i + 1] >= y[i],
            "y that never falls");
    length[i] = x[i + 1] - x[i];
    mean[i] = (y[i + 1] - y[i]) / length[i];
  }

  std::vector<double> slope(last + 1, mean[0]);
  if (last > 1) {
    slope[0] = end_slope(length[0], mean[0], length[1], mean[1]);
    slope[last] = end_slope(length[last - 1], mean[last - 1], length[last - 2], mean[last - 2]);
    for (std::size_t i = 1; i < last; ++i) {
      slope[i] = (length[i] * mean[i - 1] + length[i - 1] * mean[i]) / (length[i - 1] + length[i]);
    }
  }
  for (std::size_t i = 0; i < last; ++i) {
    if (mean[i] == 0.0) {
      slope[i] = slope[i + 1] = 0.0;
      continue;
    }
    const double size = std::hypot(slope[i], slope[i + 1]) / mean[i];
    if (size > 3.0) {
      slope[i] *= 3.0 / size;
      slope[i + 1] *= 3.0 / size;
    }
  }
  // What this raises stays where a stretch cannot fall: that region reaches beyond the circle of
  // radius 3 next to its ends (Fritsch and Carlson, fig. 1).
  for (std::size_t i = 0; i <= last; ++i) {
    const double least = std::min(mean[std::min(i, last - 1)], mean[i > 0 ? i - 1 : 0]);
    slope[i] = std::max(slope[i], least_share * least);
  }
  return {std::move(x), std::move(y), std::move(slope)};
}

ValueAndSlope value_at(const MonotoneCubic& curve, double x) {
  require("value_at", x >= curve.x.front() && x <= curve.x.back(), "a place on the curve");
  const std::size_t i = stretch_of(curve.x, x);
  const Stretch on = stretch(curve, i);
  const double t = (x - curve.x[i]) / on.length;
  return {curve.y[i] + on.rise(t), on.slope(t)};
}

double where(const MonotoneCubic& curve, double y) {
  require("where", y >= curve.y.front() && y <= curve.y.back(), "a value on the curve");
  const std::size_t i = stretch_of(curve.y, y);
  const Stretch on = stretch(curve, i);
  const double wanted = y - curve.y[i];
  double low = 0.0;
  double high = 1.0;
  double t = wanted / (curve.y[i + 1] - curve.y[i]);
  for (int turn = 0; turn < 200; ++turn) {
    const double missing = on.rise(t) - wanted;
    if (missing == 0.0) break;
    (missing > 0.0 ? high : low) = t;
    // Newton's step where it stays between what is known, else halve.
    double next = t - missing / (on.length * on.slope(t));
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::fabs(next - t) <= 2e-16 * t || next == low || next == high) break;
    t = next;
  }
  return curve.x[i] + on.length * t;
}

}  // namespace tankyard
