// SPDX-License-Identifier: MIT
#pragma once

#include <sstream>
#include <string>
#include <vector>

#include "io/command_line.h"

namespace tankyard {

struct Said {
  int status;
  std::string out;
  std::string err;
};

/// What the command line answers to these words, on a screen 80 wide.
Said say(const std::vector<std::string>& words);

}  // namespace tankyard
