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
constexpr double most_cost = 7.0;

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
  if (look == "stand") return 1.0;
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
  std::vector<Phrase> bits = {joined(wish.lines, wish.between)};
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

class Places {
 public:
  explicit Places(const Row& row, RowDrawing& drawing)
      : row_(row), drawing_(drawing), segments_(segments_of(drawing)) {}

  /// What it costs to write there; none: something else is written there, or a sign drawn.
  std::optional<double> cost(const Box& box) const {
    if (box.left < ruler_px - 8.0 || box.right > row_.width_px + beyond_px) return std::nullopt;
    for (const Writing& writing : drawing_.writings) {
      Box other = writing.box();
      other.left -= 3.0;
      other.right += 3.0;
      if (overlap(box, other)) return std::nullopt;
    }
    for (const Box& other : drawing_.keep_clear) {
      if (overlap(box, other)) return std::nullopt;
    }
    double cost = 0.0;
    for (const Segment& segment : segments_) {
      if (meets(box, segment.a, segment.b)) cost += segment.weight;
    }
    if (box.bottom > -1.0 && box.top < 1.0) cost += 6.0;  // over the ground line
    if (box.bottom > drawing_.strip_bottom_y) cost += 6.0;
    return cost;
  }

 private:
  static constexpr double beyond_px = 100.0;  ///< a picture may grow by this much to the right
  const Row& row_;
  const RowDrawing& drawing_;
  std::vector<Segment> segments_;
};

}  // namespace

void place_wishes(const Row& row, RowDrawing& drawing) {
  const Places places(row, drawing);
  for (const Wish& wish : drawing.wishes) {
    double wide = 0.0;
    for (const Phrase& line : wish.lines) {
      wide = std::max(wide, room_px(line, note_size_px));
    }
    const double high = note_line_px * static_cast<double>(wish.lines.size());
    const Phrase all = joined(wish.lines, wish.between);
    const double all_wide = room_px(all, note_size_px);
    std::optional<Point> best;
    bool in_one_line = false;
    double least = most_cost;
    const auto try_at = [&](Point at, double width, double height, double shy, bool one_line) {
      const auto cost = places.cost({at.x - 1.0, at.y, at.x + width + 1.0, at.y + height});
      if (!cost || *cost + shy >= least) return;
      least = *cost + shy;
      best = at;
      in_one_line = one_line;
    };
    for (std::size_t k = 0; k < wish.top_lefts.size(); ++k) {
      try_at(wish.top_lefts[k], wide, high, 0.4 * static_cast<double>(k), false);
    }
    for (std::size_t k = 0; k < wish.centres.size(); ++k) {
      const Point at{wish.centres[k].x - all_wide / 2.0, wish.centres[k].y - note_line_px / 2.0};
      try_at(at, all_wide, note_line_px, 1.0 + 0.4 * static_cast<double>(k), true);
    }
    if (!best) {
      place_in_captions(row, wish, drawing);
      continue;
    }
    Point at = *best;
    for (const Phrase& line : in_one_line ? std::vector<Phrase>{all} : wish.lines) {
      drawing.writings.push_back(writing_of(line, at, note_size_px, false, wish.of, "label"));
      at.y += note_line_px;
    }
  }
}

}  // namespace tankyard::elevation
