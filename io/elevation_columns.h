// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "io/elevation.h"
#include "io/elevation_items.h"
#include "io/elevation_words.h"

namespace tankyard::elevation {

// Who stands where. Within a row the yard's floor is y = 0 and heights go up to negative y; rows
// are put below each other when all of them are drawn.

/// Sizes of the drawing, px.
inline constexpr double slot_px = 16.0;        ///< between two hoses side by side
inline constexpr double sign_px = 20.0;        ///< of a valve or flap in a lane
inline constexpr double jog_px = 26.0;         ///< a hose's step aside that has room for a valve
inline constexpr double pipe_px = 12.0;        ///< between two pipes that come down into a tank
inline constexpr double lane_px = 18.0;        ///< between two hoses above each other
inline constexpr double first_lane_px = 26.0;  ///< from the floor down to the first of them
inline constexpr double between_px = 18.0;     ///< from column to column
inline constexpr double ruler_px = 72.0;       ///< left of the first column
inline constexpr double short_drop_px = 4.5;   ///< a mouth this near its header is level with it
inline constexpr double long_drop_px = 30.0;   ///< a drop this long has room for a valve on it

struct Scale {
  double px_per_m = 100.0;
  int one_to = 38;
  double floor_m = 0.0;  ///< lowest thing in the yard, above the datum

  double y(double height_m) const { return -(height_m - floor_m) * px_per_m; }
};

/// Where one end of a link meets its item.
struct Slot {
  std::size_t link = 0;
  int end = 0;
  enum class Goes { lane, header, outlet } goes = Goes::lane;  ///< outlet: a tap on the tank
  std::size_t outlet = 0;                                      ///< of a tap
  double x = 0.0;
  std::optional<double> crest_x;  ///< where a hose comes down again behind its crest
  double width_px = slot_px;
  double order = 0.0;  ///< wish for a place from left to right
};

/// A line of a part's heading, with the room it keeps.
struct Line {
  Phrase phrase;
  double size_px = 11.0;
  bool bold = false;
  const char* role = "note";
  double width_px = 0.0;
};

struct Note {
  double anchor_y = 0.0;
  double anchor_x = 0.0;
  std::vector<Line> lines;
  std::string of;
};

/// The strip from the sky to the captions that belongs to one item. A header has one in each row in
/// which it is drawn.
struct Column {
  std::size_t item = 0;
  double left = 0.0;
  double width_px = 0.0;
  double widened_px =
      0.0;  ///< left of it, so that a hose from its neighbour has room for its label
  std::vector<Slot> slots;
  std::vector<Line> heading;
  double heading_left = 0.0;

  // Tanks only.
  double face_left = 0.0;
  double face_px = 0.0;
  double least_face_px = 0.0;        ///< room for the hoses, kept where a measured tank is narrower
  std::size_t pipes_from_above = 0;  ///< at the left of the rim: roofs, top-ups, air lines
  double first_pipe_px = 0.0;        ///< from the face's left edge to the first of them
  double notes_left = 0.0;
  std::vector<Note> notes;

  double centre() const { return face_left + face_px / 2.0; }
  double right() const { return left + width_px; }
};

/// A header drawn along the row.
struct Rail {
  std::size_t header = 0;
  std::size_t column = 0;  ///< of its own
};

struct Row {
  std::vector<Column> columns;
  std::vector<Rail> rails;
  double width_px = 0.0;

  const Column* of(std::size_t item) const;
  Column* of(std::size_t item);
  bool has_rail(std::size_t header) const;
};

/// All that the drawing is made from.
struct Yard {
  const Array& array;
  const Parts& parts;
  const ElevationState& state;
  Items items;
  Scale scale;
  std::vector<Row> rows;
  std::vector<std::size_t> row_of;    ///< per item: its own row
  std::vector<std::size_t> place_of;  ///< per item: its place from left to right
  bool brief = false;                 ///< labels of hoses are short
};

/// Orders the items, finds the scale, breaks the yard into rows and gives every hose end its slot.
Yard arrange(const Array& array, const ElevationState& state, const ElevationOptions& options);

/// Gives a row's columns their widths and places, and their hose ends their slots. Requires: the
/// row's rails are chosen.
void settle_row(Yard& yard, std::size_t row);

/// Whether this end of a link is a header that is drawn along the row, so that the other end, which
/// stands in that row, drops on to it.
bool drops_on_header(const Yard& yard, const Link& link, int end, std::size_t row);

/// Drawn width of a tank at a height above its bottom, px.
double drawn_width_px(const Tank& tank, double height_m, const Column& column);

inline constexpr double narrowest_tank_m = 0.3;
inline constexpr double widest_tank_m = 1.6;

}  // namespace tankyard::elevation
