// SPDX-License-Identifier: MIT
#include "solver/balance.h"

#include <algorithm>
#include <cmath>

#include "solver/drive.h"

namespace tankyard {
namespace {

constexpr int most_turns = 60;
constexpr double largest_head_change_m = 3.0;
constexpr double pump_leap_share = 0.25;  // of the highest shut-off head
constexpr int leaps_until_turn = 8;       // from then on a header's head may change less each turn
constexpr double curvature_safety = 3.0;
constexpr double foresight = 200.0;  // how many times too large a change may be and still be judged
constexpr double curvature_keeps = 0.3;      // of what was seen, from turn to turn
constexpr double no_slope_m2_per_s = 1e-20;  // flow per head of a place that nothing pulls on
constexpr int absurd_from_turn = 25;
constexpr double absurd_loss_m = 30.0;  // of head, beyond what drives a way
constexpr double snap_share = 1e-3;
constexpr double leaps_shrink_by = 0.85;
constexpr double least_leap_m = 0.02;          // or a header far away would never get there
constexpr double unaccounted_share = 1e-11;    // of the depth tolerance, at headers and joints
constexpr double rounding_share = 1e-13;       // of what passes through a header
constexpr double drawn_head_settles_m = 1e-4;  // change of a header's head under an open draw
constexpr double no_time_s = 1e-6;
constexpr double long_enough_s = 1e-2;  // for headspaces to be nearly right until the last turn
constexpr double near_pa_per_m =
    10.0;  // of the depth tolerance: what turns may leave of a pressure
constexpr double gas_counts_share = 0.3;  // of an error in a headspace, beside one in a level
constexpr double stop_share = 0.04;  // of the depth tolerance: a turn after it changes its square

}  // namespace

void Instant::swap(Instant& other) noexcept {
  head_m.swap(other.head_m);
  way_m3_per_s.swap(other.way_m3_per_s);
  draw_m3_per_s.swap(other.draw_m3_per_s);
  overflow_m3_per_s.swap(other.overflow_m3_per_s);
  over_rim_m3_per_s.swap(other.over_rim_m3_per_s);
  std::swap(spills, other.spills);
  if (gas_m.empty() && other.gas_m.empty()) return;  // and so is the rest
  turned_away_m3_per_s.swap(other.turned_away_m3_per_s);
  level_m.swap(other.level_m);
  gas_m.swap(other.gas_m);
  air_kg_per_s.swap(other.air_kg_per_s);
  volume_m3.swap(other.volume_m3);
  gas_per_m3_m.swap(other.gas_per_m3_m);
  air_per_m3_kg_per_s.swap(other.air_per_m3_kg_per_s);
}

Balance::Balance(const Network& network)
    : network_(network),
      headspaces_(network),
      points_(headspaces_.none() ? 0 : network.tanks.size()),
      elimination_(network.elimination),
      draw_sill_m_(static_cast<std::size_t>(network.places()), no_mouth),
      draw_slope_(network.draws.size(), 0.0),
      draw_standing_(network.draws.size()),
      tank_flows_(network.tanks.size()),
      overflow_coupling_(network.tanks.size()),
      right_(static_cast<std::size_t>(network.places()), 0.0) {
  for (const TankLaw& tank : network.tanks) {
    constexpr double never = std::numeric_limits<double>::infinity();
    constexpr double nearly = 0.98;
    bulks_.push_back({tank.base_m, tank.area_m2, tank.lip_m,
                      tank.overflow ? tank.overflow_m : never,
                      tank.head_of(nearly * capacity_m3(tank.shape))});
  }
  for (const Link& link : network.links) {
    if (link.kind == Link::Kind::outlet) outlets_with_ways_.push_back(link.part);
    if (link.nozzle) outlets_with_ways_.push_back(*link.nozzle);
  }
  leap_m_ = largest_head_change_m;
  for (const PumpWay& pump : network.pumps) {
    leap_m_ = std::max(leap_m_, pump_leap_share * pump.running.curve.shut_off_head_m());
  }
  for (std::size_t i = 0; i < network.tanks.size(); ++i) {
    if (network.tanks[i].overflow && network.tanks[i].overflow->to) {
      overflow_coupling_[i] = elimination_.coupling(
          static_cast<int>(i), static_cast<int>(network.tanks[i].overflow->to->index));
    }
  }
}

bool Balance::same_ways(const Setting& setting) const {
  return !ways_.group.empty() && setting.hose_open == setting_.hose_open &&
         setting.crest_primed == setting_.crest_primed &&
         setting.header_primed == setting_.header_primed &&
         setting.pump_runs == setting_.pump_runs && setting.pump_primed == setting_.pump_primed &&
         std::all_of(outlets_with_ways_.begin(), outlets_with_ways_.end(), [&](std::size_t outlet) {
           return setting.outlet_open[outlet] == setting_.outlet_open[outlet];
         });
}

void Balance::take_ways(const Setting& setting, Instant& instant) {
  std::vector<double> of_link(network_.links.size(), 0.0);
  std::vector<bool> pump_ran(network_.pumps.size(), false);
  for (std::size_t w = 0; w < instant.way_m3_per_s.size(); ++w) {
    of_link[ways_.open[w].link] = instant.way_m3_per_s[w];
    if (ways_.open[w].pump) pump_ran[*ways_.open[w].pump] = true;
  }
  ways_ = ways_of(network_, setting);
  slopes_.assign(ways_.open.size(), {});
  losses_.assign(ways_.open.size(), {});
  plains_.clear();
  for (const Way& way : ways_.open) {
    plains_.push_back({way.from, way.to, way.from_full_m, way.to_full_m, way.coupling,
                       way.per_area_per_m2, way.plain});
  }
  ways_at_.resize(static_cast<std::size_t>(network_.places()));
  for (std::vector<std::size_t>& ways : ways_at_) ways.clear();
  for (std::size_t w = 0; w < ways_.open.size(); ++w) {
    ways_at_[static_cast<std::size_t>(ways_.open[w].from)].push_back(w);
    if (ways_.open[w].to != outside) {
      ways_at_[static_cast<std::size_t>(ways_.open[w].to)].push_back(w);
    }
  }
  instant.way_m3_per_s.clear();
  for (const Way& way : ways_.open) instant.way_m3_per_s.push_back(of_link[way.link]);
  lift_outlets_of_pumps(pump_ran, instant);
}

void Balance::take(const Setting& setting, Instant& instant) {
  curvature_per_m_ = 0.0;
  // A roof, a top-up or a fixed draw opens no way.
  const bool knows_them = instant.way_m3_per_s.size() == ways_.open.size();
  if (!knows_them || !same_ways(setting)) take_ways(setting, instant);
  setting_ = setting;
  instant.draw_m3_per_s.resize(network_.draws.size(), 0.0);
  std::fill(draw_sill_m_.begin(), draw_sill_m_.end(), no_mouth);
  for (const Draw& draw : network_.draws) {
    if (setting.outlet_open[draw.outlet]) {
      double& sill = draw_sill_m_[static_cast<std::size_t>(draw.place)];
      sill = std::max(sill, draw.mouth_m);
    }
  }
  instant.overflow_m3_per_s.resize(network_.tanks.size(), 0.0);
  instant.over_rim_m3_per_s.resize(network_.tanks.size(), 0.0);
  instant.turned_away_m3_per_s.resize(points_.size(), 0.0);
  instant.level_m.resize(points_.size(), 0.0);
  instant.gas_m.resize(points_.size(), 0.0);
  instant.air_kg_per_s.resize(points_.size(), 0.0);
  instant.volume_m3.resize(points_.size(), 0.0);
  instant.gas_per_m3_m.resize(points_.size(), 0.0);
  instant.air_per_m3_kg_per_s.resize(points_.size(), 0.0);
  for (std::size_t i = 0; i < points_.size(); ++i) points_[i].gas_m = instant.gas_m[i];
}

void Balance::lift_outlets_of_pumps(const std::vector<bool>& was_running, Instant& instant) const {
  // Half way up the curve is nearer the answer than a tank's level is, and turns go slowly; so is
  // the inlet's head once it has stopped.
  std::vector<bool> runs(network_.pumps.size(), false);
  for (std::size_t w = 0; w < ways_.open.size(); ++w) {
    if (!ways_.open[w].pump) continue;
    runs[*ways_.open[w].pump] = true;
    if (!was_running[*ways_.open[w].pump]) instant.way_m3_per_s[w] = 0.0;
  }
  for (const Link& link : network_.links) {
    if (link.kind != Link::Kind::pump || runs[link.part] == was_running[link.part]) continue;
    if (static_cast<std::size_t>(link.to) < network_.tanks.size()) continue;
    const double inlet_m = instant.head_m[static_cast<std::size_t>(link.from)];
    const double lift_m = 0.5 * network_.pumps[link.part].running.curve.shut_off_head_m();
    double& outlet_m = instant.head_m[static_cast<std::size_t>(link.to)];
    if (runs[link.part]) {
      outlet_m = std::max(outlet_m, inlet_m + lift_m);
    } else if (!link.one_way) {  // behind a non-return valve the pressure stays
      outlet_m = std::min(outlet_m, inlet_m);
    }
  }
}

double Balance::flow_between(const Way& way, const std::vector<double>& head_m) const {
  if (way.pump) {
    return pump_flow(network_.pumps[*way.pump].running, pump_ends(way, head_m, points_));
  }
  return flow_at(way.loss, drive_of(way, head_m, points_, 0.0).head_m);
}

Balance::Standing Balance::standing_at(int place, const std::vector<double>& head_m) const {
  const auto at = static_cast<std::size_t>(place);
  if (at >= points_.size() || points_[at].gas_m <= 0.0) return {head_m[at], 1.0};
  return {points_[at].level_m, points_[at].level_slope};
}

void Balance::points_at_heads(const Ask& ask, const std::vector<double>& head_m, bool closely,
                              bool onward) {
  Headspaces::Ask air = ask.air;
  air.closely = closely;
  air.onward = onward;
  air.near_pa = near_pa_per_m * ask.depth_tolerance_m;
  air.weight_s = ask.weight_s;
  headspaces_.at_heads(air, head_m, points_, crosses_);
  for (std::size_t i = 0; i < points_.size(); ++i) {
    if (headspaces_.closed(i)) continue;
    points_[i] = {};
    points_[i].level_m = head_m[i];
  }
  level_m_ = head_m;
  for (std::size_t i = 0; i < points_.size(); ++i) level_m_[i] = points_[i].level_m;
}

void Balance::point_at_head(const Ask& ask, std::size_t tank, const std::vector<double>& head_m) {
  if (!headspaces_.closed(tank)) {
    points_[tank] = {};
    points_[tank].level_m = head_m[tank];
    return;
  }
  Headspaces::Ask air = ask.air;
  air.weight_s = ask.weight_s;
  headspaces_.at_head(air, tank, head_m, points_);
}

void Balance::keep_points(Instant& instant) const {
  for (std::size_t i = 0; i < points_.size(); ++i) {
    instant.level_m[i] = points_[i].level_m;
    instant.gas_m[i] = points_[i].gas_m;
    instant.air_kg_per_s[i] = points_[i].air_kg_per_s;
    instant.volume_m3[i] = points_[i].volume_m3;
    instant.gas_per_m3_m[i] = points_[i].gas_per_m3_m;
    instant.air_per_m3_kg_per_s[i] = points_[i].air_per_m3_kg_per_s;
  }
}

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
  const std::size_t first = points_.empty() ? network_.tanks.size() : 0;
  for (std::size_t i = first; i < ways_.rests.size(); ++i) {
    const int place = static_cast<int>(i);
    if (ways_.rests[i]) {
      elimination_.diagonal(place) = 1.0;
      right_[i] = 0.0;
    } else if (elimination_.diagonal(place) <= no_slope_m2_per_s * weight) {
      elimination_.diagonal(place) = no_slope_m2_per_s * weight;
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
      // on the head coming to it.
      const bool moving = std::fabs(right_[place]) > drawn_head_settles_m;
      if (place >= tanks && moving && ask.weight_s > no_time_s) turn.bounded = true;
      const double stands_m = draw_standing_[d].head_m + draw_standing_[d].slope * right_[place];
      missed = fixed_draw(stands_m - draw.mouth_m, draw.asked_m3_per_s).m3_per_s -
               instant.draw_m3_per_s[d];
    }
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

double Balance::spread(std::vector<double>& water, const std::vector<double>& air_kg) const {
  for (std::size_t i = 0; i < air_kg.size(); ++i) {
    // More air lowers the level at a given head: the water that stood there counts as extra.
    if (headspaces_.closed(i))
      water[i] += points_[i].surface_m2 * points_[i].gas_per_kg_m * air_kg[i];
  }
  elimination_.solve(water);
  double largest_m = 0.0;
  for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
    if (points_.empty() || !headspaces_.closed(i)) {
      largest_m = std::max(largest_m, std::fabs(water[i]));
      continue;
    }
    const Headspaces::Point& point = points_[i];
    const double gas_m = (1.0 - point.level_slope) * water[i] + point.gas_per_kg_m * air_kg[i];
    largest_m =
        std::max({largest_m, std::fabs(water[i] - gas_m), gas_counts_share * std::fabs(gas_m)});
  }
  return largest_m;
}

double Balance::no_flow_m3_per_s(const Ask& ask) const {
  return unaccounted_share * ask.depth_tolerance_m * network_.smallest_area_m2 / ask.worth_s;
}

double Balance::rounding_m3_per_s(std::size_t w, const Instant& instant) const {
  const Way& way = ways_.open[w];
  const auto rounding_m = [&](int place) {
    const auto at = static_cast<std::size_t>(place);
    double m = 1e-15 * std::fabs(instant.head_m[at]);
    if (at < points_.size()) m += points_[at].rounding_m;
    return m;
  };
  double head_m = rounding_m(way.from);
  if (way.to != outside) head_m += rounding_m(way.to);
  return std::max(slopes_[w].of_from, slopes_[w].of_to) * head_m;
}

bool Balance::headers_add_up(const Ask& ask, const Instant& instant) {
  const std::size_t tanks = network_.tanks.size();
  if (tanks == right_.size()) return true;
  std::fill(right_.begin(), right_.end(), 0.0);
  through_.assign(right_.size(), 0.0);
  const auto leaves = [&](int place, double flow) {
    right_[static_cast<std::size_t>(place)] -= flow;
    through_[static_cast<std::size_t>(place)] += std::fabs(flow);
  };
  for (std::size_t w = 0; w < ways_.open.size(); ++w) {
    const Way& way = ways_.open[w];
    leaves(way.from, instant.way_m3_per_s[w]);
    if (way.to != outside) leaves(way.to, -instant.way_m3_per_s[w]);
  }
  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    leaves(network_.draws[d].place, instant.draw_m3_per_s[d]);
  }
  for (std::size_t i = tanks; i < right_.size(); ++i) {
    const double may_m3_per_s = no_flow_m3_per_s(ask) + rounding_share * through_[i];
    if (std::fabs(right_[i]) <= may_m3_per_s) continue;
    double rounding_m3_per_s = 0.0;
    for (const std::size_t w : ways_at_[i])
      rounding_m3_per_s += this->rounding_m3_per_s(w, instant);
    if (std::fabs(right_[i]) > may_m3_per_s + rounding_m3_per_s) return false;
  }
  return true;
}

void Balance::close_headers(Instant& instant) {
  // `headers_add_up` has just left what each header has too much. It is rounding, but a ledger adds
  // it up over many steps. Where nothing else passes, nothing passes; elsewhere the fattest stream
  // that joins the header to a tank or the outside takes it.
  const std::size_t tanks = network_.tanks.size();
  for (std::size_t i = tanks; i < right_.size(); ++i) {
    if (right_[i] == 0.0 || through_[i] > 4.0 * std::fabs(right_[i])) continue;
    for (const std::size_t w : ways_at_[i]) {
      const Way& way = ways_.open[w];
      double& flow = instant.way_m3_per_s[w];
      right_[static_cast<std::size_t>(way.from)] += flow;
      if (way.to != outside) right_[static_cast<std::size_t>(way.to)] -= flow;
      flow = 0.0;
    }
    for (std::size_t d = 0; d < network_.draws.size(); ++d) {
      if (network_.draws[d].place != static_cast<int>(i)) continue;
      right_[i] += instant.draw_m3_per_s[d];
      instant.draw_m3_per_s[d] = 0.0;
    }
  }
  for (std::size_t i = tanks; i < right_.size(); ++i) {
    if (right_[i] == 0.0) continue;
    double fattest = 0.0;
    std::size_t taker = 0;
    for (const std::size_t w : ways_at_[i]) {
      const Way& way = ways_.open[w];
      const int other = static_cast<std::size_t>(way.from) == i ? way.to : way.from;
      if (other != outside && static_cast<std::size_t>(other) >= tanks) continue;
      if (std::fabs(instant.way_m3_per_s[w]) > fattest) {
        fattest = std::fabs(instant.way_m3_per_s[w]);
        taker = w;
      }
    }
    if (fattest <= std::fabs(right_[i])) continue;
    const bool leaves = static_cast<std::size_t>(ways_.open[taker].from) == i;
    instant.way_m3_per_s[taker] += leaves ? right_[i] : -right_[i];
  }
}

Balance::Answer Balance::settle(const Ask& ask, Instant& instant) {
  const double enough_m = stop_share * ask.depth_tolerance_m;
  if (ask.depth_tolerance_m != closeness_is_for_m_) {
    closeness_is_for_m_ = ask.depth_tolerance_m;
    closeness_ = LossNear::closeness_for(ask.depth_tolerance_m);
    losses_.assign(losses_.size(), {});
  }
  Answer answer;
  double share = 1.0;
  double leap_m = leap_m_;
  double last_change_m = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < points_.size(); ++i) {
    points_[i].gas_m = instant.gas_m[i];
    points_[i].head_m = instant.head_m[i];
  }
  while (answer.turns < most_turns) {
    assemble(ask, instant, answer.turns);
    const Turn turn = advance(ask, share, leap_m, instant);
    ++answer.turns;
    if (answer.turns > leaps_until_turn)
      leap_m = std::max(least_leap_m * leap_m_ / largest_head_change_m, leaps_shrink_by * leap_m);
    // Newton squares what is left: the next turn's change is known from this one's, once it has
    // been seen by how much, and need not be made to be believed. Only where no mouth, lip or fade
    // is near.
    const double change_now_m = turn.largest_change_m;
    if (share == 1.0 && answer.turns > 1 && smooth_ && last_change_m > enough_m) {
      const double seen = change_now_m / (last_change_m * last_change_m);
      curvature_per_m_ = std::max(seen, curvature_keeps * curvature_per_m_);
      curvature_worth_s_ = ask.worth_s;
    }
    double left_m = change_now_m;
    if (smooth_ && curvature_per_m_ > 0.0 && change_now_m < foresight * enough_m) {
      // Where flows are what changes, a change is worth less over a shorter stage, and what it
      // leaves is not.
      const double shorter = std::max(1.0, curvature_worth_s_ / ask.worth_s);
      left_m = std::min(
          left_m, curvature_safety * shorter * curvature_per_m_ * change_now_m * change_now_m);
    }
    if (share == 1.0 && !turn.bounded && left_m <= enough_m && headers_add_up(ask, instant)) {
      close_headers(instant);
      answer.settled = true;
      if (!points_.empty()) {
        points_at_heads(ask, instant.head_m, ask.closely || ask.weight_s < long_enough_s, true);
        keep_points(instant);
      }
      return answer;
    }
    // Turns that do not shrink go round in circles about a mouth that runs dry; shorter ones spiral
    // in. Those that keep their way are only long underway to where a headspace gives.
    const double change_m = turn.largest_change_m / share;
    const bool shrinks = change_m < (1.0 - 0.3 * share) * last_change_m || change_m <= enough_m;
    share = shrinks || turn.onward || answer.turns < 4 ? std::min(1.0, 2.0 * share)
                                                       : std::max(0.1, 0.5 * share);
    last_change_m = change_m;
  }
  return answer;
}

void Balance::flows_at_heads(const Ask& ask, Instant& instant) {
  // One assembly whose ways are first set to what the heads ask for.
  if (!points_.empty()) points_at_heads(ask, instant.head_m, true);
  for (std::size_t w = 0; w < ways_.open.size(); ++w) {
    const Way& way = ways_.open[w];
    instant.way_m3_per_s[w] = flow_between(way, instant.head_m);
  }
  assemble(ask, instant);
  if (!points_.empty()) keep_points(instant);
}

double Balance::missing_at(int place, double head_m, const Ask& ask, Instant& instant) {
  // Volume this place would have too much at this head, all other heads as they are: rises with
  // head. The head stays as tried, and with it the place's headspace.
  const auto at = static_cast<std::size_t>(place);
  instant.head_m[at] = head_m;
  const bool tank = at < network_.tanks.size();
  if (tank && !points_.empty()) point_at_head(ask, at, instant.head_m);
  double out = 0.0;
  for (std::size_t w : ways_at_[at]) {
    const Way& way = ways_.open[w];
    const double flow = flow_between(way, instant.head_m);
    out += way.from == place ? flow : -flow;
  }
  for (const Draw& draw : network_.draws) {
    if (draw.place == place && setting_.outlet_open[draw.outlet]) {
      const Standing water = standing_at(place, instant.head_m);
      out += fixed_draw(water.head_m - draw.mouth_m, draw.asked_m3_per_s).m3_per_s;
    }
  }
  if (!tank) return ask.weight_s * out;
  const TankFlows flows = flows_of(at, head_m);
  out += flows.overflow.m3_per_s + flows.rim.m3_per_s + flows.turned_away.m3_per_s -
         setting_.inflow_m3_per_s[at];
  for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
    const TankLaw& other = network_.tanks[i];
    if (other.overflow && other.overflow->to && other.overflow->to->index == at) {
      out -= flows_of(i, instant.head_m[i]).overflow.m3_per_s;
    }
  }
  const bool closed = !points_.empty() && headspaces_.closed(at);
  const double holds_m3 = closed ? points_[at].volume_m3 : network_.tanks[at].volume_at(head_m).m3;
  return holds_m3 - (*ask.wanted_m3)[at] + ask.weight_s * out;
}

Balance::Answer Balance::sweep(const Ask& ask, Instant& instant) {
  Answer answer;
  answer.swept = true;
  const double enough_m = 1e-3 * stop_share * ask.depth_tolerance_m;
  const double floor_m = network_.lowest_head_m - 100.0;
  const double roof_m = network_.highest_head_m + 100.0;
  if (!points_.empty()) points_at_heads(ask, instant.head_m, true);
  for (int sweep = 0; sweep < ask.most_sweeps; ++sweep) {
    double largest = 0.0;
    for (int place = 0; place < network_.places(); ++place) {
      const auto at = static_cast<std::size_t>(place);
      if (ways_.rests[at]) continue;
      double low = floor_m;
      double high = roof_m;
      // Closer brackets first, so that most sweeps need few halvings.
      const double now = instant.head_m[at];
      for (double reach = 1e-6; reach < 10.0; reach *= 10.0) {
        if (missing_at(place, now - reach, ask, instant) <= 0.0 &&
            missing_at(place, now + reach, ask, instant) >= 0.0) {
          low = now - reach;
          high = now + reach;
          break;
        }
      }
      if (missing_at(place, low, ask, instant) >= 0.0 && low == floor_m) {  // nothing pulls
        missing_at(place, now, ask, instant);
        continue;
      }
      for (int halving = 0; halving < 200 && high - low > 1e-15 * (1.0 + std::fabs(low));
           ++halving) {
        const double middle = 0.5 * (low + high);
        (missing_at(place, middle, ask, instant) > 0.0 ? high : low) = middle;
      }
      largest = std::max(largest, std::fabs(0.5 * (low + high) - now));
      missing_at(place, 0.5 * (low + high), ask, instant);
    }
    ++answer.turns;
    if (largest <= enough_m) {
      answer.settled = true;
      break;
    }
  }
  flows_at_heads(ask, instant);
  return answer;
}

}  // namespace tankyard
