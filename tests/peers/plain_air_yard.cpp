// SPDX-License-Identifier: MIT
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <variant>

#include "dae_walk.h"
#include "passes_nought.h"
#include "plain_air.h"
#include "plain_ways.h"

namespace plain {
namespace {

using tankyard::Hose;
using tankyard::HoseEnd;
using tankyard::Outlet;
using tankyard::Parts;
using tankyard::Tank;
using tankyard::TankId;

constexpr double water_kg_per_m3 = 998.207;  // 20 degC, CIPM
constexpr double gravity = 9.80665;
constexpr double lowest_m = -40.0;
constexpr double head_within_m = 1e-13;

/// What is open or running: changes by the day sheet and by float valves.
struct State {
  std::vector<bool> hose_open;
  std::vector<bool> outlet_open;
  std::vector<bool> line_open;
  std::vector<bool> top_up_runs;
  std::vector<bool> flush_done;
  double rain_m_per_s = 0.0;
};

/// Air above the water, per tank.
struct Gas {
  std::vector<double> pa;
  std::vector<double> kelvin;
};

/// How the yard stands: all that follows from volumes and pressures without a flow.
struct Instant {
  double t = 0.0;
  Gas gas;
  std::vector<double> level;      ///< per tank, over the datum
  std::vector<double> node_head;  ///< per node
};

/// Where a node's head was found.
struct Found {
  std::vector<double> rests_on;
  double head_m = 0.0;
};

/// The unknowns in one row, and the equations between them.
class AirYard {
 public:
  AirYard(const Parts& parts, const tankyard::DaySheet& sheet)
      : parts_(parts),
        sheet_(sheet),
        outside_pa_(outside_pa(parts.site.altitude_m)),
        nodes_(find_nodes(parts)),
        holes_(find_holes(parts)),
        air_ways_(find_air_ways(parts)) {
    found_.resize(nodes_.size());
    at_node_.assign(parts.hoses.size(), false);
    for (const Node& node : nodes_) {
      for (std::size_t k : node.hoses) at_node_[k] = true;
    }
    const auto room = [this](std::size_t many, bool differential, double absolute) {
      const std::size_t first = absolute_.size();
      absolute_.resize(first + many, absolute);
      differential_.resize(first + many, differential);
      return first;
    };
    const std::size_t tanks = parts.tanks.size();
    volume_ = room(tanks, true, 0.0);
    air_ = room(tanks, true, 0.0);
    pressure_ = room(tanks, false, 1e-4);
    hose_flow_ = room(parts.hoses.size(), false, 1e-12);
    hole_flow_ = room(holes_.size(), false, 1e-12);
    air_flow_ = room(air_ways_.size(), false, 1e-11);
    std::size_t at = 0;
    const auto count = [&at](std::size_t many) {
      const std::size_t first = at;
      at += many;
      return first;
    };
    overflows_ = count(tanks);
    rims_ = count(tanks);
    hoses_ = count(parts.hoses.size());
    outlets_ = count(parts.outlets.size());
    leaks_ = count(parts.leaks.size());
    roofs_ = count(parts.roofs.size());
    top_ups_ = count(parts.top_ups.size());
    counted_ = at;
  }

  State state;

  DaeSystem system(double relative) {
    DaeSystem made;
    made.differential = differential_;
    made.absolute = absolute_;
    for (std::size_t i = 0; i < made.absolute.size(); ++i) {
      if (differential_[i]) made.absolute[i] = 0.01 * relative;
    }
    made.counted = counted_;
    made.absolute_counted = 0.1 * relative;
    made.watched = parts_.top_ups.size();
    made.amiss = [this](double t, const double* y, const double* slope, double* out) {
      amiss(t, y, slope, out);
    };
    made.rates = [this](double t, const double* y, double* out) { rates(instant(t, y), y, out); };
    made.watch = [this](double, const double* y, double* out) {
      for (std::size_t k = 0; k < parts_.top_ups.size(); ++k) out[k] = float_over_m(k, y);
    };
    return made;
  }

  std::vector<double> at_start() const {
    std::vector<double> y(absolute_.size(), 0.0);
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      y[volume_ + i] = parts_.tanks[i].water_m3;
      if (closed(parts_.tanks[i])) {
        y[air_ + i] = air_kg(outside_pa_, room_m3(i, y.data()), headspace_kelvin(i, 0.0));
      }
    }
    return y;
  }

  /// Puts pressures, heads and flows where they belong to the volumes and masses in `y`, each by
  /// itself, and says how fast volumes and masses change.
  std::vector<double> settle(double t, std::vector<double>& y) const {
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      y[pressure_ + i] = gas_law_pa(i, t, y.data());
    }
    const Instant now = instant(t, y.data());
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      y[hose_flow_ + k] = flow_m3_per_s(pipe_of(k), push_m(k, now));
    }
    for (std::size_t k = 0; k < holes_.size(); ++k) {
      y[hole_flow_ + k] = flow_m3_per_s(holes_[k].pipe, hole_push_m(k, now));
    }
    for (std::size_t k = 0; k < air_ways_.size(); ++k) {
      // The root of w sqrt(w^2 + w0^2) = lawful^2.
      const double lawful = air_flow(k, now);
      y[air_flow_ + k] = lawful;
      if (air_ways_[k].laminar_pa > 0.0) continue;
      const double rounded = std::pow(rounded_kg_per_s(air_ways_[k]), 2.0) / 2.0;
      const double square =
          std::pow(lawful, 4.0) / (rounded + std::hypot(rounded, lawful * lawful));
      y[air_flow_ + k] = std::copysign(std::sqrt(square), lawful);
    }
    std::vector<double> slope(y.size(), 0.0);
    std::vector<double> over(y.size(), 0.0);
    amiss(t, y.data(), slope.data(), over.data());
    for (std::size_t i = 0; i < y.size(); ++i) {
      if (differential_[i]) slope[i] = -over[i];
    }
    return slope;
  }

  double gauge_pa(std::size_t tank, double t, const std::vector<double>& y) const {
    return gas_law_pa(tank, t, y.data()) - outside_pa_;
  }
  bool boils(std::size_t tank, double t, const std::vector<double>& y) const {
    return closed(parts_.tanks[tank]) && gas_law_pa(tank, t, y.data()) == gas_pa(0.0, 1.0, 1.0);
  }
  /// Head of gas on a tank that something fills from above; 0 for another.
  double pressed_m(std::size_t tank, double t, const std::vector<double>& y) const {
    const auto into = [tank](const auto& one) { return one.into.index == tank; };
    const bool filled = std::any_of(parts_.roofs.begin(), parts_.roofs.end(), into) ||
                        std::any_of(parts_.top_ups.begin(), parts_.top_ups.end(), into);
    return filled ? gauge_pa(tank, t, y) / (water_kg_per_m3 * gravity) : 0.0;
  }
  double share_full(std::size_t tank, const std::vector<double>& y) const {
    return y[volume_ + tank] / tankyard::capacity_m3(parts_.tanks[tank].shape);
  }
  /// Of the head of a header over the header.
  double least_spare_m(double t, const std::vector<double>& y) const {
    double least = 1e30;
    if (parts_.headers.empty()) return least;
    const Instant now = instant(t, y.data());
    for (std::size_t n = 0; n < parts_.headers.size(); ++n) {
      least = std::min(least, now.node_head[n] - nodes_[n].height_m);
    }
    return least;
  }

  void turn_floats(const std::vector<bool>& passed) {
    for (std::size_t k = 0; k < passed.size(); ++k) {
      if (passed[k]) state.top_up_runs[k] = !state.top_up_runs[k];
    }
  }
  void set_floats(const std::vector<double>& y) {
    for (std::size_t k = 0; k < parts_.top_ups.size(); ++k) {
      state.top_up_runs[k] = float_over_m(k, y.data()) < 0.0;
    }
  }

  Outcome outcome(const std::vector<double>& y, const std::vector<double>& counted) const {
    const auto cut = [](const std::vector<double>& row, std::size_t first, std::size_t many) {
      const auto begin = row.begin() + static_cast<std::ptrdiff_t>(first);
      return std::vector<double>(begin, begin + static_cast<std::ptrdiff_t>(many));
    };
    Outcome out;
    out.volume_m3 = cut(y, volume_, parts_.tanks.size());
    out.overflowed_m3 = cut(counted, overflows_, parts_.tanks.size());
    out.over_rim_m3 = cut(counted, rims_, parts_.tanks.size());
    out.carried_m3 = cut(counted, hoses_, parts_.hoses.size());
    out.delivered_m3 = cut(counted, outlets_, parts_.outlets.size());
    out.leaked_m3 = cut(counted, leaks_, parts_.leaks.size());
    out.caught_m3 = cut(counted, roofs_, parts_.roofs.size());
    out.let_in_m3 = cut(counted, top_ups_, parts_.top_ups.size());
    return out;
  }

 private:
  double kelvin(double swing_k, double t) const {
    const tankyard::Site& site = parts_.site;
    const double share =
        swing_k == 0.0 ? 0.0
                       : warmth(sheet_.starts_clock_s + t, site.warmest_hour, site.coldest_hour);
    return 273.15 + site.air_temperature_degc + 0.5 * swing_k * share;
  }
  double outside_kelvin(double t) const { return kelvin(parts_.site.air_swing_k, t); }
  double headspace_kelvin(std::size_t tank, double t) const {
    const Tank& one = parts_.tanks[tank];
    return kelvin(closed(one) && one.air_swing_k ? *one.air_swing_k : parts_.site.air_swing_k, t);
  }

  double room_m3(std::size_t tank, const double* y) const {
    return tankyard::capacity_m3(parts_.tanks[tank].shape) - y[volume_ + tank];
  }
  double gas_law_pa(std::size_t tank, double t, const double* y) const {
    if (!closed(parts_.tanks[tank])) return outside_pa_;
    return gas_pa(y[air_ + tank], room_m3(tank, y), headspace_kelvin(tank, t));
  }
  Instant instant(double t, const double* y) const {
    Instant now;
    now.t = t;
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      now.gas.pa.push_back(y[pressure_ + i]);
      now.gas.kelvin.push_back(headspace_kelvin(i, t));
      now.level.push_back(parts_.tanks[i].base_m + depth_of(parts_.tanks[i].shape, y[volume_ + i]));
    }
    now.node_head.assign(nodes_.size(), 0.0);
    for (std::size_t n = 0; n < nodes_.size(); ++n) find_node_head(n, now);
    return now;
  }
  double gas_m(std::size_t tank, const Instant& now) const {
    return (now.gas.pa[tank] - outside_pa_) / (water_kg_per_m3 * gravity);
  }

  /// How far the float stands over the mark at which its valve turns, m.
  double float_over_m(std::size_t k, const double* y) const {
    const tankyard::TopUp& top_up = parts_.top_ups[k];
    const Tank& tank = tankyard::part(parts_.tanks, top_up.into);
    return depth_of(tank.shape, y[volume_ + top_up.into.index]) -
           (state.top_up_runs[k] ? top_up.stops_above_m : top_up.starts_below_m);
  }

  bool is_nozzle(const HoseEnd& end) const {
    const auto* outlet = std::get_if<tankyard::OutletId>(&end.place);
    return outlet != nullptr && tankyard::part(parts_.outlets, *outlet).bore_m.has_value();
  }

  Pipe pipe_of(std::size_t k) const {
    const Hose& hose = parts_.hoses[k];
    Pipe pipe{hose.bore_m, hose.length_m, hose.roughness_m,
              0.5 + hose.loss_k + (hose.valve ? hose.valve->loss_k : 0.0)};
    if (is_nozzle(hose.to)) {
      const Outlet& outlet =
          tankyard::part(parts_.outlets, std::get<tankyard::OutletId>(hose.to.place));
      pipe.loss_k +=
          std::pow(hose.bore_m / *outlet.bore_m, 4.0) / std::pow(outlet.coefficient, 2.0);
    } else {
      pipe.loss_k += 1.0;
    }
    return pipe;
  }

  /// Head that a hose's flow uses up, with its sign: nothing where nothing can flow.
  double push_m(std::size_t k, const Instant& now) const {
    const Hose& hose = parts_.hoses[k];
    if (!state.hose_open[k]) return 0.0;
    bool forth_only = hose.one_way;
    struct End {
      double head = 0.0;
      double gives = 1.0;  // share of the mouth that is covered
    };
    const auto end_at = [&](const HoseEnd& end) -> End {
      if (const auto* tank = std::get_if<TankId>(&end.place)) {
        const double water = now.level[tank->index];
        const double mouth = tankyard::mouth_m(parts_, end);
        return {std::max(water, mouth) + gas_m(tank->index, now),
                share_covered(water - mouth, hose.bore_m)};
      }
      for (std::size_t n = 0; n < nodes_.size(); ++n) {
        if (nodes_[n].place == end.place) return {now.node_head[n], 1.0};
      }
      const auto id = std::get<tankyard::OutletId>(end.place);
      return {*tankyard::part(parts_.outlets, id).height_m, 0.0};
    };
    if (is_nozzle(hose.to)) {
      forth_only = true;
      if (!state.outlet_open[std::get<tankyard::OutletId>(hose.to.place).index]) return 0.0;
    }
    const End from = end_at(hose.from);
    const End to = end_at(hose.to);
    const double head = from.head - to.head - (hose.one_way ? hose.cracking_head_m : 0.0);
    if (head > 0.0) return from.gives * from.gives * head;
    return forth_only ? 0.0 : to.gives * to.gives * head;
  }

  double hole_push_m(std::size_t k, const Instant& now) const {
    const Hole& hole = holes_[k];
    if (hole.outlet && !state.outlet_open[*hole.outlet]) return 0.0;
    const double level = now.level[hole.tank];
    const double covered = share_covered(level - hole.mouth_m, hole.pipe.bore_m);
    return covered * covered * std::max(0.0, level + gas_m(hole.tank, now) - hole.jet_m);
  }

  double air_flow(std::size_t k, const Instant& now) const {
    const AirWay& way = air_ways_[k];
    if (way.line && !state.line_open[*way.line]) return 0.0;
    const auto upstream = [&](std::size_t tank) {
      return closed(parts_.tanks[tank]) ? now.gas.kelvin[tank] : outside_kelvin(now.t);
    };
    return air_kg_per_s(way.area_m2, now.gas.pa[way.from], upstream(way.from),
                        way.to ? now.gas.pa[*way.to] : outside_pa_,
                        way.to ? upstream(*way.to) : outside_kelvin(now.t), way.laminar_pa);
  }

  /// About what a way passes at a ten-thousandth of a pascal.
  static double rounded_kg_per_s(const AirWay& way) {
    return way.area_m2 * std::sqrt(2.0 * 1.2 * 1e-4);
  }

  /// What a draw at a node takes at a head.
  double node_draw(const Node& node, std::size_t outlet, double head) const {
    if (!state.outlet_open[outlet]) return 0.0;
    const Outlet& one = parts_.outlets[outlet];
    return drawn(head - one.height_m.value_or(node.height_m), *one.draw_m3_per_s);
  }

  /// The head at which a node's flows add up to nothing. Searched, and no unknown among the others:
  /// a node whose mouths are all but dry stands at a corner of its laws, where Newton's turns go
  /// round in circles. Sought near where it was last, in a reach that grows until the head lies
  /// within.
  void find_node_head(std::size_t n, Instant& now) const {
    const Node& node = nodes_[n];
    const auto comes = [&](double head) {
      now.node_head[n] = head;
      double sum = 0.0;
      for (std::size_t o : node.draws) sum -= node_draw(node, o, head);
      for (std::size_t k : node.hoses) {
        const double flow = flow_m3_per_s(pipe_of(k), push_m(k, now));
        sum += parts_.hoses[k].to.place == node.place ? flow : -flow;
      }
      return sum;
    };
    // Differences are taken unknown by unknown, and most unknowns are none of a node's.
    std::vector<double> rests_on;
    for (std::size_t k : node.hoses) {
      for (const HoseEnd* end : {&parts_.hoses[k].from, &parts_.hoses[k].to}) {
        if (const auto* tank = std::get_if<TankId>(&end->place)) {
          rests_on.push_back(now.level[tank->index]);
          rests_on.push_back(now.gas.pa[tank->index]);
        }
        if (is_nozzle(*end))
          rests_on.push_back(state.outlet_open[std::get<tankyard::OutletId>(end->place).index]);
      }
      rests_on.push_back(state.hose_open[k]);
    }
    for (std::size_t o : node.draws) rests_on.push_back(state.outlet_open[o]);
    for (const Found& found : found_[n]) {
      if (found.rests_on == rests_on) {
        now.node_head[n] = found.head_m;
        return;
      }
    }
    double last = found_[n].front().head_m;
    double low = last;
    double high = last;
    double reach = 1e-6;
    for (; comes(low) < 0.0 && low > lowest_m; reach *= 8.0) low = last - reach;
    for (reach = 1e-6; comes(high) > 0.0; reach *= 8.0) high = last + reach;
    last = passes_nought(comes, low, high, head_within_m);
    now.node_head[n] = last;
    std::rotate(found_[n].begin(), found_[n].end() - 1, found_[n].end());
    found_[n].front() = {rests_on, last};
  }

  /// A draw straight on a tank: as far as the water stands, and its head, over the mouth.
  double straight_draw(const Outlet& outlet, std::size_t tank, const Instant& now) const {
    const double head = now.level[tank] + std::min(0.0, gas_m(tank, now));
    return drawn(head - tankyard::mouth_m(parts_, *outlet.at), *outlet.draw_m3_per_s);
  }

  double roof_m3_per_s(std::size_t r) const {
    const tankyard::Roof& roof = parts_.roofs[r];
    if (!state.flush_done[r]) return 0.0;
    const double in = state.rain_m_per_s * roof.area_m2 * roof.runoff_fraction;
    return roof.gutter_limit_m3_per_s ? std::min(in, *roof.gutter_limit_m3_per_s) : in;
  }

  /// All that is counted.
  void rates(const Instant& now, const double* y, double* rate) const {
    std::fill(rate, rate + counted_, 0.0);
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      const Tank& tank = parts_.tanks[i];
      const double depth = now.level[i] - tank.base_m;
      if (tank.overflow) {
        rate[overflows_ + i] = overflow_m3_per_s(depth - tank.overflow->height_m, gas_m(i, now),
                                                 tank.overflow->bore_m, tank.overflow->coefficient);
      }
      const double over = depth - tankyard::height_m(tank.shape);
      if (over > 0.0) {
        rate[rims_ + i] = 1.705 * tankyard::rim_length_m(tank.shape) * std::pow(over, 1.5);
      }
    }
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      rate[hoses_ + k] = y[hose_flow_ + k];
      if (is_nozzle(parts_.hoses[k].to)) {
        const auto id = std::get<tankyard::OutletId>(parts_.hoses[k].to.place);
        rate[outlets_ + id.index] += y[hose_flow_ + k];
      }
    }
    for (std::size_t k = 0; k < holes_.size(); ++k) {
      const Hole& hole = holes_[k];
      rate[hole.outlet ? outlets_ + *hole.outlet : leaks_ + hole.leak] = y[hole_flow_ + k];
    }
    for (std::size_t o = 0; o < parts_.outlets.size(); ++o) {
      const Outlet& outlet = parts_.outlets[o];
      if (!outlet.at || !outlet.draw_m3_per_s || !state.outlet_open[o]) continue;
      if (const auto* tank = std::get_if<TankId>(&outlet.at->place)) {
        rate[outlets_ + o] = straight_draw(outlet, tank->index, now);
      }
    }
    for (std::size_t n = 0; n < nodes_.size(); ++n) {
      for (std::size_t o : nodes_[n].draws) {
        rate[outlets_ + o] = node_draw(nodes_[n], o, now.node_head[n]);
      }
    }
    for (std::size_t r = 0; r < parts_.roofs.size(); ++r) rate[roofs_ + r] = roof_m3_per_s(r);
    for (std::size_t k = 0; k < parts_.top_ups.size(); ++k) {
      if (state.top_up_runs[k]) rate[top_ups_ + k] = parts_.top_ups[k].flow_m3_per_s;
    }
  }

  /// F(t, y, y').
  void amiss(double t, const double* y, const double* slope, double* out) const {
    const Instant now = instant(t, y);
    std::vector<double> rate(counted_, 0.0);
    rates(now, y, rate.data());

    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      const Tank& tank = parts_.tanks[i];
      out[volume_ + i] = slope[volume_ + i] + rate[overflows_ + i] + rate[rims_ + i];
      out[air_ + i] = slope[air_ + i];
      out[pressure_ + i] = y[pressure_ + i] - gas_law_pa(i, t, y);
      if (!closed(tank)) out[air_ + i] = slope[air_ + i] + y[air_ + i];
    }
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      const auto& overflow = parts_.tanks[i].overflow;
      if (overflow && overflow->to) out[volume_ + overflow->to->index] -= rate[overflows_ + i];
    }
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      const Hose& hose = parts_.hoses[k];
      const double flow = y[hose_flow_ + k];
      if (const auto* from = std::get_if<TankId>(&hose.from.place)) {
        out[volume_ + from->index] += flow;
      }
      if (const auto* to = std::get_if<TankId>(&hose.to.place)) out[volume_ + to->index] -= flow;
      const double push = push_m(k, now);
      out[hose_flow_ + k] = at_node_[k] ? flow - flow_m3_per_s(pipe_of(k), push)
                                        : head_lost_m(pipe_of(k), flow) - push;
    }
    for (std::size_t k = 0; k < holes_.size(); ++k) {
      out[volume_ + holes_[k].tank] += y[hole_flow_ + k];
      out[hole_flow_ + k] = head_lost_m(holes_[k].pipe, y[hole_flow_ + k]) - hole_push_m(k, now);
    }
    for (std::size_t o = 0; o < parts_.outlets.size(); ++o) {
      const Outlet& outlet = parts_.outlets[o];
      if (!outlet.at || !outlet.draw_m3_per_s) continue;
      if (const auto* tank = std::get_if<TankId>(&outlet.at->place)) {
        out[volume_ + tank->index] += rate[outlets_ + o];
      }
    }
    for (std::size_t r = 0; r < parts_.roofs.size(); ++r) {
      out[volume_ + parts_.roofs[r].into.index] -= rate[roofs_ + r];
    }
    for (std::size_t k = 0; k < parts_.top_ups.size(); ++k) {
      out[volume_ + parts_.top_ups[k].into.index] -= rate[top_ups_ + k];
    }
    for (std::size_t k = 0; k < air_ways_.size(); ++k) {
      const AirWay& way = air_ways_[k];
      const double flow = y[air_flow_ + k];
      if (closed(parts_.tanks[way.from])) out[air_ + way.from] += flow;
      if (way.to && closed(parts_.tanks[*way.to])) out[air_ + *way.to] -= flow;
      // Squares: a flow of air sets out at right angles to its pressure, its square at a slope.
      // Below a ten-thousandth of a pascal the law is rounded off, as that slope leads nowhere at
      // rest.
      const double lawful = air_flow(k, now);
      out[air_flow_ + k] = way.laminar_pa > 0.0 ? flow - lawful
                                                : flow * std::hypot(flow, rounded_kg_per_s(way)) -
                                                      lawful * std::fabs(lawful);
    }
  }

  const Parts& parts_;
  const tankyard::DaySheet& sheet_;
  double outside_pa_ = 0.0;
  std::vector<Node> nodes_;
  std::vector<bool> at_node_;                        ///< per hose
  mutable std::vector<std::array<Found, 3>> found_;  ///< per node, the last first
  std::vector<Hole> holes_;
  std::vector<AirWay> air_ways_;
  std::vector<double> absolute_;
  std::vector<bool> differential_;
  std::size_t volume_, air_, pressure_, hose_flow_, hole_flow_, air_flow_;
  std::size_t overflows_, rims_, hoses_, outlets_, leaks_, roofs_, top_ups_, counted_;
};

/// Seconds from `now` to the next moment at which the clock shows `hour`; never 0.
double until_hour(double clock_s, double hour) {
  const double wait = std::fmod(hour * 3600.0 - clock_s, 86400.0);
  return wait <= 1e-6 ? wait + 86400.0 : wait;
}

void note(const AirYard& yard, const Parts& parts, double t, const std::vector<double>& y,
          AirOutcome& out) {
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (!closed(parts.tanks[i])) continue;
    const double pa = yard.gauge_pa(i, t, y);
    out.lowest_pa[i] = std::min(out.lowest_pa[i], pa);
    out.highest_pa[i] = std::max(out.highest_pa[i], pa);
    out.pressed_m = std::max(out.pressed_m, yard.pressed_m(i, t, y));
    out.boiled = out.boiled || yard.boils(i, t, y);
    out.fullest_share = std::max(out.fullest_share, yard.share_full(i, y));
  }
}

}  // namespace

AirOutcome run_with_air(const Parts& parts, const tankyard::DaySheet& sheet, double relative) {
  AirYard yard(parts, sheet);
  State& state = yard.state;
  for (const Hose& hose : parts.hoses) state.hose_open.push_back(tankyard::starts_open(hose));
  for (const Outlet& outlet : parts.outlets) state.outlet_open.push_back(outlet.open);
  for (const auto& line : parts.air_lines) state.line_open.push_back(line.open);
  state.top_up_runs.assign(parts.top_ups.size(), false);
  std::vector<double> flush_left;
  for (const auto& roof : parts.roofs) {
    flush_left.push_back(roof.first_flush_m);
    state.flush_done.push_back(roof.first_flush_m <= 0.0);
  }

  AirOutcome out;
  out.lowest_pa.assign(parts.tanks.size(), 0.0);
  out.highest_pa.assign(parts.tanks.size(), 0.0);
  std::vector<double> y = yard.at_start();
  yard.set_floats(y);
  DaeWalk walk(yard.system(relative), relative);
  double now = 0.0;
  std::size_t next = 0;
  int stuck_in_a_row = 0;
  while (now < sheet.lasts_s) {
    for (; next < sheet.steps.size() && sheet.steps[next].at_s <= now; ++next) {
      for (const auto& action : sheet.steps[next].actions) {
        const bool on = action.does == tankyard::Action::Does::open;
        if (const auto* hose = std::get_if<tankyard::HoseId>(&action.part)) {
          state.hose_open[hose->index] = on;
        } else if (const auto* line = std::get_if<tankyard::AirLineId>(&action.part)) {
          state.line_open[line->index] = on;
        } else {
          state.outlet_open[std::get<tankyard::OutletId>(action.part).index] = on;
        }
      }
      if (sheet.steps[next].rain_m_per_s) state.rain_m_per_s = *sheet.steps[next].rain_m_per_s;
    }
    // A stretch in which every law is smooth in time.
    double stop = sheet.lasts_s;
    if (next < sheet.steps.size()) stop = std::min(stop, sheet.steps[next].at_s);
    for (const double hour : {parts.site.warmest_hour, parts.site.coldest_hour}) {
      stop = std::min(stop, now + until_hour(sheet.starts_clock_s + now, hour));
    }
    for (std::size_t r = 0; r < flush_left.size(); ++r) {
      if (!state.flush_done[r] && state.rain_m_per_s > 0.0) {
        stop = std::min(stop, now + flush_left[r] / state.rain_m_per_s);
      }
    }
    const double began = now;
    const std::vector<double> slope = yard.settle(now, y);
    note(yard, parts, now, y, out);
    // Where it got stuck it sets out anew, with ever smaller steps.
    const double shortest = std::pow(0.1, 2 + stuck_in_a_row);
    walk.start(
        now, y, slope,
        stuck_in_a_row > 0 ? std::optional<double>(std::min(shortest, stop - now)) : std::nullopt);
    DaeWalk::Got got = DaeWalk::Got::step;
    while (got == DaeWalk::Got::step) {
      got = walk.step(stop);
      if (got == DaeWalk::Got::stuck) break;
      ++out.books.steps;
      const double length = walk.now() - now;
      for (const double share : {0.25, 0.5, 0.75}) {
        const double within = walk.now() - share * std::min(length, walk.last_step_s());
        note(yard, parts, within, walk.y_at(within), out);
      }
      note(yard, parts, walk.now(), walk.y(), out);
      out.header_spare_m = std::min(out.header_spare_m, yard.least_spare_m(walk.now(), walk.y()));
      now = walk.now();
      y = walk.y();
      stuck_in_a_row = 0;
      if (!out.within_reach()) break;
    }
    if (!out.within_reach()) break;
    if (got == DaeWalk::Got::stuck && ++stuck_in_a_row > 8) {
      out.stuck = true;
      out.stuck_at_s = now;
      break;
    }
    if (got == DaeWalk::Got::stop) now = stop;
    if (got == DaeWalk::Got::watched) yard.turn_floats(walk.passed());
    for (std::size_t r = 0; r < flush_left.size(); ++r) {
      if (state.flush_done[r]) continue;
      flush_left[r] -= state.rain_m_per_s * (now - began);
      state.flush_done[r] = flush_left[r] < 1e-12;
    }
  }
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    out.end_pa.push_back(closed(parts.tanks[i]) ? yard.gauge_pa(i, now, y) : 0.0);
  }
  const long long steps = out.books.steps;
  out.books = yard.outcome(y, walk.counted());
  out.books.steps = steps;
  return out;
}

}  // namespace plain
