// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <optional>
#include <variant>

#include "dae_walk.h"
#include "plain_air.h"
#include "plain_moment.h"
#include "plain_switches.h"
#include "plain_ways.h"

namespace plain {
namespace {

using tankyard::Hose;
using tankyard::HoseEnd;
using tankyard::Outlet;
using tankyard::Parts;
using tankyard::Tank;
using tankyard::TankId;

/// The unknowns in one row, and the equations between them.
class AirYard {
 public:
  AirYard(const Parts& parts, const tankyard::DaySheet& sheet, const Bears& bears)
      : parts_(parts), moments_(parts, sheet), board_(parts, moments_, bears) {
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
    hole_flow_ = room(moments_.holes().size(), false, 1e-12);
    pump_flow_ = room(parts.pumps.size(), false, 1e-12);
    air_flow_ = room(moments_.air_ways().size(), false, 1e-11);
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
    pumps_ = count(3 * parts.pumps.size());
    counted_ = at;
  }

  State& state() { return moments_.state; }
  const State& state() const { return moments_.state; }
  Switchboard& board() { return board_; }

  DaeSystem system(double relative) {
    DaeSystem made;
    made.differential = differential_;
    made.absolute = absolute_;
    for (std::size_t i = 0; i < made.absolute.size(); ++i) {
      if (differential_[i]) made.absolute[i] = 0.01 * relative;
    }
    made.counted = counted_;
    made.absolute_counted = 0.1 * relative;
    made.watched = board_.size();
    made.amiss = [this](double t, const double* y, const double* slope, double* out) {
      amiss(t, y, slope, out);
    };
    made.rates = [this](double t, const double* y, double* out) { rates(instant(t, y), y, out); };
    made.watch = [this](double t, const double* y, double* out) {
      const Instant now = instant(t, y);
      for (std::size_t k = 0; k < board_.size(); ++k) out[k] = board_.number(k, now);
    };
    return made;
  }

  std::vector<double> at_start() const {
    std::vector<double> y(absolute_.size(), 0.0);
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      y[volume_ + i] = parts_.tanks[i].water_m3;
      if (closed(parts_.tanks[i])) {
        y[air_ + i] =
            air_kg(moments_.outside_pa(), room_m3(i, y.data()), moments_.headspace_kelvin(i, 0.0));
        y[pressure_ + i] = moments_.outside_pa();
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
      y[hose_flow_ + k] = flow_m3_per_s(moments_.pipe_of(k), moments_.hose_push_m(k, now));
    }
    for (std::size_t k = 0; k < moments_.holes().size(); ++k) {
      y[hole_flow_ + k] = flow_m3_per_s(moments_.holes()[k].pipe, moments_.hole_push_m(k, now));
    }
    for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
      y[pump_flow_ + k] = moments_.pump_m3_per_s(k, now);
    }
    for (std::size_t k = 0; k < moments_.air_ways().size(); ++k) {
      // The root of w sqrt(w^2 + w0^2) = lawful^2.
      const AirWay& way = moments_.air_ways()[k];
      const double lawful = moments_.air_kg_per_s(k, now);
      y[air_flow_ + k] = lawful;
      if (way.laminar_pa > 0.0) continue;
      const double rounded = std::pow(rounded_kg_per_s(way), 2.0) / 2.0;
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
    return gas_law_pa(tank, t, y.data()) - moments_.outside_pa();
  }
  bool boils(std::size_t tank, double t, const std::vector<double>& y) const {
    return closed(parts_.tanks[tank]) && gas_law_pa(tank, t, y.data()) == gas_pa(0.0, 1.0, 1.0);
  }
  /// Head of gas on a tank that something fills from above; 0 for another.
  double pressed_m(std::size_t tank, double t, const std::vector<double>& y) const {
    const auto into = [tank](const auto& one) { return one.into.index == tank; };
    const bool filled = std::any_of(parts_.roofs.begin(), parts_.roofs.end(), into) ||
                        std::any_of(parts_.top_ups.begin(), parts_.top_ups.end(), into);
    return filled ? gauge_pa(tank, t, y) / (998.207 * 9.80665) : 0.0;
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
      least = std::min(least, now.node_head[n] - moments_.nodes()[n].height_m);
    }
    return least;
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
  std::vector<PumpBooks> pump_books(const std::vector<double>& counted) const {
    std::vector<PumpBooks> books;
    for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
      const double* of = &counted[pumps_ + 3 * k];
      books.push_back({of[0], of[1], of[2]});
    }
    return books;
  }
  Instant instant(double t, const double* y) const {
    return moments_.instant(t, y + volume_, y + pressure_);
  }

 private:
  double room_m3(std::size_t tank, const double* y) const {
    return tankyard::capacity_m3(parts_.tanks[tank].shape) - y[volume_ + tank];
  }
  double gas_law_pa(std::size_t tank, double t, const double* y) const {
    if (!closed(parts_.tanks[tank])) return moments_.outside_pa();
    return gas_pa(y[air_ + tank], room_m3(tank, y), moments_.headspace_kelvin(tank, t));
  }
  /// About what a way passes at a ten-thousandth of a pascal.
  static double rounded_kg_per_s(const AirWay& way) {
    return way.area_m2 * std::sqrt(2.0 * 1.2 * 1e-4);
  }

  double roof_m3_per_s(std::size_t r) const {
    const tankyard::Roof& roof = parts_.roofs[r];
    if (!state().flush_done[r]) return 0.0;
    const double in = state().rain_m_per_s * roof.area_m2 * roof.runoff_fraction;
    return roof.gutter_limit_m3_per_s ? std::min(in, *roof.gutter_limit_m3_per_s) : in;
  }

  /// All that is counted.
  void rates(const Instant& now, const double* y, double* rate) const {
    std::fill(rate, rate + counted_, 0.0);
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      const Tank& tank = parts_.tanks[i];
      const double depth = now.level[i] - tank.base_m;
      if (tank.overflow) {
        rate[overflows_ + i] =
            overflow_m3_per_s(depth - tank.overflow->height_m, moments_.gas_m(i, now),
                              tank.overflow->bore_m, tank.overflow->coefficient);
      }
      const double over = depth - tankyard::height_m(tank.shape);
      if (over > 0.0) {
        rate[rims_ + i] = 1.705 * tankyard::rim_length_m(tank.shape) * std::pow(over, 1.5);
      }
    }
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      rate[hoses_ + k] = y[hose_flow_ + k];
      if (is_hose_nozzle(parts_, parts_.hoses[k].to.place)) {
        const auto id = std::get<tankyard::OutletId>(parts_.hoses[k].to.place);
        rate[outlets_ + id.index] += y[hose_flow_ + k];
      }
    }
    for (std::size_t k = 0; k < moments_.holes().size(); ++k) {
      const Hole& hole = moments_.holes()[k];
      rate[hole.outlet ? outlets_ + *hole.outlet : leaks_ + hole.leak] = y[hole_flow_ + k];
    }
    for (std::size_t o = 0; o < parts_.outlets.size(); ++o) {
      const Outlet& outlet = parts_.outlets[o];
      if (!outlet.at || !outlet.draw_m3_per_s || !state().outlet_open[o]) continue;
      if (std::holds_alternative<TankId>(outlet.at->place)) {
        rate[outlets_ + o] = moments_.straight_draw_m3_per_s(outlet, now);
      }
    }
    for (std::size_t n = 0; n < moments_.nodes().size(); ++n) {
      const Node& node = moments_.nodes()[n];
      for (std::size_t o : node.draws) {
        rate[outlets_ + o] = moments_.draw_m3_per_s(node, o, now.node_head[n]);
      }
      for (std::size_t o : node.nozzles) {
        rate[outlets_ + o] = moments_.nozzle_m3_per_s(node, o, now.node_head[n]);
      }
    }
    for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
      const double flow = y[pump_flow_ + k];
      if (state().pump_runs[k]) {
        rate[pumps_ + 3 * k] = flow;
      } else {
        rate[pumps_ + 3 * k + (flow < 0.0 ? 1 : 2)] = std::fabs(flow);
      }
    }
    for (std::size_t r = 0; r < parts_.roofs.size(); ++r) rate[roofs_ + r] = roof_m3_per_s(r);
    for (std::size_t k = 0; k < parts_.top_ups.size(); ++k) {
      if (state().top_up_runs[k]) rate[top_ups_ + k] = parts_.top_ups[k].flow_m3_per_s;
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
      const double push = moments_.hose_push_m(k, now);
      const Pipe& pipe = moments_.pipe_of(k);
      out[hose_flow_ + k] =
          moments_.at_node(k) ? flow - flow_m3_per_s(pipe, push) : head_lost_m(pipe, flow) - push;
    }
    for (std::size_t k = 0; k < moments_.holes().size(); ++k) {
      const Hole& hole = moments_.holes()[k];
      out[volume_ + hole.tank] += y[hole_flow_ + k];
      out[hole_flow_ + k] =
          head_lost_m(hole.pipe, y[hole_flow_ + k]) - moments_.hole_push_m(k, now);
    }
    for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
      const double flow = y[pump_flow_ + k];
      out[pump_flow_ + k] = flow - moments_.pump_m3_per_s(k, now);
      if (const auto* tank = std::get_if<TankId>(&parts_.pumps[k].from)) {
        out[volume_ + tank->index] += flow;
      }
      if (const auto* tank = std::get_if<TankId>(&parts_.pumps[k].to)) {
        out[volume_ + tank->index] -= flow;
      }
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
    for (std::size_t k = 0; k < moments_.air_ways().size(); ++k) {
      const AirWay& way = moments_.air_ways()[k];
      const double flow = y[air_flow_ + k];
      if (closed(parts_.tanks[way.from])) out[air_ + way.from] += flow;
      if (way.to && closed(parts_.tanks[*way.to])) out[air_ + *way.to] -= flow;
      // Squares: a flow of air sets out at right angles to its pressure, its square at a slope.
      // Below a ten-thousandth of a pascal the law is rounded off, as that slope leads nowhere at
      // rest.
      const double lawful = moments_.air_kg_per_s(k, now);
      out[air_flow_ + k] = way.laminar_pa > 0.0 ? flow - lawful
                                                : flow * std::hypot(flow, rounded_kg_per_s(way)) -
                                                      lawful * std::fabs(lawful);
    }
  }

  const Parts& parts_;
  Moments moments_;
  Switchboard board_;
  std::vector<double> absolute_;
  std::vector<bool> differential_;
  std::size_t volume_, air_, pressure_, hose_flow_, hole_flow_, pump_flow_, air_flow_;
  std::size_t overflows_, rims_, hoses_, outlets_, leaks_, roofs_, top_ups_, pumps_, counted_;
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

/// Carries a yard through its day, stretch by stretch.
class Day {
 public:
  Day(const Parts& parts, const tankyard::DaySheet& sheet, double relative, const Bears& bears)
      : parts_(parts),
        sheet_(sheet),
        yard_(parts, sheet, bears),
        y_(yard_.at_start()),
        walk_(yard_.system(relative), relative),
        far_(yard_.board().size(), 0.0),
        last_(yard_.board().size(), none) {
    out_.lowest_pa.assign(parts.tanks.size(), 0.0);
    out_.highest_pa.assign(parts.tanks.size(), 0.0);
    for (const auto& roof : parts.roofs) flush_left_.push_back(roof.first_flush_m);
  }

  AirOutcome run() {
    yard_.settle(0.0, y_);
    yard_.board().begin(yard_.instant(0.0, y_.data()), out_.happened);
    int stuck_in_a_row = 0;
    while (now_ < sheet_.lasts_s) {
      act();
      turn_what_is_due();
      const double stop = end_of_stretch();
      const double began = now_;
      const std::vector<double> slope = yard_.settle(now_, y_);
      note(yard_, parts_, now_, y_, out_);
      // Where it got stuck it sets out anew, with ever smaller steps.
      const double shortest = std::pow(0.1, 2 + stuck_in_a_row);
      walk_.start(now_, y_, slope,
                  stuck_in_a_row > 0 ? std::optional<double>(std::min(shortest, stop - now_))
                                     : std::nullopt);
      bool moved = false;
      const DaeWalk::Got got = walk_to(stop, moved);
      if (moved) stuck_in_a_row = 0;
      if (!out_.within_reach()) break;
      if (got == DaeWalk::Got::stuck && ++stuck_in_a_row > 8) {
        out_.stuck = true;
        out_.stuck_at_s = now_;
        break;
      }
      for (std::size_t r = 0; r < flush_left_.size(); ++r) {
        if (yard_.state().flush_done[r]) continue;
        flush_left_[r] -= yard_.state().rain_m_per_s * (now_ - began);
        yard_.state().flush_done[r] = flush_left_[r] < 1e-12;
      }
    }
    for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
      out_.end_pa.push_back(closed(parts_.tanks[i]) ? yard_.gauge_pa(i, now_, y_) : 0.0);
    }
    const long long steps = out_.books.steps;
    out_.books = yard_.outcome(y_, walk_.counted());
    out_.books.steps = steps;
    out_.pumps = yard_.pump_books(walk_.counted());
    return out_;
  }

 private:
  static constexpr std::size_t none = static_cast<std::size_t>(-1);

  void act() {
    State& state = yard_.state();
    for (; next_ < sheet_.steps.size() && sheet_.steps[next_].at_s <= now_; ++next_) {
      for (const auto& action : sheet_.steps[next_].actions) {
        const bool on = action.does == tankyard::Action::Does::open ||
                        action.does == tankyard::Action::Does::start;
        if (const auto* hose = std::get_if<tankyard::HoseId>(&action.part)) {
          state.hose_open[hose->index] = on;
        } else if (const auto* line = std::get_if<tankyard::AirLineId>(&action.part)) {
          state.line_open[line->index] = on;
        } else if (const auto* pump = std::get_if<tankyard::PumpId>(&action.part)) {
          yard_.board().order(pump->index, on, yard_.instant(now_, y_.data()), out_.happened);
        } else {
          state.outlet_open[std::get<tankyard::OutletId>(action.part).index] = on;
        }
        ++state.turned;
      }
      if (sheet_.steps[next_].rain_m_per_s) state.rain_m_per_s = *sheet_.steps[next_].rain_m_per_s;
    }
  }

  void turn_what_is_due() {
    for (int k = 0; k < 50; ++k) {
      if (!yard_.board().turn_all_due(yard_.instant(now_, y_.data()), out_.happened)) return;
    }
  }

  /// The end of a stretch in which every law is smooth in time.
  double end_of_stretch() const {
    double stop = sheet_.lasts_s;
    if (next_ < sheet_.steps.size()) stop = std::min(stop, sheet_.steps[next_].at_s);
    for (const double hour : {parts_.site.warmest_hour, parts_.site.coldest_hour}) {
      stop = std::min(stop, now_ + until_hour(sheet_.starts_clock_s + now_, hour));
    }
    const State& state = yard_.state();
    for (std::size_t r = 0; r < flush_left_.size(); ++r) {
      if (!state.flush_done[r] && state.rain_m_per_s > 0.0) {
        stop = std::min(stop, now_ + flush_left_[r] / state.rain_m_per_s);
      }
    }
    return stop;
  }

  /// As far as nothing turns.
  DaeWalk::Got walk_to(double stop, bool& moved) {
    for (;;) {
      const DaeWalk::Got got = walk_.step(stop);
      if (got == DaeWalk::Got::stuck) return got;
      ++out_.books.steps;
      const double length = walk_.now() - now_;
      for (const double share : {0.25, 0.5, 0.75}) {
        const double within = walk_.now() - share * std::min(length, walk_.last_step_s());
        note(yard_, parts_, within, walk_.y_at(within), out_);
      }
      note(yard_, parts_, walk_.now(), walk_.y(), out_);
      out_.header_spare_m =
          std::min(out_.header_spare_m, yard_.least_spare_m(walk_.now(), walk_.y()));
      now_ = got == DaeWalk::Got::stop ? stop : walk_.now();
      y_ = walk_.y();
      moved = true;
      look_how_far();
      if (!out_.within_reach() || got == DaeWalk::Got::stop) return got;
      if (got == DaeWalk::Got::watched && turned_by_what_passed()) return got;
    }
  }

  /// Keeps how far each number has been from nought since it last passed it.
  void look_how_far() {
    const Instant now = yard_.instant(now_, y_.data());
    for (std::size_t k = 0; k < far_.size(); ++k) {
      far_[k] = std::max(far_[k], std::fabs(yard_.board().number(k, now)));
      if (last_[k] == none) continue;
      Happening& last = out_.happened[last_[k]];
      last.beyond = std::min(before_[k], far_[k]);
    }
  }

  bool turned_by_what_passed() {
    const std::vector<int> passed = walk_.passed();
    const Instant now = yard_.instant(now_, y_.data());
    // A moment beside it, within the step that was taken.
    const double reach_s = std::min(1e-2, 0.1 * walk_.last_step_s());
    const bool early = now_ - (walk_.stepped_to_s() - walk_.last_step_s()) < reach_s;
    const double beside_s = early ? now_ + reach_s : now_ - reach_s;
    const Instant beside = yard_.instant(beside_s, walk_.y_at(beside_s).data());
    double fastest = 0.0;
    for (std::size_t i = 0; i < now.level.size(); ++i) {
      fastest = std::max(fastest, std::fabs((beside.level[i] - now.level[i]) / (beside_s - now_)));
    }
    bool turned = false;
    for (std::size_t k = 0; k < passed.size(); ++k) {
      if (passed[k] == 0) continue;
      const double rate =
          (yard_.board().number(k, beside) - yard_.board().number(k, now)) / (beside_s - now_);
      const std::size_t first = out_.happened.size();
      turned = yard_.board().passed(k, passed[k] < 0, now, out_.happened) || turned;
      for (std::size_t one = first; one < out_.happened.size(); ++one) {
        out_.happened[one].number_per_s = rate;
        out_.happened[one].fastest_m_per_s = fastest;
        out_.happened[one].beyond = far_[k];
      }
      before_.resize(far_.size(), 0.0);
      before_[k] = far_[k];
      last_[k] = first < out_.happened.size() && !turned ? first : none;
      far_[k] = 0.0;
    }
    return turned;
  }

  const Parts& parts_;
  const tankyard::DaySheet& sheet_;
  AirYard yard_;
  std::vector<double> y_;
  DaeWalk walk_;
  std::vector<double> flush_left_;
  double now_ = 0.0;
  std::size_t next_ = 0;
  std::vector<double> far_;        ///< per watched number
  std::vector<double> before_;     ///< how far it had been before it last passed nought
  std::vector<std::size_t> last_;  ///< what it last told of
  AirOutcome out_;
};

}  // namespace

AirOutcome run_with_air(const Parts& parts, const tankyard::DaySheet& sheet, double relative,
                        const Bears& bears) {
  return Day(parts, sheet, relative, bears).run();
}

}  // namespace plain
