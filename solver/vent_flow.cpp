// SPDX-License-Identifier: MIT
#include "solver/vent_flow.h"

#include <cmath>
#include <limits>
#include <numbers>
#include <string>

#include "graph/breach.h"

namespace tankyard {

namespace {

using std::numbers::pi;

// (5/6)^3.5, where the bracket below has its top.
constexpr double choked_below = 0.52828178771717411;
// sqrt(7 (5/6)^5 / 6), the bracket's root there.
constexpr double choked_root = 0.68473145637727038;

[[noreturn]] void complain(double area_m2, double a_pa, double a_k, double b_pa, double b_k) {
  require("air_between", area_m2 >= 0.0 && std::isfinite(area_m2), "an area of 0 or more", area_m2);
  require("air_between", a_pa > 0.0 && std::isfinite(a_pa), "an absolute pressure over 0", a_pa);
  require("air_between", b_pa > 0.0 && std::isfinite(b_pa), "an absolute pressure over 0", b_pa);
  require("air_between", a_k > 0.0 && std::isfinite(a_k), "an absolute temperature over 0", a_k);
  require("air_between", b_k > 0.0 && std::isfinite(b_k), "an absolute temperature over 0", b_k);
  breach("air_between", "needs sound numbers");
}

struct Forth {
  double kg_per_s = 0.0;
  double with_upstream = 0.0;    // slope with the higher pressure
  double with_downstream = 0.0;  // slope with the lower pressure
};

// From the side of the higher pressure to the other. With g = 1.4 the exponents are sevenths: let
// y = r^(2/7), x = 1 - r, then
//
//     bracket = 7 (r^(10/7) - r^(12/7)) = 7 y^5 (1 - y)
//     d bracket / dx = 12 r^(5/7) - 10 r^(3/7) = y^1.5 (12 y - 10)
//
// Rounded off, m = A sqrt(p1 / R T1) sqrt(q) dp / (dp^4 + e^4)^(1/8) with q = bracket / x, which
// goes to 2 as x goes to 0. Its logarithm's derivatives, times 2 dp, are, with h = (d bracket / dx)
// / q:
//
//     at constant p1, with dp:    h + e^4 / (dp^4 + e^4)
//     at constant p2, with p1:    r h + e^4 / (dp^4 + e^4) + 2 x
Forth forth(double area_m2, double upstream_pa, double upstream_k, double downstream_pa,
            double rounded_below_pa) {
  const double dp = upstream_pa - downstream_pa;
  const double x = dp / upstream_pa;
  const double r = 1.0 - x;
  Forth flow;
  if (r <= choked_below) {
    flow.with_upstream = area_m2 * choked_root / std::sqrt(air_gas_constant * upstream_k);
    flow.kg_per_s = flow.with_upstream * upstream_pa;
    return flow;
  }

  // Of a small x, as nearly always, five terms of the binomial series hold to 1e-17; by way of
  // logarithms the quotient would also lose the last digits there, or be 0 / 0.
  double below_one_per_x = 0.0;  // (1 - y) / x
  if (x < 1e-3) {
    below_one_per_x =
        2.0 / 7.0 +
        x * (5.0 / 49.0 + x * (20.0 / 343.0 + x * (95.0 / 2401.0 + x * 494.0 / 16807.0)));
  } else {
    below_one_per_x = -std::expm1(2.0 / 7.0 * std::log1p(-x)) / x;
  }
  const double y = 1.0 - x * below_one_per_x;
  const double y2 = y * y;
  const double q = 7.0 * y2 * y2 * y * below_one_per_x;
  // Not below 0: within an ulp of choking, rounding alone could make it so.
  const double h = y * std::sqrt(y) * std::fmax(12.0 * y - 10.0, 0.0) / q;

  // 1 / sqrt(dp), rounded off; from 1e4 e on the difference is below rounding.
  const double e = rounded_below_pa * rounded_at_k / upstream_k;
  double per_root = 0.0;
  double rounded_share = 0.0;  // e^4 / (dp^4 + e^4)
  if (dp < 1e4 * e) {
    const double ratio2 = (dp / e) * (dp / e);
    rounded_share = 1.0 / (ratio2 * ratio2 + 1.0);
    per_root = std::sqrt(std::sqrt(std::sqrt(rounded_share)) / e);
  } else {
    per_root = 1.0 / std::sqrt(dp);
  }

  const double per_pa =  // m / dp
      area_m2 * std::sqrt(upstream_pa / (air_gas_constant * upstream_k) * q) * per_root;
  flow.kg_per_s = per_pa * dp;
  flow.with_downstream = -0.5 * per_pa * (h + rounded_share);
  flow.with_upstream = 0.5 * per_pa * (r * h + rounded_share + 2.0 * x);
  return flow;
}

}  // namespace

AirExchange air_between(double area_m2, double a_pa, double a_k, double b_pa, double b_k,
                        double rounded_below_pa) {
  constexpr double most = std::numeric_limits<double>::max();
  const bool sound = area_m2 >= 0.0 && area_m2 <= most && a_pa > 0.0 && a_pa <= most &&
                     b_pa > 0.0 && b_pa <= most && a_k > 0.0 && a_k <= most && b_k > 0.0 &&
                     b_k <= most;
  if (!sound) complain(area_m2, a_pa, a_k, b_pa, b_k);
  if (a_pa >= b_pa) {
    const Forth flow = forth(area_m2, a_pa, a_k, b_pa, rounded_below_pa);
    return {flow.kg_per_s, flow.with_upstream, flow.with_downstream};
  }
  const Forth flow = forth(area_m2, b_pa, b_k, a_pa, rounded_below_pa);
  return {-flow.kg_per_s, -flow.with_downstream, -flow.with_upstream};
}

AirFlow air_into(double area_m2, double outside_pa, double outside_k, double inside_pa,
                 double inside_k) {
  const AirExchange air = air_between(area_m2, outside_pa, outside_k, inside_pa, inside_k);
  return {air.kg_per_s, air.slope_with_b_kg_per_s_pa};
}

double effective_area_m2(const Lid& lid) {
  if (lid.kind == Lid::Kind::open) breach("effective_area_m2", "asked of an open lid");
  if (lid.kind == Lid::Kind::sealed) return 0.0;
  return lid.count * lid.coefficient * lid.screen * (pi / 4.0) * lid.hole_m * lid.hole_m;
}

BalanceLine balance_line(double bore_m, double length_m) {
  if (!(bore_m > 0.0) || !std::isfinite(bore_m) || !(length_m >= 0.0) || !std::isfinite(length_m)) {
    breach("balance_line", "needs a bore over 0 and a length of 0 or more, got " +
                               std::to_string(bore_m) + " m and " + std::to_string(length_m) +
                               " m");
  }
  constexpr double assumed_friction_factor = 0.03;
  const double k = assumed_friction_factor * length_m / bore_m + 1.5;
  constexpr double laminar_below_reynolds = 2300.0;
  constexpr double kinematic_viscosity_m2_per_s = 1.46e-5;
  constexpr double density_kg_per_m3 = 1.225;
  const double slow_m_per_s = laminar_below_reynolds * kinematic_viscosity_m2_per_s / bore_m;
  return {pi / 4.0 * bore_m * bore_m / std::sqrt(k),
          0.5 * k * density_kg_per_m3 * slow_m_per_s * slow_m_per_s};
}

}  // namespace tankyard
