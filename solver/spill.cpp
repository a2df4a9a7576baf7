// SPDX-License-Identifier: MIT
#include "solver/spill.h"

#include <array>
#include <cmath>
#include <cstddef>

#include "solver/round_mouth.h"
#include "solver/water.h"

namespace tankyard {
namespace {

// Gauss-Legendre points and weights on 0..1, sixteen points (Abramowitz and Stegun, table 25.4).
constexpr std::array<double, 16> gauss_at = {
    0.5 - 0.5 * 0.9894009349916499,  0.5 - 0.5 * 0.9445750230732326,
    0.5 - 0.5 * 0.8656312023878318,  0.5 - 0.5 * 0.755404408355003,
    0.5 - 0.5 * 0.6178762444026438,  0.5 - 0.5 * 0.45801677765722737,
    0.5 - 0.5 * 0.2816035507792589,  0.5 - 0.5 * 0.09501250983763744,
    0.5 + 0.5 * 0.09501250983763744, 0.5 + 0.5 * 0.2816035507792589,
    0.5 + 0.5 * 0.45801677765722737, 0.5 + 0.5 * 0.6178762444026438,
    0.5 + 0.5 * 0.755404408355003,   0.5 + 0.5 * 0.8656312023878318,
    0.5 + 0.5 * 0.9445750230732326,  0.5 + 0.5 * 0.9894009349916499};
constexpr std::array<double, 16> gauss_weight = {
    0.5 * 0.027152459411754058, 0.5 * 0.062253523938647776, 0.5 * 0.0951585116824929,
    0.5 * 0.12462897125553395,  0.5 * 0.14959598881657682,  0.5 * 0.16915651939500256,
    0.5 * 0.1826034150449236,   0.5 * 0.18945061045506847,  0.5 * 0.18945061045506847,
    0.5 * 0.1826034150449236,   0.5 * 0.16915651939500256,  0.5 * 0.14959598881657682,
    0.5 * 0.12462897125553395,  0.5 * 0.0951585116824929,   0.5 * 0.062253523938647776,
    0.5 * 0.027152459411754058};

constexpr double draw_fades_over_m = 0.01;

}  // namespace

namespace {

/// What the strips of a round mouth from its foot up to `top_m`, below its own top, pass under
/// `head_m` over that foot, without the discharge coefficient; slope with the head, the top
/// unmoved.
FlowAndSlope through_strips(double top_m, double head_m, double bore_m) {
  const double root_2g = std::sqrt(2.0 * gravity_m_per_s2);
  // The strips run over angles of the circle, y = D sin^2(a), so that both the chord's and, with
  // the top angle at the water's surface, most of the root's corner are smoothed away.
  //   b dy = 2 D^2 sin^2 a cos^2 a * 2 da ;  h - y = (D) (sin^2 top - sin^2 a) while part full.
  const double top = std::asin(std::sqrt(top_m / bore_m));
  double flow = 0.0;
  double slope = 0.0;
  for (std::size_t i = 0; i < gauss_at.size(); ++i) {
    // u -> 1 - (1 - u)^2 crowds the points at the surface, where the root has its corner.
    const double u = gauss_at[i];
    const double angle = top * (1.0 - (1.0 - u) * (1.0 - u));
    const double stretch = top * 2.0 * (1.0 - u);
    const double s = std::sin(angle);
    const double c = std::cos(angle);
    const double depth = head_m - bore_m * s * s;
    if (depth <= 0.0) continue;
    const double strip = 4.0 * bore_m * bore_m * s * s * c * c * stretch * gauss_weight[i];
    const double root = std::sqrt(depth);
    flow += strip * root;
    slope += strip * 0.5 / root;
  }
  return {root_2g * flow, root_2g * slope};
}

}  // namespace

FlowAndSlope through_overflow(double height_m, double bore_m, double coefficient) {
  if (height_m <= 0.0) return {};
  const RoundMouthFlow mouth = round_mouth_flow(height_m / bore_m);
  const double scale = coefficient * bore_m * std::sqrt(2.0 * gravity_m_per_s2 * bore_m);
  return {scale * bore_m * mouth.flow, scale * mouth.slope};
}

GasDriven through_overflow_under_gas(double height_m, double gas_m, double bore_m,
                                     double coefficient) {
  const double head_m = height_m + gas_m;
  if (height_m <= 0.0 || head_m <= 0.0) return {};
  if (gas_m <= 0.0 || height_m >= bore_m) {
    const FlowAndSlope flow = through_overflow(head_m, bore_m, coefficient);
    return {flow.m3_per_s, flow.slope_m2_per_s, flow.slope_m2_per_s};
  }
  const FlowAndSlope strips = through_strips(height_m, head_m, bore_m);
  // A higher surface also opens one more strip, which runs under the gas alone.
  const double chord_m = 2.0 * std::sqrt(height_m * (bore_m - height_m));
  const double opens = chord_m * std::sqrt(2.0 * gravity_m_per_s2 * gas_m);
  return {coefficient * strips.m3_per_s, coefficient * (strips.slope_m2_per_s + opens),
          coefficient * strips.slope_m2_per_s};
}

FlowAndSlope out_of_lid(double gas_m, double area_m2, double gone) {
  if (gas_m <= 0.0 || gone <= 0.0) return {};
  constexpr double rounded_below_m = 1e-3;
  const double root = std::sqrt(gas_m + rounded_below_m);
  const double scale = gone * area_m2 * std::sqrt(2.0 * gravity_m_per_s2);
  return {scale * gas_m / root, scale * (1.0 / root - 0.5 * gas_m / (root * root * root))};
}

FlowAndSlope backed_up_share(double gas_m) {
  const double x = gas_m - 2.0;
  if (x <= 0.0) return {};
  if (x >= 1.0) return {1.0, 0.0};
  return {x * x * (3.0 - 2.0 * x), 6.0 * x * (1.0 - x)};
}

FlowAndSlope over_rim(double height_m, double length_m) {
  if (height_m <= 0.0) return {};
  const double root = std::sqrt(height_m);
  constexpr double broad_crest = 1.705;
  return {broad_crest * length_m * height_m * root, 1.5 * broad_crest * length_m * root};
}

FlowAndSlope fixed_draw(double height_m, double asked_m3_per_s) {
  // A head put on the sill may lie below it by its last digit; without a slope there it would be
  // lost.
  constexpr double last_digit = 1e-9;
  const double x = height_m / draw_fades_over_m;
  if (x < -last_digit) return {};
  if (x < 0.0) return {0.0, asked_m3_per_s * 2.0 / draw_fades_over_m};
  if (x >= 1.0) return {asked_m3_per_s, 0.0};
  return {asked_m3_per_s * x * (2.0 - x), asked_m3_per_s * 2.0 * (1.0 - x) / draw_fades_over_m};
}

}  // namespace tankyard
