// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace tankyard::elevation {

// A picture as plain data, in px of 1/96 inch from its upper left corner, x to the right and y
// down. `look` is the name of a style (io/svg_elevation.cpp has them).

struct Point {
  double x = 0.0;
  double y = 0.0;
};

struct Box {
  double left = 0.0;
  double top = 0.0;
  double right = 0.0;
  double bottom = 0.0;
};

/// Whether two boxes share more than a common edge.
inline bool overlap(const Box& a, const Box& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

struct Stroke {
  std::vector<Point> points;
  bool closed = false;
  std::string look;
  double width_px = 0.0;  ///< 0: as the look has it
};

struct Disc {
  Point centre;
  double radius_px = 0.0;
  std::string look;
};

/// The water in a tank: all of the outline that lies below `surface_y`. To show another depth, move
/// the surface to floor_y - depth * px_per_m.
struct WaterBody {
  std::vector<Point> outline;  ///< the tank's inside, closed
  double floor_y = 0.0;
  double surface_y = 0.0;
};

/// What is drawn of one part. `id` is kind and place in the plan's list: "tank-0", "hose-3".
struct Group {
  std::string id;
  std::string kind;   ///< "tank", "hose", ...; with states: "hose shut"
  std::string name;   ///< of the part, in full
  std::string about;  ///< a sentence with all there is to say
  int layer = 0;      ///< lower ones are drawn first
  std::vector<Stroke> strokes;
  std::vector<Disc> discs;
  std::optional<WaterBody> water;
};

enum class Anchor { start, middle, end };

/// A line of text.
struct Writing {
  std::string text;
  std::string full;  ///< where a name in it was shortened: all of it
  Point at;          ///< on the baseline
  Anchor anchor = Anchor::start;
  double size_px = 11.0;
  bool bold = false;
  std::string look = "note";
  std::string of;    ///< id of the group it belongs to
  std::string role;  ///< "name", "holds", "label", ...: what a script may look for
  /// Parts of the text, in its order, that another moment may change, each with its role.
  std::vector<std::pair<std::string, std::string>> changes = {};
  double reserve_px = 0.0;  ///< room kept for other texts that may take its place

  /// The room it takes, measured as io/svg_text.h says.
  Box box() const;
};

struct Picture {
  double width_px = 0.0;
  double height_px = 0.0;
  double px_per_m = 0.0;  ///< of all heights
  int one_to = 0;         ///< the scale at full size
  std::string title;
  std::string about;          ///< what is to be seen, for who cannot see it
  std::vector<Group> groups;  ///< in the order in which they are drawn
  std::vector<Writing> writings;
};

}  // namespace tankyard::elevation
