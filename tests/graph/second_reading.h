// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "random_arrays.h"

// A second reading of who is joined to whom, by names and by sweeping until nothing changes, and
// the same yard told in another order. Shares no line with graph/.

namespace tankyard {

using Names = std::set<std::string>;
using NamePairs = std::vector<std::pair<std::string, std::string>>;

/// Everything that water standing at `start` gets to: along open hoses and straight outlets both
/// ways, and along `one_way` from first to second.
inline Names reached_from(const Parts& parts, const OpenHoses& open, Names start,
                          const NamePairs& one_way = {}) {
  NamePairs ways = one_way;
  const auto both_ways = [&](const std::string& a, const std::string& b) {
    ways.emplace_back(a, b);
    ways.emplace_back(b, a);
  };
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    if (open[i]) both_ways(name_of(parts, hose.from.place), name_of(parts, hose.to.place));
  }
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at) both_ways(outlet.name, name_of(parts, outlet.at->place));
  }
  for (bool grew = true; grew;) {
    const std::size_t before = start.size();
    for (const auto& [a, b] : ways) {
      if (start.count(a) != 0) start.insert(b);
    }
    grew = start.size() > before;
  }
  return start;
}

inline bool meet(const Names& a, const Names& b) {
  return std::any_of(a.begin(), a.end(),
                     [&](const std::string& name) { return b.count(name) != 0; });
}

template <class List>
Names names_in(const List& list) {
  Names names;
  for (const auto& each : list) names.insert(each.name);
  return names;
}

/// Names of the parts with these ids, in a list kept in plan order.
template <class List, class Ids>
Names names_of(const List& list, const Ids& ids) {
  Names names;
  for (const auto id : ids) names.insert(part(list, id).name);
  return names;
}

template <class Places>
Names names_of_places(const Parts& parts, const Places& places) {
  Names names;
  for (const Place place : places) names.insert(name_of(parts, place));
  return names;
}

/// The same yard with every list of the plan in another order; takes its picks from rapidcheck.
inline Parts told_in_another_order(const Parts& parts) {
  // Where each entry goes.
  const auto order_of = [](std::size_t count) {
    std::vector<std::size_t> goes_to(count);
    std::iota(goes_to.begin(), goes_to.end(), std::size_t{0});
    for (std::size_t i = count; i > 1; --i) {
      const int other = random_yard::whole(0, static_cast<int>(i) - 1);
      std::swap(goes_to[i - 1], goes_to[static_cast<std::size_t>(other)]);
    }
    return goes_to;
  };
  const auto tanks = order_of(parts.tanks.size());
  const auto headers = order_of(parts.headers.size());
  const auto outlets = order_of(parts.outlets.size());
  const auto move_tank = [&](TankId& id) { id = id_at<TankId>(tanks[id.index]); };
  const auto move = [&](Place& place) {
    if (auto* tank = std::get_if<TankId>(&place)) move_tank(*tank);
    if (auto* header = std::get_if<HeaderId>(&place))
      *header = id_at<HeaderId>(headers[header->index]);
    if (auto* outlet = std::get_if<OutletId>(&place))
      *outlet = id_at<OutletId>(outlets[outlet->index]);
  };
  Parts told = parts;
  for (Tank& tank : told.tanks) {
    if (tank.overflow && tank.overflow->to) move_tank(*tank.overflow->to);
  }
  for (Hose& hose : told.hoses) {
    move(hose.from.place);
    move(hose.to.place);
  }
  for (Pump& pump : told.pumps) {
    move(pump.from);
    move(pump.to);
    if (pump.stops_below) move_tank(pump.stops_below->tank);
  }
  for (Outlet& outlet : told.outlets) {
    if (outlet.at) move(outlet.at->place);
  }
  for (Roof& roof : told.roofs) move_tank(roof.into);
  for (TopUp& top_up : told.top_ups) move_tank(top_up.into);
  for (Leak& leak : told.leaks) move_tank(leak.tank);
  const auto place_all = [](auto& list, const std::vector<std::size_t>& goes_to) {
    const auto before = list;
    for (std::size_t i = 0; i < list.size(); ++i) list[goes_to[i]] = before[i];
  };
  place_all(told.tanks, tanks);
  place_all(told.headers, headers);
  place_all(told.outlets, outlets);
  place_all(told.hoses, order_of(told.hoses.size()));
  place_all(told.pumps, order_of(told.pumps.size()));
  place_all(told.roofs, order_of(told.roofs.size()));
  place_all(told.top_ups, order_of(told.top_ups.size()));
  place_all(told.leaks, order_of(told.leaks.size()));
  return told;
}

// ------------------------------------------------------------------------------- scenes, by hand

inline Tank butt(const std::string& name) {
  Tank tank;
  tank.name = name;
  tank.shape = Upright{0.6, 1.0};
  return tank;
}

/// With a valve of this name, or none.
inline Hose between(const std::string& name, Place from, Place to, const std::string& valve = "") {
  Hose hose;
  hose.name = name;
  hose.from.place = from;
  hose.to.place = to;
  hose.bore_m = 0.019;
  hose.length_m = 1.0;
  if (!valve.empty()) hose.valve = Valve{valve, true, 0.05};
  return hose;
}

inline Outlet tap(const std::string& name, std::optional<Place> at = std::nullopt) {
  Outlet outlet;
  outlet.name = name;
  if (at) outlet.at = HoseEnd{*at, std::nullopt};
  if (!at) outlet.height_m = 0.0;
  outlet.bore_m = 0.01;
  return outlet;
}

inline Pump booster(const std::string& name, Place from, Place to) {
  Pump pump;
  pump.name = name;
  pump.from = from;
  pump.to = to;
  pump.curve = {{0.0, 10.0}, {1e-3, 1.0}};
  return pump;
}

/// Puts a header into a hose: two hoses in a row, each with a valve if the hose had one.
inline void put_header_into(Parts& parts, std::size_t index) {
  parts.headers.push_back({"joint-" + std::to_string(index + 1), 0.0, {}});
  Hose first = parts.hoses[index];
  Hose second = first;
  first.crest_m = second.crest_m = std::nullopt;
  first.to = second.from = HoseEnd{id_at<HeaderId>(parts.headers.size() - 1), std::nullopt};
  second.name += "-on";
  if (second.valve) second.valve->name += "-on";
  parts.hoses[index] = first;
  parts.hoses.push_back(second);
}

}  // namespace tankyard
