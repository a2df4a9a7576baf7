// SPDX-License-Identifier: MIT
#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "solver/find_each.h"
#include "solver/pump_curve.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

// An outlet that stood open and got nothing at all, because it stands too high for the water that
// is joined to it, and for the pump behind it.

namespace tankyard {
namespace {

constexpr double least_open_s = 60.0;
constexpr double delivers_nothing_m3 = 1e-5;

/// Highest lip of the tanks that hoses, open or shut, join to the outlet.
std::optional<double> highest_water_m(const Parts& parts, OutletId id) {
  const std::vector<std::size_t> group = groups_in_row(parts, OpenHoses(parts.hoses.size(), true));
  const Row row(parts);
  std::optional<double> highest;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (group[i] != group[row.of(id)]) continue;
    highest = std::max(highest.value_or(lip_m(parts.tanks[i])), lip_m(parts.tanks[i]));
  }
  return highest;
}

}  // namespace

std::vector<Finding> find_out_of_reach(const Array& array, const RunRecord& record) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const OutletRecord& outlet = record.outlets[i];
    if (outlet.open_s < least_open_s || outlet.delivered_m3 > delivers_nothing_m3) continue;
    const auto id = id_at<OutletId>(i);
    const double mouth = mouth_m(parts, parts.outlets[i]);
    Finding finding;
    finding.kind = FindingKind::outlet_out_of_reach;
    finding.severity = Severity::warning;
    finding.where = parts.outlets[i].name;
    finding.value = mouth;
    finding.unit = "m";
    // By a pump that had its prime, ran, and could not push so high.
    bool pumped = false;
    for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
      if (!(parts.pumps[p].to == Place(id))) continue;
      pumped = true;
      if (record.pumps[p].shut_s < least_open_s) continue;
      const double shut_off = PumpCurve(parts.pumps[p].curve).shut_off_head_m();
      const double lift_from = mouth_m(parts, HoseEnd{parts.pumps[p].from, std::nullopt});
      finding.limit = lift_from + shut_off;
      finding.at_s = record.pumps[p].first_started_at_s;
      finding.says = named(finding.where) + " stood open for " + in_minutes(outlet.open_s) +
                     " and got nothing: its mouth is at " + in_metres(mouth) + ", and " +
                     named(parts.pumps[p].name) + " can push no higher than about " +
                     in_metres(*finding.limit);
      finding.do_this = "lower " + named(finding.where) + ", or use a pump of more head";
      findings.push_back(finding);
      break;
    }
    if (pumped) continue;
    const std::optional<double> highest = highest_water_m(parts, id);
    if (!highest || mouth < *highest) continue;
    finding.limit = *highest;
    finding.says = named(finding.where) + " stood open for " + in_minutes(outlet.open_s) +
                   " and got nothing: its mouth is at " + in_metres(mouth) +
                   ", and no tank that is joined to it holds water above " + in_metres(*highest);
    finding.do_this =
        "lower its mouth well below that, or put a pump in its hose: gravity brings "
        "water no higher than the tanks stand";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
