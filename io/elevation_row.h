// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "io/elevation_columns.h"

namespace tankyard::elevation {

// One row of the yard while it is being drawn; the floor is y = 0.

/// In which order things are drawn, from the back.
enum Layer {
  at_the_back = 0,
  stands = 10,
  behind_tanks = 20,
  tank_faces = 30,
  supplies = 40,
  rails = 50,
  hoses = 60,
  in_front = 70,
  plates = 80
};

/// A label that has no lane: it goes to the first of its places where it is clear of everything,
/// and to its column's captions below the floor if there is none.
struct Wish {
  std::vector<Phrase> lines;
  const char* between = ", ";    ///< its lines, where they stand in one
  Phrase heading;                ///< what it is about, said only in the captions
  std::vector<Point> top_lefts;  ///< where it would like to stand, its lines below each other
  std::vector<Point> centres;    ///< or all in one line, with its middle here
  std::string of;
  std::size_t column = 0;
};

struct RowDrawing {
  std::vector<Group> groups;
  std::vector<Writing> writings;
  std::vector<Wish> wishes;
  std::vector<Box> keep_clear;  ///< signs that a free label must not hide
  double strip_bottom_y = 0.0;  ///< of the strip of floor with its lanes
};

inline constexpr double note_size_px = 11.0;
inline constexpr double note_line_px = 14.5;  ///< from line to line

void draw_tanks(const Yard& yard, std::size_t row, RowDrawing& drawing);
void draw_rest(const Yard& yard, std::size_t row, const std::vector<RestingGroup>& resting,
               RowDrawing& drawing);
void draw_overflows(const Yard& yard, std::size_t row, RowDrawing& drawing);
void draw_fittings(const Yard& yard, std::size_t row, RowDrawing& drawing);  ///< outlets, pumps
void draw_hoses(const Yard& yard, std::size_t row, RowDrawing& drawing);     ///< and headers
/// Roofs, top-ups and air lines, above all that stands in the row so far.
void draw_sky(const Yard& yard, std::size_t row, RowDrawing& drawing);
/// Puts the wishes where they fit.
void place_wishes(const Row& row, RowDrawing& drawing);

/// Ground line, strip of floor, ruler and the datum; the row from `left` to `right`.
void draw_ground(const Yard& yard, std::size_t row, double left, double right, RowDrawing& drawing);

/// The signs that occur in the yard, each with its meaning, from `y` down; returns where it ends.
double draw_legend(const Yard& yard, double width_px, double y, bool shows_rest,
                   RowDrawing& drawing);

/// Smallest y and largest x and y of what is drawn so far.
Box extent_of(const RowDrawing& drawing);

/// A line of a label, `top_left` being the corner of its box.
Writing writing_of(const Phrase& phrase, Point top_left, double size_px, bool bold,
                   const std::string& of, const char* role);

}  // namespace tankyard::elevation
