// SPDX-License-Identifier: MIT
#pragma once

#include <rapidcheck.h>

#include <cmath>
#include <vector>

#include "graph/pump.h"

namespace tankyard {

/// Two to six points such as makers print and some they would not: 2 to 60 m, 0.05 to 5 L/s, flat
/// stretches beside steep ones; one in four begins over no flow, one in four ends below no head.
std::vector<CurvePoint> any_pump_points();

/// Points of H = H0 (1 - c x^p), x from 0 to 1, such as makers do print: steeper and steeper.
std::vector<CurvePoint> any_sound_pump_points();

}  // namespace tankyard
