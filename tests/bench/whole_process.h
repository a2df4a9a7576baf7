// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace bench {

/// What one run of a program took, from before it is started until it has ended.
struct ProcessTime {
  double wall_s = 0.0;
  double processor_s = 0.0;  ///< its own, user and system
  double peak_mb = 0.0;
  int exit_code = 0;
};

/// Runs a program with its output thrown away. None if it cannot be started.
std::optional<ProcessTime> time_process(const std::vector<std::string>& words);

}  // namespace bench
