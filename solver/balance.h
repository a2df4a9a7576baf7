// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/headspace.h"
#include "solver/instant.h"
#include "solver/loss_near.h"
#include "solver/network.h"
#include "solver/setting.h"
#include "solver/spill.h"

namespace tankyard {

/// Finds the instant at which every place's water adds up, for one implicit stage of a step:
///
///     V(H_i) = wanted_i + weight * (flows into i)      for tanks
///     0 = flows into j                                  for headers and joints
///     loss(Q_e) = s_e(H)^2 * (head difference of e)     for every open way
///
/// Flows are unknowns beside the heads, because a hose's loss is a smooth rising function of its
/// flow while its flow, as a function of head, has a vertical tangent at rest on which Newton's
/// method cycles. Flows are eliminated way by way, so the linear system still has one unknown a
/// place (solver/elimination.h). Balances are linear in the flows, so each turn meets them exactly:
/// water is kept to rounding however loosely the turns are stopped. There is one solution, and it
/// is isolated: every flow rises with its donor's head and falls with its receiver's (an
/// M-function, Rheinboldt, J. Math. Anal. Appl. 32 (1970) 274). One thing is not so: air that an
/// air line brings from a tank whose head rises presses more water out of another's overflow or
/// lid. For such yards one solution is not proven.
class Balance {
 public:
  explicit Balance(const Network& network);

  /// Takes over a setting; flows of `instant` are refitted to the new ways (kept where a way
  /// stays).
  void take(const Setting& setting, Instant& instant);

  const Ways& ways() const { return ways_; }
  const Headspaces& headspaces() const { return headspaces_; }

  struct Ask {
    double weight_s = 0.0;            ///< theta times the step
    double worth_s = 0.0;             ///< a flow error is reckoned as acting this long
    double depth_tolerance_m = 1e-4;  ///< stop when turns leave less than a 25th of it
    int most_sweeps = 20'000;
    bool closely = true;  ///< headspaces to the last digit, as what is kept must be
    Headspaces::Ask air;  ///< only read where a lid is closed; its weight is taken from above
    const std::vector<double>* wanted_m3 = nullptr;
  };
  struct Answer {
    bool settled = false;
    int turns = 0;
    bool swept = false;
  };
  /// `instant` holds the starting guess and receives the result.
  Answer settle(const Ask& ask, Instant& instant);

  /// The same by bracketed sweeps, place by place and group by group, from wherever `instant`
  /// stands: slow, but sure to draw nearer. A last resort, and a second opinion for tests. Balances
  /// of headers are met to `depth_tolerance_m` only.
  Answer sweep(const Ask& ask, Instant& instant);

  /// What an extra volume of water in each tank, and an extra mass of air in each headspace, come
  /// to after the flows have had `weight_s` to carry them on: the last factorised system, applied
  /// once more. In `water`: m3 per tank, zero for the rest; out: m of head per place. `air_kg` is
  /// empty while every lid is open. Returns the largest change of any level or headspace, m.
  double spread(std::vector<double>& water, const std::vector<double>& air_kg) const;

 private:
  static constexpr double largest_head_change_m = 3.0;  // of a tank, in a turn
  static constexpr double long_enough_s =
      1e-2;  // for headspaces to be nearly right until the last turn
  static constexpr double stop_share =
      0.04;  // of the depth tolerance: a turn after it changes its square

  struct Turn {
    double largest_change_m = 0.0;
    bool bounded = false;
    bool onward = false;  ///< goes the way of the turn before
  };
  /// `turns`: how many before this one asked the same.
  void assemble(const Ask& ask, Instant& instant, int turns = 0);
  Turn advance(const Ask& ask, double share, double leap_m, Instant& instant);
  void advance_ways(const Ask& ask, double share, Instant& instant, Turn& turn);
  /// Whether a setting opens the ways that are open now.
  bool same_ways(const Setting& setting) const;
  void take_ways(const Setting& setting, Instant& instant);
  double no_flow_m3_per_s(const Ask& ask) const;
  /// What passes a way by the heads alone.
  double flow_between(const Way& way, const std::vector<double>& head_m) const;
  void lift_outlets_of_pumps(const std::vector<bool>& was_running, Instant& instant) const;
  /// What a way's flow owes to the last digit of the heads at its ends.
  double rounding_m3_per_s(std::size_t way, const Instant& instant) const;
  /// Whether flows at mouths, crests and non-return valves are what the heads drive, to three times
  /// the tolerance. Those of hoses with both mouths under water are; pumps are not asked.
  bool flows_fit(const Ask& ask, const Instant& instant);
  bool headers_add_up(const Ask& ask, const Instant& instant);
  void close_headers(Instant& instant);
  double missing_at(int place, double head_m, const Ask& ask, Instant& instant);
  /// Groups of places that open ways join, each made of two by the widest way not yet within one.
  std::vector<std::vector<int>> joined_closest_first() const;
  /// Lifts or lowers places together until their water adds up, all else as it is. Returns by how
  /// much.
  double shift(const std::vector<int>& places, const Ask& ask, Instant& instant);
  void flows_at_heads(const Ask& ask, Instant& instant);

  void points_at_heads(const Ask& ask, const std::vector<double>& head_m, bool closely,
                       bool onward = false);
  void point_at_head(const Ask& ask, std::size_t tank, const std::vector<double>& head_m);
  void keep_points(Instant& instant) const;
  /// What a tank loses besides its ways, with slopes against its own head.
  struct TankFlows {
    FlowAndSlope overflow;
    FlowAndSlope rim;  ///< over the rim, or out of a closed lid's holes
    FlowAndSlope turned_away;
    double held_slope_m2_per_s = 0.0;  ///< less overflow a metre of head in the tank it runs into
    /// What more gas would do at the same head: the level falls as far as the gas rises.
    double overflow_per_gas_m2_per_s = 0.0;
    double rim_per_gas_m2_per_s = 0.0;
    double turned_away_per_gas_m2_per_s = 0.0;
  };
  TankFlows flows_of(std::size_t tank, double head_m) const;
  /// Whether `flows_of` a closed tank is nothing at all, as nearly always.
  bool leaves_by_ways_alone(std::size_t tank) const;
  void assemble_tanks(const Ask& ask, Instant& instant);
  void assemble_spill(double weight_s, std::size_t tank, Instant& instant);
  void assemble_ways(const Ask& ask, Instant& instant, int turns);
  void assemble_way(const Ask& ask, std::size_t way, Instant& instant, int turns);

  const Network& network_;
  Headspaces headspaces_;
  std::vector<Headspaces::Point> points_;  // per tank; open ones too once any lid is closed
  std::vector<Headspaces::Cross> crosses_;
  std::vector<double> level_m_;  // per place, with `points_`: where its water stands
  Setting setting_;
  Ways ways_;
  std::vector<std::size_t> outlets_with_ways_;  // all but fixed draws
  Elimination elimination_;
  struct Slope {
    double of_from = 0.0;  ///< dQ/dH of the place it leaves
    double of_to = 0.0;    ///< -dQ/dH of the place it enters
    double shift = 0.0;    ///< flow change at unchanged heads that meets the loss law
  };
  /// What every turn reads of a way, side by side. Not `is_plain`: only that is told, and the way
  /// itself is asked.
  struct Plain {
    int from = 0;
    int to = 0;
    double from_full_m = 0.0;
    double to_full_m = 0.0;
    Elimination::Coupling coupling;
    double per_area_per_m2 = 0.0;
    bool is_plain = false;
  };
  std::vector<Plain> plains_;        // per way
  std::vector<Slope> slopes_;        // per way
  std::vector<LossNear> losses_;     // per way
  double closeness_ = 0.0;           // of what they are asked, and
  double closeness_is_for_m_ = 0.0;  // at which tolerance
  double leap_m_ = 0.0;              // most a header's head may change in one of the first turns
  std::vector<double> draw_sill_m_;  // per place: where an open draw on it fades out
  std::vector<double> draw_slope_;   // per draw
  /// What a fixed draw on a place stands under: no more than the water's own level, and no more
  /// than the head that a headspace leaves it.
  struct Standing {
    double head_m = 0.0;
    double slope = 1.0;  ///< with the place's head
  };
  Standing standing_at(int place, const std::vector<double>& head_m) const;
  std::vector<Standing> draw_standing_;  // per draw
  /// What every turn reads of a tank, side by side: many tanks do not fit into the nearest cache.
  struct Bulk {
    double base_m = 0.0;
    double area_m2 = 0.0;  ///< 0: ask its law
    double lip_m = 0.0;
    double overflow_m = 0.0;
    double nearly_full_m = 0.0;  ///< a level from which a closed headspace soon is a wall
  };
  std::vector<Bulk> bulks_;                               // per tank
  std::vector<std::size_t> spilling_;                     // tanks whose flows are not all nought
  std::vector<TankFlows> tank_flows_;                     // per tank
  std::vector<Elimination::Coupling> overflow_coupling_;  // per tank, where it runs into another
  bool smooth_ = false;             // no mouth, lip or fade took part in the last turn
  double curvature_per_m_ = 0.0;    // a turn's change over the square of the one before
  double curvature_worth_s_ = 0.0;  // and over how long flows counted then
  std::vector<double> right_;       // right-hand side, then head changes
  std::vector<double> last_way_;    // head changes of the turn before
  std::vector<double> through_;     // what passes through each place, both ways
  std::vector<std::vector<std::size_t>> ways_at_;  // per place, for sweeps
};

}  // namespace tankyard
