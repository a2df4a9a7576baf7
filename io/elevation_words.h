// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "graph/array.h"
#include "io/elevation.h"

namespace tankyard::elevation {

// What is written in the side view. A `Phrase` is short enough for the picture; where a name in it
// was cut, `full` has all of it.

struct Phrase {
  std::string text;
  std::string full = {};    ///< empty: `text` is all
  std::string widest = {};  ///< of what may take its place at other moments; empty: `text`
  /// Parts of `text`, in its order, that another moment may change, each with its role.
  std::vector<std::pair<std::string, std::string>> changes = {};
};

/// Width of a phrase, or of the widest that may take its place.
double room_px(const Phrase& phrase, double size_px, bool bold = false);

/// Room for a name in the picture, px at the size of its line.
inline constexpr double name_px = 130.0;
inline constexpr double name_inside_px = 90.0;  ///< inside a sentence

Phrase name_phrase(const std::string& name, double size_px, bool bold, double most_px = name_px);

/// Whether the hose, outlet or pump passes water in this state.
bool passes(const Parts& parts, const ElevationState& state, HoseId hose);
bool passes(const Parts& parts, const ElevationState& state, OutletId outlet);
bool passes(const Parts& parts, const ElevationState& state, PumpId pump);

/// "gate-hose 19 mm", "V5 open", "one way", "over 2.10 m", "12.5 L/min": the bits of a hose's
/// label, its own name only if it has one that is not made from its ends. Brief: the flow, or where
/// the state has none the bore.
std::vector<Phrase> hose_bits(const Parts& parts, const ElevationState& state, std::size_t hose,
                              bool brief = false);

/// Bits in one line.
Phrase joined(const std::vector<Phrase>& bits, const char* between = ", ");

std::vector<Phrase> outlet_lines(const Parts& parts, const ElevationState& state,
                                 std::size_t outlet);
std::vector<Phrase> pump_lines(const Parts& parts, const ElevationState& state, std::size_t pump);

/// "242 of 1045 L", or "242 L" where `short_form`.
std::string holds_text(const Tank& tank, double depth_m);
std::string depth_text(double depth_m);       ///< "0.22 m deep", "empty"
std::string lid_text(const Tank& tank);       ///< "lid sealed", "lid: 2 holes, 6 mm"; open: empty
std::string headspace_text(double gauge_pa);  ///< "air: vacuum 120 Pa"; near nothing: empty

Phrase overflow_phrase(const Parts& parts, const Tank& tank);
Phrase roof_phrase(const Roof& roof);
Phrase top_up_phrase(const TopUp& top_up);
Phrase air_line_phrase(const AirLine& line);

/// A sentence with all that is known of a part, for its <title>.
std::string about_tank(const Parts& parts, const ElevationState& state, std::size_t tank);
std::string about_hose(const Parts& parts, const ElevationState& state, std::size_t hose);

}  // namespace tankyard::elevation
