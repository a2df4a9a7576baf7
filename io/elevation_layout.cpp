// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "graph/breach.h"
#include "io/elevation.h"
#include "io/elevation_row.h"
#include "io/report_words.h"
#include "io/svg_text.h"

namespace tankyard {
namespace elevation {

Box Writing::box() const {
  const double width = std::max(text_width_px(text, size_px, bold), reserve_px);
  double left = at.x;
  if (anchor == Anchor::middle) left -= width / 2.0;
  if (anchor == Anchor::end) left -= width;
  return {left, at.y - ascent_ratio * size_px, left + width, at.y + descent_ratio * size_px};
}

Writing writing_of(const Phrase& phrase, Point top_left, double size_px, bool bold,
                   const std::string& of, const char* role) {
  Writing writing;
  writing.text = phrase.text;
  writing.full = phrase.full;
  writing.at = {top_left.x, top_left.y + ascent_ratio * size_px};
  writing.size_px = size_px;
  writing.bold = bold;
  writing.of = of;
  writing.role = role;
  writing.changes = phrase.changes;
  if (!phrase.widest.empty()) writing.reserve_px = room_px(phrase, size_px, bold);
  return writing;
}

Box extent_of(const RowDrawing& drawing) {
  Box all{0.0, 0.0, 0.0, 0.0};
  const auto meet = [&](double x, double y) {
    all.left = std::min(all.left, x);
    all.right = std::max(all.right, x);
    all.top = std::min(all.top, y);
    all.bottom = std::max(all.bottom, y);
  };
  for (const Group& group : drawing.groups) {
    for (const Stroke& stroke : group.strokes) {
      for (const Point& point : stroke.points) meet(point.x, point.y);
    }
    for (const Disc& disc : group.discs) {
      meet(disc.centre.x - disc.radius_px, disc.centre.y - disc.radius_px);
      meet(disc.centre.x + disc.radius_px, disc.centre.y + disc.radius_px);
    }
  }
  for (const Writing& writing : drawing.writings) {
    const Box box = writing.box();
    meet(box.left, box.top);
    meet(box.right, box.bottom);
  }
  return all;
}

namespace {

constexpr double margin_px = 20.0;

void move_down(RowDrawing& drawing, double by) {
  for (Group& group : drawing.groups) {
    for (Stroke& stroke : group.strokes) {
      for (Point& point : stroke.points) point.y += by;
    }
    for (Disc& disc : group.discs) disc.centre.y += by;
    if (group.water) {
      for (Point& point : group.water->outline) point.y += by;
      group.water->floor_y += by;
      group.water->surface_y += by;
    }
  }
  for (Writing& writing : drawing.writings) writing.at.y += by;
}

/// Adds what was drawn; a part that is drawn in several rows stays one group.
void add(RowDrawing&& drawing, std::map<std::string, std::size_t>& known, Picture& picture) {
  for (Group& group : drawing.groups) {
    if (!group.id.empty()) {
      const auto [found, is_new] = known.try_emplace(group.id, picture.groups.size());
      if (!is_new) {
        Group& first = picture.groups[found->second];
        first.strokes.insert(first.strokes.end(), group.strokes.begin(), group.strokes.end());
        first.discs.insert(first.discs.end(), group.discs.begin(), group.discs.end());
        continue;
      }
    }
    picture.groups.push_back(std::move(group));
  }
  picture.writings.insert(picture.writings.end(), drawing.writings.begin(), drawing.writings.end());
}

/// Lines of at most so many px, broken between words.
std::vector<std::string> broken(const std::string& text, double width_px, double size_px) {
  std::vector<std::string> lines;
  std::string line;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t space = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, space - at);
    std::string longer = line;
    if (!longer.empty()) longer += ' ';
    longer += word;
    if (!line.empty() && text_width_px(longer, size_px, false) > width_px) {
      lines.push_back(line);
      line = word;
    } else {
      line = longer;
    }
    at = space + 1;
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

/// Title and what to know before looking; returns where it ends.
double draw_title(const Yard& yard, double width_px, RowDrawing& drawing) {
  const std::string& name = yard.parts.site.name.empty() ? "The yard" : yard.parts.site.name;
  const double room = width_px - 2.0 * margin_px;
  Phrase title = name_phrase(name, 18.0, true, room);
  drawing.writings.push_back(writing_of(title, {margin_px, 14.0}, 18.0, true, "", "title"));
  drawing.writings.back().look = "name";
  std::string words = fmt::format(
      "Seen from the side, {}. Heights are to scale, 1:{} at full size, and count from the datum. "
      "Widths of tanks are to the same scale, but none is drawn under {} m or over {} m, and some "
      "are widened for their hoses; distances are not to scale.",
      yard.state.moment, yard.scale.one_to, number_text(narrowest_tank_m),
      number_text(widest_tank_m));
  if (!yard.parts.hoses.empty()) {
    words += " Hoses run on the floor in front, the strip below the ground line.";
  }
  double y = 42.0;
  for (const std::string& line : broken(words, room, 12.0)) {
    drawing.writings.push_back(writing_of({line, {}}, {margin_px, y}, 12.0, false, "", "about"));
    y += 16.0;
  }
  return y + 10.0;
}

std::string about_yard(const Yard& yard) {
  const Parts& parts = yard.parts;
  std::string text =
      fmt::format("Side view of {}, {}: {}, {}, {}.",
                  parts.site.name.empty() ? "a yard" : set_apart(parts.site.name),
                  yard.state.moment, counted(parts.tanks.size(), "tank"),
                  counted(parts.hoses.size(), "hose"), counted(parts.outlets.size(), "outlet"));
  for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
    text += fmt::format(" {} holds {}.", set_apart(parts.tanks[t].name),
                        holds_text(parts.tanks[t], yard.state.depth_m[t]));
  }
  return text;
}

void check_sizes(const Parts& parts, const ElevationState& state) {
  const auto same = [](const char* what, std::size_t is, std::size_t wanted) {
    if (is == wanted) return;
    breach("lay_out_elevation", fmt::format("{} has {} entries, not {}", what, is, wanted));
  };
  same("depth_m", state.depth_m.size(), parts.tanks.size());
  if (state.hose_open) same("hose_open", state.hose_open->size(), parts.hoses.size());
  if (state.outlet_open) same("outlet_open", state.outlet_open->size(), parts.outlets.size());
  if (state.pump_running) same("pump_running", state.pump_running->size(), parts.pumps.size());
  if (state.flow_m3_per_s) same("flow_m3_per_s", state.flow_m3_per_s->size(), parts.hoses.size());
  if (state.headspace_gauge_pa) {
    same("headspace_gauge_pa", state.headspace_gauge_pa->size(), parts.tanks.size());
  }
}

}  // namespace
}  // namespace elevation

ElevationState state_at_start(const Array& array) {
  ElevationState state;
  for (const Tank& tank : array.tanks())
    state.depth_m.push_back(depth_m(tank.shape, tank.water_m3));
  return state;
}

elevation::Picture lay_out_elevation(const Array& array, const ElevationState& state,
                                     const std::vector<RestingGroup>& resting,
                                     const ElevationOptions& options) {
  using namespace elevation;
  check_sizes(array.parts(), state);
  const Yard yard = arrange(array, state, options);

  std::vector<RowDrawing> rows(yard.rows.size());
  double right = std::min(560.0, options.row_px);
  bool shows_rest = false;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    RowDrawing& drawing = rows[r];
    draw_overflows(yard, r, drawing);
    draw_tanks(yard, r, drawing);
    draw_hoses(yard, r, drawing);
    draw_fittings(yard, r, drawing);
    draw_rest(yard, r, resting, drawing);
    draw_sky(yard, r, drawing);
    place_wishes(yard.rows[r], drawing);
    right = std::max(right, extent_of(drawing).right + margin_px);
    for (const Group& group : drawing.groups) shows_rest = shows_rest || group.kind == "rest";
  }

  Picture picture;
  picture.width_px = std::ceil(right);
  picture.px_per_m = yard.scale.px_per_m;
  picture.one_to = yard.scale.one_to;
  picture.title =
      "Side view of " + (array.parts().site.name.empty() ? "the yard" : array.parts().site.name);
  picture.about = about_yard(yard);
  std::map<std::string, std::size_t> known;
  double y = 14.0;
  if (options.titled) {
    RowDrawing head;
    y = draw_title(yard, picture.width_px, head);
    add(std::move(head), known, picture);
  }
  for (std::size_t r = 0; r < rows.size(); ++r) {
    RowDrawing& drawing = rows[r];
    draw_ground(yard, r, ruler_px - 12.0, picture.width_px - margin_px, drawing);
    if (rows.size() > 1) {
      Writing writing;
      writing.text = fmt::format("Row {} of {}", r + 1, rows.size());
      writing.bold = true;
      writing.look = "name";
      writing.role = "row";
      writing.at = {margin_px, extent_of(drawing).top - 10.0};
      drawing.writings.push_back(writing);
    }
    const Box extent = extent_of(drawing);
    move_down(drawing, y - extent.top);
    y += extent.bottom - extent.top + 18.0;
    add(std::move(drawing), known, picture);
  }
  RowDrawing legend;
  y = draw_legend(yard, picture.width_px - margin_px, y, shows_rest, legend);
  add(std::move(legend), known, picture);
  picture.height_px = std::ceil(y + 6.0);
  std::stable_sort(picture.groups.begin(), picture.groups.end(),
                   [](const Group& a, const Group& b) { return a.layer < b.layer; });
  return picture;
}

}  // namespace tankyard
