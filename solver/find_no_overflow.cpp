// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>

#include "solver/find_each.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double lower_by_m = 0.020;

/// What brings water into a tank, in words, sorted by name.
std::vector<std::string> feeds_of(const Parts& parts, std::size_t tank) {
  std::vector<std::string> feeds;
  for (const Roof& roof : parts.roofs) {
    if (roof.into.index == tank) feeds.push_back("roof " + named(roof.name));
  }
  for (const TopUp& top_up : parts.top_ups) {
    if (top_up.into.index == tank) feeds.push_back("top-up " + named(top_up.name));
  }
  for (const Tank& other : parts.tanks) {
    if (other.overflow && other.overflow->to && other.overflow->to->index == tank) {
      feeds.push_back("the overflow of " + named(other.name));
    }
  }
  std::sort(feeds.begin(), feeds.end());
  return feeds;
}

/// The tank that spills first in its place, if an open hose leads there: the lowest lip of the
/// group.
std::optional<std::size_t> spills_before(const Parts& parts, const std::vector<std::size_t>& group,
                                         std::size_t tank) {
  std::optional<std::size_t> first;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (i == tank || group[i] != group[tank]) continue;
    const Tank& other = parts.tanks[i];
    if (lip_m(other) > rim_m(parts.tanks[tank]) - lower_by_m) continue;
    const bool lower =
        !first || lip_m(other) < lip_m(parts.tanks[*first]) ||
        (lip_m(other) == lip_m(parts.tanks[*first]) && other.name < parts.tanks[*first].name);
    if (lower) first = i;
  }
  return first;
}

}  // namespace

std::vector<Finding> find_no_overflow(const Array& array) {
  const Parts& parts = array.parts();
  const std::vector<std::size_t> group = groups_in_row(parts, array.open_at_start());
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const Tank& tank = parts.tanks[i];
    if (tank.overflow) continue;
    const std::vector<std::string> feeds = feeds_of(parts, i);
    if (feeds.empty()) continue;
    const std::optional<std::size_t> instead = spills_before(parts, group, i);
    Finding finding;
    finding.kind = FindingKind::no_overflow;
    finding.severity = instead ? Severity::note : Severity::warning;
    finding.where = tank.name;
    finding.value = height_m(tank.shape) * mm_per_m;
    finding.unit = "mm";
    finding.says = named(tank.name) + " is fed by " + joined_up(feeds) + " and has no overflow: ";
    if (instead) {
      finding.says += "as long as its hose keeps up, " + named(parts.tanks[*instead].name) +
                      " spills in its place, at " + in_metres(lip_m(parts.tanks[*instead])) +
                      " above the datum; otherwise water runs over the rim of " + named(tank.name) +
                      " at " + in_metres(rim_m(tank));
    } else {
      finding.says += "once full it runs over its rim, " + in_metres(rim_m(tank)) +
                      " above the datum, down its wall and onto its stand";
    }
    finding.do_this = "fit an overflow below the rim of " + named(tank.name) +
                      ", at least as wide as what feeds it, and lead it to a tank with room or to "
                      "where water does no harm";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
