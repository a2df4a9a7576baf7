// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace tankyard::fuzz {

/// Makes one text of another by the slips that happen to plans: a file cut short, a line lost or
/// doubled, two swapped, a number, word or bracket gone wrong. The same seed makes the same text.
/// `others`: texts from which a line may be borrowed; none: its own.
std::string with_slips(const std::string& text, std::uint64_t seed,
                       const std::vector<std::string>& others = {});

}  // namespace tankyard::fuzz
