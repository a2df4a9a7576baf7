// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "io/command_table.h"

namespace tankyard {

/// Shells that completions can be had for: "bash", "fish", "zsh".
const std::vector<std::string>& shells();

/// A script that completes commands, options, file names by what an option wants, and kinds of
/// finding. It needs nothing but the shell. Requires: one of `shells()`.
std::string completions(const std::string& shell, const std::vector<CommandWords>& commands);

/// The manual as a page for man(1): macros of man(7), nothing in it that changes from build to
/// build.
std::string man_page(const std::vector<CommandWords>& commands);

}  // namespace tankyard
