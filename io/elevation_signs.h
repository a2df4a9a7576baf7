// SPDX-License-Identifier: MIT
#pragma once

#include "io/elevation_picture.h"

namespace tankyard::elevation {

// The signs of the drawing. Two triangles tip to tip for a valve and a circle with a triangle for a
// pump are the trade's (ISO 14617; from memory, not seen); an upside-down triangle on a water
// surface likewise (common practice, no source).

/// `along`: a unit vector in the direction of the hose.
void add_valve(Group& group, Point at, Point along);
void add_flap(Group& group, Point at, Point along);  ///< non-return valve, passes along
void add_arrow(Group& group, Point tip, Point along, const char* look);
void add_outlet(Group& group, Point at, bool open);  ///< a tap that begins at the point
void add_pump(Group& group, Point centre);
void add_drips(Group& group, Point at);
void add_level_mark(Group& group, Point at);  ///< its tip at the point
void add_roof(Group& group, Point gutter);
void add_top_up(Group& group, Point mouth);

inline constexpr double pump_radius_px = 12.0;
inline constexpr double pump_height_px = 17.0;  ///< of its middle above the floor

Stroke line(std::vector<Point> points, const char* look, double width_px = 0.0);
Stroke area(std::vector<Point> points, const char* look);

}  // namespace tankyard::elevation
