// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace bench {

/// One figure of one run of the benchmark.
struct Figure {
  std::string name;  ///< stable, for comparing results files
  double value = 0.0;
  std::string unit;
};

/// Appends the figures to a CSV file with date, commit, compiler and flags on every row; writes the
/// heading if the file is new. False if it could not be written.
bool append_csv(const std::string& path, const std::vector<Figure>& figures);

/// What kind of machine this is, fit for a file name: processor and number of them.
std::string machine_kind();

/// Date, commit, compiler, flags, machine: the head of the printed table.
void print_circumstances();

}  // namespace bench
