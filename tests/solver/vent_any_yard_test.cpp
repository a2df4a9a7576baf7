// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "random_arrays.h"
#include "solver/drills.h"
#include "solver/studies/vent_study.h"

// What the vent study promises of any yard with closed lids.

namespace tankyard {
namespace vent_any_yard_test {

YardMayHold small_with_lids() {
  YardMayHold may;
  may.closed_lids = true;
  may.most_tanks = 3;
  may.most_headers = 1;
  return may;
}

VentOptions quick() {
  VentOptions options;
  options.most_place_steps = 1e4;
  return options;
}

bool is_a_drill(double bore_m) {
  return std::any_of(std::begin(drills_mm), std::end(drills_mm),
                     [&](double drill_mm) { return std::fabs(drill_mm / 1000.0 - bore_m) < 1e-9; });
}

RC_GTEST_PROP(VentsInAnyYard, KeepHalfInHandAndCallTanksThatFoldADanger, ()) {
  const Parts yard = *random_yards(small_with_lids());
  const Result<Array> array = Array::make(yard);
  RC_ASSERT(array.has_value());
  const Result<VentStudy> study = study_vents(*array, *random_days(yard), quick());
  RC_PRE(study.has_value());
  std::size_t closed = 0;
  for (const Tank& tank : yard.tanks) closed += tank.lid.kind == Lid::Kind::open ? 0 : 1;
  RC_ASSERT(study->lids.size() == closed);
  for (const LidNeeds& lid : study->lids) {
    const double half = kept_in_hand * lid.vacuum.pa;
    if (!lid.drill_now) {
      for (const LidTrial& did : lid.as_it_is) RC_ASSERT(-did.lowest_pa <= half);
    }
    if (!lid.hole_m) continue;
    RC_ASSERT(*lid.hole_m == 0.0 || is_a_drill(*lid.hole_m));
    if (lid.lowest_alone_pa) RC_ASSERT(-*lid.lowest_alone_pa <= half);
    if (study->holds_together && lid.lowest_together_pa) {
      RC_ASSERT(-*lid.lowest_together_pa <= half);
    }
    if (lid.blocked) RC_ASSERT(*lid.blocked->folds_after_s >= 0.0);
    if (lid.hole_feeding_alone_m) RC_ASSERT(*lid.hole_feeding_alone_m >= *lid.hole_m);
  }
  const std::vector<Finding> findings = find_in_vents(*array, *study);
  for (const LidNeeds& lid : study->lids) {
    const std::string& name = part(yard.tanks, lid.tank).name;
    const bool danger = std::any_of(findings.begin(), findings.end(), [&](const Finding& finding) {
      return finding.severity == Severity::danger && finding.where == name;
    });
    RC_ASSERT(danger == (lid.can_fold() || lid.can_bulge()));
  }
  for (const Finding& finding : findings) {
    RC_ASSERT(std::isfinite(finding.value));
    RC_ASSERT(finding.says.find(finding.where) != std::string::npos);
    RC_ASSERT(finding.says.back() != '.');
    RC_ASSERT(!finding.do_this.empty());
    RC_ASSERT(!finding.at_s.has_value());
  }
}

}  // namespace vent_any_yard_test
}  // namespace tankyard
