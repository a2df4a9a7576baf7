// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "solver/network.h"
#include "solver/vent_flow.h"

namespace tankyard {

/// The air above the water of tanks whose lids are not open.
///
/// Ideal gas of one temperature, that of the outside air:  p space = m R T.  Through a hole air
/// comes and goes (solver/vent_flow.h); a sealed lid passes none. Water vapour is left out, but no
/// headspace falls below the water's vapour pressure: there the water boils.
///
/// In an implicit stage of weight w the pressure p of a headspace, given the head H at the tank's
/// bottom, solves
///     p space(V(level)) = R T (m + w vent(p)),   level = H - (p - p_atm) / (rho g),
/// one root for each H, since the left side rises with p and the right side falls. So a closed tank
/// still is one unknown, H, and its volume rises with it; a full sealed one is nearly a wall,
/// against which the pressure rises without its water giving way.
///
/// Two corners are rounded off, so that turns do not circle about them:
///     space = (x + sqrt(x^2 + 4 b^2)) / 2,   x = capacity - V,   b a ten-thousandth of the
///     capacity.
/// A full tank keeps a bubble of b, and may be pressed over full by another b an atmosphere, which
/// is less than real walls give. With a twentieth of the tank empty the space is 4e-6 of itself too
/// large, with a hundredth 1e-4.
///     p = gas + (vapour / 20)^2 / (p - vapour)
/// stands for the greater of the two; what it puts on at outside pressure, a headspace starts with:
/// so it is out by 0.12 Pa at a quarter of an atmosphere with water at 10 degC, and by 0.47 Pa
/// at 20.
///
/// Over the last thousandth of a tank's volume air leaves less and less freely, and water takes its
/// place in the lid's holes (`Point::gone`): a full tank holds no air to give.
///
/// Headspaces joined by balance lines are solved together, group by group. A balance line to a tank
/// with an open lid is one more hole to the outside. An overflow pipe is none: it may be under
/// water, trapped or screened.
class Headspaces {
 public:
  explicit Headspaces(const Network& network);

  bool none() const { return groups_.empty(); }
  bool closed(std::size_t tank) const { return vent_area_m2_[tank] >= 0.0; }

  /// What a tank is at a head: volume and level, and how they follow it.
  struct Point {
    double volume_m3 = 0.0;
    double volume_slope_m2 = 0.0;  ///< dV/dH, 0 or more
    double surface_m2 = 0.0;       ///< dV/d(level)
    double level_m = 0.0;          ///< of the water's surface above the datum
    double level_slope = 1.0;      ///< d(level)/dH, 0 to 1
    double gone = 0.0;             ///< how much of the last thousandth of headspace is gone, 0 to 1
    double head_m = 0.0;           ///< at the bottom, for which the rest holds
    double gas_m = 0.0;            ///< gauge pressure of the headspace as a head of water
    double air_kg_per_s = 0.0;     ///< into the headspace, and what more pressure does to it
    double air_per_gas_kg_per_s_m = 0.0;
    double rounding_m = 0.0;  ///< what the last digit of the volume does to the head
    // Only found where asked closely:
    double gas_per_kg_m = 0.0;         ///< how far more air would raise `gas_m` within the stage
    double gas_per_m3_m = 0.0;         ///< what more water at this air would do to `gas_m`, and
    double air_per_m3_kg_per_s = 0.0;  ///< to `air_kg_per_s`; without air lines
  };

  struct Ask {
    double weight_s = 0.0;
    double air_k = 288.15;                               ///< outside
    const std::vector<double>* air_wanted_kg = nullptr;  ///< m, per tank
    const std::vector<double>* tank_air_k =
        nullptr;  ///< per tank, for those with a swing of their own
    const std::vector<bool>* air_line_open = nullptr;  ///< per air line
    /// To the last digits, as what is kept must be; else as near as one turn of many needs.
    bool closely = true;
    /// How near, on the way: a turn about as small as the root of this times the gauge pressure is
    /// believed. A vent's flow goes with the root of its pressure, so half of this is left.
    double near_pa = 1e-6;
    /// `points` already answer this question at heads nearby: where a head has hardly moved since,
    /// slopes tell the rest.
    bool onward = false;
  };

  /// How the headspace of one tank follows the head in another of its group, and with it, at its
  /// own head unchanged, its volume.
  struct Cross {
    std::size_t tank = 0;
    std::size_t other = 0;
    double gas_slope = 0.0;        ///< dgas/dH of the other, 0 or more
    double volume_slope_m2 = 0.0;  ///< 0 or less
  };

  /// Solves every closed headspace at these heads; entries of open tanks are left alone. `points`
  /// carries the last pressures in, as a guess; `crosses` is refilled, in a fixed order.
  void at_heads(const Ask& ask, const std::vector<double>& head_m, std::vector<Point>& points,
                std::vector<Cross>& crosses);

  /// Solves the one group that a closed tank is in, without telling how its tanks tie.
  void at_head(const Ask& ask, std::size_t tank, const std::vector<double>& head_m,
               std::vector<Point>& points);

  /// The same for a caller without balance lines.
  void at_heads(const Ask& ask, const std::vector<double>& head_m, std::vector<Point>& points);

  /// Whether air lines tie two tanks into one group.
  bool breathe_together(std::size_t a, std::size_t b) const {
    return closed(a) && closed(b) && group_of_[a] == group_of_[b];
  }

  /// Pairs of tanks that balance lines tie together in one group.
  std::vector<std::pair<int, int>> joins() const;

  /// Mass of air in each headspace at outside pressure, kg.
  std::vector<double> air_at_rest_kg(const std::vector<double>& volume_m3,
                                     const std::vector<double>& tank_air_k) const;

  /// The bubble that a full tank keeps, kg, at outside pressure and a temperature.
  double bubble_kg(std::size_t tank, double air_k) const;

  /// Of the lid's holes, with their coefficient; 0 for a sealed one.
  double lid_area_m2(std::size_t tank) const { return vent_area_m2_[tank]; }

 private:
  struct Line {
    std::size_t part = 0;  // which air line
    std::size_t from = 0;
    std::size_t to = 0;
    BalanceLine as_hole;
  };
  struct Group {
    std::vector<std::size_t> tanks;
    std::vector<Line> lines;  // both ends in `tanks`, as places in it
  };
  /// What a stage holds fixed of one headspace while its pressure is looked for.
  struct Held {
    std::size_t tank = 0;
    double inside_k = 0.0;
    double outside_k = 0.0;
    double gas_constant = 0.0;  // R T, J/kg
    double air_j = 0.0;         // R T m
    double weighed = 0.0;       // R T w
    Vent lid;                   // without air lines
  };
  Held hold(const Ask& ask, std::size_t tank) const;
  void hold_all(const Ask& ask);
  /// Air from outside, by the lid's holes and by air lines to open tanks.
  AirFlow vent_of(const Ask& ask, const Held& held, double pressure_pa) const;
  void solve(const Ask& ask, const Group& group, const std::vector<double>& head_m,
             std::vector<Point>& points, std::vector<Cross>& crosses) const;
  void solve_group(const Ask& ask, const Group& group, const std::vector<double>& head_m,
                   std::vector<Point>& points, std::vector<Cross>& crosses) const;
  /// Room for the air at a volume, and how it follows what is left.
  struct Space {
    double left_m3 = 0.0;
    double m3 = 0.0;
    double slope = 1.0;
  };
  struct Missing {
    double vent_slope_kg_per_s_pa = 0.0;  // of the lid's holes, with p at this level
    double of_air_j = 0.0;                // p (cap - V) - R T (m + w inflow)
    double slope_m3 = 0.0;                // with p, over 0
    double slope_held_m3 = 0.0;           // the same at unchanged volume
    double per_m3_pa = 0.0;               // with the volume, less
    double per_head_j_per_m = 0.0;        // minus its slope with the head, 0 or more
    TankLaw::Volume volume;
    Space space;
    double gone = 0.0;
    double air_kg_per_s = 0.0;
  };
  /// What can still leave: 1 with space to spare, falling to 0 over the last thousandth of the
  /// tank.
  Space space_of(std::size_t tank, double volume_m3) const;
  /// What of a pressure is the gas's, the rest being the rounding towards boiling.
  double gas_of(double pressure_pa) const;
  struct Left {
    double share = 1.0;
    double slope_per_m3 = 0.0;
  };
  Left left_of(std::size_t tank, double left_m3) const;
  /// Without what balance lines bring.
  void find_missing(const Ask& ask, const Held& held, double head_m, double pressure_pa,
                    Missing& missing) const;
  /// The same, if the tank is a box with air to spare; else false.
  bool find_missing_in_a_box(const Held& held, double head_m, double pressure_pa,
                             Missing& missing) const;
  void fill(const Ask& ask, std::size_t tank, double head_m, double pressure_pa,
            const Missing& missing, Point& point) const;
  struct Root {
    double pressure_pa = 0.0;
    Missing missing;  // there, or next to it
  };
  /// Whether slopes tell the rest of the way from one pressure to the next. `gone`: as in `Point`.
  bool believes(const Ask& ask, double gone, double pressure_pa, double next_pa) const;
  Root root_at(const Ask& ask, const Held& held, double head_m, double guess_pa) const;

  const Network& network_;
  double weight_n_per_m3_ = 0.0;  // rho g
  double per_weight_ = 0.0;
  double atmosphere_pa_ = 0.0;
  double vapour_pa_ = 0.0;
  double least_pa_ = 0.0;
  /// What is asked of a tank again and again, side by side.
  struct Room {
    double area_m2 = 0.0;  // 0: ask its law
    double base_m = 0.0;
    double capacity_m3 = 0.0;
    double bubble_m3 = 0.0;
    double roomy_m3 = 0.0;  // with more air left than this it is a box with air to spare
  };
  std::vector<Room> rooms_;           // per tank
  std::vector<Held> held_;            // per tank: of the question under way; only read where closed
  std::vector<double> vent_area_m2_;  // of the lid; < 0: open
  std::vector<Line> to_open_air_;     // air lines from a closed tank, `from`, to an open one
  std::vector<Group> groups_;
  std::vector<std::size_t> group_of_;  // per tank; only read where its lid is closed
};

}  // namespace tankyard
