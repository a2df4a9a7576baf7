// SPDX-License-Identifier: MIT
#include "io/said.h"

namespace tankyard {

Said say(const std::vector<std::string>& words) {
  std::ostringstream out;
  std::ostringstream err;
  const int status = command_line(words, out, err, 80);
  return {status, out.str(), err.str()};
}

}  // namespace tankyard
