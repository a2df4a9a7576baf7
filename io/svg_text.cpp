// SPDX-License-Identifier: MIT
#include "io/svg_text.h"

#include <array>
#include <cstdint>
#include <vector>

#include "io/utf8.h"

namespace tankyard {
namespace {

constexpr char32_t first_in_table = 32;
constexpr std::array<std::uint16_t, 95> regular = {
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361,  318, 337, 637, 637, 637,
    637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531, 1000, 685, 687, 699, 771, 632,
    576, 775, 752, 295, 295, 656, 558, 863, 749, 788, 604, 788, 695, 635,  611, 732, 685, 989, 686,
    611, 686, 391, 337, 391, 838, 500, 500, 613, 635, 550, 635, 616, 353,  635, 634, 278, 278, 580,
    278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592,  525, 637, 337, 637, 838};
constexpr std::array<std::uint16_t, 95> bold_face = {
    349,  457, 521, 838, 696, 1002, 873, 307,  458, 458, 523, 838, 380, 416,  380, 366,
    696,  696, 696, 696, 696, 696,  696, 696,  696, 696, 400, 400, 838, 838,  838, 581,
    1000, 774, 763, 734, 831, 684,  684, 821,  837, 373, 373, 775, 638, 996,  837, 851,
    733,  851, 771, 721, 683, 813,  774, 1104, 771, 725, 726, 458, 366, 458,  838, 500,
    500,  675, 716, 593, 716, 679,  436, 716,  712, 343, 343, 666, 343, 1042, 712, 688,
    716,  716, 494, 596, 479, 712,  652, 924,  646, 652, 583, 712, 366, 712,  838};

double glyph_width(char32_t character, bool bold) {
  if (character >= first_in_table && character < first_in_table + regular.size()) {
    const std::size_t at = character - first_in_table;
    return (bold ? bold_face : regular)[at] / 1000.0;
  }
  const bool isolate = character == 0x2068 || character == 0x2069;
  const int columns = columns_of(character);
  if (isolate || columns == 0) return 0.0;
  double width = 1.25;
  const bool double_letter =
      character == 0xC6 || character == 0xE6 || character == 0x152 || character == 0x153;
  if (character >= 0xC0 && character <= 0x17F && !double_letter) width = 0.85;
  if (character == 0x2026 || character == 0xB2 || character == 0x2212) width = 1.0;
  return width * (bold ? 1.12 : 1.0);
}

bool runs_from_right(char32_t character) {
  return (character >= 0x590 && character <= 0x8FF) ||
         (character >= 0xFB1D && character <= 0xFDFF) ||
         (character >= 0xFE70 && character <= 0xFEFE) ||
         (character >= 0x10800 && character <= 0x10FFF) ||
         (character >= 0x1E800 && character <= 0x1EFFF);
}

std::vector<char32_t> characters_of(std::string_view text) {
  std::vector<char32_t> characters;
  for (std::size_t at = 0; at < text.size();) characters.push_back(next_character(text, at));
  return characters;
}

}  // namespace

double text_width_px(std::string_view text, double size_px, bool bold) {
  double width = 0.0;
  for (std::size_t at = 0; at < text.size();) width += glyph_width(next_character(text, at), bold);
  return width * size_px;
}

std::string shortened(std::string_view text, double most_px, double size_px, bool bold) {
  if (text_width_px(text, size_px, bold) <= most_px) return std::string(text);
  const std::vector<char32_t> all = characters_of(text);
  const double most = most_px / size_px - glyph_width(U'\u2026', bold);
  // A third of the room goes to the end of the text.
  double used = 0.0;
  std::size_t tail = all.size();
  while (tail > 0 && used + glyph_width(all[tail - 1], bold) <= most / 3.0) {
    used += glyph_width(all[--tail], bold);
  }
  while (tail < all.size() && glyph_width(all[tail], bold) == 0.0) ++tail;
  std::size_t head = 0;
  while (head < tail && used + glyph_width(all[head], bold) <= most) {
    used += glyph_width(all[head++], bold);
  }
  std::string result;
  for (std::size_t k = 0; k < head; ++k) add_character(result, all[k]);
  add_character(result, U'\u2026');
  for (std::size_t k = tail; k < all.size(); ++k) add_character(result, all[k]);
  return result;
}

std::string set_apart(std::string_view name) {
  for (const char32_t character : characters_of(name)) {
    if (runs_from_right(character)) return "\u2068" + std::string(name) + "\u2069";
  }
  return std::string(name);
}

std::string xml_text(std::string_view text) {
  std::string result;
  for (std::size_t at = 0; at < text.size();) {
    const char32_t character = next_character(text, at);
    switch (character) {
      case U'<':
        result += "&lt;";
        break;
      case U'>':
        result += "&gt;";
        break;
      case U'&':
        result += "&amp;";
        break;
      case U'"':
        result += "&quot;";
        break;
      case U'\'':
        result += "&#39;";
        break;
      default: {
        const bool forbidden = character < 0x20 || (character >= 0x7F && character < 0xA0) ||
                               character == 0xFFFE || character == 0xFFFF;
        add_character(result, forbidden ? U'\uFFFD' : character);
      }
    }
  }
  return result;
}

}  // namespace tankyard
