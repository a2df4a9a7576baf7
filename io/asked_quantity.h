// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "io/commands.h"
#include "io/units.h"
#include "solver/options.h"

namespace tankyard {

/// The quantity that an option was given, in SI; none once it has been said on `desk.err` why it is
/// no such quantity. `option`: as it was typed, "--work".
std::optional<double> quantity_or_complain(const char* option, const std::string& text,
                                           Dimension dimension, const Desk& desk);

/// Takes `--tolerance`, if it was given, into the options of a run; false once it has been said why
/// it cannot be used.
bool take_tolerance(const Asked& asked, const Desk& desk, RunOptions& options);

}  // namespace tankyard
