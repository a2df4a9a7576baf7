// SPDX-License-Identifier: MIT
#include "solver/fittings.h"

#include <gtest/gtest.h>

#include "published/table.h"

namespace published {
namespace fittings_test {

// One printed figure and the range over several tables, K on the bore's own velocity.
TEST(Fittings, StandWithinWhatIsPrinted) {
  struct Printed {
    const char* name;
    double typical, low, high;
    const char* source;
    Sure sure;
  };
  const char* handbooks = "Crane TP-410; Sanks, app. B; Perry";
  const Printed printed[] = {
      {"elbow", 0.75, 0.25, 1.5, handbooks, Sure::seen},
      {"elbow-45", 0.35, 0.18, 0.4, handbooks, Sure::seen},
      {"mitred-elbow", 1.1, 0.8, 1.3, handbooks, Sure::seen},
      {"tee-through", 0.4, 0.2, 0.4, handbooks, Sure::seen},
      {"tee-branch", 1.0, 0.75, 1.0, handbooks, Sure::seen},
      {"tee-through", 0.9, 0.2, 0.9, "White, table 6.5, threaded", Sure::memory},
      {"tee-branch", 2.0, 0.75, 2.0, "White, table 6.5, threaded", Sure::memory},
      {"gate-valve", 0.17, 0.1, 0.3, handbooks, Sure::seen},
      {"gate-valve-half-open", 4.5, 4.5, 5.6, handbooks, Sure::seen},
      {"gate-valve-quarter-open", 24.0, 17.0, 24.0, handbooks, Sure::seen},
      {"ball-valve", 0.05, 0.04, 0.05, handbooks, Sure::seen},
      {"globe-valve", 6.0, 4.0, 10.0, handbooks, Sure::seen},
      {"diaphragm-valve", 2.3, 0.2, 2.3, handbooks, Sure::seen},
      {"butterfly-valve", 0.35, 0.16, 0.6, handbooks, Sure::seen},
      {"swing-check", 2.0, 0.29, 2.2, handbooks, Sure::seen},
      {"lift-check", 4.6, 0.85, 9.1, handbooks, Sure::seen},
      {"disc-check", 10.0, 10.0, 10.0, handbooks, Sure::seen},
      {"foot-valve", 11.4, 0.8, 15.0, handbooks, Sure::seen},
      {"coupling", 0.04, 0.04, 0.08, handbooks, Sure::seen},
      {"push-coupling", 3.9, 3.1, 7.6, "derived: 8-9 mm throat in 12.5 mm", Sure::practice},
  };
  for (const Printed& p : printed) {
    const auto ours = tankyard::fitting_loss_k(p.name);
    ASSERT_TRUE(ours.has_value()) << p.name;
    row({.what = p.name,
         .source = p.source,
         .sure = p.sure,
         .published = p.typical,
         .ours = *ours,
         .unit = "",
         .band = between(p.low, p.high)});
  }
}

// What a projecting entry costs in all: the 0.5 that every hose end gets, and the fitting.
TEST(Fittings, ProjectingEntryAddsToTheFlushOne) {
  row({.what = "entry 0.5 and entry-projecting",
       .source = "Crane TP-410; Sanks, app. B",
       .sure = Sure::seen,
       .published = 0.8,
       .ours = 0.5 + tankyard::fitting_loss_k("entry-projecting").value_or(-1.0),
       .unit = "",
       .band = between(0.5, 0.9)});
}

// Streeter and Wylie 1975: contraction coefficients for area ratios 0.1 to 0.9. 19 mm to 12.5 mm is
// a ratio of 0.43, between these two.
TEST(Fittings, ReducerLiesBetweenItsTwoWays) {
  const double contracts = (1.0 / 0.665 - 1.0) * (1.0 / 0.665 - 1.0);
  const double widens = (1.0 - 0.433) * (1.0 - 0.433);
  row({.what = "reducer, 19 mm to 12.5 mm, either way",
       .source = "Streeter and Wylie; Borda-Carnot",
       .sure = Sure::seen,
       .published = 0.5 * (contracts + widens),
       .ours = tankyard::fitting_loss_k("reducer").value_or(-1.0),
       .unit = "",
       .band = between(contracts, widens)});
}

}  // namespace fittings_test
}  // namespace published
