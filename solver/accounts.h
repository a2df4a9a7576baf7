// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/run.h"
#include "solver/stepper.h"

namespace tankyard {

/// Enters each step into the records of a run: who gave, who got, what was highest and when. Reads the
/// stepper's last good attempt; changes nothing in it.
class Accounts {
 public:
  Accounts(const Network& network, RunRecord& record);

  void start(const Stepper& stepper);

  /// Call once for each good attempt, before it is accepted. `start_s`: when the step began.
  void enter(const Stepper& stepper, const Setting& setting, double start_s);

  void finish(const Stepper& stepper, double end_s);

  void note(const Event& event);

 private:
  void enter_ways(const Stepper& stepper, double end_s);
  void enter_spills(const Stepper& stepper, double start_s, double end_s);
  void enter_outlets(const Stepper& stepper, const Setting& setting, double start_s, double end_s);
  void enter_levels(const Stepper& stepper, double start_s, double end_s);
  double room_of_others(const Stepper& stepper, std::size_t tank) const;
  double water_above(const Stepper& stepper, double height_m) const;

  const Network& network_;
  RunRecord& record_;
  std::vector<double> outlet_moved_m3_;   // in this step
  std::vector<double> outlet_m3_per_s_;   // at its end
  std::vector<bool> outlet_dry_;
  std::vector<bool> overflowing_;
  std::vector<bool> over_rim_;
  std::vector<bool> bare_;                // per mouth of each hose: from, to
};

}  // namespace tankyard
