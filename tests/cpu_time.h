// SPDX-License-Identifier: MIT
#pragma once

#include <ctime>

namespace tankyard {

/// What this process has used of the processor so far, s: a busy machine makes no test late.
inline double cpu_s() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

}  // namespace tankyard
