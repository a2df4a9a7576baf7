// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "solver/balance.h"
#include "solver/drive.h"

namespace tankyard {
namespace {

constexpr double no_slope_m2_per_s = 1e-20;  // flow per head of a place that nothing pulls on
constexpr double no_pull_within_m = 1.0;     // a head that drives no flow worth the name
constexpr int absurd_from_turn = 25;
constexpr double absurd_loss_m = 30.0;  // of head, beyond what drives a way

}  // namespace

Balance::TankFlows Balance::flows_of(std::size_t i, double head_m) const {
  TankFlows flows;
  const TankLaw& tank = network_.tanks[i];
  const bool closed = !points_.empty() && headspaces_.closed(i);
  if (!closed) {
    if (head_m <= tank.lip_m) return flows;
    flows.rim = over_rim(head_m - tank.rim_m, tank.rim_length_m);
    if (tank.overflow) {
      flows.overflow = through_overflow(head_m - tank.overflow_m, tank.overflow->bore_m,
                                        tank.overflow->coefficient);
    }
  } else {
    const Headspaces::Point& point = points_[i];
    const double gas_slope = 1.0 - point.level_slope;
    if (tank.overflow) {
      const GasDriven flow =
          through_overflow_under_gas(point.level_m - tank.overflow_m, point.gas_m,
                                     tank.overflow->bore_m, tank.overflow->coefficient);
      flows.overflow = {flow.m3_per_s, flow.slope_with_level_m2_per_s * point.level_slope +
                                           flow.slope_with_gas_m2_per_s * gas_slope};
      flows.overflow_per_gas_m2_per_s =
          flow.slope_with_gas_m2_per_s - flow.slope_with_level_m2_per_s;
    }
    if (point.gone > 0.0) {
      flows.rim = out_of_lid(point.gas_m, headspaces_.lid_area_m2(i), point.gone);
      flows.rim_per_gas_m2_per_s = flows.rim.slope_m2_per_s;
      flows.rim.slope_m2_per_s *= gas_slope;
    }
    if (setting_.inflow_m3_per_s[i] > 0.0 && point.gas_m > 0.0) {
      const FlowAndSlope share = backed_up_share(point.gas_m);
      flows.turned_away = {setting_.inflow_m3_per_s[i] * share.m3_per_s,
                           setting_.inflow_m3_per_s[i] * share.slope_m2_per_s * gas_slope};
      flows.turned_away_per_gas_m2_per_s = setting_.inflow_m3_per_s[i] * share.slope_m2_per_s;
    }
  }
  if (tank.overflow && tank.overflow->to && !points_.empty()) {
    // A pressed headspace holds back what falls into it, here as from a roof.
    const Headspaces::Point& into = points_[tank.overflow->to->index];
    const FlowAndSlope held = backed_up_share(into.gas_m);
    flows.held_slope_m2_per_s =
        flows.overflow.m3_per_s * held.slope_m2_per_s * (1.0 - into.level_slope);
    flows.overflow.m3_per_s *= 1.0 - held.m3_per_s;
    flows.overflow.slope_m2_per_s *= 1.0 - held.m3_per_s;
    flows.overflow_per_gas_m2_per_s *= 1.0 - held.m3_per_s;
  }
  return flows;
}

bool Balance::leaves_by_ways_alone(std::size_t i) const {
  const Headspaces::Point& point = points_[i];
  return point.level_m <= bulks_[i].overflow_m && point.gone <= 0.0 &&
         (point.gas_m <= 0.0 || setting_.inflow_m3_per_s[i] <= 0.0);
}

void Balance::assemble_tanks(const Ask& ask, Instant& instant) {
  const double weight = ask.weight_s;
  const std::size_t tanks = bulks_.size();
  const double* const head = instant.head_m.data();
  const double* const wanted = ask.wanted_m3->data();
  const double* const inflow = setting_.inflow_m3_per_s.data();
  double* const right = right_.data();
  double* const diagonal = elimination_.diagonals();
  if (instant.spills) {
    std::fill(instant.overflow_m3_per_s.begin(), instant.overflow_m3_per_s.end(), 0.0);
    std::fill(instant.over_rim_m3_per_s.begin(), instant.over_rim_m3_per_s.end(), 0.0);
    std::fill(instant.turned_away_m3_per_s.begin(), instant.turned_away_m3_per_s.end(), 0.0);
  }
  for (const std::size_t i : spilling_) tank_flows_[i] = {};
  spilling_.clear();
  for (std::size_t i = 0; i < tanks; ++i) {
    const Bulk& bulk = bulks_[i];
    const bool over = head[i] > bulk.lip_m;
    if (over) smooth_ = false;
    TankLaw::Volume volume;
    if (!points_.empty() && headspaces_.closed(i)) {
      volume = {points_[i].volume_m3, points_[i].volume_slope_m2};
      if (points_[i].level_m > bulk.nearly_full_m) smooth_ = false;
      if (!leaves_by_ways_alone(i)) spilling_.push_back(i);
    } else {
      volume = bulk.area_m2 > 0.0
                   ? TankLaw::Volume{bulk.area_m2 * (head[i] - bulk.base_m), bulk.area_m2}
                   : network_.tanks[i].volume_at(head[i]);
      if (over) spilling_.push_back(i);
    }
    right[i] = wanted[i] - volume.m3 + weight * inflow[i];
    diagonal[i] = volume.surface_m2;
  }
  const std::size_t places = right_.size();
  for (std::size_t i = tanks; i < places; ++i) right[i] = diagonal[i] = 0.0;
  for (const std::size_t i : spilling_) assemble_spill(weight, i, instant);
  instant.spills = !spilling_.empty();
}

void Balance::assemble_spill(double weight, std::size_t i, Instant& instant) {
  const TankFlows& flows = tank_flows_[i] = flows_of(i, instant.head_m[i]);
  const bool spills = flows.overflow.m3_per_s > 0.0 || flows.rim.m3_per_s > 0.0;
  if (spills || (!points_.empty() && points_[i].gone > 0.0)) smooth_ = false;
  instant.overflow_m3_per_s[i] = flows.overflow.m3_per_s;
  instant.over_rim_m3_per_s[i] = flows.rim.m3_per_s;
  if (!points_.empty()) instant.turned_away_m3_per_s[i] = flows.turned_away.m3_per_s;
  const std::optional<Overflow>& overflow = network_.tanks[i].overflow;
  if (overflow && overflow->to) {
    const std::size_t into = overflow->to->index;
    right_[into] += weight * flows.overflow.m3_per_s;
    elimination_.entry(overflow_coupling_[i].at_b_of_a) -= weight * flows.overflow.slope_m2_per_s;
    elimination_.entry(overflow_coupling_[i].at_a_of_b) -= weight * flows.held_slope_m2_per_s;
    elimination_.diagonal(static_cast<int>(into)) += weight * flows.held_slope_m2_per_s;
  }
  right_[i] -= weight * (flows.overflow.m3_per_s + flows.rim.m3_per_s + flows.turned_away.m3_per_s);
  elimination_.diagonal(static_cast<int>(i)) +=
      weight *
      (flows.overflow.slope_m2_per_s + flows.rim.slope_m2_per_s + flows.turned_away.slope_m2_per_s);
}

void Balance::assemble(const Ask& ask, Instant& instant, int turns) {
  const double weight = ask.weight_s;
  smooth_ = true;
  elimination_.clear_couplings();
  if (!points_.empty()) {
    const bool closely = ask.weight_s < long_enough_s;
    points_at_heads(ask, instant.head_m, closely, turns != 0);
  }
  assemble_tanks(ask, instant);
  for (const Headspaces::Cross& cross : crosses_) {
    const auto at =
        elimination_.coupling(static_cast<int>(cross.tank), static_cast<int>(cross.other));
    const TankFlows& flows = tank_flows_[cross.tank];
    const double per_gas = flows.overflow_per_gas_m2_per_s + flows.rim_per_gas_m2_per_s +
                           flows.turned_away_per_gas_m2_per_s;
    elimination_.entry(at.at_a_of_b) += cross.volume_slope_m2 + weight * per_gas * cross.gas_slope;
    const auto& overflow = network_.tanks[cross.tank].overflow;
    if (!overflow || !overflow->to) continue;
    const std::size_t into = overflow->to->index;
    const double runs = weight * flows.overflow_per_gas_m2_per_s * cross.gas_slope;
    if (into == cross.other) {
      elimination_.diagonal(static_cast<int>(into)) -= runs;
    } else if (headspaces_.breathe_together(into, cross.other)) {
      const auto gets =
          elimination_.coupling(static_cast<int>(into), static_cast<int>(cross.other));
      elimination_.entry(gets.at_a_of_b) -= runs;
    }
  }

  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    const Draw& draw = network_.draws[d];
    const auto place = static_cast<std::size_t>(draw.place);
    draw_slope_[d] = instant.draw_m3_per_s[d] = 0.0;
    if (!setting_.outlet_open[draw.outlet] || ways_.rests[place]) continue;
    const Standing water = draw_standing_[d] = standing_at(draw.place, instant.head_m);
    FlowAndSlope flow = fixed_draw(water.head_m - draw.mouth_m, draw.asked_m3_per_s);
    flow.slope_m2_per_s *= water.slope;
    instant.draw_m3_per_s[d] = flow.m3_per_s;
    draw_slope_[d] = flow.slope_m2_per_s;
    if (flow.slope_m2_per_s != 0.0) smooth_ = false;
    right_[place] -= weight * flow.m3_per_s;
    elimination_.diagonal(draw.place) += weight * flow.slope_m2_per_s;
  }

  assemble_ways(ask, instant, turns);

  // A place that rests, or that nothing pulls on at these heads, keeps its head. An open tank
  // always pulls.
  const bool all_open = points_.empty();
  const std::size_t first = all_open ? network_.tanks.size() : 0;
  const double no_flow = no_flow_m3_per_s(ask);
  const double no_slope =
      all_open ? std::max(no_slope_m2_per_s, no_flow / no_pull_within_m) : no_slope_m2_per_s;
  for (std::size_t i = first; i < ways_.rests.size(); ++i) {
    const int place = static_cast<int>(i);
    if (ways_.rests[i]) {
      elimination_.diagonal(place) = 1.0;
      right_[i] = 0.0;
    } else if (elimination_.diagonal(place) <= no_slope * weight) {
      // Nor does rounding pull on a header, which would throw it about.
      if (all_open && std::fabs(right_[i]) <= no_flow * weight) right_[i] = 0.0;
      elimination_.diagonal(place) = no_slope * weight;
    }
  }
}

void Balance::assemble_ways(const Ask& ask, Instant& instant, int turns) {
  const double weight = ask.weight_s;
  const std::size_t ways = ways_.open.size();
  if (turns >= absurd_from_turn) {
    for (std::size_t w = 0; w < ways; ++w) assemble_way(ask, w, instant, turns);
    return;
  }
  const Plain* const way_at = plains_.data();
  LossNear* const loss_of = losses_.data();
  Slope* const slope_of = slopes_.data();
  const double* const flow_at = instant.way_m3_per_s.data();
  const double* const head = instant.head_m.data();
  const double* const level = points_.empty() ? head : level_m_.data();
  double* const right = right_.data();
  double* const diagonal = elimination_.diagonals();
  double* const entry = elimination_.entries();
  const double closeness = closeness_;
  for (std::size_t w = 0; w < ways; ++w) {
    const Plain& way = way_at[w];
    const auto from = static_cast<std::size_t>(way.from);
    const auto to = static_cast<std::size_t>(way.to);
    const double flow = flow_at[w];
    // Nearly always both mouths stand well under water and something flows; then this is all that
    // `assemble_way` would do.
    const bool is_plain = way.is_plain && level[from] >= way.from_full_m &&
                          level[to] >= way.to_full_m && std::fabs(flow) > 0.0;
    if (!is_plain) {
      assemble_way(ask, w, instant, turns);
      continue;
    }
    const HeadLoss loss = loss_of[w].at(ways_.open[w].loss, flow, closeness);
    const double per = 1.0 / loss.slope_m_per_m3_per_s;
    const double shift = (head[from] - head[to] - loss.head_m) * per;
    slope_of[w] = {per, per, shift};
    const double passes = weight * (flow + shift);
    const double more = weight * per;
    right[from] -= passes;
    right[to] += passes;
    diagonal[from] += more;
    diagonal[to] += more;
    entry[way.coupling.at_a_of_b] -= more;
    entry[way.coupling.at_b_of_a] -= more;
  }
}

void Balance::assemble_way(const Ask& ask, std::size_t w, Instant& instant, int turns) {
  const double weight = ask.weight_s;
  const Way& way = ways_.open[w];
  double flow = instant.way_m3_per_s[w];
  Slope& slope = slopes_[w];
  const Drive drive = way.is_pump ? Drive{} : drive_of(way, instant.head_m, points_, flow);
  if (drive.partly || drive.past) smooth_ = false;
  if (way.is_pump) {
    const PumpTurn turn =
        pump_turn(network_.pumps[*way.pump].running, flow, pump_ends(way, instant.head_m, points_));
    if (!turn.smooth) smooth_ = false;
    flow = instant.way_m3_per_s[w] = turn.flow_m3_per_s;
    slope = {turn.of_from, turn.of_to, turn.shift};
  } else if (drive.head_m == 0.0 && drive.partly) {
    // Dry mouth, or a non-return valve held shut: nothing passes. The slope at the edge matters
    // only where the head difference is nil.
    slope = {0.0, 0.0, -flow};
    if (drive.of_from > 0.0 || drive.of_to > 0.0) {
      const double per = 1.0 / head_lost(way.loss, 0.0).slope_m_per_m3_per_s;
      slope.of_from = drive.of_from * per;
      slope.of_to = drive.of_to * per;
    }
  } else {
    HeadLoss loss = losses_[w].at(way.loss, flow, closeness_);
    // Where a mouth runs dry or a flow starts from rest, Newton on the loss law would halve or
    // overshoot its way there; the law's inverse goes there at once. So it does, where
    // turns go round in circles, from a flow that no heads of this yard could drive, which would
    // tear headers apart on its way back.
    const double over_m = std::fabs(loss.head_m) - 4.0 * std::fabs(drive.head_m);
    const bool absurd = turns >= absurd_from_turn && over_m > absurd_loss_m;
    if (flow == 0.0 || absurd || (drive.partly && over_m > 0.0)) {
      flow = instant.way_m3_per_s[w] = flow_at(way.loss, drive.head_m);
      loss = losses_[w].at(way.loss, flow, closeness_);
    }
    const double per = 1.0 / loss.slope_m_per_m3_per_s;
    slope = {drive.of_from * per, drive.of_to * per, (drive.head_m - loss.head_m) * per};
  }
  const double passes = weight * (flow + slope.shift);
  const auto from = static_cast<std::size_t>(way.from);
  right_[from] -= passes;
  elimination_.diagonal(way.from) += weight * slope.of_from;
  if (way.to != outside) {
    right_[static_cast<std::size_t>(way.to)] += passes;
    elimination_.diagonal(way.to) += weight * slope.of_to;
    elimination_.entry(way.coupling.at_a_of_b) -= weight * slope.of_to;
    elimination_.entry(way.coupling.at_b_of_a) -= weight * slope.of_from;
  }
}

}  // namespace tankyard
