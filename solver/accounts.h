// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <cstdint>
#include <vector>

#include "solver/headspace_accounts.h"
#include "solver/pump_accounts.h"
#include "solver/run.h"
#include "solver/stepper.h"

namespace tankyard {

/// Enters each step into the records of a run: who gave, who got, what was highest and when. Reads
/// the stepper's last good attempt; changes nothing in it.
class Accounts {
 public:
  Accounts(const Network& network, RunRecord& record);

  /// Takes over a fresh record, for a run that goes on from where one ended.
  void begin_anew();

  void start(const Stepper& stepper);

  /// Call when something may have opened, shut, started or stopped.
  void setting_changes() { look_anew_ = true; }

  /// Call once for each good attempt, before it is accepted. `start_s`: when the step began.
  void enter(const Stepper& stepper, const Setting& setting, double start_s);

  void finish(const Stepper& stepper, double end_s);

  void note(const Event& event);

  /// The same of what pumps do. `header_was_full`: before.
  void note_pump(const Stepper& stepper, const Setting& setting,
                 const std::vector<bool>& header_was_full, const Event& event);

 private:
  /// Room in one tank for water that another one spills, up to the lower of their lips: how much at
  /// first, and for which part of a step.
  struct Room {
    double m3 = 0.0;
    double from_share = 0.0;
    double until_share = 0.0;
  };

  /// How much higher `from` stands than `to` at the three instants of a step.
  struct Apart {
    double start_m = 0.0;
    double middle_m = 0.0;
    double end_m = 0.0;

    /// The difference without its sign, a share of the way through.
    double at_m(double share) const {
      return std::fabs(Stepper::between(start_m, middle_m, end_m, share));
    }
  };

  void look_at_ways(const Stepper& stepper);
  void find_quiet_levels(const Stepper& stepper);
  void enter_ways(const Stepper& stepper, const Setting& setting, double start_s);
  void enter_hose(const Stepper& stepper, std::size_t way, double end_s);
  void enter_peak(const Stepper& stepper, std::size_t way, double end_s, HoseRecord& hose);
  void enter_head_lost(const Stepper& stepper, std::size_t way, double end_s);
  void enter_lag(const Stepper& stepper, const Setting& setting, std::size_t way, double start_s);
  void enter_extremes(const Stepper& stepper, double end_s);
  void enter_held_by_air(std::size_t hose, const Apart& apart, double start_s, double length_s);
  void enter_kept_up(std::size_t hose, bool lags, const Apart& apart, double start_s,
                     double length_s);
  void enter_lips(const Stepper& stepper, double start_s, double end_s);
  void enter_spills(const Stepper& stepper, double start_s);
  void enter_outlets(const Stepper& stepper, const Setting& setting, double start_s, double end_s);
  /// `does(tank, link, height of the mouth, which)`, for both ends of every open hose that has one.
  template <class Does>
  void for_each_mouth(const Stepper& stepper, Does does) const;
  void enter_mouths(const Stepper& stepper, double start_s, double end_s);
  Room room_in(const Stepper& stepper, std::size_t tank, double spills_at_m) const;
  void note_room_of_others(const Stepper& stepper, std::size_t tank, double spilt_m3,
                           double start_s);
  double water_above(const Stepper& stepper, std::size_t tank, double height_m) const;
  void note_dry(const Stepper& stepper, const Setting& setting, std::size_t outlet, double at_s);

  const Network& network_;
  RunRecord& record_;
  HeadspaceAccounts headspaces_;
  PumpAccounts pumps_;
  std::vector<double> outlet_moved_m3_;          // in this step
  std::vector<double> outlet_m3_per_s_;          // at its end
  std::vector<double> outlet_before_m3_per_s_;   // at its start
  std::vector<double> outlet_between_m3_per_s_;  // at its middle instant
  std::vector<double> pump_m3_per_s_;
  std::vector<double> leak_m3_per_s_;
  std::vector<bool> outlet_dry_;
  std::vector<bool> overflowing_;
  std::vector<bool> over_rim_;
  std::vector<bool> bare_;             // per mouth of each hose: from, to
  std::vector<double> apart_since_s_;  // per hose: when its ends came apart; -1: they are not
  // What nearly every step asks of a way and of a tank, side by side; the rest is looked at only
  // where this says that there is something to enter.
  struct OfWay {
    std::uint32_t hose = 0;
    bool plain = false;  ///< a hose between two places, without a crest
  };
  std::vector<OfWay> of_way_;  // per open way
  struct Extremes {
    double lowest_m = 0.0;  ///< of the level, above the datum
    double lowest_at_s = 0.0;
    double highest_m = 0.0;
    double highest_at_s = 0.0;
    double quiet_from_m = 0.0;  ///< between these two no mouth, overflow or rim is passed
    double quiet_to_m = 0.0;
  };
  std::vector<Extremes> extremes_;  // per tank
  bool look_anew_ = true;
  bool loud_ = false;  // in this step some level has left its quiet stretch
};

}  // namespace tankyard
