// SPDX-License-Identifier: MIT
#include "solver/fittings.h"

namespace tankyard {

namespace {

// Where the figures come from. The tables were read in excerpts, so a reader who needs a page
// should look it up again; Sanks himself warns of -20 to +30 per cent or more, and of higher losses
// in small bores.
constexpr const char* handbooks =
    "handbook tables of minor losses (Crane, TP-410; Sanks, Pumping Station Design, app. B; Perry)";
constexpr const char* handbooks_and_white =
    "handbook tables of minor losses (Crane, TP-410; Sanks, Pumping Station Design, app. B; "
    "Perry); "
    "threaded: White, Fluid Mechanics, table 6.5, from memory";

// Sorted by name.
const std::vector<Fitting>& table() {
  static const std::vector<Fitting> fittings = {
      {"ball-valve", 0.05, 0.04, 0.05, handbooks},
      {"butterfly-valve", 0.35, 0.16, 0.6, handbooks},
      {"coupling", 0.04, 0.04, 0.08, handbooks},
      {"diaphragm-valve", 2.3, 0.2, 2.3, handbooks},
      {"disc-check", 10.0, 10.0, 10.0, handbooks},
      {"elbow", 0.75, 0.25, 1.5, handbooks},
      {"elbow-45", 0.35, 0.18, 0.4, handbooks},
      // Every hose end already gets 0.5 for a flush entry, so this is only what projecting adds.
      {"entry-projecting", 0.3, 0.0, 0.4,
       "what a projecting entry (0.5-0.9, usually 0.8) costs over the flush entry that is always "
       "counted; handbook tables of minor losses"},
      {"foot-valve", 11.4, 0.8, 15.0, handbooks},
      {"gate-valve", 0.17, 0.1, 0.3, handbooks},
      {"gate-valve-half-open", 4.5, 4.5, 5.6, handbooks},
      {"gate-valve-quarter-open", 24.0, 17.0, 24.0, handbooks},
      {"globe-valve", 6.0, 4.0, 10.0, handbooks},
      {"lift-check", 4.6, 0.85, 9.1, handbooks},
      {"mitred-elbow", 1.1, 0.8, 1.3, handbooks},
      // ((D^2 / (Cc d^2)) - 1)^2, the jet from a throat d filling a bore D again. Cc 0.70
      // gives 3.1; an 8 mm throat at Cc 0.65 gives 7.6.
      {"push-coupling", 3.9, 3.1, 7.6,
       "no published figure found; derived for a 9 mm throat in a 12.5 mm hose, contraction 0.65"},
      // Contraction (1/Cc - 1)^2 one way, Borda-Carnot (1 - A1/A2)^2 the other, both on the smaller
      // bore: 0.26 and 0.32 from 19 mm to 12.5 mm.
      {"reducer", 0.3, 0.015, 0.81,
       "Streeter and Wylie (1975), sudden contraction; Borda-Carnot, sudden expansion; figure for "
       "19 mm "
       "to 12.5 mm, either way, on the smaller bore"},
      {"swing-check", 2.0, 0.29, 2.2, handbooks},
      {"tee-branch", 1.0, 0.75, 2.0, handbooks_and_white},
      {"tee-through", 0.4, 0.2, 0.9, handbooks_and_white},
  };
  return fittings;
}

}  // namespace

const std::vector<Fitting>& known_fittings() { return table(); }

std::optional<double> fitting_loss_k(const std::string& name) {
  for (const Fitting& fitting : table()) {
    if (name == fitting.name) return fitting.loss_k;
  }
  return std::nullopt;
}

}  // namespace tankyard
