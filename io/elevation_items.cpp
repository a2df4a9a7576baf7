// SPDX-License-Identifier: MIT
#include "io/elevation_items.h"

namespace tankyard::elevation {
Items items_of(const Parts& parts) {
  Items items;
  const auto add = [&](Item::Kind kind, std::size_t index, std::optional<Position> position) {
    items.all.push_back({kind, index, position});
    return items.all.size() - 1;
  };
  for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
    items.tank.push_back(add(Item::Kind::tank, t, parts.tanks[t].position));
  }
  for (std::size_t h = 0; h < parts.headers.size(); ++h) {
    items.header.push_back(add(Item::Kind::header, h, parts.headers[h].position));
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    const Outlet& outlet = parts.outlets[o];
    const bool on_tank = outlet.at && std::holds_alternative<TankId>(outlet.at->place);
    items.outlet.push_back(on_tank ? std::nullopt
                                   : std::optional(add(Item::Kind::outlet, o, outlet.position)));
  }
  for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
    items.pump.push_back(add(Item::Kind::pump, p, parts.pumps[p].position));
  }

  const auto item_at = [&](Place place) {
    if (const auto* tank = std::get_if<TankId>(&place)) return items.tank[tank->index];
    if (const auto* header = std::get_if<HeaderId>(&place)) return items.header[header->index];
    // A hose or pump never leads to an outlet that is fixed somewhere (check_array).
    return *items.outlet[std::get<OutletId>(place).index];
  };
  for (std::size_t h = 0; h < parts.hoses.size(); ++h) {
    const Hose& hose = parts.hoses[h];
    Link link;
    link.kind = Link::Kind::hose;
    link.index = h;
    link.item[0] = item_at(hose.from.place);
    link.item[1] = item_at(hose.to.place);
    link.mouth_m[0] = mouth_m(parts, hose.from);
    link.mouth_m[1] = mouth_m(parts, hose.to);
    link.bore_m = hose.bore_m;
    link.crest_m = hose.crest_m;
    items.links.push_back(link);
  }
  for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
    const Pump& pump = parts.pumps[p];
    Link suction;
    suction.kind = Link::Kind::suction;
    suction.index = p;
    suction.item[0] = item_at(pump.from);
    suction.item[1] = items.pump[p];
    suction.mouth_m[0] = mouth_m(parts, HoseEnd{pump.from, std::nullopt});
    suction.at_pump[1] = true;
    items.links.push_back(suction);
    Link delivery;
    delivery.kind = Link::Kind::delivery;
    delivery.index = p;
    delivery.item[0] = items.pump[p];
    delivery.item[1] = item_at(pump.to);
    delivery.mouth_m[1] = mouth_m(parts, HoseEnd{pump.to, std::nullopt});
    delivery.at_pump[0] = true;
    items.links.push_back(delivery);
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    const Outlet& outlet = parts.outlets[o];
    if (!outlet.at || !items.outlet[o]) continue;
    Link direct;
    direct.kind = Link::Kind::direct;
    direct.index = o;
    direct.item[0] = item_at(outlet.at->place);
    direct.item[1] = *items.outlet[o];
    direct.mouth_m[0] = mouth_m(parts, *outlet.at);
    direct.mouth_m[1] = mouth_m(parts, outlet);
    items.links.push_back(direct);
  }
  return items;
}

}  // namespace tankyard::elevation
