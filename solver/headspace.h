// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "solver/network.h"
#include "solver/vent_flow.h"

namespace tankyard {

/// The air above the water of tanks whose lids are not open.
///
/// Ideal gas of one temperature, that of the outside air:  p (capacity - V) = m R T.  Through a
/// hole air comes and goes (solver/vent_flow.h); a sealed lid passes none; walls are rigid. Water
/// vapour is left out, but no headspace falls below the water's vapour pressure: there the water
/// boils.
///
/// In an implicit stage of weight w the pressure p of a headspace, given the head H at the tank's
/// bottom, solves
///     p (capacity - V(level)) = R T (m + w vent(p)),   level = H - (p - p_atm) / (rho g),
/// one root for each H, since the left side rises with p and the right side falls. So a closed tank
/// still is one unknown, H, and its volume rises with it; a full sealed one is a wall, against
/// which the pressure rises without its water giving way.
///
/// A full tank keeps a bubble of a millionth of its volume, so that its pressure stays defined.
/// Over the last thousandth of a tank's volume air leaves less and less freely, and water takes its
/// place in the lid's holes (`Point::gone`): a full tank holds no air to give.
///
/// `run` does not use this yet: it takes every lid as open. Balance lines between headspaces are
/// not reckoned either.
class Headspaces {
 public:
  explicit Headspaces(const Network& network);

  bool closed(std::size_t tank) const { return vent_area_m2_[tank] >= 0.0; }

  /// What a tank is at a head: volume and level, and how they follow it.
  struct Point {
    double volume_m3 = 0.0;
    double volume_slope_m2 = 0.0;  ///< dV/dH, 0 or more
    double level_m = 0.0;          ///< of the water's surface above the datum
    double level_slope = 1.0;      ///< d(level)/dH, 0 to 1
    double gone = 0.0;             ///< how much of the last thousandth of headspace is gone, 0 to 1
    double gas_m = 0.0;            ///< gauge pressure of the headspace as a head of water
    double air_kg_per_s = 0.0;     ///< into the headspace
    double gas_per_kg_m = 0.0;     ///< how far more air would raise `gas_m` within the stage
  };

  struct Ask {
    double weight_s = 0.0;
    double air_k = 288.15;                               ///< outside
    const std::vector<double>* air_wanted_kg = nullptr;  ///< m, per tank
    const std::vector<double>* tank_air_k =
        nullptr;  ///< per tank, for those with a swing of their own
  };

  /// Solves every closed headspace at these heads, one entry a tank; entries of open tanks are left
  /// alone. `points` carries the last pressures in, as a guess.
  void at_heads(const Ask& ask, const std::vector<double>& head_m,
                std::vector<Point>& points) const;

  /// Mass of air in each headspace at outside pressure, kg.
  std::vector<double> air_at_rest_kg(const std::vector<double>& volume_m3,
                                     const std::vector<double>& tank_air_k) const;

 private:
  struct Missing {
    double of_air_j = 0.0;          // p (cap - V) - R T (m + w inflow)
    double slope_m3 = 0.0;          // with p, over 0
    double per_head_j_per_m = 0.0;  // minus its slope with the head, 0 or more
    TankLaw::Volume volume;
    double space_m3 = 0.0;
    double gone = 0.0;
    double air_kg_per_s = 0.0;
  };
  /// What can still leave: 1 with space to spare, falling to 0 over the last thousandth of the
  /// tank.
  struct Left {
    double share = 1.0;
    double slope_per_m3 = 0.0;
  };
  Left left_of(std::size_t tank, double space_m3) const;
  TankLaw::Volume volume_under(std::size_t tank, double head_m, double pressure_pa) const;
  Missing missing_air(const Ask& ask, std::size_t tank, double head_m, double pressure_pa) const;
  void fill(const Ask& ask, std::size_t tank, double head_m, double pressure_pa,
            const Missing& missing, Point& point) const;
  double bracketed_pa(const Ask& ask, std::size_t tank, double head_m, double guess_pa) const;

  const Network& network_;
  double weight_n_per_m3_ = 0.0;  // rho g
  double atmosphere_pa_ = 0.0;
  double least_pa_ = 0.0;  // vapour pressure
  std::vector<double> capacity_m3_;
  std::vector<double> vent_area_m2_;  // < 0: open
};

}  // namespace tankyard
