// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

// Private to io/: ASCII alone, whatever the locale.

namespace tankyard {

inline bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Without the spaces and tabs around it.
inline std::string_view trimmed(std::string_view text) {
  const auto is_blank = [](char c) { return c == ' ' || c == '\t'; };
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

}  // namespace tankyard
