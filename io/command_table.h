// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace tankyard {

// The command line as plain data: what help, completions and the man page are all made from. The
// table itself stands at the head of command_line.cpp.

struct OptionWords {
  std::string short_flag;  ///< "-q"; empty: it has none
  std::string long_flag;   ///< "--quiet"
  std::string value;       ///< what follows it: "FILE.csv", "TIME"; empty: nothing does
  std::string does;
};

struct CommandWords {
  std::string name;
  std::string first;  ///< "FILE", "PLAN", "KIND", "SHELL"
  bool needs_first = true;
  std::string more;  ///< what may follow: "TANK..."; empty: nothing may
  std::string does;  ///< "steps the day: ...", without full stop
  std::vector<std::pair<std::string, std::string>> examples;  ///< a line and what it is for
  std::vector<OptionWords> options;                           ///< --help left out: all have it
};

/// Every command, in the order in which help lists them.
std::vector<CommandWords> command_words();

/// What the tool is, in a line.
std::string tool_in_a_line();

/// Exit statuses with what they mean.
std::vector<std::pair<std::string, std::string>> exit_words();

}  // namespace tankyard
