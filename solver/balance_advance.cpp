// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "solver/balance.h"

namespace tankyard {
namespace {

constexpr double snap_share = 1e-3;
constexpr double drawn_head_settles_m = 1e-4;  // change of a header's head under an open draw
constexpr double may_give_share = 1e-2;        // of a draw, by what turns leave
constexpr double no_time_s = 1e-6;

}  // namespace

Balance::Turn Balance::advance(const Ask& ask, double share, double leap_m, Instant& instant) {
  elimination_.factorise(right_);

  Turn turn;
  const std::size_t tanks = network_.tanks.size();
  // No water stands higher than that of the highest tank, unless a headspace presses on it, or
  // pumps do.
  double highest_m = network_.highest_head_m;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    highest_m = std::max(highest_m, instant.head_m[i] + 1.0 + network_.all_pumps_lift_m);
  }
  double largest_m = 0.0;
  for (std::size_t i = 0; i < tanks; ++i) {
    double change = right_[i];
    if (!(std::fabs(change) <= largest_head_change_m)) {
      change = std::isnan(change) ? 0.0 : std::copysign(largest_head_change_m, change);
      turn.bounded = true;
    }
    change *= share;
    right_[i] = change;
    instant.head_m[i] += change;
    largest_m = std::max(largest_m, std::fabs(change));
  }
  turn.largest_change_m = largest_m;
  double to_sills = 1.0;
  for (std::size_t i = tanks; i < right_.size(); ++i) {
    if (!(std::fabs(right_[i]) <= leap_m)) {
      right_[i] = std::isnan(right_[i]) ? 0.0 : std::copysign(leap_m, right_[i]);
      const bool held = right_[i] < 0.0 ? instant.head_m[i] <= network_.lowest_head_m
                                        : instant.head_m[i] >= highest_m;
      turn.bounded = turn.bounded || !held;
    }
    if (right_[i] == 0.0) continue;
    // No head leaps over the height at which a draw on it fades out. All headers then go the same
    // share of their way: those joined by a wide hose must not be torn apart.
    const double to_sill = draw_sill_m_[i] - instant.head_m[i];
    if (to_sill * right_[i] <= 0.0 || std::fabs(to_sill) >= std::fabs(right_[i])) continue;
    turn.bounded = true;
    if (to_sill / right_[i] < snap_share) {
      right_[i] = to_sill;  // as good as there
    } else {
      to_sills = std::min(to_sills, to_sill / right_[i]);
    }
  }
  for (std::size_t i = tanks; i < right_.size(); ++i) {
    right_[i] *= share * to_sills;
    double next = instant.head_m[i] + right_[i];
    if (!(next >= network_.lowest_head_m && next <= highest_m)) {
      // A head at its bound is an answer only if it stays there; flows are refitted next turn.
      next = std::clamp(next, network_.lowest_head_m, highest_m);
      turn.bounded = turn.bounded || next != instant.head_m[i];
      right_[i] = next - instant.head_m[i];
    }
    instant.head_m[i] = next;
  }
  if (!points_.empty() || !network_.pumps.empty()) {
    double along = 0.0;
    double now2 = 0.0;
    double last2 = 0.0;
    last_way_.resize(right_.size(), 0.0);
    for (std::size_t i = 0; i < right_.size(); ++i) {
      along += right_[i] * last_way_[i];
      now2 += right_[i] * right_[i];
      last2 += last_way_[i] * last_way_[i];
    }
    turn.onward = along > 0.9 * std::sqrt(now2 * last2);
    last_way_ = right_;
  }
  advance_ways(ask, share, instant, turn);
  const double no_flow = no_flow_m3_per_s(ask);
  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    const Draw& draw = network_.draws[d];
    const auto place = static_cast<std::size_t>(draw.place);
    const double change = draw_slope_[d] * right_[place];
    instant.draw_m3_per_s[d] += change;
    // Against the draw at the new head too: an unfaded one has no slope, and says nothing of a head
    // that leaves it.
    double missed = 0.0;
    if (setting_.outlet_open[draw.outlet] && !ways_.rests[place]) {
      // A draw met in full settles the flow whatever the head; over time, whose water it is depends
      // on the head coming to it. Where nothing is drawn it is nobody's, and a head may creep on.
      const bool moving = std::fabs(right_[place]) > drawn_head_settles_m &&
                          std::fabs(instant.draw_m3_per_s[d]) > no_flow;
      if (place >= tanks && moving && ask.weight_s > no_time_s) turn.bounded = true;
      const double stands_m = draw_standing_[d].head_m + draw_standing_[d].slope * right_[place];
      missed = fixed_draw(stands_m - draw.mouth_m, draw.asked_m3_per_s).m3_per_s -
               instant.draw_m3_per_s[d];
    }
    // No draw gives water, however little that would count beside a large tank's.
    if (instant.draw_m3_per_s[d] < -may_give_share * draw.asked_m3_per_s) turn.bounded = true;
    turn.largest_change_m =
        std::max(turn.largest_change_m, std::max(std::fabs(change), std::fabs(missed)) *
                                            ask.worth_s / network_.smallest_area_m2);
  }
  for (const std::size_t i : spilling_) {
    const TankFlows& flows = tank_flows_[i];
    instant.overflow_m3_per_s[i] += flows.overflow.slope_m2_per_s * right_[i];
    if (flows.held_slope_m2_per_s != 0.0) {
      instant.overflow_m3_per_s[i] -=
          flows.held_slope_m2_per_s * right_[network_.tanks[i].overflow->to->index];
    }
    instant.over_rim_m3_per_s[i] += flows.rim.slope_m2_per_s * right_[i];
    if (!points_.empty()) {
      instant.turned_away_m3_per_s[i] += flows.turned_away.slope_m2_per_s * right_[i];
    }
  }
  for (const Headspaces::Cross& cross : crosses_) {
    const TankFlows& flows = tank_flows_[cross.tank];
    const double gas_m = cross.gas_slope * right_[cross.other];
    instant.overflow_m3_per_s[cross.tank] += flows.overflow_per_gas_m2_per_s * gas_m;
    instant.over_rim_m3_per_s[cross.tank] += flows.rim_per_gas_m2_per_s * gas_m;
    instant.turned_away_m3_per_s[cross.tank] += flows.turned_away_per_gas_m2_per_s * gas_m;
  }
  // A spill that turns below nought, or by much, is one that the next turn must look at again: over
  // a long step it would be worth more than any head tells.
  for (const std::size_t i : spilling_) {
    const TankFlows& flows = tank_flows_[i];
    double changes = 0.0;
    double least = 0.0;
    const auto look_at = [&](double was, double is) {
      changes += std::fabs(is - was);
      least = std::min(least, is);
    };
    look_at(flows.overflow.m3_per_s, instant.overflow_m3_per_s[i]);
    look_at(flows.rim.m3_per_s, instant.over_rim_m3_per_s[i]);
    if (!points_.empty()) look_at(flows.turned_away.m3_per_s, instant.turned_away_m3_per_s[i]);
    turn.largest_change_m =
        std::max(turn.largest_change_m, changes * ask.worth_s / network_.tanks[i].scale_area_m2);
    if (least < -no_flow) turn.bounded = true;
  }
  return turn;
}

void Balance::advance_ways(const Ask& ask, double share, Instant& instant, Turn& turn) {
  const double no_flow = no_flow_m3_per_s(ask);
  const std::size_t ways = plains_.size();
  const double* const change_m = right_.data();
  double* const flow = instant.way_m3_per_s.data();
  double largest_m = turn.largest_change_m;
  for (std::size_t w = 0; w < ways; ++w) {
    const Plain& way = plains_[w];
    const Slope& slope = slopes_[w];
    double change = share * slope.shift + slope.of_from * change_m[way.from];
    if (way.to != outside) change -= slope.of_to * change_m[way.to];
    flow[w] += change;
    if (!way.is_plain && flow[w] < 0.0 && ways_.open[w].one_way) {
      // Held shut from the next turn on; what is no more than rounding is shut at once.
      if (flow[w] < -no_flow - rounding_m3_per_s(w, instant))
        turn.bounded = true;
      else
        flow[w] = 0.0;
    }
    const double counts = ask.worth_s * way.per_area_per_m2;
    if (std::fabs(change) * counts <= largest_m) continue;
    // Beside a full headspace the last digit of a volume is worth more than the tolerance.
    const double sure = points_.empty() ? std::fabs(change)
                                        : std::fabs(change) - 4.0 * rounding_m3_per_s(w, instant);
    largest_m = std::max(largest_m, sure * counts);
  }
  turn.largest_change_m = largest_m;
}

}  // namespace tankyard
