// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "report.h"

namespace bench {

/// Every single failure, and every pair, of twelve tanks on a header with a day sheet: on one
/// thread and on two. Prints; `figures` gets days a second and what the second thread brings.
void fault_days(std::vector<Figure>& figures);

}  // namespace bench
