// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/run.h"
#include "solver/stepper.h"

namespace tankyard {

/// Enters what the air above closed tanks did in each step: how far its pressure went, and when it
/// first passed what the shell is allowed to bear (solver/shell.h). Nothing to do for open lids.
class HeadspaceAccounts {
 public:
  HeadspaceAccounts(const Network& network, RunRecord& record);

  /// What leaves the yard at the end of a step, m3/s, per part in plan order.
  struct Leaving {
    const std::vector<double>& outlet_m3_per_s;
    const std::vector<double>& pump_m3_per_s;
    const std::vector<double>& leak_m3_per_s;
  };
  void enter(const Stepper& stepper, double start_s, const Leaving& leaving);

  void finish(const Stepper& stepper);

 private:
  void watch(const Stepper& stepper, std::size_t tank, double start_s, const Leaving& leaving,
             double sign, double bears_pa, double& past_s, std::optional<ShellMoment>& first);
  ShellMoment moment_of(const Stepper& stepper, std::size_t tank, double start_s, double share,
                        const Leaving& leaving) const;

  const Network& network_;
  RunRecord& record_;
  double weight_n_per_m3_ = 0.0;  // rho g
  struct Bears {
    double vacuum_pa = 0.0;
    double pressure_pa = 0.0;
  };
  std::vector<std::size_t> closed_;
  std::vector<Bears> bears_;  // per tank; only set where its lid is closed
};

}  // namespace tankyard
