// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <string>

#include "graph/reach.h"
#include "solver/find_each.h"
#include "solver/left_alone.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double lips_apart_m = 0.020;
constexpr double least_m3 = 1e-3;

/// Whether every hose of this tank that is open at the start can be shut by a valve; their names.
std::vector<std::string> valves_of(const Parts& parts, TankId id) {
  std::vector<std::string> valves;
  for (const Hose& hose : parts.hoses) {
    if (hose.from.place != Place(id) && hose.to.place != Place(id)) continue;
    if (!starts_open(hose)) continue;
    if (!hose.valve) return {};
    valves.push_back(hose.valve->name);
  }
  std::sort(valves.begin(), valves.end());
  return valves;
}

/// By how much the overflow could go up in its wall, m; none without an overflow.
double overflow_can_rise_m(const Tank& tank) {
  if (!tank.overflow) return 0.0;
  return height_m(tank.shape) - tank.overflow->bore_m - tank.overflow->height_m;
}

std::string remedy(const Parts& parts, const std::vector<TankId>& low, double raise_m) {
  std::vector<std::string> names;
  bool overflows_can_rise = true;
  for (const TankId id : low) {
    names.push_back(part(parts.tanks, id).name);
    overflows_can_rise =
        overflows_can_rise && overflow_can_rise_m(part(parts.tanks, id)) >= raise_m;
  }
  std::sort(names.begin(), names.end());
  std::string text = overflows_can_rise ? "set the overflow of " : "raise the stand of ";
  text += listed(names) +
          (overflows_can_rise ? " " + in_mm(raise_m) + " higher" : " by " + in_mm(raise_m));
  if (low.size() == 1) {
    const std::vector<std::string> valves = valves_of(parts, low.front());
    text += valves.empty() ? ", or put a valve in its hose and shut it once it is full"
                           : ", or shut " + listed(valves) + " once it is full";
  }
  return text;
}

/// The tanks of a group whose lips stand with the lowest, and those which that leaves partly empty.
struct Capped {
  std::vector<TankId> low;
  std::vector<TankId> high;
  double lowest_lip_m = 0.0;
  double next_lip_m = 0.0;  ///< the lowest lip among the high ones
  double empty_m3 = 0.0;
};

Capped capped_in(const Parts& parts, const std::vector<TankId>& tanks,
                 const std::vector<double>& full_m3) {
  Capped capped;
  capped.lowest_lip_m = lip_m(part(parts.tanks, tanks.front()));
  for (const TankId id : tanks) {
    capped.lowest_lip_m = std::min(capped.lowest_lip_m, lip_m(part(parts.tanks, id)));
  }
  for (const TankId id : tanks) {
    const Tank& tank = part(parts.tanks, id);
    if (lip_m(tank) <= capped.lowest_lip_m + lips_apart_m) {
      capped.low.push_back(id);
      continue;
    }
    // Mouths, crests and non-return valves may hold water back above the low lip; the settled yard
    // knows. What fills up all the same is not capped.
    const double at_lip = volume_m3(tank.shape, lip_m(tank) - tank.base_m);
    const double empty = at_lip - full_m3[id.index];
    const double depth = depth_m(tank.shape, std::max(0.0, full_m3[id.index]));
    if (lip_m(tank) - tank.base_m - depth <= lips_apart_m) continue;
    capped.empty_m3 += empty;
    capped.next_lip_m =
        capped.high.empty() ? lip_m(tank) : std::min(capped.next_lip_m, lip_m(tank));
    capped.high.push_back(id);
  }
  return capped;
}

/// Of several lips at one height, the one whose tank comes first by name, so that the order of the
/// plan does not matter.
TankId lowest_of(const Parts& parts, const std::vector<TankId>& low) {
  return *std::min_element(low.begin(), low.end(), [&](TankId a, TankId b) {
    const Tank& one = part(parts.tanks, a);
    const Tank& other = part(parts.tanks, b);
    if (lip_m(one) != lip_m(other)) return lip_m(one) < lip_m(other);
    return one.name < other.name;
  });
}

}  // namespace

std::vector<Finding> find_uneven_rims(const Array& array) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  const auto uneven = [&](const std::vector<TankId>& tanks) {
    const auto [low, high] =
        std::minmax_element(tanks.begin(), tanks.end(), [&](TankId a, TankId b) {
          return lip_m(part(parts.tanks, a)) < lip_m(part(parts.tanks, b));
        });
    return lip_m(part(parts.tanks, *high)) - lip_m(part(parts.tanks, *low)) > lips_apart_m;
  };
  std::vector<std::vector<TankId>> groups = joined_tanks(array, array.open_at_start());
  groups.erase(std::remove_if(groups.begin(), groups.end(),
                              [&](const std::vector<TankId>& tanks) { return !uneven(tanks); }),
               groups.end());
  if (groups.empty()) return findings;
  const Result<std::vector<double>> full_m3 = water_when_full(array);
  if (!full_m3) return findings;  // `check` and `run` report the same refusal in their own name

  for (const std::vector<TankId>& tanks : groups) {
    const Capped capped = capped_in(parts, tanks, *full_m3);
    if (capped.high.empty() || capped.empty_m3 < least_m3) continue;
    std::vector<std::string> names;
    for (const TankId id : capped.high) names.push_back(part(parts.tanks, id).name);
    std::sort(names.begin(), names.end());
    const Tank& lowest = part(parts.tanks, lowest_of(parts, capped.low));
    Finding finding;
    finding.kind = FindingKind::uneven_rims;
    finding.severity = Severity::warning;
    finding.where = lowest.name;
    finding.value = capped.empty_m3 * litres_per_m3;
    finding.limit = least_m3 * litres_per_m3;
    finding.unit = "L";
    finding.says =
        named(lowest.name) + " spills at " + in_metres(capped.lowest_lip_m) +
        " above the datum, before the tanks joined to it are full: " + in_litres(capped.empty_m3) +
        " of " + listed(names) + " can never be filled";
    finding.do_this = remedy(parts, capped.low, capped.next_lip_m - capped.lowest_lip_m);
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
