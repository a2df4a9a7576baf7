// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "graph/array.h"
#include "graph/use.h"

namespace tankyard {

/// A hose that `[stock]` offers to the link study.
struct StockHose {
  double bore_m = 0.0;
  double price_per_m = 0.0;
};

struct Stock {
  std::vector<StockHose> hoses;
  double run_per_metre = 1.0;  ///< hose length for a metre of straight distance, 1 or more
};

/// A plan of a yard, read, checked and joined.
struct Plan {
  std::string file;  ///< as the user named it
  Array array;
  DaySheet sheet;
  std::vector<Use> uses;  ///< what a season takes, in place of the day sheet
  Stock stock;
  std::vector<std::string> assumed;  ///< what the plan left out and the reader filled in, in words,
                                     ///< where it can change an answer
};

/// Reads a plan (TOML 1.0, the keys of io/README.md). `file` is only for messages. All mistakes
/// come back at once, sorted by line and column, each with its spot filled in.
Result<Plan> read_plan(std::string_view text, const std::string& file);

/// The same from a file. Refuses what cannot be read, is over 10 MB, or is not text.
Result<Plan> read_plan_file(const std::string& path);

/// The commented plan that `tankyard new` writes; it runs as it stands.
std::string starter_plan();

}  // namespace tankyard
