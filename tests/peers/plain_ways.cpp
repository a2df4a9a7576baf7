// SPDX-License-Identifier: MIT
#include "plain_ways.h"

#include <variant>

#include "plain_air.h"

namespace plain {

using tankyard::Hose;
using tankyard::Outlet;
using tankyard::Parts;
using tankyard::TankId;

namespace {

constexpr double pi = 3.141592653589793;

double hole_area_m2(const tankyard::Lid& lid) {
  return lid.count * lid.coefficient * lid.screen * pi / 4.0 * lid.hole_m * lid.hole_m;
}

}  // namespace

std::vector<Node> find_nodes(const Parts& parts) {
  std::vector<Node> nodes;
  for (std::size_t h = 0; h < parts.headers.size(); ++h) {
    nodes.push_back({tankyard::id_at<tankyard::HeaderId>(h), parts.headers[h].height_m, {}, {}});
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    const Outlet& outlet = parts.outlets[o];
    if (outlet.at || !outlet.draw_m3_per_s) continue;
    nodes.push_back({tankyard::id_at<tankyard::OutletId>(o), *outlet.height_m, {}, {o}});
  }
  for (Node& node : nodes) {
    for (std::size_t k = 0; k < parts.hoses.size(); ++k) {
      const Hose& hose = parts.hoses[k];
      if (hose.from.place != node.place && hose.to.place != node.place) continue;
      node.hoses.push_back(k);
    }
    for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
      const Outlet& outlet = parts.outlets[o];
      if (outlet.at && outlet.draw_m3_per_s && outlet.at->place == node.place) {
        node.draws.push_back(o);
      }
    }
  }
  return nodes;
}

std::vector<Hole> find_holes(const Parts& parts) {
  std::vector<Hole> holes;
  const auto hole = [](double bore_m, double coefficient) {
    return Pipe{bore_m, 0.0, 0.0, 1.0 / (coefficient * coefficient)};
  };
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    const Outlet& outlet = parts.outlets[o];
    if (!outlet.at || !outlet.bore_m) continue;
    const auto* tank = std::get_if<TankId>(&outlet.at->place);
    if (tank == nullptr) continue;
    const double mouth = tankyard::mouth_m(parts, *outlet.at);
    holes.push_back({tank->index, mouth, outlet.height_m.value_or(mouth),
                     hole(*outlet.bore_m, outlet.coefficient), o, 0});
  }
  for (std::size_t l = 0; l < parts.leaks.size(); ++l) {
    const tankyard::Leak& leak = parts.leaks[l];
    const double mouth = tankyard::part(parts.tanks, leak.tank).base_m + leak.height_m;
    holes.push_back(
        {leak.tank.index, mouth, mouth, hole(leak.bore_m, leak.coefficient), std::nullopt, l});
  }
  return holes;
}

std::vector<AirWay> find_air_ways(const Parts& parts) {
  std::vector<AirWay> ways;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const tankyard::Lid& lid = parts.tanks[i].lid;
    if (lid.kind == tankyard::Lid::Kind::holed) {
      ways.push_back({i, std::nullopt, hole_area_m2(lid), std::nullopt, 0.0});
    }
  }
  for (std::size_t k = 0; k < parts.air_lines.size(); ++k) {
    const tankyard::AirLine& line = parts.air_lines[k];
    ways.push_back({line.from.index, line.to.index, line_area_m2(line.bore_m, line.length_m), k,
                    line_laminar_pa(line.bore_m, line.length_m)});
  }
  return ways;
}

}  // namespace plain
