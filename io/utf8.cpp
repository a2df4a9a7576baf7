// SPDX-License-Identifier: MIT
#include "io/utf8.h"

#include <array>
#include <cstdint>

namespace tankyard {
namespace {

constexpr char32_t replacement = 0xFFFD;

struct Range {
  char32_t first;
  char32_t last;
};

template <std::size_t N>
bool within(const std::array<Range, N>& ranges, char32_t character) {
  for (const Range& range : ranges) {
    if (character >= range.first && character <= range.last) return true;
  }
  return false;
}

/// Bytes of the sequence that starts at `at`, and its character; 0 bytes if it is wrong.
struct Decoded {
  std::size_t bytes = 0;
  char32_t character = replacement;
};

Decoded decode(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t lead = byte(at);
  if (lead < 0x80) return {1, lead};
  std::size_t bytes = 0;
  char32_t smallest = 0;
  char32_t character = 0;
  if (lead >= 0xC2 && lead <= 0xDF) {
    bytes = 2, smallest = 0x80, character = lead & 0x1Fu;
  } else if (lead >= 0xE0 && lead <= 0xEF) {
    bytes = 3, smallest = 0x800, character = lead & 0x0Fu;
  } else if (lead >= 0xF0 && lead <= 0xF4) {
    bytes = 4, smallest = 0x10000, character = lead & 0x07u;
  } else {
    return {};
  }
  if (text.size() - at < bytes) return {};
  for (std::size_t i = 1; i < bytes; ++i) {
    if ((byte(at + i) & 0xC0u) != 0x80u) return {};
    character = (character << 6) | (byte(at + i) & 0x3Fu);
  }
  const bool surrogate = character >= 0xD800 && character <= 0xDFFF;
  if (character < smallest || character > 0x10FFFF || surrogate) return {};
  return {bytes, character};
}

}  // namespace

char32_t next_character(std::string_view text, std::size_t& at) {
  const Decoded decoded = decode(text, at);
  at += decoded.bytes == 0 ? 1 : decoded.bytes;
  return decoded.character;
}

void add_character(std::string& text, char32_t character) {
  const auto add = [&](char32_t bits) { text.push_back(static_cast<char>(bits)); };
  if (character < 0x80) {
    add(character);
  } else if (character < 0x800) {
    add(0xC0 | (character >> 6));
    add(0x80 | (character & 0x3F));
  } else if (character < 0x10000) {
    add(0xE0 | (character >> 12));
    add(0x80 | ((character >> 6) & 0x3F));
    add(0x80 | (character & 0x3F));
  } else {
    add(0xF0 | (character >> 18));
    add(0x80 | ((character >> 12) & 0x3F));
    add(0x80 | ((character >> 6) & 0x3F));
    add(0x80 | (character & 0x3F));
  }
}

std::size_t characters_in(std::string_view text) {
  std::size_t count = 0;
  for (std::size_t at = 0; at < text.size(); ++count) next_character(text, at);
  return count;
}

std::optional<std::size_t> first_wrong_byte(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const Decoded decoded = decode(text, at);
    if (decoded.bytes == 0) return at;
    at += decoded.bytes;
  }
  return std::nullopt;
}

int columns_of(char32_t character) {
  static constexpr std::array<Range, 13> no_width = {{{0x0300, 0x036F},
                                                      {0x0483, 0x0489},
                                                      {0x0591, 0x05BD},
                                                      {0x0610, 0x061A},
                                                      {0x064B, 0x065F},
                                                      {0x0900, 0x0902},
                                                      {0x093C, 0x093C},
                                                      {0x0E34, 0x0E3A},
                                                      {0x1AB0, 0x1AFF},
                                                      {0x200B, 0x200F},
                                                      {0x20D0, 0x20FF},
                                                      {0xFE00, 0xFE0F},
                                                      {0xFE20, 0xFE2F}}};
  static constexpr std::array<Range, 10> wide = {{{0x1100, 0x115F},
                                                  {0x2E80, 0x303E},
                                                  {0x3041, 0xA4CF},
                                                  {0xAC00, 0xD7A3},
                                                  {0xF900, 0xFAFF},
                                                  {0xFE30, 0xFE4F},
                                                  {0xFF00, 0xFF60},
                                                  {0xFFE0, 0xFFE6},
                                                  {0x1F300, 0x1FAFF},
                                                  {0x20000, 0x3FFFD}}};
  if (character < 0x300) return 1;
  if (within(no_width, character)) return 0;
  return within(wide, character) ? 2 : 1;
}

bool is_control(char32_t character) {
  static constexpr std::array<Range, 6> controls = {{{0x00, 0x1F},
                                                     {0x7F, 0x9F},
                                                     {0x2028, 0x202E},
                                                     {0x2066, 0x2069},
                                                     {0xFEFF, 0xFEFF},
                                                     {0xE0000, 0xE007F}}};
  return within(controls, character);
}

}  // namespace tankyard
