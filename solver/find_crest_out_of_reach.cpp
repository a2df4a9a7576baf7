// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>

#include "solver/find_each.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double never_falls = -std::numeric_limits<double>::infinity();

/// The highest water can come to at one end of a hose by ways other than this hose: a tank's own
/// lip; at a header or outlet the highest lip of the tanks that reach it.
double reached_m(const Parts& parts, const HoseEnd& end, const std::vector<std::size_t>& group) {
  if (const auto* id = std::get_if<TankId>(&end.place)) return lip_m(part(parts.tanks, *id));
  double highest = never_falls;
  const std::size_t own = group[Row(parts).of(end.place)];
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (group[i] == own) highest = std::max(highest, lip_m(parts.tanks[i]));
  }
  return highest;
}

}  // namespace

std::vector<Finding> find_crest_out_of_reach(const Array& array) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    if (!hose.crest_m || hose.primed) continue;
    // Valves that are shut now may be opened; this hose itself brings nothing until it is filled.
    OpenHoses others(parts.hoses.size(), true);
    others[i] = false;
    const std::vector<std::size_t> group = groups_in_row(parts, others);
    const double reach =
        std::max(reached_m(parts, hose.from, group), reached_m(parts, hose.to, group));
    if (reach == never_falls || *hose.crest_m < reach) continue;
    const double over = *hose.crest_m - reach;
    Finding finding;
    finding.kind = FindingKind::air_lock;
    finding.severity = Severity::warning;
    finding.where = hose.name;
    finding.value = over * mm_per_m;
    finding.limit = 0.0;
    finding.unit = "mm";
    finding.says =
        "hose " + named(hose.name) + " rises to " + in_metres(*hose.crest_m) +
        " above the datum, " + in_mm(over) +
        " over the highest water at its ends, and holds air there: nothing ever fills it, "
        "so " +
        named(name_of(parts, hose.from.place)) + " and " + named(name_of(parts, hose.to.place)) +
        " share no water through it";
    finding.do_this = "lay it so that its highest point is below " + in_metres(reach) +
                      ", or fill it with water by hand and keep both its ends under water";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
