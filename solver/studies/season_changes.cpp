// SPDX-License-Identifier: MIT
#include "solver/studies/season_changes.h"

#include <algorithm>
#include <cmath>

#include "graph/reach.h"

namespace tankyard {
namespace {

Shape widened(const Shape& shape, double factor) {
  Shape wide = shape;
  if (auto* prism = std::get_if<Prism>(&wide)) {
    prism->area_m2 *= factor;
  } else if (auto* upright = std::get_if<Upright>(&wide)) {
    upright->diameter_m *= std::sqrt(factor);
  } else if (auto* lying = std::get_if<Lying>(&wide)) {
    lying->length_m *= factor;
  } else if (auto* table = std::get_if<DepthTable>(&wide)) {
    for (double& m3 : table->volume_m3) m3 *= factor;
  }
  return wide;
}

/// A name that is not taken yet: "shed-1 again", "shed-1 again 2", ...
template <class Taken>
std::string name_again(const std::string& name, const Taken& taken) {
  std::string again = name + " again";
  for (int k = 2; taken(again); ++k) again = name + " again " + std::to_string(k);
  return again;
}

bool is_taken(const Parts& parts, const std::string& name) {
  const auto in = [&](const auto& list) {
    return std::any_of(list.begin(), list.end(),
                       [&](const auto& each) { return each.name == name; });
  };
  return in(parts.tanks) || in(parts.headers) || in(parts.hoses) || in(parts.pumps) ||
         in(parts.outlets) || in(parts.roofs) || in(parts.top_ups) || in(parts.leaks) ||
         in(parts.air_lines) ||
         std::any_of(parts.hoses.begin(), parts.hoses.end(),
                     [&](const Hose& hose) { return hose.valve && hose.valve->name == name; });
}

}  // namespace

Result<Array> with_storage(const Array& array, double factor) {
  Parts parts = array.parts();
  for (Tank& tank : parts.tanks) {
    tank.shape = widened(tank.shape, factor);
    tank.water_m3 = std::min(tank.water_m3, lip_volume_m3(tank));
  }
  return Array::make(std::move(parts));
}

Result<Array> with_roofs(const Array& array, double factor) {
  Parts parts = array.parts();
  for (Roof& roof : parts.roofs) {
    roof.area_m2 *= factor;
    if (roof.gutter_limit_m3_per_s) *roof.gutter_limit_m3_per_s *= factor;
  }
  return Array::make(std::move(parts));
}

Result<Array> with_tank_again(const Array& array, TankId like) {
  Parts parts = array.parts();
  const auto again = [&](const std::string& name) {
    return name_again(name, [&](const std::string& each) { return is_taken(parts, each); });
  };
  Tank tank = part(parts.tanks, like);
  tank.name = again(tank.name);
  tank.water_m3 = 0.0;
  tank.position.reset();
  const auto id = id_at<TankId>(parts.tanks.size());
  parts.tanks.push_back(std::move(tank));
  const std::size_t hoses = parts.hoses.size();
  for (std::size_t h = 0; h < hoses; ++h) {
    const bool from = parts.hoses[h].from.place == Place(like);
    const bool to = parts.hoses[h].to.place == Place(like);
    if (!from && !to) continue;
    Hose hose = parts.hoses[h];
    // A hose to an outlet is that outlet's own: a second one there is a matter of taste.
    if (std::holds_alternative<OutletId>(hose.to.place)) continue;
    hose.name = again(hose.name);
    if (hose.valve) hose.valve->name = again(hose.valve->name);
    (from ? hose.from : hose.to).place = id;
    parts.hoses.push_back(std::move(hose));
  }
  if (parts.hoses.size() == hoses) {
    Hose hose;
    hose.name = again(part(parts.tanks, like).name + "-join");
    hose.from.place = like;
    hose.to.place = id;
    hose.bore_m = plain_join_bore_m;
    hose.length_m = 1.0;
    parts.hoses.push_back(std::move(hose));
  }
  return Array::make(std::move(parts));
}

Result<Array> with_roof_again(const Array& array, RoofId like) {
  Parts parts = array.parts();
  Roof roof = part(parts.roofs, like);
  roof.name = name_again(roof.name, [&](const std::string& each) { return is_taken(parts, each); });
  roof.position.reset();
  parts.roofs.push_back(std::move(roof));
  return Array::make(std::move(parts));
}

std::vector<TankId> tanks_to_repeat(const Array& array) {
  std::vector<TankId> repeat;
  const Parts& parts = array.parts();
  for (const std::vector<TankId>& group : joined_tanks(array, array.open_at_start())) {
    std::optional<TankId> largest;
    for (const TankId tank : group) {
      if (!largest || capacity_m3(part(parts.tanks, tank).shape) >
                          capacity_m3(part(parts.tanks, *largest).shape)) {
        largest = tank;
      }
    }
    if (largest) repeat.push_back(*largest);
  }
  return repeat;
}

std::vector<RoofId> roofs_to_repeat(const Array& array) {
  std::vector<RoofId> repeat;
  const std::vector<Roof>& roofs = array.parts().roofs;
  for (const std::vector<TankId>& group : joined_tanks(array, array.open_at_start())) {
    std::optional<RoofId> largest;
    const auto brings = [&](RoofId id) {
      return part(roofs, id).area_m2 * part(roofs, id).runoff_fraction;
    };
    for (std::size_t r = 0; r < roofs.size(); ++r) {
      if (std::find(group.begin(), group.end(), roofs[r].into) == group.end()) continue;
      const auto id = id_at<RoofId>(r);
      if (!largest || brings(id) > brings(*largest)) largest = id;
    }
    if (largest) repeat.push_back(*largest);
  }
  return repeat;
}

double holds_m3(const Array& array) {
  double sum_m3 = 0.0;
  for (const Tank& tank : array.tanks()) sum_m3 += lip_volume_m3(tank);
  return sum_m3;
}

}  // namespace tankyard
