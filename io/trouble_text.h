// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

#include "graph/trouble.h"

namespace tankyard {

/// Troubles in words: `file:line:column: error: message`, the line as typed, a caret under the
/// smallest span that is wrong, notes, and the help line; a last line counts them. `text` is the
/// file the spots point into; troubles without a spot are told without line and caret.
std::string in_words(const Troubles& troubles, std::string_view text);

}  // namespace tankyard
