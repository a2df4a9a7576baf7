// SPDX-License-Identifier: MIT
// Labels that have no lane of their own look for a free place.
#include <algorithm>
#include <cmath>
#include <optional>

#include "io/elevation_row.h"
#include "io/svg_text.h"

namespace tankyard::elevation {
namespace {

/// A place that costs more than this is worse than a caption below the floor.
constexpr double most_cost = 9.0;

bool meets(const Box& box, Point a, Point b) {
  // Liang and Barsky: the part of the line that lies between the box's edges.
  double from = 0.0;
  double to = 1.0;
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  for (const auto& [step, room] :
       {std::pair{-dx, a.x - box.left}, std::pair{dx, box.right - a.x},
        std::pair{-dy, a.y - box.top}, std::pair{dy, box.bottom - a.y}}) {
    if (step == 0.0) {
      if (room < 0.0) return false;
      continue;
    }
    const double share = room / step;
    if (step < 0.0) {
      from = std::max(from, share);
    } else {
      to = std::min(to, share);
    }
  }
  return from <= to;
}

double weight_of(const std::string& look) {
  if (look == "run" || look == "rail" || look == "wall" || look == "run off") return 4.0;
  if (look == "rest" || look == "overflow" || look == "supply" || look == "air") return 4.0;
  if (look == "spout" || look == "lid" || look == "mark" || look == "leader") return 4.0;
  if (look == "stand") return 2.0;
  if (look == "shade" || look == "strap") return 0.5;
  return 0.0;
}

struct Segment {
  Point a;
  Point b;
  double weight;
};

std::vector<Segment> segments_of(const RowDrawing& drawing) {
  std::vector<Segment> segments;
  for (const Group& group : drawing.groups) {
    for (const Stroke& stroke : group.strokes) {
      const double weight = weight_of(stroke.look);
      if (weight == 0.0) continue;
      const std::size_t count = stroke.points.size();
      for (std::size_t k = 0; k + 1 < count; ++k) {
        segments.push_back({stroke.points[k], stroke.points[k + 1], weight});
      }
      if (stroke.closed && count > 2) {
        segments.push_back({stroke.points.back(), stroke.points.front(), weight});
      }
    }
    if (!group.water) continue;
    const WaterBody& water = *group.water;
    double left = 1e9;
    double right = -1e9;
    for (const Point& point : water.outline) {
      left = std::min(left, point.x);
      right = std::max(right, point.x);
    }
    segments.push_back({{left, water.surface_y}, {right, water.surface_y}, 2.0});
  }
  return segments;
}

void place_in_captions(const Row& row, const Wish& wish, RowDrawing& drawing) {
  std::vector<Phrase> bits = wish.lines;
  if (!wish.heading.text.empty()) bits.push_back(wish.heading);
  Point at{row.columns[wish.column].left, drawing.strip_bottom_y + 8.0};
  Writing writing = writing_of(joined(bits), at, note_size_px, false, wish.of, "label");
  const auto taken = [&](const Box& box) {
    return std::any_of(drawing.writings.begin(), drawing.writings.end(), [&](const Writing& other) {
      Box wider = other.box();
      wider.right += 12.0;
      return overlap(box, wider);
    });
  };
  while (taken(writing.box())) writing.at.y += note_line_px;
  drawing.writings.push_back(writing);
}

}  // namespace

void place_wishes(const Row& row, RowDrawing& drawing) {
  const std::vector<Segment> segments = segments_of(drawing);
  for (const Wish& wish : drawing.wishes) {
    double wide = 0.0;
    for (const Phrase& line : wish.lines) {
      wide = std::max(wide, text_width_px(line.text, note_size_px, false));
    }
    const double high = note_line_px * static_cast<double>(wish.lines.size());
    std::optional<Point> best;
    double least = most_cost;
    for (std::size_t k = 0; k < wish.top_lefts.size(); ++k) {
      const Point at = wish.top_lefts[k];
      const Box box{at.x - 1.0, at.y, at.x + wide + 1.0, at.y + high};
      if (box.left < ruler_px - 8.0 || box.right > row.width_px) continue;
      double cost = 0.4 * static_cast<double>(k);
      for (const Segment& segment : segments) {
        if (meets(box, segment.a, segment.b)) cost += segment.weight;
      }
      if (box.bottom > -1.0) cost += 4.0;  // over the ground line
      if (cost >= least) continue;
      const bool free = std::none_of(drawing.writings.begin(), drawing.writings.end(),
                                     [&](const Writing& writing) {
                                       Box other = writing.box();
                                       other.left -= 3.0;
                                       other.right += 3.0;
                                       return overlap(box, other);
                                     }) &&
                        std::none_of(drawing.keep_clear.begin(), drawing.keep_clear.end(),
                                     [&](const Box& other) { return overlap(box, other); });
      if (!free) continue;
      best = at;
      least = cost;
    }
    if (!best) {
      place_in_captions(row, wish, drawing);
      continue;
    }
    Point at = *best;
    for (const Phrase& line : wish.lines) {
      drawing.writings.push_back(writing_of(line, at, note_size_px, false, wish.of, "label"));
      at.y += note_line_px;
    }
  }
}

}  // namespace tankyard::elevation
