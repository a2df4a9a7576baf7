// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/run.h"
#include "solver/stepper.h"

namespace tankyard {

/// What pumps did: enters each step into their records. Reads the stepper's last good attempt.
class PumpAccounts {
 public:
  PumpAccounts(const Network& network, RunRecord& record);

  /// `m3_per_s` receives what each pump passes at the end of the step; below 0 runs back.
  void enter(const Stepper& stepper, const Setting& setting, double start_s,
             std::vector<double>& m3_per_s);

  /// A pump has started, stopped, drawn air. `header_was_full`: before it did.
  void note(const Stepper& stepper, const Setting& setting,
            const std::vector<bool>& header_was_full, const Event& event);

 private:
  void enter_running(const Stepper& stepper, std::size_t way, double start_s);
  PumpRecord::Inlet inlet_at(const Instant& instant, std::size_t way, const Way& of,
                             double at_s) const;

  const Network& network_;
  RunRecord& record_;
};

}  // namespace tankyard
