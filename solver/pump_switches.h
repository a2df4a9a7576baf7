// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <limits>
#include <vector>

#include "solver/balance.h"
#include "solver/network.h"
#include "solver/run.h"
#include "solver/setting.h"

namespace tankyard {

/// Starts and stops pumps, and takes their prime away and gives it back.
///
/// A pump runs while it has been told to and none of its own switches holds it: a low-level
/// cut-out, a pressure switch, a limit on how long it may run. A cut-out lets it start again once
/// the level has come back over the dead band, a pressure switch once the pressure has fallen below
/// its cut-in; after the time limit it waits to be started anew.
///
/// It has its prime if there is water at its inlet when it starts: its header is full
/// (solver/switches.h), or another pump that runs and has its prime delivers into that header, or
/// the mouth by which it draws straight from a tank stands half or more under water. It loses it
/// when that is so no longer, passes nothing from then on while it runs, and wins it back only by
/// being stopped and started with water at its inlet again. Pumps that prime themselves are not
/// modelled. Where the pump stands higher than the water, only a foot or non-return valve in every
/// open hose of its header keeps the header full while it stands (`holds_its_water`); such a valve
/// lets air from a bare mouth through as it lets water through.
///
/// A pressure switch holds either position for ten seconds: a small vessel, or the switch's own
/// damping; without it pumps on small nozzles would start and stop without end. Common practice, no
/// source.
class PumpSwitches {
 public:
  PumpSwitches(const Network& network, const Instant& at_start);

  void order(std::size_t pump, bool runs, double clock_s);

  /// Brings the setting in line with orders, switches and prime; tells what has changed.
  std::vector<Event> follow(const Instant& instant, double clock_s, Setting& setting);

  /// Appends a number for everything watched, below zero when it is due; the same ones in the same
  /// order each time. They are continuous, or jump when a time has passed.
  void watch(const Setting& setting, const Instant& instant, double clock_s,
             std::vector<double>& values) const;

  /// From now on the clock shows so much less; for runs that go on from where one ended.
  void set_clock_back(double by_s);

  /// Turns the one over that gave the k-th of these numbers; `follow` then says what comes of it.
  void turn(std::size_t k, double clock_s);

 private:
  enum class Held { no, by_level, by_pressure, by_time };
  struct State {
    bool ordered = false;
    bool level_low = false;
    bool pressed = false;
    bool timed_out = false;
    bool draws_air = false;  ///< the mouth in its tank has come bare
    double started_at_s = 0.0;
    double pressed_at_s = -std::numeric_limits<double>::infinity();
  };
  Held held(const State& state) const;
  bool water_at_inlet(std::size_t pump, const Instant& instant, const Setting& setting) const;
  double delivery_pa(std::size_t pump, const Instant& instant) const;
  double level_number(std::size_t pump, const Instant& instant) const;
  double pressure_number(std::size_t pump, const Setting& setting, const Instant& instant,
                         double clock_s) const;
  double mouth_number(std::size_t pump, const Setting& setting, const Instant& instant) const;
  double cover_m(std::size_t pump, const Instant& instant) const;

  const Network& network_;
  std::vector<State> states_;
  std::vector<const Link*> links_;  // per pump
};

}  // namespace tankyard
