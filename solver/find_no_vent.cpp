// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <string>

#include "solver/aired.h"
#include "solver/find_each.h"
#include "solver/find_limits.h"
#include "solver/lid_words.h"
#include "solver/sentences.h"
#include "solver/shell.h"

namespace tankyard {
namespace {

/// The parts by which water can come into a tank or leave it, valves open or shut; names in order.
std::vector<std::string> ways_for_water(const Parts& parts, TankId tank) {
  std::vector<std::string> names;
  const auto is_here = [&](const Place& place) {
    const auto* id = std::get_if<TankId>(&place);
    return id && *id == tank;
  };
  for (const Hose& hose : parts.hoses) {
    if (is_here(hose.from.place) || is_here(hose.to.place)) names.push_back(hose.name);
  }
  for (const Pump& pump : parts.pumps) {
    if (is_here(pump.from) || is_here(pump.to)) names.push_back(pump.name);
  }
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at && is_here(outlet.at->place)) names.push_back(outlet.name);
  }
  for (const Leak& leak : parts.leaks) {
    if (leak.tank == tank) names.push_back(leak.name);
  }
  for (const Roof& roof : parts.roofs) {
    if (roof.into == tank) names.push_back(roof.name);
  }
  for (const TopUp& top_up : parts.top_ups) {
    if (top_up.into == tank) names.push_back(top_up.name);
  }
  std::sort(names.begin(), names.end());
  return names;
}

bool takes_an_overflow(const Parts& parts, TankId tank) {
  return std::any_of(parts.tanks.begin(), parts.tanks.end(), [&](const Tank& other) {
    return other.overflow && other.overflow->to && *other.overflow->to == tank;
  });
}

std::string through(std::vector<std::string> names, bool overflow_of_others) {
  const std::size_t left_out = names.size() > most_named ? names.size() - most_named : 0;
  names.resize(names.size() - left_out);
  std::string text = names.empty() ? "" : "through " + listed(names);
  if (left_out > 0) text += " and " + std::to_string(left_out) + " more";
  if (!overflow_of_others) return text;
  return text + (text.empty() ? "" : ", and ") + "from the overflow of another tank";
}

}  // namespace

std::vector<Finding> find_no_vent(const Array& array) {
  const Parts& parts = array.parts();
  const std::vector<bool> has_air = aired(parts);
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (has_air[i]) continue;
    const auto id = id_at<TankId>(i);
    const Tank& tank = parts.tanks[i];
    const std::vector<std::string> ways = ways_for_water(parts, id);
    const bool overflow_of_others = takes_an_overflow(parts, id);
    if (ways.empty() && !overflow_of_others) continue;
    const AllowedVacuum allowed = allowed_vacuum(tank);
    Finding finding;
    finding.kind = FindingKind::no_vent;
    finding.severity = Severity::warning;
    finding.where = tank.name;
    finding.value = 0.0;
    finding.unit = "mm";
    finding.says = named(tank.name) + " has a sealed lid without a hole, and water can move " +
                   through(ways, overflow_of_others) + ": it may bear a vacuum of " +
                   in_pascals(allowed.pa) + " (" + allowed.how + ")";
    if (tank.overflow) {
      finding.says +=
          "; its overflow pipe is not counted as a way for air, since it may be trapped, screened "
          "or under water";
    }
    finding.do_this = "drill a hole in the lid of " + named(tank.name) +
                      ", as wide as `tankyard vent` finds it, or lead an air hose from its top to "
                      "that of a tank whose lid lets air in";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
