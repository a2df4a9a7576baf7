// SPDX-License-Identifier: MIT
#include "graph/array.h"

#include <utility>

#include "graph/breach.h"
#include "graph/check_array.h"
#include "graph/joins.h"

namespace tankyard {

Result<Array> Array::make(Parts parts) {
  Troubles troubles = check_array(parts);
  if (!troubles.empty()) return tl::unexpected<Troubles>(std::move(troubles));
  auto joins = draw_joins(parts);
  return Array(std::make_shared<const Parts>(std::move(parts)), std::move(joins));
}

OpenHoses Array::open_at_start() const {
  OpenHoses open;
  open.reserve(hoses().size());
  for (const Hose& hose : hoses()) open.push_back(starts_open(hose));
  return open;
}

const std::string& name_of(const Parts& parts, Place place) {
  if (const auto* tank = std::get_if<TankId>(&place)) return part(parts.tanks, *tank).name;
  if (const auto* header = std::get_if<HeaderId>(&place)) return part(parts.headers, *header).name;
  return part(parts.outlets, *std::get_if<OutletId>(&place)).name;
}

double mouth_m(const Parts& parts, const HoseEnd& end) {
  if (const auto* id = std::get_if<TankId>(&end.place)) {
    const Tank& tank = part(parts.tanks, *id);
    return tank.base_m + end.height_m.value_or(tank.outlet_height_m);
  }
  if (const auto* id = std::get_if<HeaderId>(&end.place)) return part(parts.headers, *id).height_m;
  return mouth_m(parts, part(parts.outlets, *std::get_if<OutletId>(&end.place)));
}

double mouth_m(const Parts& parts, const Outlet& outlet) {
  if (outlet.height_m) return *outlet.height_m;
  if (outlet.at) return mouth_m(parts, *outlet.at);
  // check_array refuses such an outlet, so whoever asks has skipped it: a fault in the program.
  breach("mouth_m", "outlet `" + outlet.name + "` has neither a height nor a place");
}

}  // namespace tankyard
