// SPDX-License-Identifier: MIT
#include <cstddef>
#include <limits>
#include <string>

#include "solver/find_each.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double least_dead_m3 = 5e-3;
constexpr double least_share = 0.01;  // of the capacity
constexpr double none = std::numeric_limits<double>::infinity();

/// The lowest mouth by which water can leave a tank, above its bottom, and whose it is.
struct WayOut {
  double height_m = none;
  std::string of;

  void offer(double mouth_m, const std::string& whose) {
    if (mouth_m < height_m || (mouth_m == height_m && whose < of)) {
      height_m = mouth_m;
      of = whose;
    }
  }
};

std::vector<WayOut> ways_out(const Parts& parts) {
  std::vector<WayOut> ways(parts.tanks.size());
  const auto offer = [&](const HoseEnd& end, const std::string& whose) {
    const auto* id = std::get_if<TankId>(&end.place);
    if (!id) return;
    const double mouth = end.height_m.value_or(part(parts.tanks, *id).outlet_height_m);
    ways[id->index].offer(mouth, whose);
  };
  for (const Hose& hose : parts.hoses) {
    offer(hose.from, "hose " + named(hose.name));
    if (!hose.one_way) offer(hose.to, "hose " + named(hose.name));
  }
  for (const Pump& pump : parts.pumps) offer({pump.from, std::nullopt}, "pump " + named(pump.name));
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at) offer(*outlet.at, "outlet " + named(outlet.name));
  }
  for (const Leak& leak : parts.leaks) {
    ways[leak.tank.index].offer(leak.height_m, "the leak " + named(leak.name));
  }
  return ways;
}

}  // namespace

std::vector<Finding> find_dead_water(const Array& array) {
  const Parts& parts = array.parts();
  const std::vector<WayOut> ways = ways_out(parts);
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const Tank& tank = parts.tanks[i];
    if (ways[i].height_m == none) continue;
    const double dead = volume_m3(tank.shape, ways[i].height_m);
    const double share_limit = least_share * capacity_m3(tank.shape);
    if (dead <= least_dead_m3 || dead <= share_limit) continue;
    Finding finding;
    finding.kind = FindingKind::dead_water;
    finding.severity = Severity::note;
    finding.where = tank.name;
    finding.value = dead * litres_per_m3;
    finding.limit = (share_limit > least_dead_m3 ? share_limit : least_dead_m3) * litres_per_m3;
    finding.unit = "L";
    finding.says = in_litres(dead) + " of " + named(tank.name) + " lie below its lowest mouth, " +
                   ways[i].of + " at " + in_mm(ways[i].height_m) +
                   " above the bottom, and never come out";
    finding.do_this =
        "set that mouth lower if this is more than you want for silt, or add a drain "
        "at the bottom of " +
        named(tank.name);
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
