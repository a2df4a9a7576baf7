// SPDX-License-Identifier: MIT
#include "solver/friction.h"

#include <cmath>
#include <limits>
#include <numbers>

#include "graph/breach.h"
#include "solver/water.h"

namespace tankyard {

namespace {

using std::numbers::pi;

// Below this Reynolds number Churchill's second term is under 1e-16 of his first,
// Re^36 / (8^12 37530^24) < 8e-17, and its twelfth part is lost in rounding: f is 64/Re to the last
// bit that a double holds.
constexpr double only_laminar_below = 800.0;

struct Factor {
  double f = 0.0;
  double log_slope = 0.0;  // d ln f / d ln Re
  double log_bend = 0.0;   // its own slope with ln Re; only found where the flow is turbulent
  bool turbulent = false;
};

// How far a flow may move, as a share of itself, before its loss is off its parabola by 1e-7 of
// itself; where it is neither laminar nor turbulent, off its tangent.
constexpr double turbulent_share = 0.01;
constexpr double between_share = 1e-4;
constexpr double parabola_share = 0.19;  // of the way to its end: a caller may go five times as far

constexpr double ln_7 = 1.9459101490553132;

double power_16(double x) {
  const double x2 = x * x;
  const double x4 = x2 * x2;
  const double x8 = x4 * x4;
  return x8 * x8;
}

// Churchill's formula and its slope. With x = (7/Re)^0.9, y = x + 0.27 e, t = -2.457 ln y, S = A +
// B and g = (8/Re)^12 + S^-1.5, so that f = 8 g^(1/12):
//
//     s = d ln t / d ln Re = 2.457 * 0.9 (x / y) / t
//     d ln S / d ln Re = 16 (A s - B) / S
//     d ln f / d ln Re = -((8/Re)^12 + 2 S^-1.5 (A s - B) / S) / g
//
// Logarithms and exponentials are several times cheaper than powers and cube roots.
//
// With v = B / A and u = (8/Re)^12 / A^-1.5 / (1 + v)^-1.5 the same is
//
//     f = 8 / t^2  (1 + v)^(-1/8)  (1 + u)^(1/12)
//     d ln f / d ln Re = -(u (1 + v) + 2 (s - v)) / ((1 + u) (1 + v))
//
// From a Reynolds number of some 4200 on both are small, and their series do.
Factor churchill(double reynolds, double roughness_term) {
  constexpr double small = 1e-3;  // for v; u is smaller still
  // 8 * 1e31^(-1/12); g is about 1e-31, and the logarithm of 1e31 g is near nought, where it
  // carries less rounding.
  constexpr double eight_lowered = 0.020881257725460294;
  constexpr double raised = 1e31;

  const double log_re = std::log(reynolds);
  double y_share = 1.0;  // x / y
  double t = 2.457 * 0.9 * (log_re - ln_7);
  if (roughness_term > 0.0) {
    const double x = std::exp(0.9 * (ln_7 - log_re));
    const double y = x + roughness_term;
    y_share = x / y;
    t = -2.457 * std::log(y);
  }
  const double per_t = 1.0 / t;
  const double per_re = 1.0 / reynolds;
  const double s = (2.457 * 0.9) * y_share * per_t;
  const double l1 = 8.0 * per_re;
  Factor factor;

  const double v = power_16(37530.0 * per_re * per_t);
  const double t2 = t * t;
  if (v < small) {
    const double z1 = l1 * t2;
    const double z2 = z1 * z1;
    const double z4 = z2 * z2;
    const double u = z4 * z4 * z4 * (1.0 + v * (1.5 + 0.375 * v));
    const double by_v =
        1.0 - v * (1.0 / 8.0 - v * (9.0 / 128.0 - v * (51.0 / 1024.0 - v * (1275.0 / 32768.0))));
    const double by_u = 1.0 + u * (1.0 / 12.0 - u * (11.0 / 288.0 - u * (253.0 / 10368.0)));
    factor.f = 8.0 * per_t * per_t * by_v * by_u;
    factor.log_slope = -(u * (1.0 + v) + 2.0 * (s - v)) / ((1.0 + u) * (1.0 + v));
    factor.log_bend = 2.0 * s * (0.9 * (1.0 - y_share) + s) - 32.0 * (1.0 + s) * (1.0 + s) * v;
    factor.turbulent = true;
    return factor;
  }
  const double a = power_16(t);
  const double b = power_16(37530.0 * per_re);
  const double per_sum = 1.0 / (a + b);
  const double turbulent = per_sum * std::sqrt(per_sum);
  const double l2 = l1 * l1;
  const double l4 = l2 * l2;
  const double laminar = l4 * l4 * l4;
  const double g = laminar + turbulent;
  factor.f = eight_lowered * std::exp(std::log(raised * g) * (1.0 / 12.0));
  factor.log_slope = -(laminar + 2.0 * turbulent * (a * s - b) * per_sum) / g;
  return factor;
}

}  // namespace

double friction_factor(double reynolds, double relative_roughness) {
  require("friction", reynolds > 0.0, "a Reynolds number over 0", reynolds);
  require("friction", relative_roughness >= 0.0 && relative_roughness < 1.0,
          "a roughness from 0 to below the bore", relative_roughness);
  if (reynolds <= only_laminar_below) return 64.0 / reynolds;
  return churchill(reynolds, 0.27 * relative_roughness).f;
}

HoseLoss hose_loss(double bore_m, double length_m, double roughness_m, double loss_k,
                   double kinematic_viscosity_m2_per_s) {
  require("friction", bore_m > 0.0 && std::isfinite(bore_m), "a bore over 0", bore_m);
  require("friction", length_m >= 0.0 && std::isfinite(length_m), "a length of 0 or more",
          length_m);
  require("friction", roughness_m >= 0.0 && roughness_m < bore_m,
          "a roughness from 0 to below the bore", roughness_m);
  require("friction", loss_k >= 0.0 && std::isfinite(loss_k), "a loss of 0 or more", loss_k);
  require("friction", length_m > 0.0 || loss_k > 0.0, "a length or a loss over 0", loss_k);
  require("friction",
          kinematic_viscosity_m2_per_s > 0.0 && std::isfinite(kinematic_viscosity_m2_per_s),
          "a viscosity over 0", kinematic_viscosity_m2_per_s);

  const double area_m2 = pi / 4.0 * bore_m * bore_m;
  const double velocity_head = 1.0 / (2.0 * gravity_m_per_s2 * area_m2 * area_m2);
  HoseLoss hose;
  hose.reynolds_per_flow = bore_m / (area_m2 * kinematic_viscosity_m2_per_s);
  hose.friction = length_m / bore_m * velocity_head;
  hose.laminar_slope = 64.0 * hose.friction / hose.reynolds_per_flow;
  hose.fittings = loss_k * velocity_head;
  hose.roughness_term = 0.27 * roughness_m / bore_m;
  hose.parabola_below_m3_per_s = hose.friction == 0.0 ? std::numeric_limits<double>::infinity()
                                                      : only_laminar_below / hose.reynolds_per_flow;
  return hose;
}

HeadLoss head_lost(const HoseLoss& hose, double flow_m3_per_s) {
  const double size = std::fabs(flow_m3_per_s);
  const double reynolds = hose.reynolds_per_flow * size;
  if (!(reynolds > only_laminar_below) || hose.friction == 0.0) {
    // The other way it is another parabola.
    const double to_its_ends_m3_per_s = std::fmin(size, hose.parabola_below_m3_per_s - size);
    return {flow_m3_per_s * (hose.laminar_slope + hose.fittings * size),
            hose.laminar_slope + 2.0 * hose.fittings * size,
            std::copysign(2.0 * hose.fittings, flow_m3_per_s),
            parabola_share * to_its_ends_m3_per_s};
  }
  const Factor factor = churchill(reynolds, hose.roughness_term);
  const double friction = factor.f * hose.friction;
  const double power = 2.0 + factor.log_slope;
  HeadLoss loss{flow_m3_per_s * size * (friction + hose.fittings),
                size * (friction * power + 2.0 * hose.fittings), 0.0, between_share * size};
  if (factor.turbulent) {
    const double bend = friction * (power * (power - 1.0) + factor.log_bend);
    loss.bend_s2_per_m5 = std::copysign(bend + 2.0 * hose.fittings, flow_m3_per_s);
    loss.near_m3_per_s = turbulent_share * size;
  }
  return loss;
}

// Churchill's f is never below 64/Re, so the flow of the purely laminar hose, the root of
// laminar Q + fittings Q^2 = head, is an upper bound, and exact where Re comes out small. Otherwise
// Newton in logarithms, in which a loss law is nearly straight, kept between two bounds.
double flow_at(const HoseLoss& hose, double head_m) {
  const double head = std::fabs(head_m);
  require("friction", std::isfinite(head), "a finite head", head_m);
  if (head == 0.0) return 0.0;
  const double c = hose.laminar_slope;
  double high = 2.0 * head / (c + std::sqrt(c * c + 4.0 * hose.fittings * head));
  double low = only_laminar_below / hose.reynolds_per_flow;
  if (high <= low || hose.friction == 0.0) return std::copysign(high, head_m);

  double flow = std::sqrt(head / (0.03 * hose.friction + hose.fittings));
  if (!(flow > low && flow < high)) flow = std::sqrt(low * high);
  // Newton alone needs 3 to 6 turns; halving 1100 binary orders of magnitude to rounding needs 64.
  for (int turn = 0; turn < 200; ++turn) {
    const HeadLoss loss = head_lost(hose, flow);
    if (loss.head_m > head) {
      high = flow;
    } else {
      low = flow;
    }
    const double power = loss.slope_m_per_m3_per_s * flow / loss.head_m;
    const double step = std::log(head / loss.head_m) / power;
    double next = flow * std::exp(step);
    if (std::fabs(step) < 1e-8) return std::copysign(next, head_m);
    if (!(next > low && next < high)) next = std::sqrt(low * high);
    flow = next;
  }
  require("friction", false, "flow_at to settle within 200 turns", head_m);
  return 0.0;
}

}  // namespace tankyard
