// SPDX-License-Identifier: MIT
#include "solver/find_each.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double least_gap_m = 0.020;

}  // namespace

std::vector<Finding> find_back_flow(const Array& array) {
  std::vector<Finding> findings;
  for (const TopUp& top_up : array.parts().top_ups) {
    if (top_up.air_gap_m && *top_up.air_gap_m >= least_gap_m) continue;
    Finding finding;
    finding.kind = FindingKind::back_flow;
    finding.where = top_up.name;
    finding.unit = "mm";
    finding.limit = least_gap_m * mm_per_m;
    const std::string tank = named(part(array.parts().tanks, top_up.into).name);
    if (top_up.air_gap_m) {
      finding.severity = Severity::warning;
      finding.value = *top_up.air_gap_m * mm_per_m;
      finding.says = "the air gap of " + in_mm(*top_up.air_gap_m) + " between top-up " +
                     named(top_up.name) + " and the highest water in " + tank +
                     " is less than 20 mm: tank water can be sucked back into the supply";
    } else {
      finding.severity = Severity::note;
      finding.value = 0.0;
      finding.says = "the plan does not say what air gap top-up " + named(top_up.name) +
                     " has over the highest water in " + tank +
                     "; with none, tank water can be sucked back into the supply";
    }
    finding.do_this =
        "keep the mouth of the supply at least 20 mm, and at least twice its bore, above the "
        "highest "
        "water; your local water rules decide, so ask your supplier or a licensed plumber";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
