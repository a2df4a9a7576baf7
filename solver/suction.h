// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/pump.h"
#include "solver/monotone_cubic.h"
#include "solver/water.h"

namespace tankyard {

/// The head at a pump's inlet at which the water there boils, above the yard's datum:
///     z + (p_vapour - p_atmosphere) / (rho g),    z the inlet's own height,
/// some 10.2 m below the inlet at sea level and 10 degC, a metre less for every 870 m up a hill.
inline double boils_at_head_m(const Water& water, double inlet_height_m) {
  return inlet_height_m - (water.atmosphere_pa - water.vapour_pressure_pa) /
                              (water.density_kg_per_m3 * gravity_m_per_s2);
}

/// Net positive suction head (NPSH) that the water brings: how far the inlet's head stands above
/// boiling. With the surface z_s metres above the inlet and h_f lost on the way this is the usual
///     (p_surface - p_vapour) / (rho g) + z_s - h_f
/// (any pump text), since a tank's head counts the pressure of its air: a choked vent lowers it.
inline double npsh_available_m(double inlet_head_m, double boils_at_m) {
  return inlet_head_m - boils_at_m;
}

/// What a pump is taken to need where its maker does not say. An assumption: at sea level it begins
/// to be throttled at 7.7 m of lift, where practice puts the limit (6 to 7.9 m, tests/published).
inline constexpr double assumed_npsh_required_m = 2.5;

/// No pump is taken to need less than this. It is also the margin that a handbook asks for over the
/// maker's figure; without any, the throttle below would be a step.
inline constexpr double least_npsh_required_m = 0.5;

/// Net positive suction head that a pump needs, against flow: through the maker's points, never
/// falling, no corner, level at the first of them; one point holds at every flow, none is the
/// assumed figure. Where printed points dip, as they may at small flows, a later one counts at
/// least as one before it: on the safe side, and never falling is what keeps an array solvable.
/// Before the first point it is level; after the last, straight on.
class NpshRequired {
 public:
  /// Requires: flows 0 or more and rising, all finite.
  explicit NpshRequired(const std::vector<CurvePoint>& points);

  /// Value in m and slope in m per m3/s, 0 or more. A flow below 0 counts as none.
  ValueAndSlope at(double flow_m3_per_s) const;

 private:
  MonotoneCubic curve_;
};

/// A pump's inlet side.
struct Suction {
  double boils_at_m = 0.0;  ///< `boils_at_head_m`
  NpshRequired required{{}};
};

/// What short suction leaves of the head that drives water through a pump, and its slopes.
///
/// With x = available / required NPSH the share is
///     1                 where x >= 1
///     x (2 - x)         between
///     0                 where the water boils, x <= 0.
/// At x = 0 itself the slope is the one above it.
/// Nothing is lost while the need is met; no corner there. At boiling it sets out from nothing at a
/// slope and not flat, so that the head at which a pump draws on an empty suction hose is a plain
/// root, found in a few turns (as with `fixed_draw`, solver/spill.h). Never falls with the inlet's
/// head, never rises with the flow. The form between its ends is a choice: how a pump fades while
/// it cavitates is not known for garden pumps. By the definition of the maker's figure (NPSH3, ISO
/// 9906, from memory) 3 % of the head are gone already at x = 1; here none are.
struct Throttle {
  double share = 1.0;
  double with_inlet_per_m = 0.0;    ///< 0 or more
  double with_flow_s_per_m3 = 0.0;  ///< 0 or less
};
Throttle throttle(const Suction& suction, double inlet_head_m, double flow_m3_per_s);

}  // namespace tankyard
