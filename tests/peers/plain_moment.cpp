// SPDX-License-Identifier: MIT
#include "plain_moment.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <variant>

#include "passes_nought.h"
#include "plain_air.h"

namespace plain {

using tankyard::Hose;
using tankyard::Outlet;
using tankyard::Parts;
using tankyard::Place;
using tankyard::TankId;

namespace {

constexpr double water_kg_per_m3 = 998.207;  // 20 degC, CIPM
constexpr double gravity = 9.80665;
constexpr double vapour_pa = 2339.2;  // of water at 20 degC, IAPWS SR1-86
constexpr double lowest_m = -60.0;
constexpr double head_within_m = 1e-13;
constexpr double pump_mouth_m = 0.025;
constexpr double no_mouth_m = -1e30;

/// Where a pump meets a place: a tank's outlet, or nowhere in particular.
double pump_mouth(const Parts& parts, Place place) {
  const auto* tank = std::get_if<TankId>(&place);
  if (tank == nullptr) return no_mouth_m;
  return tankyard::part(parts.tanks, *tank).base_m +
         tankyard::part(parts.tanks, *tank).outlet_height_m;
}

double inlet_height(const Parts& parts, const tankyard::Pump& pump) {
  if (const auto* header = std::get_if<tankyard::HeaderId>(&pump.from)) {
    return tankyard::part(parts.headers, *header).height_m;
  }
  return pump_mouth(parts, pump.from);
}

Pipe make_pipe(const Parts& parts, const Hose& hose) {
  Pipe pipe{hose.bore_m, hose.length_m, hose.roughness_m,
            0.5 + hose.loss_k + (hose.valve ? hose.valve->loss_k : 0.0)};
  if (!is_hose_nozzle(parts, hose.to.place)) {
    pipe.loss_k += 1.0;
    return pipe;
  }
  const Outlet& outlet = tankyard::part(parts.outlets, std::get<tankyard::OutletId>(hose.to.place));
  pipe.loss_k += std::pow(hose.bore_m / *outlet.bore_m, 4.0) / std::pow(outlet.coefficient, 2.0);
  return pipe;
}

}  // namespace

State state_at_start(const Parts& parts) {
  State state;
  for (const Hose& hose : parts.hoses) {
    state.hose_open.push_back(tankyard::starts_open(hose));
    state.crest_full.push_back(hose.crest_m && hose.primed);
  }
  for (const Outlet& outlet : parts.outlets) state.outlet_open.push_back(outlet.open);
  for (const auto& line : parts.air_lines) state.line_open.push_back(line.open);
  for (const auto& pump : parts.pumps) state.pump_runs.push_back(pump.running);
  state.pump_primed = state.pump_runs;
  state.header_full.assign(parts.headers.size(), true);
  state.top_up_runs.assign(parts.top_ups.size(), false);
  for (const auto& roof : parts.roofs) state.flush_done.push_back(roof.first_flush_m <= 0.0);
  return state;
}

Moments::Moments(const Parts& parts, const tankyard::DaySheet& sheet)
    : state(state_at_start(parts)),
      parts_(parts),
      sheet_(sheet),
      outside_pa_(plain::outside_pa(parts.site.altitude_m)),
      nodes_(find_nodes(parts)),
      holes_(find_holes(parts)),
      air_ways_(find_air_ways(parts)) {
  at_node_.assign(parts.hoses.size(), false);
  for (const Node& node : nodes_) {
    for (std::size_t k : node.hoses) at_node_[k] = true;
  }
  for (const Hose& hose : parts.hoses) {
    pipes_.push_back(make_pipe(parts, hose));
    ends_in_nozzle_.push_back(is_hose_nozzle(parts, hose.to.place));
  }
  for (const auto& pump : parts.pumps) {
    const double boils_m =
        inlet_height(parts, pump) - (outside_pa_ - vapour_pa) / (water_kg_per_m3 * gravity);
    pumps_.emplace_back(pump, boils_m);
  }
  settled_head_m_.assign(nodes_.size(), 0.0);
  find_clusters();
}

void Moments::find_clusters() {
  std::vector<bool> taken(nodes_.size(), false);
  for (std::size_t first = 0; first < nodes_.size(); ++first) {
    if (taken[first]) continue;
    Cluster cluster;
    cluster.nodes.push_back(first);
    taken[first] = true;
    for (std::size_t k = 0; k < cluster.nodes.size(); ++k) {
      const Node& node = nodes_[cluster.nodes[k]];
      const auto visit = [&](Place place) {
        if (const auto* tank = std::get_if<TankId>(&place)) cluster.tanks.push_back(tank->index);
        const std::size_t other = node_at(place);
        if (other == nowhere || taken[other]) return;
        taken[other] = true;
        cluster.nodes.push_back(other);
      };
      for (std::size_t h : node.hoses) {
        visit(parts_.hoses[h].from.place);
        visit(parts_.hoses[h].to.place);
      }
      for (std::size_t p : node.pumps) {
        visit(parts_.pumps[p].from);
        visit(parts_.pumps[p].to);
      }
    }
    clusters_.push_back(cluster);
  }
}

std::size_t Moments::node_at(Place place) const {
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    if (nodes_[n].place == place) return n;
  }
  return nowhere;
}

double Moments::kelvin(double swing_k, double t) const {
  const tankyard::Site& site = parts_.site;
  const double share =
      swing_k == 0.0 ? 0.0
                     : warmth(sheet_.starts_clock_s + t, site.warmest_hour, site.coldest_hour);
  return 273.15 + site.air_temperature_degc + 0.5 * swing_k * share;
}

double Moments::outside_kelvin(double t) const { return kelvin(parts_.site.air_swing_k, t); }

double Moments::headspace_kelvin(std::size_t tank, double t) const {
  const tankyard::Tank& one = parts_.tanks[tank];
  return kelvin(closed(one) && one.air_swing_k ? *one.air_swing_k : parts_.site.air_swing_k, t);
}

Instant Moments::instant(double t, const double* volume_m3, const double* pa) const {
  Instant now;
  now.t = t;
  for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
    now.pa.push_back(pa[i]);
    now.kelvin.push_back(headspace_kelvin(i, t));
    now.level.push_back(parts_.tanks[i].base_m + depth_of(parts_.tanks[i].shape, volume_m3[i]));
  }
  now.node_head.assign(nodes_.size(), 0.0);
  for (const Cluster& cluster : clusters_) find_heads(cluster, now);
  return now;
}

double Moments::gas_m(std::size_t tank, const Instant& now) const {
  return (now.pa[tank] - outside_pa_) / (water_kg_per_m3 * gravity);
}

Moments::End Moments::end_of(Place place, double mouth_m, double bore_m, const Instant& now) const {
  if (const auto* tank = std::get_if<TankId>(&place)) {
    const double water = now.level[tank->index];
    return {std::max(water, mouth_m) + gas_m(tank->index, now),
            share_covered(water - mouth_m, bore_m)};
  }
  const double head = now.node_head[node_at(place)];
  if (const auto* header = std::get_if<tankyard::HeaderId>(&place)) {
    if (!state.header_full[header->index]) {
      mouth_m = std::max(mouth_m, tankyard::part(parts_.headers, *header).height_m);
    }
  }
  if (mouth_m == no_mouth_m) return {head, 1.0};
  return {std::max(head, mouth_m), share_covered(head - mouth_m, bore_m)};
}

double Moments::hose_push_m(std::size_t k, const Instant& now) const {
  const Hose& hose = parts_.hoses[k];
  if (!state.hose_open[k]) return 0.0;
  const double sill = hose.crest_m && !state.crest_full[k] ? *hose.crest_m : no_mouth_m;
  const auto end_at = [&](const tankyard::HoseEnd& end) {
    const bool tank = std::holds_alternative<TankId>(end.place);
    const double mouth = tank ? tankyard::mouth_m(parts_, end) : no_mouth_m;
    return end_of(end.place, std::max(mouth, sill), hose.bore_m, now);
  };
  const End from = end_at(hose.from);
  End to{0.0, 0.0};
  bool forth_only = hose.one_way;
  if (ends_in_nozzle_[k]) {
    const auto id = std::get<tankyard::OutletId>(hose.to.place);
    if (!state.outlet_open[id.index]) return 0.0;
    to.head_m = std::max(sill, *tankyard::part(parts_.outlets, id).height_m);
    forth_only = true;
  } else {
    to = end_at(hose.to);
  }
  const double head = from.head_m - to.head_m - (hose.one_way ? hose.cracking_head_m : 0.0);
  if (head > 0.0) return from.gives * from.gives * head;
  return forth_only ? 0.0 : to.gives * to.gives * head;
}

double Moments::hole_push_m(std::size_t k, const Instant& now) const {
  const Hole& hole = holes_[k];
  if (hole.outlet && !state.outlet_open[*hole.outlet]) return 0.0;
  const double level = now.level[hole.tank];
  const double covered = share_covered(level - hole.mouth_m, hole.pipe.bore_m);
  return covered * covered * std::max(0.0, level + gas_m(hole.tank, now) - hole.jet_m);
}

double Moments::pump_m3_per_s(std::size_t k, const Instant& now) const {
  const tankyard::Pump& pump = parts_.pumps[k];
  const End from = end_of(pump.from, pump_mouth(parts_, pump.from), pump_mouth_m, now);
  const End to = end_of(pump.to, pump_mouth(parts_, pump.to), pump_mouth_m, now);
  if (state.pump_runs[k]) {
    if (!state.pump_primed[k]) return 0.0;
    return pumps_[k].running_m3_per_s(from.head_m, to.head_m, from.gives);
  }
  const double head = from.head_m - to.head_m;
  if (head > 0.0) return pumps_[k].standing_m3_per_s(from.gives * from.gives * head);
  return tankyard::lets_back(pump) ? pumps_[k].standing_m3_per_s(to.gives * to.gives * head) : 0.0;
}

double Moments::delivery_head_m(std::size_t k, const Instant& now) const {
  const Place to = parts_.pumps[k].to;
  return end_of(to, pump_mouth(parts_, to), pump_mouth_m, now).head_m;
}

double Moments::air_kg_per_s(std::size_t k, const Instant& now) const {
  const AirWay& way = air_ways_[k];
  if (way.line && !state.line_open[*way.line]) return 0.0;
  const auto upstream = [&](std::size_t tank) {
    return closed(parts_.tanks[tank]) ? now.kelvin[tank] : outside_kelvin(now.t);
  };
  return plain::air_kg_per_s(way.area_m2, now.pa[way.from], upstream(way.from),
                             way.to ? now.pa[*way.to] : outside_pa_,
                             way.to ? upstream(*way.to) : outside_kelvin(now.t), way.laminar_pa);
}

double Moments::nozzle_m3_per_s(const Node& node, std::size_t outlet, double head_m) const {
  if (!state.outlet_open[outlet]) return 0.0;
  const Outlet& one = parts_.outlets[outlet];
  double gives = 1.0;
  if (const auto* header = std::get_if<tankyard::HeaderId>(&node.place)) {
    if (!state.header_full[header->index]) {
      gives = share_covered(head_m - node.height_m, *one.bore_m);
    }
  }
  const double push = gives * gives * (head_m - one.height_m.value_or(node.height_m));
  if (push <= 0.0) return 0.0;
  return flow_m3_per_s({*one.bore_m, 0.0, 0.0, 1.0 / (one.coefficient * one.coefficient)}, push);
}

double Moments::draw_m3_per_s(const Node& node, std::size_t outlet, double head_m) const {
  if (!state.outlet_open[outlet]) return 0.0;
  const Outlet& one = parts_.outlets[outlet];
  return drawn(head_m - one.height_m.value_or(node.height_m), *one.draw_m3_per_s);
}

double Moments::straight_draw_m3_per_s(const Outlet& outlet, const Instant& now) const {
  const std::size_t tank = std::get<TankId>(outlet.at->place).index;
  const double head = now.level[tank] + std::min(0.0, gas_m(tank, now));
  return drawn(head - tankyard::mouth_m(parts_, *outlet.at), *outlet.draw_m3_per_s);
}

double Moments::inflow_m3_per_s(std::size_t n, const Instant& now) const {
  const Node& node = nodes_[n];
  double sum = 0.0;
  for (std::size_t o : node.draws) sum -= draw_m3_per_s(node, o, now.node_head[n]);
  for (std::size_t o : node.nozzles) sum -= nozzle_m3_per_s(node, o, now.node_head[n]);
  for (std::size_t k : node.hoses) {
    const double flow = flow_m3_per_s(pipes_[k], hose_push_m(k, now));
    sum += parts_.hoses[k].to.place == node.place ? flow : -flow;
  }
  for (std::size_t k : node.pumps) {
    const double flow = pump_m3_per_s(k, now);
    sum += parts_.pumps[k].to == node.place ? flow : -flow;
  }
  return sum;
}

// What comes to a node falls as its head rises, however the nodes further in have settled by then:
// every flow rises with its giver's head and falls with its taker's. Sought near where it was last,
// in a reach that grows until the head lies within. A search, and no unknown among others: where
// mouths are all but dry a head stands at a corner of its laws, and Newton's turns go round in
// circles.
void Moments::balance(const Cluster& cluster, std::size_t from, Instant& now) const {
  if (from == cluster.nodes.size()) return;
  const std::size_t n = cluster.nodes[from];
  const auto comes = [&](double head) {
    now.node_head[n] = head;
    balance(cluster, from + 1, now);
    return inflow_m3_per_s(n, now);
  };
  const double last = settled_head_m_[n];
  const double at_last = comes(last);
  if (at_last == 0.0) return;
  // Where nothing flows over a whole reach of heads, it stays at the end that it came from.
  const double rest = at_last > 0.0 ? -1e-30 : 1e-30;
  const auto spare = [&](double head) {
    const double sum = comes(head);
    return sum == 0.0 ? rest : sum;
  };
  double low = last;
  double high = last;
  double at_low = at_last;
  double at_high = at_last;
  double reach = 1e-6;
  if (at_last < 0.0) {
    for (; low > lowest_m && at_low < 0.0; reach *= 8.0) {
      high = low, at_high = at_low;
      low = last - reach;
      at_low = spare(low);
    }
  } else {
    for (; at_high > 0.0; reach *= 8.0) {
      low = high, at_low = at_high;
      high = last + reach;
      at_high = spare(high);
    }
  }
  comes(passes_nought(spare, low, at_low, high, at_high, head_within_m));
}

void Moments::find_heads(const Cluster& cluster, Instant& now) const {
  // Differences are taken unknown by unknown, and most unknowns are none of a cluster's.
  std::vector<double> rests_on{static_cast<double>(state.turned)};
  for (std::size_t tank : cluster.tanks) {
    rests_on.push_back(now.level[tank]);
    rests_on.push_back(now.pa[tank]);
  }
  auto& found = cluster.found;
  for (const Found& one : found) {
    if (one.rests_on != rests_on) continue;
    for (std::size_t k = 0; k < cluster.nodes.size(); ++k) {
      now.node_head[cluster.nodes[k]] = one.heads_m[k];
    }
    return;
  }
  balance(cluster, 0, now);
  std::rotate(found.begin(), found.end() - 1, found.end());
  found.front().rests_on = rests_on;
  found.front().heads_m.clear();
  for (std::size_t n : cluster.nodes) {
    found.front().heads_m.push_back(now.node_head[n]);
    settled_head_m_[n] = now.node_head[n];
  }
}

}  // namespace plain
