// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

namespace tankyard {

/// Text in a picture. Nobody knows which font will show it, so widths are those of DejaVu Sans, one
/// of the widest that are common: advance widths in thousandths of the size, read from the fonts'
/// own tables (DejaVuSans.ttf and DejaVuSans-Bold.ttf of Debian 12), rounded up. What is neither
/// ASCII nor Latin with an accent counts as 1.25 of the size, marks that sit on the character
/// before as nothing. A narrower font leaves room; no text is stretched.

/// The fonts that are asked for; none is wider than what is measured.
inline constexpr const char* svg_fonts = "Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// Of a size: how far the font reaches above and below the baseline (DejaVu Sans: 0.928 and 0.236).
inline constexpr double ascent_ratio = 0.93;
inline constexpr double descent_ratio = 0.24;

/// Width of a line of text, px.
double text_width_px(std::string_view text, double size_px, bool bold);

/// The text if it is no wider than `most_px`; else its beginning and its end, with "…" between
/// them, as much of both as there is room for. Names that differ in a number at the end stay apart.
std::string shortened(std::string_view text, double most_px, double size_px, bool bold);

/// A name for use inside a sentence: text that runs from right to left is set apart (U+2068,
/// U+2069), so that it does not drag numbers and commas after it with it.
std::string set_apart(std::string_view name);

/// Text as the content or an attribute's value of an XML file: markup is escaped, and what XML 1.0
/// forbids (most control characters, U+FFFE, wrong bytes) becomes U+FFFD.
std::string xml_text(std::string_view text);

}  // namespace tankyard
