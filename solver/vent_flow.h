// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>

#include "graph/tank.h"

namespace tankyard {

/// Specific gas constant of dry air, J/(kg K) (ISO 2533:1975). Moist air is up to 1 % lighter.
inline constexpr double air_gas_constant = 287.05287;

/// Where the root of a sharp hole's law is rounded off, e below, Pa, and at which temperature, K.
inline constexpr double hole_rounded_below_pa = 0.04;
inline constexpr double rounded_at_k = 288.15;

/// Air through a hole between two spaces a and b, and how it changes with the pressure of either.
struct AirExchange {
  double kg_per_s = 0.0;                  ///< from a to b; below 0 the other way
  double slope_with_a_kg_per_s_pa = 0.0;  ///< 0 or more
  double slope_with_b_kg_per_s_pa = 0.0;  ///< 0 or less
};

/// Air through a hole from one space into another, whichever way the pressures send it.
///
/// A sharp hole speeds the air up without heat or friction, as in any gas-dynamics text
/// (Saint-Venant and Wantzel 1839). With 1 the side of the higher pressure, 2 the other, r = p2 /
/// p1:
///
///     m = A p1 / sqrt(R T1) sqrt(2 g/(g-1) (r^(2/g) - r^((g+1)/g))),    g = 1.4
///
/// and, below r = (5/6)^3.5 = 0.52828, no more than there: the air moves at its own speed of sound.
/// At a pressure difference of 1 kPa this is half a percent under sqrt(2 rho dp), Bernoulli's.
///
/// Close to no difference a square root has an upright tangent, on which a solver turns in circles.
/// A real hole has none, as its flow turns laminar at a Reynolds number of some 10 to 100. Here the
/// root of dp gives way to  dp / (dp^4 + e^4)^(1/8),  e = 0.04 Pa at 15 degC, which for holes of 1
/// to 10 mm is a Reynolds number of 17 to 170. It is one part in a million of the flow at 1 Pa and
/// less than rounding at 400 Pa; e goes with 1 / T1, so that the slope does not jump at zero where
/// the two sides differ in temperature.
///
/// Continuous with its slopes everywhere, across zero and across choking as well; never falls with
/// the pressure of a, never rises with that of b; the slopes are exact derivatives.
///
/// `area_m2`: effective, that is the hole's times its discharge coefficient; 0 for no hole. The
/// coefficient is held constant, though that of a sharp hole grows from 0.6 towards 0.85 as the
/// flow chokes (Perry 1949, from memory): up to some 10 kPa this does not matter, beyond it air is
/// underestimated. Requires: `area_m2` 0 or more; pressures (Pa absolute) and temperatures (K) over
/// 0; all finite.
///
/// `rounded_below_pa`: e above, at 15 degC; over 0. A hose's is larger than a sharp hole's, as air
/// in it stays laminar longer (`balance_line`).
AirExchange air_between(double area_m2, double a_pa, double a_k, double b_pa, double b_k,
                        double rounded_below_pa = hole_rounded_below_pa);

/// Air into a headspace from outside.
struct AirFlow {
  double kg_per_s = 0.0;           ///< into the headspace; below 0: out of it
  double slope_kg_per_s_pa = 0.0;  ///< with the headspace's pressure, 0 or less
};

/// As `air_between`, from outside into a headspace.
AirFlow air_into(double area_m2, double outside_pa, double outside_k, double inside_pa,
                 double inside_k);

/// `air_into` made ready for one hole between two temperatures, for a caller who asks it again and
/// again: the same to rounding, at a third of the cost where a vent nearly always is, at
/// differences under a thousandth of the pressure.
///
/// There sqrt(q / 2) and h (vent_flow.cpp) are series in x = dp / p1, and, clear of e, the rounding
/// of the root is one in (e / dp)^4.
class Vent {
 public:
  Vent() = default;  ///< no hole
  /// Requires: as `air_into`.
  Vent(double area_m2, double outside_pa, double outside_k, double inside_k)
      : area_m2_(area_m2),
        outside_pa_(outside_pa),
        outside_k_(outside_k),
        inside_k_(inside_k),
        small_pa_(small_x * outside_pa),
        per_outside_pa_(1.0 / outside_pa),
        in_({2.0 * area_m2 * area_m2 / (air_gas_constant * outside_k), e_at(outside_k)}),
        out_({2.0 * area_m2 * area_m2 / (air_gas_constant * inside_k), e_at(inside_k)}) {}

  AirFlow at(double inside_pa) const {
    if (area_m2_ == 0.0) return {};
    const double in_by_pa = outside_pa_ - inside_pa;
    if (in_by_pa >= 0.0 && in_by_pa < small_pa_) {
      const Small small = small_flow(in_, outside_pa_, in_by_pa * per_outside_pa_, in_by_pa);
      return {small.per_pa * in_by_pa, -0.5 * small.per_pa * (small.h + small.rounded_share)};
    }
    if (in_by_pa < 0.0 && -in_by_pa < small_pa_) {
      const double y = -in_by_pa * per_outside_pa_;
      const double x = y * (1.0 - y * (1.0 - y * (1.0 - y * (1.0 - y))));  // y / (1 + y)
      const Small small = small_flow(out_, inside_pa, x, -in_by_pa);
      return {small.per_pa * in_by_pa,
              -0.5 * small.per_pa * ((1.0 - x) * small.h + small.rounded_share + 2.0 * x)};
    }
    return air_into(area_m2_, outside_pa_, outside_k_, inside_pa, inside_k_);
  }

 private:
  static constexpr double small_x = 1e-3;
  static constexpr double clear_of_e = 5.7;  // from there on (e / dp)^4 is under a thousandth
  static double e_at(double upstream_k) {
    return hole_rounded_below_pa * rounded_at_k / upstream_k;
  }

  struct Way {
    double scale = 0.0;  // 2 A^2 / (R T1)
    double e_pa = 0.0;
  };
  struct Small {
    double per_pa = 0.0;  // flow over dp
    double h = 0.0;
    double rounded_share = 0.0;  // e^4 / (dp^4 + e^4)
  };
  static Small small_flow(const Way& way, double upstream_pa, double x, double dp) {
    Small small;
    small.h = 1.0 - x * (15.0 / 14.0 +
                         x * (225.0 / 196.0 + x * (465.0 / 392.0 + x * (46497.0 / 38416.0))));
    const double root_of_half_q =
        1.0 - x * (15.0 / 28.0 +
                   x * (225.0 / 1568.0 + x * (3055.0 / 43904.0 + x * (206277.0 / 4917248.0))));
    if (dp > clear_of_e * way.e_pa) {
      const double per_dp = 1.0 / dp;
      const double e2 = (way.e_pa * per_dp) * (way.e_pa * per_dp);
      const double e4 = e2 * e2;
      const double rounded =  // (1 + e4)^(-1/8)
          1.0 -
          e4 * (1.0 / 8.0 - e4 * (9.0 / 128.0 - e4 * (51.0 / 1024.0 - e4 * (1275.0 / 32768.0))));
      small.per_pa = std::sqrt(way.scale * upstream_pa * per_dp) * root_of_half_q * rounded;
      small.rounded_share = e4 * (1.0 - e4 * (1.0 - e4 * (1.0 - e4)));
      return small;
    }
    const double per_e = 1.0 / way.e_pa;
    const double ratio2 = (dp * per_e) * (dp * per_e);
    small.rounded_share = 1.0 / (ratio2 * ratio2 + 1.0);
    small.per_pa =
        std::sqrt(way.scale * upstream_pa * per_e * std::sqrt(std::sqrt(small.rounded_share))) *
        root_of_half_q;
    return small;
  }

  double area_m2_ = 0.0;
  double outside_pa_ = 0.0;
  double outside_k_ = 0.0;
  double inside_k_ = 0.0;
  double small_pa_ = 0.0;
  double per_outside_pa_ = 0.0;
  Way in_;
  Way out_;
};

/// What a lid lets through, as an area with its coefficient in it: holes, times the part that an
/// insect screen leaves free. Zero for a sealed lid. Requires: the lid is not an open one, through
/// which the headspace is outside air and there is nothing to reckon.
double effective_area_m2(const Lid& lid);

/// An air hose between two headspaces as a hole of the same law: its own bore with the coefficient
/// 1 / sqrt(K), K = f L/D + 1.5 (entry and exit). f = 0.03 is an assumption, what a smooth hose has
/// at a Reynolds number of 1e4 (Churchill's formula gives 0.031); a long hose passes less of a slow
/// flow than this says. The root is rounded off below the difference that sends air through at a
/// Reynolds number of 2300, where it turns laminar (any fluids text): K rho/2 (2300 nu / D)^2, nu =
/// 1.46e-5 m2/s and rho = 1.225 kg/m3 at 15 degC (ISO 2533:1975). That the air thins along the hose
/// is not counted: good while the difference is a small part of the pressure. Requires: bore over
/// 0, length 0 or more, finite.
struct BalanceLine {
  double area_m2 = 0.0;           ///< effective
  double rounded_below_pa = 0.0;  ///< for `air_between`
};
BalanceLine balance_line(double bore_m, double length_m);

}  // namespace tankyard
