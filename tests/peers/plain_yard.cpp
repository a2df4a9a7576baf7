// SPDX-License-Identifier: MIT
#include "plain_yard.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <variant>

#include "passes_nought.h"

namespace plain {
namespace {

using tankyard::Hose;
using tankyard::HoseEnd;
using tankyard::Parts;

constexpr double pi = 3.141592653589793;
constexpr double entry_k = 0.5;
constexpr double exit_k = 1.0;
constexpr double located_s = 2e-4;  // a switch is met this closely
constexpr double lowest_m = -12.0;  // no water stands lower under the lowest thing of these yards

double rim_length(const tankyard::Shape& shape) {
  if (const auto* prism = std::get_if<tankyard::Prism>(&shape))
    return 4.0 * std::sqrt(prism->area_m2);
  if (const auto* upright = std::get_if<tankyard::Upright>(&shape)) return pi * upright->diameter_m;
  return pi * 0.4;
}

double rim_height(const tankyard::Shape& shape) {
  if (const auto* prism = std::get_if<tankyard::Prism>(&shape)) return prism->height_m;
  if (const auto* upright = std::get_if<tankyard::Upright>(&shape)) return upright->height_m;
  return std::get<tankyard::Lying>(shape).diameter_m;
}

/// What is open, full or running: changes by the day sheet and by its own switches.
struct State {
  std::vector<bool> hose_open;
  std::vector<bool> outlet_open;
  std::vector<bool> crest_full;
  std::vector<bool> top_up_runs;
  double rain_m_per_s = 0.0;
  std::vector<double> flush_left_m;
};

/// Rates of everything that is counted, in one row: tanks, overflows, rims, hoses, outlets, leaks,
/// roofs, top-ups.
class Yard {
 public:
  explicit Yard(const Parts& parts) : parts_(parts) {
    std::size_t at = 0;
    const auto room = [&at](std::size_t many) {
      const std::size_t first = at;
      at += many;
      return first;
    };
    tanks_ = room(parts.tanks.size());
    overflows_ = room(parts.tanks.size());
    rims_ = room(parts.tanks.size());
    hoses_ = room(parts.hoses.size());
    outlets_ = room(parts.outlets.size());
    leaks_ = room(parts.leaks.size());
    roofs_ = room(parts.roofs.size());
    top_ups_ = room(parts.top_ups.size());
    size_ = at;
  }

  std::size_t size() const { return size_; }

  std::vector<double> levels(const std::vector<double>& counted) const {
    std::vector<double> level;
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      level.push_back(parts_.tanks[i].base_m + depth_of(parts_.tanks[i].shape, counted[i]));
    }
    return level;
  }

  /// Heads of the headers first, then of the outlets at which a fixed draw hangs on hoses.
  std::vector<double> rates(const std::vector<double>& counted, const State& state) const {
    std::vector<double> rate(size_, 0.0);
    const std::vector<double> level = levels(counted);
    for (std::size_t h = 0; h < parts_.headers.size(); ++h) {
      balance_node(tankyard::id_at<tankyard::HeaderId>(h), level, state, rate);
    }
    for (std::size_t o = 0; o < parts_.outlets.size(); ++o) {
      if (!parts_.outlets[o].at && parts_.outlets[o].draw_m3_per_s) {
        balance_node(tankyard::id_at<tankyard::OutletId>(o), level, state, rate);
      }
    }
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      const Hose& hose = parts_.hoses[k];
      if (!at_node(hose.from) && !at_node(hose.to)) {
        add_hose(k, hose_flow(k, std::nullopt, level, state), rate);
      }
    }
    for (std::size_t o = 0; o < parts_.outlets.size(); ++o) add_outlet(o, level, state, rate);
    for (std::size_t l = 0; l < parts_.leaks.size(); ++l) {
      const tankyard::Leak& leak = parts_.leaks[l];
      const double mouth = tankyard::part(parts_.tanks, leak.tank).base_m + leak.height_m;
      const double out =
          hole_flow(level[leak.tank.index], mouth, mouth, leak.bore_m, leak.coefficient);
      rate[leaks_ + l] += out;
      rate[leak.tank.index] -= out;
    }
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) add_spills(i, level[i], rate);
    for (std::size_t r = 0; r < parts_.roofs.size(); ++r) {
      const tankyard::Roof& roof = parts_.roofs[r];
      if (state.flush_left_m[r] > 0.0) continue;
      double in = state.rain_m_per_s * roof.area_m2 * roof.runoff_fraction;
      if (roof.gutter_limit_m3_per_s) in = std::min(in, *roof.gutter_limit_m3_per_s);
      rate[roofs_ + r] += in;
      rate[roof.into.index] += in;
    }
    for (std::size_t t = 0; t < parts_.top_ups.size(); ++t) {
      if (!state.top_up_runs[t]) continue;
      rate[top_ups_ + t] += parts_.top_ups[t].flow_m3_per_s;
      rate[parts_.top_ups[t].into.index] += parts_.top_ups[t].flow_m3_per_s;
    }
    return rate;
  }

  /// Turns what is due; true if anything was, in which case nothing has been turned when
  /// `look_only`.
  bool turn_switches(const std::vector<double>& counted, State& state, bool look_only) const {
    const std::vector<double> level = levels(counted);
    bool any = false;
    for (std::size_t t = 0; t < parts_.top_ups.size(); ++t) {
      const tankyard::TopUp& top_up = parts_.top_ups[t];
      const double depth =
          level[top_up.into.index] - tankyard::part(parts_.tanks, top_up.into).base_m;
      const bool due =
          state.top_up_runs[t] ? depth > top_up.stops_above_m : depth < top_up.starts_below_m;
      if (due && !look_only) state.top_up_runs[t] = !state.top_up_runs[t];
      any = any || due;
    }
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      const Hose& hose = parts_.hoses[k];
      if (!hose.crest_m || !state.hose_open[k]) continue;
      const double from = level[std::get<tankyard::TankId>(hose.from.place).index];
      const double to = level[std::get<tankyard::TankId>(hose.to.place).index];
      const bool due = state.crest_full[k] ? from < mouth_of(hose.from) + 0.5 * hose.bore_m ||
                                                 to < mouth_of(hose.to) + 0.5 * hose.bore_m
                                           : std::min(from, to) > *hose.crest_m &&
                                                 from > mouth_of(hose.from) + hose.bore_m &&
                                                 to > mouth_of(hose.to) + hose.bore_m;
      if (due && !look_only) state.crest_full[k] = !state.crest_full[k];
      any = any || due;
    }
    return any;
  }

  Outcome outcome(const std::vector<double>& counted) const {
    const auto cut = [&](std::size_t first, std::size_t many) {
      const auto begin = counted.begin() + static_cast<std::ptrdiff_t>(first);
      return std::vector<double>(begin, begin + static_cast<std::ptrdiff_t>(many));
    };
    Outcome out;
    out.volume_m3 = cut(tanks_, parts_.tanks.size());
    out.overflowed_m3 = cut(overflows_, parts_.tanks.size());
    out.over_rim_m3 = cut(rims_, parts_.tanks.size());
    out.carried_m3 = cut(hoses_, parts_.hoses.size());
    out.delivered_m3 = cut(outlets_, parts_.outlets.size());
    out.leaked_m3 = cut(leaks_, parts_.leaks.size());
    out.caught_m3 = cut(roofs_, parts_.roofs.size());
    out.let_in_m3 = cut(top_ups_, parts_.top_ups.size());
    return out;
  }

 private:
  double mouth_of(const HoseEnd& end) const {
    const tankyard::Tank& tank =
        tankyard::part(parts_.tanks, std::get<tankyard::TankId>(end.place));
    return tank.base_m + end.height_m.value_or(tank.outlet_height_m);
  }

  bool is_nozzle(const HoseEnd& end) const {
    const auto* outlet = std::get_if<tankyard::OutletId>(&end.place);
    return outlet != nullptr && tankyard::part(parts_.outlets, *outlet).bore_m.has_value();
  }

  /// A place without storage: its head is whatever lets its flows add up to nothing.
  bool at_node(const HoseEnd& end) const {
    return !std::holds_alternative<tankyard::TankId>(end.place) && !is_nozzle(end);
  }

  /// Flow from `from` to `to`; `node_head_m`: of the end that has no storage, if there is one.
  double hose_flow(std::size_t k, std::optional<double> node_head_m,
                   const std::vector<double>& level, const State& state) const {
    const Hose& hose = parts_.hoses[k];
    if (!state.hose_open[k]) return 0.0;
    Pipe pipe{hose.bore_m, hose.length_m, hose.roughness_m,
              entry_k + hose.loss_k + (hose.valve ? hose.valve->loss_k : 0.0)};

    struct End {
      double head = 0.0;   // of the water there, as a receiver
      double gives = 1.0;  // share of the mouth that is covered
    };
    const bool sill = hose.crest_m && !state.crest_full[k];
    const auto end_at = [&](const HoseEnd& end) -> End {
      if (at_node(end)) return {*node_head_m, 1.0};
      const double water = level[std::get<tankyard::TankId>(end.place).index];
      const double mouth = sill ? std::max(mouth_of(end), *hose.crest_m) : mouth_of(end);
      return {std::max(water, mouth), share_covered(water - mouth, hose.bore_m)};
    };

    const End from = end_at(hose.from);
    End to;
    bool forth_only = hose.one_way;
    if (is_nozzle(hose.to)) {
      const auto id = std::get<tankyard::OutletId>(hose.to.place);
      const tankyard::Outlet& outlet = tankyard::part(parts_.outlets, id);
      if (!state.outlet_open[id.index]) return 0.0;
      // The jet leaves with its own velocity head: on the hose's velocity, (D/d)^4 / c^2.
      pipe.loss_k +=
          std::pow(hose.bore_m / *outlet.bore_m, 4.0) / std::pow(outlet.coefficient, 2.0);
      to.head = *outlet.height_m;
      forth_only = true;
    } else {
      pipe.loss_k += exit_k;
      to = end_at(hose.to);
    }
    const double head = from.head - to.head - (hose.one_way ? hose.cracking_head_m : 0.0);
    if (head > 0.0) return flow_m3_per_s(pipe, from.gives * from.gives * head);
    if (forth_only) return 0.0;
    return flow_m3_per_s(pipe, to.gives * to.gives * head);
  }

  double hole_flow(double level, double mouth, double jet, double bore, double coefficient) const {
    const double covered = share_covered(level - mouth, bore);
    if (covered == 0.0 || level <= jet) return 0.0;
    return flow_m3_per_s({bore, 0.0, 0.0, 1.0 / (coefficient * coefficient)},
                         covered * covered * (level - jet));
  }

  void add_hose(std::size_t k, double flow, std::vector<double>& rate) const {
    const Hose& hose = parts_.hoses[k];
    rate[hoses_ + k] += flow;
    if (const auto* from = std::get_if<tankyard::TankId>(&hose.from.place))
      rate[from->index] -= flow;
    if (const auto* to = std::get_if<tankyard::TankId>(&hose.to.place)) rate[to->index] += flow;
    if (is_nozzle(hose.to)) {
      rate[outlets_ + std::get<tankyard::OutletId>(hose.to.place).index] += flow;
    }
  }

  /// Finds a node's head by halving and enters the flows of its hoses and of the draw on it.
  void balance_node(tankyard::Place node, const std::vector<double>& level, const State& state,
                    std::vector<double>& rate) const {
    std::vector<std::size_t> hoses;
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      if (parts_.hoses[k].from.place == node || parts_.hoses[k].to.place == node)
        hoses.push_back(k);
    }
    struct Draw {
      std::size_t outlet;
      double height;
      double asked;
    };
    std::vector<Draw> draws;
    for (std::size_t o = 0; o < parts_.outlets.size(); ++o) {
      const tankyard::Outlet& outlet = parts_.outlets[o];
      if (!outlet.draw_m3_per_s || !state.outlet_open[o]) continue;
      const bool here = outlet.at ? outlet.at->place == node
                                  : tankyard::Place(tankyard::id_at<tankyard::OutletId>(o)) == node;
      if (!here) continue;
      double height = outlet.height_m.value_or(0.0);
      if (!outlet.height_m) {
        height = tankyard::part(parts_.headers, std::get<tankyard::HeaderId>(node)).height_m;
      }
      draws.push_back({o, height, *outlet.draw_m3_per_s});
    }
    const auto comes = [&](double head) {
      double sum = 0.0;
      for (std::size_t k : hoses) {
        const double flow = hose_flow(k, head, level, state);
        sum += parts_.hoses[k].to.place == node ? flow : -flow;
      }
      for (const Draw& draw : draws) sum -= drawn(head - draw.height, draw.asked);
      return sum;
    };
    // Sought near where it was last, in a reach that grows until the head lies within.
    double& last = last_head_m_[node];
    double low = last;
    double high = last;
    double reach = 1e-4;
    for (; comes(low) < 0.0 && low > lowest_m; reach *= 8.0) low = last - reach;
    for (reach = 1e-4; comes(high) > 0.0; reach *= 8.0) high = last + reach;
    const double head = passes_nought(comes, low, high, 1e-11);
    last = head;
    for (std::size_t k : hoses) add_hose(k, hose_flow(k, head, level, state), rate);
    for (const Draw& draw : draws)
      rate[outlets_ + draw.outlet] += drawn(head - draw.height, draw.asked);
  }

  void add_outlet(std::size_t o, const std::vector<double>& level, const State& state,
                  std::vector<double>& rate) const {
    const tankyard::Outlet& outlet = parts_.outlets[o];
    if (!outlet.at || !state.outlet_open[o]) return;
    const auto* tank = std::get_if<tankyard::TankId>(&outlet.at->place);
    if (tank == nullptr) return;  // on a header: counted there
    const double mouth = mouth_of(*outlet.at);
    const double jet = outlet.height_m.value_or(mouth);
    const double out =
        outlet.draw_m3_per_s
            ? drawn(level[tank->index] - mouth, *outlet.draw_m3_per_s)
            : hole_flow(level[tank->index], mouth, jet, *outlet.bore_m, outlet.coefficient);
    rate[outlets_ + o] += out;
    rate[tank->index] -= out;
  }

  void add_spills(std::size_t i, double level, std::vector<double>& rate) const {
    const tankyard::Tank& tank = parts_.tanks[i];
    if (tank.overflow) {
      const double out = overflow_m3_per_s(level - tank.base_m - tank.overflow->height_m,
                                           tank.overflow->bore_m, tank.overflow->coefficient);
      rate[overflows_ + i] += out;
      rate[i] -= out;
      if (tank.overflow->to) rate[tank.overflow->to->index] += out;
    }
    const double over = level - tank.base_m - rim_height(tank.shape);
    if (over > 0.0) {
      const double out = 1.705 * rim_length(tank.shape) * std::pow(over, 1.5);
      rate[rims_ + i] += out;
      rate[i] -= out;
    }
  }

  const Parts& parts_;
  mutable std::map<tankyard::Place, double> last_head_m_;
  std::size_t tanks_, overflows_, rims_, hoses_, outlets_, leaks_, roofs_, top_ups_, size_;
};

/// One step of Dormand and Prince's pair of orders 5(4) (J. Comput. Appl. Math. 6 (1980) 19).
/// Returns the estimated error of the worst of all numbers: watched volumes alone would leave the
/// share of two hoses that join the same places to chance.
double step(const Yard& yard, const State& state, double length, const std::vector<double>& start,
            const std::vector<double>& first, std::vector<double>& end, std::vector<double>& last) {
  static constexpr double a[6][6] = {
      {1.0 / 5},
      {3.0 / 40, 9.0 / 40},
      {44.0 / 45, -56.0 / 15, 32.0 / 9},
      {19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729},
      {9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656},
      {35.0 / 384, 0.0, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84}};
  static constexpr double e[7] = {71.0 / 57600,      0.0,        -71.0 / 16695, 71.0 / 1920,
                                  -17253.0 / 339200, 22.0 / 525, -1.0 / 40};
  std::vector<std::vector<double>> rate = {first};
  for (const auto& row : a) {
    end = start;
    for (std::size_t k = 0; k < rate.size(); ++k) {
      for (std::size_t i = 0; i < end.size(); ++i) end[i] += length * row[k] * rate[k][i];
    }
    rate.push_back(yard.rates(end, state));
  }
  last = rate.back();
  double worst = 0.0;
  for (std::size_t i = 0; i < end.size(); ++i) {
    double error = 0.0;
    for (std::size_t k = 0; k < rate.size(); ++k) error += e[k] * rate[k][i];
    worst = std::max(worst, std::fabs(length * error));
  }
  return worst;
}

}  // namespace

Outcome run(const Parts& parts, const tankyard::DaySheet& sheet, double tolerance_m3) {
  const Yard yard(parts);
  std::vector<double> counted(yard.size(), 0.0);
  State state;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) counted[i] = parts.tanks[i].water_m3;
  const std::vector<double> level = yard.levels(counted);
  for (const Hose& hose : parts.hoses) {
    state.hose_open.push_back(hose.open && (!hose.valve || hose.valve->open));
    state.crest_full.push_back(hose.crest_m && hose.primed);
  }
  for (const auto& outlet : parts.outlets) state.outlet_open.push_back(outlet.open);
  state.top_up_runs.assign(parts.top_ups.size(), false);
  for (const auto& roof : parts.roofs) state.flush_left_m.push_back(roof.first_flush_m);

  double now = 0.0;
  double length = 1.0;
  std::size_t next = 0;
  long long steps = 0;
  std::vector<double> end;
  std::vector<double> last;
  while (now < sheet.lasts_s) {
    for (; next < sheet.steps.size() && sheet.steps[next].at_s <= now; ++next) {
      for (const auto& action : sheet.steps[next].actions) {
        const bool on = action.does == tankyard::Action::Does::open;
        if (const auto* hose = std::get_if<tankyard::HoseId>(&action.part)) {
          state.hose_open[hose->index] = on;
        } else {
          state.outlet_open[std::get<tankyard::OutletId>(action.part).index] = on;
        }
      }
      if (sheet.steps[next].rain_m_per_s) state.rain_m_per_s = *sheet.steps[next].rain_m_per_s;
    }
    for (int k = 0; k < 10 && yard.turn_switches(counted, state, false); ++k) {
    }
    double stop = sheet.lasts_s;
    if (next < sheet.steps.size()) stop = std::min(stop, sheet.steps[next].at_s);
    if (state.rain_m_per_s > 0.0) {
      for (double left : state.flush_left_m) {
        if (left > 0.0) stop = std::min(stop, now + left / state.rain_m_per_s);
      }
    }
    // A stretch in which nothing changes but levels, up to `stop` or to the first switch.
    std::vector<double> first = yard.rates(counted, state);
    while (now < stop) {
      const bool to_the_end = length >= stop - now;
      const double tried = to_the_end ? stop - now : length;
      const double error = step(yard, state, tried, counted, first, end, last);
      if (error > tolerance_m3) {
        length = tried * std::max(0.2, 0.9 * std::pow(tolerance_m3 / error, 0.2));
        continue;
      }
      const bool switched = yard.turn_switches(end, state, true);
      if (switched && tried > located_s) {
        length = 0.5 * tried;
        continue;
      }
      ++steps;
      for (double& left : state.flush_left_m) {
        if (left <= 0.0) continue;
        left -= state.rain_m_per_s * tried;
        if (left < 1e-12) left = 0.0;
      }
      now = to_the_end ? stop : now + tried;
      counted = end;
      first = last;
      const double grow = 0.9 * std::pow(tolerance_m3 / std::max(error, 1e-30), 0.2);
      if (!to_the_end || grow < 1.0) length = tried * std::clamp(grow, 0.2, 4.0);
      if (switched) {
        length = 0.1;
        break;
      }
    }
  }
  Outcome out = yard.outcome(counted);
  out.steps = steps;
  return out;
}

}  // namespace plain
