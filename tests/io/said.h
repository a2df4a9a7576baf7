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
inline Said say(const std::vector<std::string>& words) {
  std::ostringstream out;
  std::ostringstream err;
  const int status = command_line(words, out, err, 80);
  return {status, out.str(), err.str()};
}

}  // namespace tankyard
