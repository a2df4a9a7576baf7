// SPDX-License-Identifier: MIT
#include "io/elevation_yards.h"

namespace tankyard {

YardMayHold anything(int most_tanks) {
  YardMayHold may;
  may.pumps = true;
  may.closed_lids = true;
  may.most_tanks = most_tanks;
  may.most_headers = 1 + most_tanks / 4;
  return may;
}

Parts any_yard(int most_tanks) {
  using namespace random_yard;
  // At its full size from the first case on: large yards are what is hard.
  Parts parts = *rc::gen::resize(rc::kNominalSize, random_yards(anything(most_tanks)));
  const int tanks = static_cast<int>(parts.tanks.size());
  for (int k = 0; tanks > 1 && k < whole(0, 3); ++k) {
    const int from = whole(0, tanks - 1);
    const int to = (from + whole(1, tanks - 1)) % tanks;
    parts.air_lines.push_back({numbered("air", static_cast<std::size_t>(k)),
                               id_at<TankId>(static_cast<std::size_t>(from)),
                               id_at<TankId>(static_cast<std::size_t>(to)), spread(0.004, 0.05),
                               between(0.0, 20.0), chance(70)});
  }
  if (chance(50)) {
    for (Tank& tank : parts.tanks) {
      if (chance(70)) tank.position = Position{between(0.0, 40.0), between(0.0, 40.0)};
    }
  }
  if (chance(30)) {
    for (Tank& tank : parts.tanks)
      tank.name += std::string(static_cast<std::size_t>(whole(0, 190)), 'W');
    for (Hose& hose : parts.hoses)
      hose.name += std::string(static_cast<std::size_t>(whole(0, 180)), 'm');
  }
  if (chance(20)) {  // a yard below the mark it is measured from
    for (Tank& tank : parts.tanks) tank.base_m -= 3.0;
  }
  return parts;
}

ElevationState any_state(const Array& array) {
  using namespace random_yard;
  ElevationState state = state_at_start(array);
  for (std::size_t t = 0; t < array.tanks().size(); ++t) {
    if (chance(50)) state.depth_m[t] = height_m(array.tanks()[t].shape) * between(0.0, 1.0);
  }
  if (chance(50)) {
    state.flow_m3_per_s.emplace();
    for (std::size_t h = 0; h < array.hoses().size(); ++h) {
      state.flow_m3_per_s->push_back(chance(30) ? 0.0 : between(-2e-3, 2e-3));
    }
  }
  if (chance(30)) {
    state.headspace_gauge_pa.emplace();
    for (std::size_t t = 0; t < array.tanks().size(); ++t) {
      state.headspace_gauge_pa->push_back(chance(50) ? 0.0 : between(-5000.0, 5000.0));
    }
  }
  return state;
}

std::vector<RestingGroup> any_rest(const Array& array) {
  using namespace random_yard;
  std::vector<RestingGroup> groups;
  for (std::size_t t = 0; t < array.tanks().size();) {
    RestingGroup group;
    const auto together = static_cast<std::size_t>(whole(1, 5));
    for (std::size_t k = 0; k < together && t < array.tanks().size(); ++k, ++t) {
      group.tanks.push_back(id_at<TankId>(t));
      group.depth_m.push_back(height_m(array.tanks()[t].shape) * between(0.0, 1.0));
    }
    const Tank& first = part(array.tanks(), group.tanks[0]);
    if (chance(60)) group.level_m = first.base_m + group.depth_m[0];
    groups.push_back(group);
  }
  return groups;
}

Array array_of(Parts parts) {
  auto array = Array::make(std::move(parts));
  EXPECT_TRUE(array.has_value()) << (array ? "" : array.error().front().message);
  return *array;
}

}  // namespace tankyard
