// SPDX-License-Identifier: MIT
// Tanks with their stands, water, lids, headings and the notes at their sides.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/elevation_row.h"
#include "io/elevation_signs.h"
#include "io/report_words.h"
#include "io/svg_text.h"

namespace tankyard::elevation {
namespace {

/// From the rim on the left down and round to the rim on the right.
std::vector<Point> inside_of(const Yard& yard, const Tank& tank, const Column& column) {
  const double middle = column.centre();
  const double top = yard.scale.y(rim_m(tank));
  const double bottom = yard.scale.y(tank.base_m);
  std::vector<Point> left;
  if (const auto* table = std::get_if<DepthTable>(&tank.shape)) {
    for (std::size_t k = table->depth_m.size() - 1; k > 0; --k) {
      const double half =
          drawn_width_px(tank, 0.5 * (table->depth_m[k - 1] + table->depth_m[k]), column) / 2.0;
      left.push_back({middle - half, yard.scale.y(tank.base_m + table->depth_m[k])});
      left.push_back({middle - half, yard.scale.y(tank.base_m + table->depth_m[k - 1])});
    }
  } else {
    const double half = column.face_px / 2.0;
    const bool lying = std::holds_alternative<Lying>(tank.shape);
    const double round = lying ? std::min(9.0, (bottom - top) / 4.0) : 0.0;
    if (round > 0.0) {
      left = {{middle - half + round, top},
              {middle - half + round * 0.3, top + round * 0.3},
              {middle - half, top + round},
              {middle - half, bottom - round},
              {middle - half + round * 0.3, bottom - round * 0.3},
              {middle - half + round, bottom}};
    } else {
      left = {{middle - half, top}, {middle - half, bottom}};
    }
  }
  std::vector<Point> outline = left;
  for (auto it = left.rbegin(); it != left.rend(); ++it) {
    outline.push_back({2.0 * middle - it->x, it->y});
  }
  return outline;
}

/// Thin lines that tell round tanks from boxes: a round wall turns away from the eye.
void add_shading(Group& group, const Yard& yard, const Tank& tank, const Column& column) {
  const double top = yard.scale.y(rim_m(tank));
  const double bottom = yard.scale.y(tank.base_m);
  const double left = column.face_left;
  const double right = column.face_left + column.face_px;
  if (std::holds_alternative<Upright>(tank.shape)) {
    for (const double in : {3.0, 7.0, 13.0}) {
      if (2.0 * in + 6.0 > column.face_px) break;
      group.strokes.push_back(line({{left + in, top + 2.0}, {left + in, bottom - 2.0}}, "shade"));
      group.strokes.push_back(line({{right - in, top + 2.0}, {right - in, bottom - 2.0}}, "shade"));
    }
  } else if (std::holds_alternative<Lying>(tank.shape)) {
    for (const double in : {3.0, 7.0, 13.0}) {
      if (2.0 * in + 6.0 > bottom - top) break;
      group.strokes.push_back(line({{left + 9.0, top + in}, {right - 9.0, top + in}}, "shade"));
      group.strokes.push_back(
          line({{left + 9.0, bottom - in}, {right - 9.0, bottom - in}}, "shade"));
    }
    for (const double share : {0.22, 0.78}) {
      const double x = left + share * column.face_px;
      group.strokes.push_back(line({{x, top}, {x, bottom}}, "strap"));
    }
  }
}

void add_lid(Group& group, const Yard& yard, const Tank& tank, const Column& column) {
  const double top = yard.scale.y(rim_m(tank));
  const bool lying = std::holds_alternative<Lying>(tank.shape);
  double half = drawn_width_px(tank, height_m(tank.shape) * 0.999, column) / 2.0 + 2.0;
  double y = top - 2.0;
  if (lying) {  // a short neck on top
    half = std::min(half / 2.0, 14.0);
    const double x = column.centre();
    group.strokes.push_back(line({{x - half, top}, {x - half, top - 6.0}}, "wall"));
    group.strokes.push_back(line({{x + half, top}, {x + half, top - 6.0}}, "wall"));
    y = top - 7.0;
  }
  const double x = column.centre();
  switch (tank.lid.kind) {
    case Lid::Kind::open:
      break;
    case Lid::Kind::sealed:
      group.strokes.push_back(line({{x - half, y}, {x + half, y}}, "lid"));
      break;
    case Lid::Kind::holed: {
      const double gap = std::min(5.0, half / 2.0);
      group.strokes.push_back(line({{x - half, y}, {x - gap, y}}, "lid"));
      group.strokes.push_back(line({{x + gap, y}, {x + half, y}}, "lid"));
      break;
    }
  }
}

Group stand_of(const Yard& yard, const Tank& tank, const Column& column) {
  Group group;
  group.kind = "stand";
  group.layer = stands;
  const double top = yard.scale.y(tank.base_m);
  const double half = drawn_width_px(tank, 0.0, column) / 2.0 + 3.0;
  const double left = column.centre() - half;
  const double right = column.centre() + half;
  if (top > -1.0) return group;
  const double board = std::min(5.0, -top);
  group.strokes.push_back(
      area({{left, top}, {right, top}, {right, top + board}, {left, top + board}}, "stand"));
  if (top + board > -3.0) return group;
  const int legs = std::max(2, static_cast<int>(std::lround((right - left) / 170.0)) + 1);
  for (int k = 0; k < legs; ++k) {
    const double leg = left + (right - left - 7.0) * k / (legs - 1);
    group.strokes.push_back(area(
        {{leg, top + board}, {leg + 7.0, top + board}, {leg + 7.0, 0.0}, {leg, 0.0}}, "stand"));
  }
  return group;
}

void add_heading(const Column& column, double bottom_y, const std::string& of,
                 RowDrawing& drawing) {
  double widest = 0.0;
  for (const Line& each : column.heading) widest = std::max(widest, each.width_px);
  const bool centred = column.pipes_from_above == 0;
  double bottom = bottom_y;
  for (auto it = column.heading.rbegin(); it != column.heading.rend(); ++it) {
    Writing writing = writing_of(it->phrase, {0.0, 0.0}, it->size_px, it->bold, of, it->role);
    writing.at = {centred ? column.heading_left + widest / 2.0 : column.heading_left,
                  bottom - descent_ratio * it->size_px};
    writing.anchor = centred ? Anchor::middle : Anchor::start;
    writing.look = it->bold ? "name" : "note";
    writing.reserve_px = it->width_px;
    drawing.writings.push_back(writing);
    bottom -= it->size_px + 3.5;
  }
}

/// Notes beside a tank, pushed apart until none meets another.
void add_notes(const Yard& yard, const Column& column, RowDrawing& drawing) {
  const Tank& tank = yard.parts.tanks[yard.items.all[column.item].index];
  struct Placed {
    const Note* note;
    double anchor_y;
    double top;
    double height;
  };
  std::vector<Placed> placed;
  for (const Note& note : column.notes) {
    const double height = note_line_px * static_cast<double>(note.lines.size()) + 3.0;
    double anchor = note.anchor_y;
    const bool spills_over = tank.overflow && tank.overflow->to && note.of.rfind("tank-", 0) == 0;
    if (spills_over) anchor += height / 2.0 + 5.0;  // clear of the pipe that runs on
    placed.push_back({&note, anchor, anchor - height / 2.0, height});
  }
  double next = -1e9;
  for (Placed& each : placed) {
    each.top = std::max(each.top, next);
    next = each.top + each.height;
  }
  double lowest = -2.0;
  for (auto it = placed.rbegin(); it != placed.rend(); ++it) {
    it->top = std::min(it->top, lowest - it->height);
    lowest = it->top;
  }
  for (const Placed& each : placed) {
    Point at{column.notes_left, each.top};
    for (const Line& part : each.note->lines) {
      drawing.writings.push_back(
          writing_of(part.phrase, at, part.size_px, part.bold, each.note->of, part.role));
      drawing.writings.back().look = part.bold ? "name" : "note";
      at.y += note_line_px;
    }
    double from = column.face_left + column.face_px + 3.0;
    if (each.note->of.rfind("outlet-", 0) == 0) {
      const auto index = static_cast<std::size_t>(std::stoul(each.note->of.substr(7)));
      for (const Slot& slot : column.slots) {
        if (slot.goes == Slot::Goes::outlet && slot.outlet == index) from = slot.x + 15.0;
      }
    } else {
      from += 13.0;
    }
    const double middle = each.top + each.height / 2.0;
    Group leader;
    leader.kind = "leader";
    leader.layer = in_front;
    leader.strokes.push_back(line({{from, each.note->anchor_y},
                                   {std::max(from, column.notes_left - 9.0), each.note->anchor_y},
                                   {column.notes_left - 3.0, middle}},
                                  "leader"));
    // An overflow with its words beside it needs none.
    if (each.note->of.rfind("tank-", 0) != 0 || column.notes_left - from > 24.0) {
      drawing.groups.push_back(leader);
    }
  }
}

/// An outlet's own height, or that of the header above it.
double top_of_outlet(const Yard& yard, const Column& column) {
  const Item& item = yard.items.all[column.item];
  double top = yard.scale.y(mouth_m(yard.parts, yard.parts.outlets[item.index]));
  for (const Slot& slot : column.slots) {
    if (slot.goes != Slot::Goes::header) continue;
    const Link& link = yard.items.links[slot.link];
    top = std::min(top, yard.scale.y(link.mouth_m[1 - slot.end]));
  }
  return top;
}

void draw_tank(const Yard& yard, const Column& column, RowDrawing& drawing) {
  const std::size_t index = yard.items.all[column.item].index;
  const Tank& tank = yard.parts.tanks[index];
  const double depth = yard.state.depth_m[index];
  const Group stand = stand_of(yard, tank, column);
  if (!stand.strokes.empty()) drawing.groups.push_back(stand);

  Group group;
  group.id = fmt::format("tank-{}", index);
  group.kind = "tank";
  group.name = tank.name;
  group.about = about_tank(yard.parts, yard.state, index);
  group.layer = tank_faces;
  if (yard.state.headspace_gauge_pa) {
    const double gauge = (*yard.state.headspace_gauge_pa)[index];
    if (!headspace_text(gauge).empty()) group.kind += gauge < 0.0 ? " vacuum" : " pressure";
  }
  const std::vector<Point> outline = inside_of(yard, tank, column);
  group.strokes.push_back(area(outline, "face"));
  const double floor = yard.scale.y(tank.base_m);
  const double surface = yard.scale.y(tank.base_m + depth);
  group.water = WaterBody{outline, floor, surface};
  add_shading(group, yard, tank, column);
  group.strokes.push_back(std::holds_alternative<Lying>(tank.shape) ? area(outline, "wall")
                                                                    : line(outline, "wall"));
  add_lid(group, yard, tank, column);
  drawing.groups.push_back(group);

  Group level;
  level.id = fmt::format("level-{}", index);
  level.kind = depth < 0.0005 ? "level empty" : "level";
  level.layer = tank_faces + 1;
  const double width = drawn_width_px(tank, depth, column);
  const double right = column.centre() + width / 2.0;
  add_level_mark(level, {right - std::min(12.0, width / 4.0), surface});
  drawing.groups.push_back(level);

  const double neck = std::holds_alternative<Lying>(tank.shape) ? 12.0 : 7.0;
  add_heading(column, yard.scale.y(rim_m(tank)) - neck, group.id, drawing);
  add_notes(yard, column, drawing);
}

}  // namespace

void draw_tanks(const Yard& yard, std::size_t row, RowDrawing& drawing) {
  for (const Column& column : yard.rows[row].columns) {
    const Item& item = yard.items.all[column.item];
    switch (item.kind) {
      case Item::Kind::tank:
        draw_tank(yard, column, drawing);
        break;
      case Item::Kind::header:
        add_heading(column, yard.scale.y(yard.parts.headers[item.index].height_m) - 8.0,
                    fmt::format("header-{}", item.index), drawing);
        break;
      case Item::Kind::outlet:
        add_heading(column, top_of_outlet(yard, column) - 12.0,
                    fmt::format("outlet-{}", item.index), drawing);
        break;
      case Item::Kind::pump:
        add_heading(column, -pump_height_px - pump_radius_px - 5.0,
                    fmt::format("pump-{}", item.index), drawing);
        break;
    }
  }
}

void draw_rest(const Yard& yard, std::size_t row, const std::vector<RestingGroup>& resting,
               RowDrawing& drawing) {
  constexpr double moves_m = 0.005;  // less is no news
  for (std::size_t g = 0; g < resting.size(); ++g) {
    const RestingGroup& together = resting[g];
    const bool one_level = together.level_m && together.tanks.size() > 1;
    std::vector<std::pair<std::size_t, const Column*>> here;
    for (std::size_t k = 0; k < together.tanks.size(); ++k) {
      const std::size_t item = yard.items.tank[together.tanks[k].index];
      if (yard.row_of[item] == row) here.emplace_back(k, yard.rows[row].of(item));
    }
    if (here.empty()) continue;
    std::sort(here.begin(), here.end(),
              [](const auto& a, const auto& b) { return a.second->left < b.second->left; });
    Group group;
    group.kind = "rest";
    group.layer = in_front;
    std::vector<Phrase> words;
    for (std::size_t n = 0; n < here.size(); ++n) {
      const auto [k, column] = here[n];
      const Tank& tank = part(yard.parts.tanks, together.tanks[k]);
      const double now = tank.base_m + yard.state.depth_m[together.tanks[k].index];
      const double level = one_level ? *together.level_m : tank.base_m + together.depth_m[k];
      const double y = yard.scale.y(level);
      const double right = column->face_left + column->face_px + 7.0;
      if (one_level) {
        // The line runs on to the next tank of the group if no other tank stands between.
        double to = right;
        if (n + 1 < here.size()) {
          const Column* next = here[n + 1].second;
          bool clear = true;
          for (const Column& other : yard.rows[row].columns) {
            const bool between = other.left > column->left && other.left < next->left;
            clear = clear && !(between && yard.items.all[other.item].kind == Item::Kind::tank);
          }
          if (clear) to = next->face_left;
        }
        group.strokes.push_back(line({{column->face_left - 7.0, y}, {to, y}}, "rest"));
      } else if (std::fabs(level - now) > moves_m) {
        group.strokes.push_back(line({{column->face_left - 7.0, y}, {right, y}}, "rest"));
      } else {
        continue;
      }
      const bool last = n + 1 == here.size();
      if (one_level && !last) continue;
      Wish wish;
      wish.lines =
          one_level
              ? std::vector<Phrase>{{"one level", {}}, {"at " + metres_cell(level) + " m", {}}}
              : std::vector<Phrase>{{"rests at", {}}, {metres_cell(level) + " m", {}}};
      const double wide = text_width_px(wish.lines[0].text, note_size_px, false);
      for (const double dy : {-14.0, -34.0, 4.0, -22.0}) {
        wish.top_lefts.push_back({right + 3.0, y + dy});
        wish.top_lefts.push_back({column->face_left - 10.0 - wide, y + dy});
      }
      for (const double dy : {-34.0, 4.0, -64.0, 34.0}) {
        wish.top_lefts.push_back({column->face_left + 8.0, y + dy});
      }
      wish.between = " ";
      wish.heading = name_phrase(tank.name, note_size_px, false, name_inside_px);
      wish.of = fmt::format("tank-{}", together.tanks[k].index);
      wish.column = static_cast<std::size_t>(column - yard.rows[row].columns.data());
      drawing.wishes.push_back(wish);
    }
    if (!group.strokes.empty()) drawing.groups.push_back(group);
  }
}

}  // namespace tankyard::elevation
