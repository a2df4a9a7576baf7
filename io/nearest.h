// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tankyard {

/// Fewest single-character slips (one left out, one too many, one wrong, two swapped) that turn `a`
/// into `b`, in characters. Capital and small letters of the Latin alphabet count as the same.
/// Cost: the product of the lengths.
std::size_t slips_between(std::string_view a, std::string_view b);

/// The name that was most likely meant by `wrong`: the one with the fewest slips; of equals
/// the one nearest in length, of those the first; and only if no more than a third of its letters
/// (at least one, at most four) are wrong.
std::optional<std::string> nearest_name(std::string_view wrong,
                                        const std::vector<std::string>& names);

}  // namespace tankyard
