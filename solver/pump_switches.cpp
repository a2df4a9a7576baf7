// SPDX-License-Identifier: MIT
#include "solver/pump_switches.h"

#include <optional>

namespace tankyard {
namespace {

constexpr double never_turns = std::numeric_limits<double>::infinity();
constexpr double pressure_holds_s = 10.0;
constexpr double bare_share = 0.5;  // of its bore under water: a mouth that is less covered is bare
constexpr std::size_t watched = 4;  // numbers a pump: level, pressure, time, mouth

}  // namespace

PumpSwitches::PumpSwitches(const Network& network, const Instant& at_start)
    : network_(network), states_(network.pumps.size()), links_(network.pumps.size()) {
  for (const Link& link : network.links) {
    if (link.kind == Link::Kind::pump) links_[link.part] = &link;
  }
  const std::vector<Pump>& pumps = network.array.pumps();
  for (std::size_t i = 0; i < pumps.size(); ++i) {
    states_[i].ordered = pumps[i].running;
    states_[i].level_low = level_number(i, at_start) < 0.0;
  }
}

void PumpSwitches::order(std::size_t pump, bool runs, double clock_s) {
  State& state = states_[pump];
  state.ordered = runs;
  state.timed_out = false;
  state.pressed = false;
  state.started_at_s = clock_s;
}

PumpSwitches::Held PumpSwitches::held(const State& state) const {
  if (state.level_low) return Held::by_level;
  if (state.timed_out) return Held::by_time;
  return state.pressed ? Held::by_pressure : Held::no;
}

double PumpSwitches::cover_m(std::size_t pump, const Instant& instant) const {
  const Link& link = *links_[pump];
  return instant.level(static_cast<std::size_t>(link.from)) -
         (link.from_mouth_m + bare_share * link.bore_m);
}

bool PumpSwitches::water_at_inlet(std::size_t pump, const Instant& instant,
                                  const Setting& setting) const {
  const Link& link = *links_[pump];
  if (!link.from_header) return !states_[pump].draws_air && cover_m(pump, instant) > 0.0;
  if (setting.header_primed[*link.from_header]) return true;
  for (std::size_t other = 0; other < links_.size(); ++other) {
    if (links_[other]->to_header == link.from_header && setting.pump_runs[other] &&
        setting.pump_primed[other]) {
      return true;
    }
  }
  return false;
}

std::vector<Event> PumpSwitches::follow(const Instant& instant, double clock_s, Setting& setting) {
  std::vector<Event> events;
  const auto tell = [&](Event::Kind kind, std::size_t pump) {
    events.push_back({clock_s, kind, pump, std::nullopt, false});
  };
  std::vector<bool> starts(states_.size(), false);
  for (std::size_t i = 0; i < states_.size(); ++i) {
    State& state = states_[i];
    const Held by = held(state);
    const bool runs = state.ordered && by == Held::no;
    if (runs == setting.pump_runs[i]) continue;
    if (runs) {
      starts[i] = true;
      setting.pump_runs[i] = true;
      setting.pump_primed[i] = false;
      state.draws_air = false;
      state.started_at_s = clock_s;
      tell(Event::Kind::pump_starts, i);
      continue;
    }
    setting.pump_runs[i] = false;
    tell(by == Held::by_level      ? Event::Kind::pump_cut_out_low
         : by == Held::by_pressure ? Event::Kind::pump_cut_out_by_pressure
         : by == Held::by_time     ? Event::Kind::pump_cut_out_by_time
                                   : Event::Kind::pump_stops,
         i);
  }
  // One pump may stand in another's suction: prime is handed on.
  for (std::size_t round = 0; round < states_.size(); ++round) {
    for (std::size_t i = 0; i < states_.size(); ++i) {
      if (starts[i] && !setting.pump_primed[i] && water_at_inlet(i, instant, setting)) {
        setting.pump_primed[i] = true;
      }
    }
  }
  for (std::size_t i = 0; i < states_.size(); ++i) {
    if (starts[i] && !setting.pump_primed[i]) tell(Event::Kind::pump_starts_dry, i);
  }
  for (std::size_t round = 0; round < states_.size(); ++round) {
    for (std::size_t i = 0; i < states_.size(); ++i) {
      if (!setting.pump_runs[i] || !setting.pump_primed[i]) continue;
      if (water_at_inlet(i, instant, setting)) continue;
      setting.pump_primed[i] = false;
      tell(Event::Kind::pump_draws_air, i);
    }
  }
  return events;
}

double PumpSwitches::delivery_pa(std::size_t pump, const Instant& instant) const {
  const double head_m = instant.head_m[static_cast<std::size_t>(links_[pump]->to)];
  return (head_m - network_.pumps[pump].inlet_m) * network_.water.density_kg_per_m3 *
         gravity_m_per_s2;
}

double PumpSwitches::level_number(std::size_t pump, const Instant& instant) const {
  const std::optional<LowLevelStop>& stop = network_.array.pumps()[pump].stops_below;
  if (!stop) return never_turns;
  const std::size_t tank = stop->tank.index;
  const double depth_m = instant.level(tank) - network_.tanks[tank].base_m;
  return states_[pump].level_low ? stop->resumes_depth_m - depth_m : depth_m - stop->depth_m;
}

double PumpSwitches::pressure_number(std::size_t pump, const Setting& setting,
                                     const Instant& instant, double clock_s) const {
  const std::optional<PressureSwitch>& at = network_.array.pumps()[pump].pressure_switch;
  const State& state = states_[pump];
  if (!at || !state.ordered) return never_turns;
  if (state.pressed) {
    if (clock_s < state.pressed_at_s + pressure_holds_s) return never_turns;
    return delivery_pa(pump, instant) - at->cut_in_pa;
  }
  const bool delivers = setting.pump_runs[pump] && setting.pump_primed[pump];
  if (!delivers || clock_s < state.started_at_s + pressure_holds_s) return never_turns;
  return at->cut_out_pa - delivery_pa(pump, instant);
}

double PumpSwitches::mouth_number(std::size_t pump, const Setting& setting,
                                  const Instant& instant) const {
  if (links_[pump]->from_header || !setting.pump_runs[pump] || !setting.pump_primed[pump]) {
    return never_turns;
  }
  return cover_m(pump, instant);
}

void PumpSwitches::watch(const Setting& setting, const Instant& instant, double clock_s,
                         std::vector<double>& values) const {
  for (std::size_t i = 0; i < states_.size(); ++i) {
    values.push_back(level_number(i, instant));
    values.push_back(pressure_number(i, setting, instant, clock_s));
    const std::optional<double>& limit_s = network_.array.pumps()[i].runs_at_most_s;
    values.push_back(limit_s && setting.pump_runs[i] ? states_[i].started_at_s + *limit_s - clock_s
                                                     : never_turns);
    values.push_back(mouth_number(i, setting, instant));
  }
}

void PumpSwitches::set_clock_back(double by_s) {
  for (State& state : states_) {
    state.started_at_s -= by_s;
    state.pressed_at_s -= by_s;
  }
}

void PumpSwitches::turn(std::size_t k, double clock_s) {
  State& state = states_[k / watched];
  switch (k % watched) {
    case 0:
      state.level_low = !state.level_low;
      break;
    case 1:
      state.pressed = !state.pressed;
      if (state.pressed) state.pressed_at_s = clock_s;
      break;
    case 2:
      state.timed_out = true;
      break;
    default:
      state.draws_air = true;
  }
}

}  // namespace tankyard
