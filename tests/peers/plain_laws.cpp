// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <variant>

#include "passes_nought.h"
#include "plain_yard.h"

namespace plain {
namespace {

constexpr double pi = 3.141592653589793;
constexpr double gravity = 9.80665;

// Water at 20 degC: 1.0016 mPa s (the figure the IAPWS formulation is tied to) over 998.207 kg/m3
// (CIPM). Yards handed to this reading must be at 20 degC.
constexpr double viscosity_m2_per_s = 1.0016e-3 / 998.207;

}  // namespace

double friction_factor(double reynolds, double relative_roughness) {
  const auto fourth = [](double x) { return x * x * x * x; };
  const double a = fourth(
      fourth(2.457 * std::log(1.0 / (std::pow(7.0 / reynolds, 0.9) + 0.27 * relative_roughness))));
  const double b = fourth(fourth(37530.0 / reynolds));
  const double laminar = 8.0 / reynolds;
  const double sum = a + b;
  return 8.0 *
         std::pow(fourth(laminar * laminar * laminar) + 1.0 / (sum * std::sqrt(sum)), 1.0 / 12.0);
}

double head_lost_m(const Pipe& pipe, double flow_m3_per_s) {
  if (std::fabs(flow_m3_per_s) < 1e-30) return 0.0;
  const double velocity = std::fabs(flow_m3_per_s) / (pi / 4.0 * pipe.bore_m * pipe.bore_m);
  const double velocity_head = velocity * velocity / (2.0 * gravity);
  const double reynolds = velocity * pipe.bore_m / viscosity_m2_per_s;
  double head = 0.0;
  if (pipe.length_m == 0.0) {
    // A hole: K v^2 / 2g, rounded off below a Reynolds number of ten.
    head = pipe.loss_k * velocity_head * std::sqrt(1.0 + std::pow(10.0 / reynolds, 2.0));
  } else {
    // 64 / Re where the printed form would take its twelfth power out of a double's reach.
    const double f = reynolds < 1e-3 ? 64.0 / reynolds
                                     : friction_factor(reynolds, pipe.roughness_m / pipe.bore_m);
    head = (f * pipe.length_m / pipe.bore_m + pipe.loss_k) * velocity_head;
  }
  return std::copysign(head, flow_m3_per_s);
}

// Searched in logarithms, in which a loss law is nearly straight, between a flow that loses less
// and one that loses more.
double flow_m3_per_s(const Pipe& pipe, double head_m) {
  const double head = std::fabs(head_m);
  if (head < 1e-15) return 0.0;
  const auto spare = [&](double log_flow) {
    return std::log(head / head_lost_m(pipe, std::exp(log_flow)));
  };
  double low =
      std::log(pi / 4.0 * pipe.bore_m * pipe.bore_m * std::sqrt(2.0 * gravity * head) / 4.0);
  double high = low;
  while (spare(low) < 0.0) low -= 1.0;
  while (spare(high) > 0.0) high += 1.0;
  return std::copysign(std::exp(passes_nought(spare, low, high, 1e-12)), head_m);
}

double share_covered(double height_m, double bore_m) {
  if (height_m <= 0.0) return 0.0;
  if (height_m >= bore_m) return 1.0;
  // Circular segment: sector less triangle, over the circle.
  const double radius = bore_m / 2.0;
  const double up = height_m - radius;  // of the level over the centre
  const double sector = radius * radius * std::acos(-up / radius);
  const double triangle = -up * std::sqrt(radius * radius - up * up);
  return (sector - triangle) / (pi * radius * radius);
}

// Strips under their own depth, Cd integral b(y) sqrt(2g (h - y)) dy with b = 2 sqrt(y (D - y)).
// Part full, y = h cos^2(x) takes both roots away; full, y = D sin^2(x) does. What is left is even
// about both ends, where the trapezoidal rule has no error to speak of.
double overflow_m3_per_s(double height_m, double bore_m, double coefficient) {
  if (height_m <= 0.0) return 0.0;
  constexpr int strips = 200;
  double sum = 0.0;
  for (int k = 0; k < strips; ++k) {
    const double x = (k + 0.5) * pi / 2.0 / strips;
    const double both = std::pow(std::sin(x) * std::cos(x), 2.0);
    if (height_m < bore_m) {
      sum += 4.0 * height_m * height_m * both *
             std::sqrt(bore_m - height_m * std::pow(std::cos(x), 2.0));
    } else {
      sum +=
          4.0 * bore_m * bore_m * both * std::sqrt(height_m - bore_m * std::pow(std::sin(x), 2.0));
    }
  }
  return coefficient * std::sqrt(2.0 * gravity) * sum * pi / 2.0 / strips;
}

double depth_of(const tankyard::Shape& shape, double volume_m3) {
  if (volume_m3 <= 0.0) return 0.0;
  if (const auto* prism = std::get_if<tankyard::Prism>(&shape)) return volume_m3 / prism->area_m2;
  if (const auto* upright = std::get_if<tankyard::Upright>(&shape)) {
    return volume_m3 / (pi / 4.0 * upright->diameter_m * upright->diameter_m);
  }
  const auto& lying = std::get<tankyard::Lying>(shape);
  const double whole = pi / 4.0 * lying.diameter_m * lying.diameter_m;
  const double share = volume_m3 / (whole * lying.length_m);
  // Full to the top: water above it stands in a lid 0.4 m across.
  if (share >= 1.0) {
    return lying.diameter_m + (share - 1.0) * whole * lying.length_m / (pi / 4.0 * 0.16);
  }
  double low = 0.0;
  double high = lying.diameter_m;
  while (high - low > 1e-15 * lying.diameter_m + 1e-16 && 0.5 * (low + high) > low &&
         0.5 * (low + high) < high) {
    const double middle = 0.5 * (low + high);
    (share_covered(middle, lying.diameter_m) < share ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

double drawn(double height_m, double asked) {
  constexpr double fade_m = 0.01;
  const double x = height_m / fade_m;
  return x <= 0.0 ? 0.0 : x >= 1.0 ? asked : asked * x * (2.0 - x);
}

}  // namespace plain
