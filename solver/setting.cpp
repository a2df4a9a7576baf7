// SPDX-License-Identifier: MIT
#include "solver/setting.h"

#include <algorithm>
#include <numeric>

namespace tankyard {
namespace {

bool is_open(const Link& link, const Setting& setting) {
  switch (link.kind) {
    case Link::Kind::hose:
      return setting.hose_open[link.part] && (!link.nozzle || setting.outlet_open[*link.nozzle]);
    case Link::Kind::outlet:
      return setting.outlet_open[link.part];
    case Link::Kind::leak:
      return true;
    case Link::Kind::pump:
      return !setting.pump_runs[link.part] || setting.pump_primed[link.part];
  }
  return false;
}

bool ends_at_header(const Link& link, std::size_t header) {
  return link.from_header == header || link.to_header == header;
}

/// Which places share water through open links: every place gets the smallest place it is joined
/// to.
std::vector<int> groups_of(const Network& network, const Setting& setting, bool through_pumps) {
  std::vector<int> leader(static_cast<std::size_t>(network.places()));
  std::iota(leader.begin(), leader.end(), 0);
  const auto find = [&leader](int place) {
    while (leader[static_cast<std::size_t>(place)] != place) {
      int& up = leader[static_cast<std::size_t>(place)];
      up = leader[static_cast<std::size_t>(up)];
      place = up;
    }
    return place;
  };
  for (const Link& link : network.links) {
    if (link.to == outside || !is_open(link, setting)) continue;
    if (link.kind == Link::Kind::pump && !through_pumps) continue;
    const int a = find(link.from);
    const int b = find(link.to);
    leader[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
  }
  for (int& place : leader) place = find(place);
  return leader;
}

}  // namespace

bool holds_its_water(const Network& network, const Setting& setting, std::size_t header) {
  bool any = false;
  bool pumped = false;
  const int place = static_cast<int>(network.tanks.size() + header);
  for (const Draw& draw : network.draws) {
    if (draw.place == place && setting.outlet_open[draw.outlet]) return false;
  }
  for (const Link& link : network.links) {
    if (!ends_at_header(link, header)) continue;
    if (link.kind == Link::Kind::pump) {
      pumped = pumped || link.from_header == header;
      continue;
    }
    if (!is_open(link, setting)) continue;
    if (!link.one_way || link.to_header != header) return false;
    any = true;
  }
  return any && pumped;
}

Ways ways_of(const Network& network, const Setting& setting) {
  const int tanks = static_cast<int>(network.tanks.size());
  Ways ways;

  // Tanks are numbered first, so a group with a tank has a tank for its leader.
  ways.group = groups_of(network, setting, false);
  ways.rests.resize(ways.group.size());
  const std::vector<int> reached = groups_of(network, setting, true);
  for (std::size_t i = 0; i < reached.size(); ++i) ways.rests[i] = reached[i] >= tanks;

  const auto area_at = [&](int place) {
    return place != outside && place < tanks
               ? network.tanks[static_cast<std::size_t>(place)].scale_area_m2
               : std::numeric_limits<double>::infinity();
  };
  ways.open.reserve(network.links.size());
  for (std::size_t i = 0; i < network.links.size(); ++i) {
    const Link& link = network.links[i];
    if (!is_open(link, setting) || ways.rests[static_cast<std::size_t>(link.from)]) continue;
    Way way;
    way.from = link.from;
    way.to = link.to;
    way.one_way = link.one_way || link.to == outside;
    way.from_mouth_m = link.from_mouth_m;
    way.to_mouth_m = link.to_mouth_m;
    const bool runs = link.kind == Link::Kind::pump && setting.pump_runs[link.part];
    if (runs) {
      way.pump = link.part;
      way.is_pump = true;
      way.one_way = true;
    }
    // A pump that has its prime draws whatever a header holds.
    if (link.from_header && !setting.header_primed[*link.from_header] && !runs) {
      way.from_mouth_m = network.header_height_m[*link.from_header];
    }
    if (link.to_header && !setting.header_primed[*link.to_header]) {
      way.to_mouth_m = network.header_height_m[*link.to_header];
    }
    if (link.crest_m != no_mouth && !setting.crest_primed[link.part]) {
      way.over_crest = true;
      way.from_dips_m = way.from_mouth_m;
      way.to_dips_m = way.to_mouth_m;
      way.from_mouth_m = std::max(way.from_mouth_m, link.crest_m);
      way.to_mouth_m = std::max(way.to_mouth_m, link.crest_m);
    }
    way.from_covers = way.from_mouth_m != no_mouth;
    way.to_covers = link.to != outside && way.to_mouth_m != no_mouth;
    way.bore_m = link.bore_m;
    way.from_full_m = way.from_mouth_m + link.bore_m;
    way.to_full_m = way.to_mouth_m + (link.to == outside ? 0.0 : link.bore_m);
    way.cracking_head_m = link.cracking_head_m;
    way.plain = !way.one_way && !way.over_crest && link.cracking_head_m == 0.0;
    way.loss = link.loss;
    way.link = i;
    const double area = std::min({area_at(link.from), area_at(link.to)});
    way.per_area_per_m2 = 1.0 / std::min(area, 1e3 * network.smallest_area_m2);
    if (link.to != outside) way.coupling = network.elimination.coupling(link.from, link.to);
    ways.open.push_back(way);
  }
  return ways;
}

Setting setting_at_start(const Network& network) {
  const Parts& parts = network.array.parts();
  Setting setting;
  for (const Hose& hose : parts.hoses) setting.hose_open.push_back(starts_open(hose));
  for (const Outlet& outlet : parts.outlets) setting.outlet_open.push_back(outlet.open);
  for (const AirLine& line : parts.air_lines) setting.air_line_open.push_back(line.open);
  for (const Hose& hose : parts.hoses) setting.crest_primed.push_back(hose.primed);
  for (const Pump& pump : parts.pumps) setting.pump_runs.push_back(pump.running);
  setting.pump_primed.assign(parts.pumps.size(), true);
  setting.header_primed.assign(parts.headers.size(), false);
  setting.inflow_m3_per_s.assign(parts.tanks.size(), 0.0);

  const auto level_at = [&](int place, double otherwise) {
    if (place == outside || place >= static_cast<int>(network.tanks.size())) return otherwise;
    const auto tank = static_cast<std::size_t>(place);
    return network.tanks[tank].head_of(parts.tanks[tank].water_m3);
  };

  // A header is full if water of some tank in its reach stands above it.
  const std::vector<int> group = groups_of(network, setting, false);
  for (std::size_t h = 0; h < parts.headers.size(); ++h) {
    const int place = static_cast<int>(parts.tanks.size() + h);
    for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
      if (group[t] == group[static_cast<std::size_t>(place)] &&
          level_at(static_cast<int>(t), no_mouth) > network.header_height_m[h]) {
        setting.header_primed[h] = true;
      }
    }
    if (holds_its_water(network, setting, h)) setting.header_primed[h] = true;
  }
  for (const Pump& pump : parts.pumps) {
    const auto* header = std::get_if<HeaderId>(&pump.from);
    if (header && pump.primed) setting.header_primed[header->index] = true;
  }
  for (const Link& link : network.links) {
    if (link.kind != Link::Kind::hose || link.crest_m == no_mouth) continue;
    const auto over_m = [&](int place, double mouth_m) {
      return level_at(place, no_mouth) - std::max(link.crest_m, mouth_m + link.bore_m);
    };
    if (over_m(link.from, link.from_mouth_m) > 0.0 && over_m(link.to, link.to_mouth_m) > 0.0) {
      setting.crest_primed[link.part] = true;
    }
  }
  return setting;
}

}  // namespace tankyard
