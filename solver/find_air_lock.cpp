// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>

#include "solver/apart.h"
#include "solver/find_each.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double least_held_s = 600.0;

}  // namespace

std::vector<Finding> find_held_by_air(const Array& array, const RunRecord& record) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    const HoseLag& lag = record.lags[i];
    if (!hose.crest_m || lag.air_held_s < least_held_s) continue;
    Finding finding;
    finding.kind = FindingKind::air_lock;
    finding.severity = Severity::warning;
    finding.where = hose.name;
    finding.at_s = lag.air_held_from_s;
    finding.value = lag.air_held_m * mm_per_m;
    finding.limit = held_apart_m * mm_per_m;
    finding.unit = "mm";
    finding.says = "air in the hump of hose " + named(hose.name) + ", " + in_metres(*hose.crest_m) +
                   " above the datum, let nothing through for " + in_minutes(lag.air_held_s) +
                   " while the levels in " + named(name_of(parts, hose.from.place)) + " and " +
                   named(name_of(parts, hose.to.place)) + " stood up to " + in_mm(lag.air_held_m) +
                   " apart";
    finding.do_this =
        "lay " + named(hose.name) +
        " so that it has no hump, or fit a tap at its highest point and fill it through that; it "
        "has to be filled again each time one of its ends has come out of the water";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
