// SPDX-License-Identifier: MIT
#include "solver/who_meets.h"

#include <algorithm>
#include <numeric>

namespace tankyard {

std::size_t Row::of(Place place) const {
  if (const auto* tank = std::get_if<TankId>(&place)) return tank->index;
  if (const auto* header = std::get_if<HeaderId>(&place)) return tanks_ + header->index;
  return tanks_ + headers_ + std::get_if<OutletId>(&place)->index;
}

std::vector<std::size_t> groups_in_row(const Parts& parts, const OpenHoses& open) {
  const Row row(parts);
  std::vector<std::size_t> leader(row.size());
  std::iota(leader.begin(), leader.end(), std::size_t{0});
  const auto find = [&leader](std::size_t place) {
    while (leader[place] != place) place = leader[place] = leader[leader[place]];
    return place;
  };
  const auto join = [&](Place one, Place other) {
    const std::size_t a = find(row.of(one));
    const std::size_t b = find(row.of(other));
    leader[std::max(a, b)] = std::min(a, b);
  };
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    if (open[i]) join(parts.hoses[i].from.place, parts.hoses[i].to.place);
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    if (parts.outlets[i].at) join(id_at<OutletId>(i), parts.outlets[i].at->place);
  }
  for (std::size_t& place : leader) place = find(place);
  return leader;
}

}  // namespace tankyard
