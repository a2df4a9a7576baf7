// SPDX-License-Identifier: MIT
#include "solver/balance.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/drive.h"

namespace tankyard {
namespace {

constexpr int most_turns = 60;
constexpr double pump_leap_share = 0.25;  // of the highest shut-off head
constexpr int leaps_until_turn = 8;       // from then on a header's head may change less each turn
constexpr double curvature_safety = 3.0;
constexpr double foresight = 200.0;  // how many times too large a change may be and still be judged
constexpr double curvature_keeps = 0.3;  // of what was seen, from turn to turn
constexpr double leaps_shrink_by = 0.85;
constexpr double least_leap_m = 0.02;        // or a header far away would never get there
constexpr double unaccounted_share = 1e-11;  // of the depth tolerance, at headers and joints
constexpr double fits_to = 3.0;              // of the depth tolerance: what a flow may be off by,
constexpr double hair_share = 0.01;          // or the head that drives it
// Of the flow, with which a loss goes at most: Churchill's between laminar and turbulent, at Re
// 2700 and a roughness of 0.05 of the bore, 3.99 by scanning his formula from Re 800 to 800 000.
constexpr double steepest_power = 4.0;
constexpr double rounding_share = 1e-13;  // of what passes through a header
constexpr double near_pa_per_m =
    10.0;  // of the depth tolerance: what turns may leave of a pressure
constexpr double gas_counts_share = 0.3;  // of an error in a headspace, beside one in a level

}  // namespace

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

bool Balance::flows_fit(const Ask& ask, const Instant& instant) {
  // A turn foretells flows from the slopes at the heads before it. Over the edge of a mouth these
  // say nothing: heads may near it by small even turns that keep the flow they came with, or pass
  // it in the last.
  const double* const level_m = (points_.empty() ? instant.head_m : level_m_).data();
  for (std::size_t w = 0; w < plains_.size(); ++w) {
    const Plain& plain = plains_[w];
    if (plain.is_plain && level_m[static_cast<std::size_t>(plain.from)] >= plain.from_full_m &&
        level_m[static_cast<std::size_t>(plain.to)] >= plain.to_full_m)
      continue;
    const Way& way = ways_.open[w];
    if (way.is_pump) continue;
    const double flow = instant.way_m3_per_s[w];
    const Drive drive = drive_of(way, instant.head_m, points_, flow);
    const HeadLoss loss = losses_[w].at(way.loss, flow, closeness_);
    const double off_m = std::fabs(loss.head_m - drive.head_m);
    // Through a wide short hose a hair of head drives much.
    if (!drive.partly && off_m <= hair_share * ask.depth_tolerance_m) continue;
    const double may_m3_per_s =
        std::max(fits_to * ask.depth_tolerance_m / (ask.worth_s * way.per_area_per_m2),
                 4.0 * rounding_m3_per_s(w, instant));
    // The slope says by how much at most the flow is off; that is asked first, as the inverse of
    // the law costs so much more.
    const bool along = !drive.past && flow * drive.head_m >= 0.0;
    if (along && steepest_power * off_m <= may_m3_per_s * loss.slope_m_per_m3_per_s) continue;
    if (std::fabs(flow_between(way, instant.head_m) - flow) > may_m3_per_s) return false;
  }
  return true;
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
      if (!points_.empty())
        points_at_heads(ask, instant.head_m, ask.closely || ask.weight_s < long_enough_s, true);
      answer.settled = flows_fit(ask, instant);
    }
    if (answer.settled) {
      close_headers(instant);
      if (!points_.empty()) keep_points(instant);
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

}  // namespace tankyard
