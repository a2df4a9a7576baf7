// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace tankyard {

/// Text files count in characters and terminals in columns, neither of them in bytes. These are the
/// few questions that follow from that. None of them fails on text that is not UTF-8: a wrong byte
/// counts as one character, U+FFFD.

/// The character that starts at byte `at`, which moves past it. Requires: `at` < size.
char32_t next_character(std::string_view text, std::size_t& at);

/// `character` in UTF-8, added to `text`.
void add_character(std::string& text, char32_t character);

/// How many characters a text has.
std::size_t characters_in(std::string_view text);

/// Byte at which the first wrong byte sequence stands; none: the text is UTF-8.
std::optional<std::size_t> first_wrong_byte(std::string_view text);

/// Columns that a character takes on a terminal: 2 for the wide characters of East Asia and for
/// pictures, 0 for marks that sit on the character before, else 1. By blocks, not by the full
/// Unicode tables: a caret that is off by one under a rare character is worth less than 2000 rows.
int columns_of(char32_t character);

/// Characters that would act on a terminal or reorder a line (escape, tabs, direction overrides).
bool is_control(char32_t character);

}  // namespace tankyard
