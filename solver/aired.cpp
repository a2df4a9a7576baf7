// SPDX-License-Identifier: MIT
#include "solver/aired.h"

namespace tankyard {

std::vector<bool> aired(const Parts& parts) {
  std::vector<bool> has_air;
  for (const Tank& tank : parts.tanks) has_air.push_back(tank.lid.kind != Lid::Kind::sealed);
  bool more = true;
  while (more) {
    more = false;
    for (const AirLine& line : parts.air_lines) {
      if (!line.open || has_air[line.from.index] == has_air[line.to.index]) continue;
      has_air[line.from.index] = has_air[line.to.index] = true;
      more = true;
    }
  }
  return has_air;
}

}  // namespace tankyard
