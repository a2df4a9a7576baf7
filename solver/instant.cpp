// SPDX-License-Identifier: MIT
#include "solver/instant.h"

#include <utility>

namespace tankyard {

void Instant::swap(Instant& other) noexcept {
  head_m.swap(other.head_m);
  way_m3_per_s.swap(other.way_m3_per_s);
  draw_m3_per_s.swap(other.draw_m3_per_s);
  overflow_m3_per_s.swap(other.overflow_m3_per_s);
  over_rim_m3_per_s.swap(other.over_rim_m3_per_s);
  std::swap(spills, other.spills);
  if (gas_m.empty() && other.gas_m.empty()) return;  // and so is the rest
  turned_away_m3_per_s.swap(other.turned_away_m3_per_s);
  level_m.swap(other.level_m);
  gas_m.swap(other.gas_m);
  air_kg_per_s.swap(other.air_kg_per_s);
  volume_m3.swap(other.volume_m3);
  gas_per_m3_m.swap(other.gas_per_m3_m);
  air_per_m3_kg_per_s.swap(other.air_per_m3_kg_per_s);
}

}  // namespace tankyard
