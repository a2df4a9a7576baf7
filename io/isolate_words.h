// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "io/plan_file.h"
#include "solver/studies/isolate_study.h"

namespace tankyard {

/// The small words that the isolate report and its sheet share.

std::vector<std::string> tank_names(const Plan& plan, const std::vector<TankId>& tanks);

/// "it", "them"
const char* them(const IsolateStudy& study);

/// "09:00", and the day it is on where that is not the first: "day 2".
struct ClockAndDay {
  std::string clock;
  std::string day;
};
ClockAndDay clock_and_day(const Plan& plan, double at_s);

/// "a, b": names without marks, for tables.
std::string plain_list(const std::vector<std::string>& names);

}  // namespace tankyard
