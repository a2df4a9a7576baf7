// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "solver/run.h"

namespace tankyard {

/// Water that a pump left behind when it drew air: what stands above the highest sill on the way
/// from its tank to the pump, and so would have come if the way had been wide or open.
struct PumpStranded {
  struct Tank {
    TankId tank;
    double m3 = 0.0;
    std::optional<HoseId> hose;  ///< that kept it; none: no single hose did
    bool thin = false;           ///< the way is open, and that hose too thin
    bool by_vacuum = false;      ///< the way is open, and too little air comes in
    std::string why;             ///< "`a-b` is too thin to bring it in time"
  };
  std::vector<Tank> tanks;  ///< most water first; those with less than 1 L are left out, ...
  double total_m3 = 0.0;    ///< ... and not counted
};

/// Tanks that no hose, open or shut, joins to the pump are left out, and those that have fallen to
/// the mouth they give by. Cost: places times hoses.
PumpStranded stranded_by(const Array& array, PumpId pump, const AirDrawn& moment);

}  // namespace tankyard
