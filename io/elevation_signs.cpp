// SPDX-License-Identifier: MIT
#include "io/elevation_signs.h"

#include <cmath>
#include <numbers>
#include <utility>

namespace tankyard::elevation {
namespace {

/// Points given along and across a direction, about a middle.
std::vector<Point> turned(const std::vector<Point>& points, Point about, Point along) {
  std::vector<Point> result;
  result.reserve(points.size());
  for (const Point& point : points) {
    result.push_back({about.x + point.x * along.x - point.y * along.y,
                      about.y + point.x * along.y + point.y * along.x});
  }
  return result;
}

}  // namespace

Stroke line(std::vector<Point> points, const char* look, double width_px) {
  return {std::move(points), false, look, width_px};
}

Stroke area(std::vector<Point> points, const char* look) {
  return {std::move(points), true, look, 0.0};
}

void add_valve(Group& group, Point at, Point along) {
  group.strokes.push_back(
      area(turned({{-7.0, -4.5}, {7.0, 4.5}, {7.0, -4.5}, {-7.0, 4.5}}, at, along), "valve"));
}

void add_flap(Group& group, Point at, Point along) {
  group.strokes.push_back(area(turned({{-5.0, -4.5}, {4.0, 0.0}, {-5.0, 4.5}}, at, along), "flap"));
  group.strokes.push_back(line(turned({{5.0, -5.0}, {5.0, 5.0}}, at, along), "sign"));
}

void add_arrow(Group& group, Point tip, Point along, const char* look) {
  group.strokes.push_back(area(turned({{0.0, 0.0}, {-8.0, -4.0}, {-8.0, 4.0}}, tip, along), look));
}

void add_outlet(Group& group, Point at, bool open) {
  group.strokes.push_back(line({at, {at.x + 11.0, at.y}, {at.x + 11.0, at.y + 7.0}}, "spout", 4.5));
  group.strokes.push_back(line({{at.x + 5.0, at.y}, {at.x + 5.0, at.y - 6.0}}, "sign"));
  group.strokes.push_back(line({{at.x + 1.0, at.y - 6.0}, {at.x + 9.0, at.y - 6.0}}, "sign"));
  if (open) add_drips(group, {at.x + 11.0, at.y + 10.0});
}

void add_drips(Group& group, Point at) {
  for (int k = 0; k < 3; ++k) {
    const double y = at.y + 6.0 * k;
    group.strokes.push_back(line({{at.x, y}, {at.x, y + 3.0}}, "drip"));
  }
}

void add_pump(Group& group, Point centre) {
  group.strokes.push_back(area({{centre.x - 9.0, centre.y + pump_height_px},
                                {centre.x - 5.0, centre.y + 8.0},
                                {centre.x + 5.0, centre.y + 8.0},
                                {centre.x + 9.0, centre.y + pump_height_px}},
                               "stand"));
  // A polygon and no disc: discs are drawn over strokes, and the triangle belongs on top.
  std::vector<Point> round;
  constexpr int corners = 36;
  for (int k = 0; k < corners; ++k) {
    const double turn = 2.0 * std::numbers::pi * k / corners;
    round.push_back(
        {centre.x + pump_radius_px * std::cos(turn), centre.y + pump_radius_px * std::sin(turn)});
  }
  group.strokes.push_back(area(round, "pump"));
  group.strokes.push_back(
      area(turned({{-5.5, -9.5}, {pump_radius_px - 1.0, 0.0}, {-5.5, 9.5}}, centre, {1.0, 0.0}),
           "impeller"));
}

void add_level_mark(Group& group, Point at) {
  group.strokes.push_back(area({at, {at.x - 5.0, at.y - 8.0}, {at.x + 5.0, at.y - 8.0}}, "mark"));
}

void add_roof(Group& group, Point gutter) {
  group.strokes.push_back(area(
      {{gutter.x - 5.0, gutter.y}, {gutter.x + 8.0, gutter.y - 11.0}, {gutter.x + 21.0, gutter.y}},
      "roof"));
}

void add_top_up(Group& group, Point mouth) {
  group.strokes.push_back(
      line({{mouth.x + 16.0, mouth.y - 6.0}, {mouth.x, mouth.y - 6.0}, mouth}, "supply", 4.5));
  group.strokes.push_back(
      line({{mouth.x + 9.0, mouth.y - 6.0}, {mouth.x + 9.0, mouth.y - 12.0}}, "sign"));
  group.strokes.push_back(
      line({{mouth.x + 5.0, mouth.y - 12.0}, {mouth.x + 13.0, mouth.y - 12.0}}, "sign"));
}

}  // namespace tankyard::elevation
