// SPDX-License-Identifier: MIT
// What comes from above or goes over the rims: overflows, roofs, top-ups, air lines; and what
// stands in the yard without being a tank: outlets, pumps, leaks.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/elevation_row.h"
#include "io/elevation_signs.h"
#include "io/svg_text.h"

namespace tankyard::elevation {
namespace {

constexpr double sky_lane_px = 20.0;  ///< between the roofs above each other

const Column* tank_column(const Yard& yard, std::size_t row, std::size_t tank) {
  const std::size_t item = yard.items.tank[tank];
  return yard.row_of[item] == row ? yard.rows[row].of(item) : nullptr;
}

double tank_right(const Tank& tank, const Column& column, double height_m) {
  return column.centre() + drawn_width_px(tank, height_m, column) / 2.0;
}

double tank_left(const Tank& tank, const Column& column, double height_m) {
  return 2.0 * column.centre() - tank_right(tank, column, height_m);
}

/// Something with a lane in the sky.
struct Above {
  enum class Kind { roof, top_up, air_line } kind;
  std::size_t index;
  double x;  ///< its pipe
  double rim_y;
  std::optional<double> far_x;  ///< the other end of an air line
  double far_rim_y = 0.0;
  Phrase phrase;
  double right = 0.0;  ///< of all it takes in its lane
  std::size_t lane = 0;
};

/// From right to left: whoever has text over the pipe of another stands above it, so that no pipe
/// runs through a text.
std::size_t assign_sky(std::vector<Above>& all) {
  std::stable_sort(all.begin(), all.end(),
                   [](const Above& a, const Above& b) { return a.x > b.x; });
  std::size_t count = 0;
  for (std::size_t k = 0; k < all.size(); ++k) {
    for (std::size_t j = 0; j < k; ++j) {
      const bool over = all[j].x - 10.0 < all[k].right + 8.0;
      if (over) all[k].lane = std::max(all[k].lane, all[j].lane + 1);
    }
    count = std::max(count, all[k].lane + 1);
  }
  return count;
}

double text_left(const Above& above) {
  switch (above.kind) {
    case Above::Kind::roof:
      return above.x + 26.0;
    case Above::Kind::top_up:
      return above.x + 20.0;
    case Above::Kind::air_line:
      return above.x + 10.0;
  }
  return above.x;
}

void draw_above(const Yard& yard, const Above& above, double top_y, RowDrawing& drawing) {
  const double y = top_y - 12.0 - sky_lane_px * static_cast<double>(above.lane);
  Group group;
  group.layer = supplies;
  const double below_rim = above.rim_y + 7.0;
  if (above.kind == Above::Kind::air_line) {
    const AirLine& air = yard.parts.air_lines[above.index];
    group.id = fmt::format("air-line-{}", above.index);
    group.kind = air.open ? "air-line" : "air-line shut";
    group.name = air.name;
    group.about =
        fmt::format("Air line {}: {:.0f} mm bore, {:.1f} m long, {}.", set_apart(air.name),
                    air.bore_m * 1000.0, air.length_m, air.open ? "open" : "shut");
    std::vector<Point> way = {{above.x, below_rim}, {above.x, y}};
    if (above.far_x) {
      way.push_back({*above.far_x, y});
      way.push_back({*above.far_x, above.far_rim_y + 7.0});
    } else {
      way.push_back({above.x + 6.0, y});
    }
    group.strokes.push_back(line(way, "air"));
  } else {
    const bool roof = above.kind == Above::Kind::roof;
    group.id = fmt::format("{}-{}", roof ? "roof" : "top-up", above.index);
    group.kind = roof ? "roof" : "top-up";
    group.name = roof ? yard.parts.roofs[above.index].name : yard.parts.top_ups[above.index].name;
    group.about = above.phrase.full.empty() ? above.phrase.text : above.phrase.full;
    group.strokes.push_back(line({{above.x, y}, {above.x, below_rim}}, "clear", 6.0));
    group.strokes.push_back(line({{above.x, y}, {above.x, below_rim - 6.0}}, "supply"));
    add_arrow(group, {above.x, below_rim}, {0.0, 1.0}, "goes-on");
    if (roof) {
      add_roof(group, {above.x, y});
    } else {
      add_top_up(group, {above.x, y});
    }
  }
  drawing.groups.push_back(group);
  const Point corner{text_left(above), y - 4.0 - 5.5};
  drawing.writings.push_back(
      writing_of(above.phrase, corner, note_size_px, false, group.id, "label"));
  if (above.kind == Above::Kind::air_line && above.far_x) {
    const Box box = drawing.writings.back().box();
    Group plate;
    plate.kind = "plate";
    plate.layer = plates;
    plate.strokes.push_back(area({{box.left - 3.0, y - 6.0},
                                  {box.right + 3.0, y - 6.0},
                                  {box.right + 3.0, y + 6.0},
                                  {box.left - 3.0, y + 6.0}},
                                 "sky-plate"));
    drawing.groups.push_back(plate);
  }
}

std::vector<Above> all_above(const Yard& yard, std::size_t row) {
  std::vector<Above> all;
  std::vector<std::size_t> pipes(yard.parts.tanks.size(), 0);
  const auto next_x = [&](const Column& column, std::size_t tank) {
    return column.face_left + column.first_pipe_px + pipe_px * static_cast<double>(pipes[tank]++);
  };
  const auto add = [&](Above::Kind kind, std::size_t index, std::size_t tank, Phrase phrase) {
    const Column* column = tank_column(yard, row, tank);
    if (!column) return;
    all.push_back({kind, index, next_x(*column, tank), yard.scale.y(rim_m(yard.parts.tanks[tank])),
                   std::nullopt, 0.0, std::move(phrase)});
  };
  for (std::size_t k = 0; k < yard.parts.roofs.size(); ++k) {
    const Roof& roof = yard.parts.roofs[k];
    add(Above::Kind::roof, k, roof.into.index, roof_phrase(roof));
  }
  for (std::size_t k = 0; k < yard.parts.top_ups.size(); ++k) {
    const TopUp& top_up = yard.parts.top_ups[k];
    add(Above::Kind::top_up, k, top_up.into.index, top_up_phrase(top_up));
  }
  for (std::size_t k = 0; k < yard.parts.air_lines.size(); ++k) {
    const AirLine& air = yard.parts.air_lines[k];
    const Column* from = tank_column(yard, row, air.from.index);
    const Column* to = tank_column(yard, row, air.to.index);
    const Phrase phrase = air_line_phrase(air);
    if (from && to) {
      const bool forward = from->left <= to->left;
      const TankId first = forward ? air.from : air.to;
      const TankId second = forward ? air.to : air.from;
      add(Above::Kind::air_line, k, first.index, phrase);
      all.back().far_x = next_x(forward ? *to : *from, second.index);
      all.back().far_rim_y = yard.scale.y(rim_m(part(yard.parts.tanks, second)));
      continue;
    }
    for (const bool here_is_from : {true, false}) {
      if (!(here_is_from ? from : to)) continue;
      const TankId far = here_is_from ? air.to : air.from;
      const Phrase name =
          name_phrase(part(yard.parts.tanks, far).name, note_size_px, false, name_inside_px);
      const std::size_t far_row = yard.row_of[yard.items.tank[far.index]];
      Phrase longer = phrase;
      longer.text += fmt::format(", to {} in row {}", name.text, far_row + 1);
      if (!phrase.full.empty() || !name.full.empty()) {
        longer.full =
            fmt::format("{}, to {} in row {}", phrase.full.empty() ? phrase.text : phrase.full,
                        name.full.empty() ? name.text : name.full, far_row + 1);
      }
      add(Above::Kind::air_line, k, (here_is_from ? air.from : air.to).index, longer);
    }
  }
  for (Above& above : all) {
    above.right = text_left(above) + text_width_px(above.phrase.text, note_size_px, false) + 6.0;
    if (above.far_x) above.right = std::max(above.right, *above.far_x + 8.0);
  }
  return all;
}

}  // namespace

void draw_sky(const Yard& yard, std::size_t row, RowDrawing& drawing) {
  std::vector<Above> all = all_above(yard, row);
  if (all.empty()) return;
  assign_sky(all);
  const double top = extent_of(drawing).top - 4.0;
  for (const Above& above : all) draw_above(yard, above, top, drawing);
}

void draw_overflows(const Yard& yard, std::size_t row, RowDrawing& drawing) {
  struct Used {
    double left, right, y;
  };
  std::vector<Used> used;
  for (std::size_t t = 0; t < yard.parts.tanks.size(); ++t) {
    const Tank& tank = yard.parts.tanks[t];
    const Column* column = tank_column(yard, row, t);
    if (!column || !tank.overflow) continue;
    const double height = tank.overflow->height_m;
    const double y = yard.scale.y(lip_m(tank));
    const double width = std::clamp(2.0 + tank.overflow->bore_m * 40.0, 3.0, 7.0);
    const Column* target =
        tank.overflow->to ? tank_column(yard, row, tank.overflow->to->index) : nullptr;
    Group group;
    group.id = fmt::format("overflow-{}", t);
    group.kind = "overflow";
    group.name = tank.name;
    group.layer = behind_tanks;
    group.about = "Overflow of tank " + set_apart(tank.name) + ".";
    bool leftwards = false;
    if (target) {
      const Tank& taker = part(yard.parts.tanks, *tank.overflow->to);
      leftwards = target->left < column->left;
      const double taker_rim = yard.scale.y(rim_m(taker));
      double run_y = std::min(y, taker_rim - 8.0);
      const double from =
          leftwards ? tank_left(tank, *column, height) : tank_right(tank, *column, height);
      const double rim_half = drawn_width_px(taker, height_m(taker.shape), *target) / 2.0;
      const double into = leftwards ? target->centre() + rim_half - 9.0
                                    : target->centre() - rim_half + 9.0 +
                                          pipe_px * static_cast<double>(target->pipes_from_above);
      const double left = std::min(from, into);
      const double right = std::max(from, into);
      const auto taken = [&] {
        return std::any_of(used.begin(), used.end(), [&](const Used& each) {
          return each.left < right && left < each.right && std::fabs(each.y - run_y) < 6.0;
        });
      };
      for (int k = 0; k < 40 && taken(); ++k) run_y -= 7.0;
      used.push_back({left, right, run_y});
      const double first = from + (leftwards ? -9.0 : 9.0);
      std::vector<Point> way = {{from, y}, {first, y}};
      if (run_y != y) way.push_back({first, run_y});
      way.push_back({into, run_y});
      way.push_back({into, taker_rim + 4.0});
      group.strokes.push_back(line(way, "clear", width + 4.0));
      group.strokes.push_back(line(way, "overflow", width));
      Group tip;
      tip.kind = "overflow";
      tip.layer = in_front;
      add_arrow(tip, {into, taker_rim + 9.0}, {0.0, 1.0}, "goes-on");
      drawing.groups.push_back(tip);
    } else {
      const double from = tank_right(tank, *column, height);
      group.strokes.push_back(
          line({{from, y}, {from + 11.0, y}, {from + 11.0, y + 8.0}}, "overflow", width));
    }
    group.discs.push_back(
        {{leftwards ? tank_left(tank, *column, height) : tank_right(tank, *column, height), y},
         2.6,
         "joint"});
    drawing.groups.push_back(group);
  }
}

void draw_fittings(const Yard& yard, std::size_t row, RowDrawing& drawing) {
  for (const Column& column : yard.rows[row].columns) {
    const Item& item = yard.items.all[column.item];
    if (item.kind == Item::Kind::pump) {
      Group group;
      group.id = fmt::format("pump-{}", item.index);
      const bool running = passes(yard.parts, yard.state, id_at<PumpId>(item.index));
      group.kind = running ? "pump running" : "pump";
      group.name = yard.parts.pumps[item.index].name;
      group.about = fmt::format("Pump {}, {}.", set_apart(group.name), running ? "running" : "off");
      group.layer = in_front;
      add_pump(group, {column.centre(), -pump_height_px});
      drawing.groups.push_back(group);
    } else if (item.kind == Item::Kind::outlet) {
      const Outlet& outlet = yard.parts.outlets[item.index];
      const bool open = passes(yard.parts, yard.state, id_at<OutletId>(item.index));
      const double y = yard.scale.y(mouth_m(yard.parts, outlet));
      double left = column.centre();
      double right = left;
      for (const Slot& slot : column.slots) {
        left = std::min(left, slot.x);
        right = std::max(right, slot.x);
      }
      Group group;
      group.id = fmt::format("outlet-{}", item.index);
      group.kind = open ? "outlet open" : "outlet";
      group.name = outlet.name;
      group.about = fmt::format("Outlet {}, {}, {:.2f} m above the datum.", set_apart(outlet.name),
                                open ? "open" : "shut", mouth_m(yard.parts, outlet));
      group.layer = in_front;
      group.strokes.push_back(line({{left, y}, {right, y}}, "spout", 4.5));
      add_outlet(group, {right, y}, open);
      drawing.keep_clear.push_back({left - 2.0, y - 8.0, right + 14.0, y + 9.0});
      drawing.groups.push_back(group);
    }
    if (item.kind != Item::Kind::tank) continue;
    for (const Slot& slot : column.slots) {
      if (slot.goes != Slot::Goes::outlet) continue;
      const Outlet& outlet = yard.parts.outlets[slot.outlet];
      const bool open = passes(yard.parts, yard.state, id_at<OutletId>(slot.outlet));
      const double y = yard.scale.y(mouth_m(yard.parts, *outlet.at));
      const double tip = yard.scale.y(mouth_m(yard.parts, outlet));
      Group group;
      group.id = fmt::format("outlet-{}", slot.outlet);
      group.kind = open ? "outlet open" : "outlet";
      group.name = outlet.name;
      group.about = fmt::format("Outlet {}, {}, {:.2f} m above the datum.", set_apart(outlet.name),
                                open ? "open" : "shut", mouth_m(yard.parts, outlet));
      group.layer = in_front;
      if (tip != y) {
        group.strokes.push_back(line({{slot.x, y}, {slot.x, tip}}, "clear", 8.0));
        group.strokes.push_back(line({{slot.x, y}, {slot.x, tip}}, "run", 3.0));
      }
      group.discs.push_back({{slot.x, y}, 3.4, "mouth"});
      add_outlet(group, {slot.x + 3.0, tip}, open);
      drawing.keep_clear.push_back({slot.x - 4.0, tip - 8.0, slot.x + 16.0, tip + 9.0});
      drawing.groups.push_back(group);
    }
    for (std::size_t k = 0; k < yard.parts.leaks.size(); ++k) {
      const Leak& leak = yard.parts.leaks[k];
      if (leak.tank.index != item.index) continue;
      const Tank& tank = yard.parts.tanks[item.index];
      const double y = yard.scale.y(tank.base_m + leak.height_m);
      const double x = tank_right(tank, column, leak.height_m);
      Group group;
      group.id = fmt::format("leak-{}", k);
      group.kind = "leak";
      group.name = leak.name;
      group.about = fmt::format("Leak {} of {:.3g} mm, {:.2f} m above the bottom of tank {}.",
                                set_apart(leak.name), leak.bore_m * 1000.0, leak.height_m,
                                set_apart(tank.name));
      group.layer = in_front;
      group.strokes.push_back(line({{x - 3.0, y - 3.0}, {x + 3.0, y + 3.0}}, "sign"));
      group.strokes.push_back(line({{x - 3.0, y + 3.0}, {x + 3.0, y - 3.0}}, "sign"));
      add_drips(group, {x + 6.0, y + 1.0});
      drawing.groups.push_back(group);
    }
  }
}

}  // namespace tankyard::elevation
