// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "graph/result.h"

namespace tankyard {

/// Why bytes cannot be a plan at all, whatever they say: over 10 MB, not UTF-8, a zero byte, or
/// keys nested so deep that the parser would run out of stack.
std::optional<Trouble> why_no_plan(std::string_view text, const std::string& file);

/// The bytes of a file. Reads 10 MB and a little at most, from pipes too.
Result<std::string> plan_text(const std::string& path);

}  // namespace tankyard
