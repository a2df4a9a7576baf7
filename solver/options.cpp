// SPDX-License-Identifier: MIT
#include "solver/options.h"

#include <cmath>
#include <cstdio>
#include <string>

namespace tankyard {
namespace {

std::string number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", value);
  return text;
}

void within(Troubles& troubles, const char* name, double value, double low, double high) {
  if (value >= low && value <= high) return;
  Trouble trouble;
  trouble.message = std::string("option `") + name + "` is " + number(value);
  trouble.help = "it must lie from " + number(low) + " to " + number(high);
  trouble.about = {"run", 0, name};
  troubles.push_back(trouble);
}

}  // namespace

Troubles check(const RunOptions& options) {
  Troubles troubles;
  within(troubles, "depth_tolerance_m", options.depth_tolerance_m, 1e-12, 0.1);
  within(troubles, "event_tolerance_s", options.event_tolerance_s, 1e-6, 1.0);
  within(troubles, "most_steps", static_cast<double>(options.most_steps), 1.0, 1e12);
  within(troubles, "longest_step_s", options.longest_step_s, 1e-6,
         std::numeric_limits<double>::infinity());
  if (options.record_every_s != 0.0) {
    within(troubles, "record_every_s", options.record_every_s, 1e-3, 1e10);
  }
  return troubles;
}

}  // namespace tankyard
