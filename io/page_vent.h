// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "io/page.h"
#include "solver/studies/vent_study.h"

namespace tankyard {

/// The page of `vent`: the pulls are the cases of its film, each with the worst that it does to the
/// air under every lid.
Page page_of_vent(const Plan& plan, const VentStudy& study, const std::vector<Finding>& findings);

}  // namespace tankyard
