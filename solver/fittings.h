// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace tankyard {

/// A fitting by its trade name and what it costs: K on the velocity in the hose's own bore.
struct Fitting {
  const char* name;  ///< as in a plan: "elbow"
  double loss_k;
  double lowest_k;  ///< range of the published figures
  double highest_k;
  const char* source;
};

/// All fittings a plan may name, sorted by name. The figures scatter widely in print (the ranges
/// are part of the table); a maker's own figure goes into the plan as `loss`.
const std::vector<Fitting>& known_fittings();

/// K of a named fitting; none if the name is not known.
std::optional<double> fitting_loss_k(const std::string& name);

}  // namespace tankyard
