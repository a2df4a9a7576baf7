// SPDX-License-Identifier: MIT
#pragma once

#include "graph/tank.h"

namespace tankyard {

/// Specific gas constant of dry air, J/(kg K) (ISO 2533:1975). Moist air is up to 1 % lighter.
inline constexpr double air_gas_constant = 287.05287;

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
                        double rounded_below_pa = 0.04);

/// Air into a headspace from outside.
struct AirFlow {
  double kg_per_s = 0.0;           ///< into the headspace; below 0: out of it
  double slope_kg_per_s_pa = 0.0;  ///< with the headspace's pressure, 0 or less
};

/// As `air_between`, from outside into a headspace.
AirFlow air_into(double area_m2, double outside_pa, double outside_k, double inside_pa,
                 double inside_k);

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
