// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

namespace tankyard::elevation {

/// A stretch of hose along the floor, with its signs and its text, all of which need room in a
/// lane.
struct LaneRun {
  double left = 0.0;
  double right = 0.0;
  double signs_px = 0.0;
  double text_px = 0.0;
  enum class TextOn { anywhere, left, right };
  TextOn text_on = TextOn::anywhere;  ///< where it has to stand if not inside the stretch

  // Found by the two functions below.
  std::size_t lane = 0;
  bool text_inside = false;
  double room_left = 0.0;  ///< what the stretch and its text take of the lane
  double room_right = 0.0;
  double text_x = 0.0;   ///< left edge of the text
  double signs_x = 0.0;  ///< middle of the signs
};

/// Gives every stretch a lane, lane 0 nearest to the floor's edge, so that no two in a lane meet.
/// Short ones, texts included, come first and so lie above: then the hoses that go down to longer
/// ones pass outside of them. Texts stay right of `most_left`. Returns how many lanes there are.
std::size_t assign_lanes(std::vector<LaneRun>& runs, double most_left);

/// Where hoses come down, from the floor's edge to their lane.
struct Descent {
  double x = 0.0;
  std::size_t lane = 0;
};

/// Puts a text that stands inside its stretch where the fewest hoses come down through it.
void place_text(LaneRun& run, const std::vector<Descent>& descents);

}  // namespace tankyard::elevation
