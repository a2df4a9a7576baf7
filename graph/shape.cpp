// SPDX-License-Identifier: MIT
#include "graph/shape.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace tankyard {
namespace {

using std::numbers::pi;
constexpr double lying_lid_m = 0.4;  // across; stated in the header

double disc_m2(double diameter_m) { return pi / 4.0 * diameter_m * diameter_m; }

// x - sin x, which loses its digits by subtraction near zero. There its power series is summed
// instead: x^3/3! - x^5/5! + ... ; eight terms reach rounding for x up to 1.
double less_its_sine(double x) {
  if (x > 1.0) return x - std::sin(x);
  const double x2 = x * x;
  double term = x * x2 / 6.0;
  double sum = term;
  for (int k = 4; k <= 18; k += 2) {
    term *= -x2 / (k * (k + 1.0));
    sum += term;
  }
  return sum;
}

// A lying tank is told by the angle x that the water's surface spans at the axis, 0 to 2 pi:
//   depth = D sin^2(x/4),   volume = L r^2/2 (x - sin x).
// This is the circular segment of the header, without its cancellation at small depths. Over half
// full, the air is measured instead of the water, so that both ends are equally sharp.
double half_volume_m3(const Lying& lying, double depth_m) {
  const double r = lying.diameter_m / 2.0;
  const double x = 4.0 * std::asin(std::sqrt(depth_m / lying.diameter_m));
  return lying.length_m * r * r / 2.0 * less_its_sine(x);
}

// Solves x - sin x = y for y in [0, pi]. The curve is convex there and cbrt(6y) is never past the
// root (x - sin x <= x^3/6), so Newton's first turn lands beyond it and the others come back down;
// bisection steps in should rounding ever throw a turn out of the bracket.
double angle_of(double y) {
  if (y <= 0.0) return 0.0;
  double low = std::cbrt(6.0 * y) * (1.0 - 1e-15);
  double high = std::max(pi, low);
  double x = low;
  for (int turn = 0; turn < 100; ++turn) {
    const double miss = less_its_sine(x) - y;
    if (miss > 0.0) {
      high = x;
    } else {
      low = x;
    }
    const double sine = std::sin(x / 2.0);
    double next = x - miss / (2.0 * sine * sine);
    if (!(next >= low && next <= high)) next = low + (high - low) / 2.0;
    if (std::abs(next - x) <= 2e-16 * x) return next;
    x = next;
  }
  return x;
}

double half_depth_m(const Lying& lying, double volume_m3) {
  const double r = lying.diameter_m / 2.0;
  const double sine = std::sin(angle_of(2.0 * volume_m3 / (lying.length_m * r * r)) / 4.0);
  return lying.diameter_m * sine * sine;
}

// The step of a table that holds `value`, by the row it starts at; the first and the last step
// reach on beyond the table.
std::size_t step_of(const std::vector<double>& rows, double value) {
  const auto above = std::upper_bound(rows.begin(), rows.end(), value);
  const auto row = static_cast<std::size_t>(above - rows.begin());
  return std::clamp<std::size_t>(row, 1, rows.size() - 1) - 1;
}

double step_area_m2(const DepthTable& table, std::size_t step) {
  return (table.volume_m3[step + 1] - table.volume_m3[step]) /
         (table.depth_m[step + 1] - table.depth_m[step]);
}

// One small set of functions a shape; the public ones below only choose among them.

double height_of(const Prism& prism) { return prism.height_m; }
double height_of(const Upright& upright) { return upright.height_m; }
double height_of(const Lying& lying) { return lying.diameter_m; }
double height_of(const DepthTable& table) { return table.depth_m.back(); }

double capacity_of(const Prism& prism) { return prism.area_m2 * prism.height_m; }
double capacity_of(const Upright& upright) {
  return disc_m2(upright.diameter_m) * upright.height_m;
}
double capacity_of(const Lying& lying) { return disc_m2(lying.diameter_m) * lying.length_m; }
double capacity_of(const DepthTable& table) { return table.volume_m3.back(); }

double rim_area_of(const Prism& prism) { return prism.area_m2; }
double rim_area_of(const Upright& upright) { return disc_m2(upright.diameter_m); }
double rim_area_of(const Lying&) { return disc_m2(lying_lid_m); }
double rim_area_of(const DepthTable& table) {
  return step_area_m2(table, table.depth_m.size() - 2);
}

double rim_length_of(const Prism& prism) { return 4.0 * std::sqrt(prism.area_m2); }
double rim_length_of(const Upright& upright) { return pi * upright.diameter_m; }
double rim_length_of(const Lying&) { return pi * lying_lid_m; }
double rim_length_of(const DepthTable& table) { return 4.0 * std::sqrt(rim_area_of(table)); }

double volume_of(const Prism& prism, double depth_m) { return prism.area_m2 * depth_m; }
double volume_of(const Upright& upright, double depth_m) {
  return disc_m2(upright.diameter_m) * depth_m;
}
double volume_of(const Lying& lying, double depth_m) {
  const double above_rim_m = depth_m - lying.diameter_m;
  if (above_rim_m >= 0.0) return capacity_of(lying) + rim_area_of(lying) * above_rim_m;
  if (depth_m <= 0.0) return 0.0;
  if (depth_m <= lying.diameter_m / 2.0) return half_volume_m3(lying, depth_m);
  return capacity_of(lying) - half_volume_m3(lying, -above_rim_m);
}
double volume_of(const DepthTable& table, double depth_m) {
  const std::size_t step = step_of(table.depth_m, depth_m);
  // From the nearer row, so that the rows themselves come out exactly.
  const bool from_top = depth_m >= table.depth_m[step + 1];
  const std::size_t row = from_top ? step + 1 : step;
  return table.volume_m3[row] + step_area_m2(table, step) * (depth_m - table.depth_m[row]);
}

double surface_of(const Prism& prism, double) { return prism.area_m2; }
double surface_of(const Upright& upright, double) { return disc_m2(upright.diameter_m); }
double surface_of(const Lying& lying, double depth_m) {
  if (depth_m >= lying.diameter_m) return rim_area_of(lying);
  if (depth_m <= 0.0) return 0.0;
  return 2.0 * lying.length_m * std::sqrt(depth_m * (lying.diameter_m - depth_m));
}
double surface_of(const DepthTable& table, double depth_m) {
  return step_area_m2(table, step_of(table.depth_m, depth_m));
}

double depth_of(const Prism& prism, double volume_m3) { return volume_m3 / prism.area_m2; }
double depth_of(const Upright& upright, double volume_m3) {
  return volume_m3 / disc_m2(upright.diameter_m);
}
double depth_of(const Lying& lying, double volume_m3) {
  const double capacity = capacity_of(lying);
  const double above_rim_m3 = volume_m3 - capacity;
  if (above_rim_m3 >= 0.0) return lying.diameter_m + above_rim_m3 / rim_area_of(lying);
  if (volume_m3 <= 0.0) return 0.0;
  if (volume_m3 <= capacity / 2.0) return half_depth_m(lying, volume_m3);
  return lying.diameter_m - half_depth_m(lying, -above_rim_m3);
}
double depth_of(const DepthTable& table, double volume_m3) {
  const std::size_t step = step_of(table.volume_m3, volume_m3);
  const bool from_top = volume_m3 >= table.volume_m3[step + 1];
  const std::size_t row = from_top ? step + 1 : step;
  return table.depth_m[row] + (volume_m3 - table.volume_m3[row]) / step_area_m2(table, step);
}

}  // namespace

double height_m(const Shape& shape) {
  return std::visit([](const auto& kind) { return height_of(kind); }, shape);
}

double capacity_m3(const Shape& shape) {
  return std::visit([](const auto& kind) { return capacity_of(kind); }, shape);
}

double rim_area_m2(const Shape& shape) {
  return std::visit([](const auto& kind) { return rim_area_of(kind); }, shape);
}

double rim_length_m(const Shape& shape) {
  return std::visit([](const auto& kind) { return rim_length_of(kind); }, shape);
}

double volume_m3(const Shape& shape, double depth_m) {
  return std::visit([&](const auto& kind) { return volume_of(kind, depth_m); }, shape);
}

double surface_m2(const Shape& shape, double depth_m) {
  return std::visit([&](const auto& kind) { return surface_of(kind, depth_m); }, shape);
}

double depth_m(const Shape& shape, double volume_m3) {
  return std::visit([&](const auto& kind) { return depth_of(kind, volume_m3); }, shape);
}

}  // namespace tankyard
