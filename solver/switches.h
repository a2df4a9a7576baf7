// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/balance.h"
#include "solver/network.h"
#include "solver/run.h"
#include "solver/setting.h"

namespace tankyard {

/// What turns itself over when a level passes a mark: float valves of top-ups, crests and headers
/// that fill with water or with air. Each is watched by a number that falls below zero when it is
/// due, and is continuous in the heads, so that the moment can be found by halving.
///
/// When a hose with a crest is full: once both its ends stand above the crest and cover their
/// mouths; it stays full, and siphons, until one of its ends comes bare (half its bore out of the
/// water) or the pressure at the crest nears vapour pressure.
///
/// When a header is full: once its head stands a bore above its own height and no hose that joins
/// it has a bare end; it stays full, and may stand under less than atmospheric pressure, until air
/// can reach it: down an open hose or a standing pump from a bare mouth, or in through an open
/// nozzle, while its head is below both that opening and its own height. It fills again no sooner
/// than a minute after. One whose hoses all have foot or non-return valves (`holds_its_water`)
/// loses its water only while a pump pulls on it, and is full again, a minute after, as soon as its
/// mouths are covered.
class Switches {
 public:
  Switches(const Network& network, const Instant& at_start);

  struct Due {
    Event::Kind kind = Event::Kind::step;
    std::size_t part = 0;
    bool at_header = false;
  };

  /// Everything watched at this moment, as kinds of turn and their numbers, in a fixed order.
  /// `values` is refilled; entry k belongs to `due(k)`.
  void watch(const Setting& setting, const Instant& instant, double clock_s,
             std::vector<double>& values) const;
  const Due& due(std::size_t k) const { return dues_[k]; }
  std::size_t count() const { return dues_.size(); }

  /// Turns one over; the setting is changed where it concerns ways.
  void turn(const Due& due, double clock_s, Setting& setting);

  /// From now on the clock shows so much less; for runs that go on from where one ended.
  void set_clock_back(double by_s);

  /// Adds what running top-ups bring.
  void add_inflow(std::vector<double>& inflow_m3_per_s) const;
  const std::vector<bool>& running() const { return top_up_runs_; }

 private:
  bool pumped_now(std::size_t header, const Setting& setting) const;
  bool open_to_air(int place, const Setting& setting) const;
  std::size_t joint_at(int place) const;
  double header_number(std::size_t header, const Setting& setting, const Instant& instant,
                       double clock_s) const;
  double crest_number(const Link& link, bool primed, const Instant& instant) const;

  const Network& network_;
  std::vector<bool> top_up_runs_;
  std::vector<double> header_lost_at_s_;
  std::vector<std::vector<std::size_t>> links_at_header_;
  std::vector<bool> drawn_from_;     // per header: by a pump
  std::vector<std::size_t> crests_;  // links with a crest
  std::vector<Due> dues_;
};

}  // namespace tankyard
