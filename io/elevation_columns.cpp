// SPDX-License-Identifier: MIT
#include "io/elevation_columns.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "io/svg_text.h"

namespace tankyard::elevation {
namespace {

double section_m(const Tank& tank, double height_m) {
  if (const auto* lying = std::get_if<Lying>(&tank.shape)) return lying->length_m;
  if (const auto* upright = std::get_if<Upright>(&tank.shape)) return upright->diameter_m;
  // Boxes and measured tanks are drawn as if square.
  const double top = tankyard::height_m(tank.shape);
  return std::sqrt(surface_m2(tank.shape, std::clamp(height_m, 0.0, top)));
}

double widest_m(const Tank& tank) {
  if (const auto* table = std::get_if<DepthTable>(&tank.shape)) {
    double widest = 0.0;
    for (std::size_t k = 1; k < table->depth_m.size(); ++k) {
      widest = std::max(widest, section_m(tank, 0.5 * (table->depth_m[k - 1] + table->depth_m[k])));
    }
    return widest;
  }
  return section_m(tank, 0.0);
}

Line text_line(Phrase phrase, double size_px, bool bold, const char* role,
               const std::string& widest = {}) {
  Line made{std::move(phrase), size_px, bold, role, 0.0};
  made.width_px = std::max(text_width_px(made.phrase.text, size_px, bold),
                           text_width_px(widest, size_px, bold));
  return made;
}

/// A name, what it is and does, and more.
std::vector<Line> lines_of(const std::vector<Phrase>& phrases) {
  std::vector<Line> lines;
  for (const Phrase& phrase : phrases) {
    const std::size_t at = lines.size();
    lines.push_back(text_line(phrase, at == 0 ? 12.0 : 11.0, at == 0,
                              at == 0   ? "name"
                              : at == 1 ? "state"
                                        : "note",
                              phrase.widest));
  }
  return lines;
}

double widest_px(const std::vector<Line>& lines) {
  double widest = 0.0;
  for (const Line& each : lines) widest = std::max(widest, each.width_px);
  return widest;
}

std::vector<Line> tank_heading(const Yard& yard, std::size_t index) {
  const Tank& tank = yard.parts.tanks[index];
  const double depth = yard.state.depth_m[index];
  const double full = height_m(tank.shape);
  std::vector<Line> lines;
  lines.push_back(text_line(name_phrase(tank.name, 13.0, true), 13.0, true, "name"));
  lines.push_back(
      text_line({holds_text(tank, depth), {}}, 11.0, false, "holds", holds_text(tank, full)));
  lines.push_back(text_line({depth_text(depth), {}}, 11.0, false, "depth", depth_text(full)));
  const std::string lid = lid_text(tank);
  if (!lid.empty()) lines.push_back(text_line({lid, {}}, 11.0, false, "lid"));
  if (yard.state.headspace_gauge_pa) {
    lines.push_back(text_line({headspace_text((*yard.state.headspace_gauge_pa)[index]), {}}, 11.0,
                              false, "air", "pressure 100000 Pa"));
  }
  return lines;
}

bool has_glyph(const Parts& parts, const Link& link) {
  if (link.kind != Link::Kind::hose) return false;
  const Hose& hose = parts.hoses[link.index];
  return hose.valve || hose.one_way;
}

/// The end at which a hose with a crest goes up: its first end that is no header.
int crest_end(const Items& items, const Link& link) {
  const bool first_is_header = items.all[link.item[0]].kind == Item::Kind::header;
  const bool second_is_header = items.all[link.item[1]].kind == Item::Kind::header;
  return first_is_header && !second_is_header ? 1 : 0;
}

double drop_width_px(const Yard& yard, const Link& link) {
  const double drop = std::fabs(link.mouth_m[0] - link.mouth_m[1]) * yard.scale.px_per_m;
  const bool pump = link.at_pump[0] || link.at_pump[1];
  return has_glyph(yard.parts, link) && !link.crest_m && !pump && drop < long_drop_px
             ? slot_px + jog_px
             : slot_px;
}

void add_slots(Yard& yard, std::size_t row_index, Column& column) {
  const Item& item = yard.items.all[column.item];
  const bool own_row = yard.row_of[column.item] == row_index;
  const double here = static_cast<double>(yard.place_of[column.item]);
  column.slots.clear();
  for (std::size_t k = 0; k < yard.items.links.size(); ++k) {
    const Link& link = yard.items.links[k];
    for (int end = 0; end < 2; ++end) {
      if (link.item[end] != column.item) continue;
      const std::size_t other = link.item[1 - end];
      Slot slot;
      slot.link = k;
      slot.end = end;
      if (item.kind == Item::Kind::header) {
        // Whoever is no header and stands where this header is drawn hangs on it without a slot.
        if (!own_row) continue;
        if (yard.items.all[other].kind != Item::Kind::header &&
            yard.rows[yard.row_of[other]].has_rail(item.index)) {
          continue;
        }
      } else if (drops_on_header(yard, link, 1 - end, row_index)) {
        slot.goes = Slot::Goes::header;
        slot.width_px = drop_width_px(yard, link);
      }
      // Left-going hoses to the left, the nearest outermost; right-going ones mirrored; what drops
      // straight down between them. Then no hose has to step over one beside it.
      const double there = static_cast<double>(yard.place_of[other]);
      const double far = static_cast<double>(yard.items.all.size()) + 1.0;
      const double distance = std::fabs(there - here);
      if (slot.goes == Slot::Goes::lane && there != here) {
        slot.order = there < here ? -far + distance : far - distance;
      }
      if (link.crest_m && crest_end(yard.items, link) == end) {
        slot.order = there < here ? -2.0 * far : 2.0 * far;
        slot.crest_x = 0.0;  // its place is found below
      }
      if (item.kind == Item::Kind::pump) slot.order = link.kind == Link::Kind::suction ? -1 : 1;
      column.slots.push_back(slot);
    }
  }
  if (item.kind == Item::Kind::tank) {
    for (std::size_t o = 0; o < yard.parts.outlets.size(); ++o) {
      const Outlet& outlet = yard.parts.outlets[o];
      if (yard.items.outlet[o] || outlet.at->place != Place(id_at<TankId>(item.index))) continue;
      Slot slot;
      slot.goes = Slot::Goes::outlet;
      slot.outlet = o;
      slot.width_px = 22.0;
      column.slots.push_back(slot);
    }
  }
  std::stable_sort(column.slots.begin(), column.slots.end(),
                   [](const Slot& a, const Slot& b) { return a.order < b.order; });
}

double slots_px(const Column& column) {
  double sum = 0.0;
  for (const Slot& slot : column.slots) sum += slot.width_px;
  return sum;
}

std::size_t crests(const Column& column, bool on_the_left) {
  std::size_t count = 0;
  for (const Slot& slot : column.slots) {
    if (slot.crest_x && (slot.order < 0.0) == on_the_left) ++count;
  }
  return count;
}

std::vector<Note> tank_notes(const Yard& yard, std::size_t index) {
  const Tank& tank = yard.parts.tanks[index];
  const std::string of = fmt::format("tank-{}", index);
  std::vector<Note> notes;
  if (tank.overflow) {
    const Phrase phrase = overflow_phrase(yard.parts, tank);
    Note note{yard.scale.y(lip_m(tank)), 0.0, {}, of};
    note.lines.push_back(text_line({"overflow", {}}, 11.0, false, "overflow"));
    note.lines.push_back(text_line({phrase.text.substr(9), phrase.full.empty() ? "" : phrase.full},
                                   11.0, false, "overflow"));
    notes.push_back(note);
  }
  for (std::size_t k = 0; k < yard.parts.leaks.size(); ++k) {
    const Leak& leak = yard.parts.leaks[k];
    if (leak.tank.index != index) continue;
    notes.push_back({yard.scale.y(tank.base_m + leak.height_m),
                     0.0,
                     {text_line({fmt::format("leak {:.3g} mm", leak.bore_m * 1000.0), {}}, 11.0,
                                false, "leak")},
                     fmt::format("leak-{}", k)});
  }
  for (std::size_t o = 0; o < yard.parts.outlets.size(); ++o) {
    const Outlet& outlet = yard.parts.outlets[o];
    if (yard.items.outlet[o] || outlet.at->place != Place(id_at<TankId>(index))) continue;
    notes.push_back({yard.scale.y(mouth_m(yard.parts, *outlet.at)), 0.0,
                     lines_of(outlet_lines(yard.parts, yard.state, o)),
                     fmt::format("outlet-{}", o)});
  }
  std::stable_sort(notes.begin(), notes.end(),
                   [](const Note& a, const Note& b) { return a.anchor_y < b.anchor_y; });
  return notes;
}

/// Pipes that come into a tank over its rim.
std::size_t pipes_into(const Parts& parts, std::size_t index) {
  std::size_t count = 0;
  const auto is_it = [&](TankId id) { return id.index == index; };
  for (const Roof& roof : parts.roofs) count += is_it(roof.into);
  for (const TopUp& top_up : parts.top_ups) count += is_it(top_up.into);
  for (const AirLine& air : parts.air_lines) count += is_it(air.from) || is_it(air.to);
  return count;
}

void size_tank(const Yard& yard, Column& column, std::size_t index) {
  const Tank& tank = yard.parts.tanks[index];
  column.heading = tank_heading(yard, index);
  column.notes = tank_notes(yard, index);
  column.pipes_from_above = pipes_into(yard.parts, index);
  const double px = yard.scale.px_per_m;
  const double to_scale = std::clamp(widest_m(tank), narrowest_tank_m, widest_tank_m) * px;
  const double left_legs = static_cast<double>(crests(column, true)) * slot_px;
  column.least_face_px =
      std::max({30.0, slots_px(column) + 10.0,
                pipe_px * static_cast<double>(column.pipes_from_above) + 16.0 + left_legs});
  column.face_px = std::max(to_scale, column.least_face_px);
  const double right_legs = static_cast<double>(crests(column, false)) * slot_px;
  const double heading = widest_px(column.heading);
  // The heading is centred over the tank; where pipes come down, it stands right of them. They come
  // down into the opening, which in a measured tank may be narrow, and right of the hoses that rise
  // to a crest.
  const double rim_inset =
      (column.face_px - drawn_width_px(tank, height_m(tank.shape), column)) / 2.0;
  column.first_pipe_px = 10.0 + left_legs + rim_inset;
  const double pipes =
      column.pipes_from_above == 0
          ? 0.0
          : column.first_pipe_px - 10.0 + pipe_px * static_cast<double>(column.pipes_from_above);
  double before = left_legs;
  double after = right_legs;
  if (pipes > 0.0) {
    after = std::max(after, pipes + 8.0 + heading - column.face_px);
  } else {
    before = std::max(before, (heading - column.face_px) / 2.0);
    after = std::max(after, (heading - column.face_px) / 2.0);
  }
  column.face_left = before;
  column.heading_left =
      pipes > 0.0 ? before + pipes + 8.0 : before + (column.face_px - heading) / 2.0;
  column.width_px = before + column.face_px + after;
  column.notes_left = column.width_px + 17.0;
  double notes = 0.0;
  for (const Note& note : column.notes) notes = std::max(notes, widest_px(note.lines));
  if (notes > 0.0) column.width_px = column.notes_left + notes;
}

void size_column(const Yard& yard, std::size_t row_index, Column& column) {
  const Item& item = yard.items.all[column.item];
  switch (item.kind) {
    case Item::Kind::tank:
      size_tank(yard, column, item.index);
      return;
    case Item::Kind::header: {
      const Header& header = yard.parts.headers[item.index];
      column.heading = lines_of({name_phrase(header.name, 12.0, true), {"header", {}}});
      if (yard.row_of[column.item] != row_index) {
        column.heading.push_back(
            text_line({fmt::format("on from row {}", yard.row_of[column.item] + 1), {}}, 11.0,
                      false, "note"));
      }
      break;
    }
    case Item::Kind::outlet:
      column.heading = lines_of(outlet_lines(yard.parts, yard.state, item.index));
      break;
    case Item::Kind::pump:
      column.heading = lines_of(pump_lines(yard.parts, yard.state, item.index));
      break;
  }
  const double legs = static_cast<double>(crests(column, true) + crests(column, false)) * slot_px;
  const double least = item.kind == Item::Kind::pump ? 76.0 : 40.0;
  const double heading = widest_px(column.heading);
  column.face_px = std::max({slots_px(column) + 24.0, least});
  const double left_legs = static_cast<double>(crests(column, true)) * slot_px;
  column.width_px = std::max(column.face_px + legs, heading);
  column.face_left = (column.width_px - column.face_px - legs) / 2.0 + left_legs;
  column.heading_left = (column.width_px - heading) / 2.0;
}

/// Gives the slots their places; the column's own left edge is 0 so far.
void place_slots(const Yard& yard, Column& column) {
  const Item& item = yard.items.all[column.item];
  if (item.kind == Item::Kind::pump) {
    for (Slot& slot : column.slots) {
      slot.x = column.centre() + (slot.order < 0.0 ? -26.0 : 26.0);
    }
  } else {
    // Left-going ones from the left edge, right-going ones from the right, the rest in the middle.
    double middle = 0.0;
    const bool measured = item.kind == Item::Kind::tank &&
                          std::holds_alternative<DepthTable>(yard.parts.tanks[item.index].shape);
    const double face = measured ? column.least_face_px : column.face_px;
    double left = column.centre() - face / 2.0 + 5.0;
    double right = column.centre() + face / 2.0 - 5.0;
    for (const Slot& slot : column.slots) {
      if (slot.order == 0.0) middle += slot.width_px;
    }
    for (Slot& slot : column.slots) {
      if (slot.order >= 0.0) break;
      slot.x = left + slot_px / 2.0;
      left += slot.width_px;
    }
    for (auto it = column.slots.rbegin(); it != column.slots.rend() && it->order > 0.0; ++it) {
      right -= it->width_px;
      it->x = right + slot_px / 2.0;
    }
    double x = std::clamp(column.centre() - middle / 2.0, left, std::max(left, right - middle));
    for (Slot& slot : column.slots) {
      if (slot.order != 0.0) continue;
      slot.x = x + slot_px / 2.0;
      x += slot.width_px;
    }
  }
  // Hoses come down again behind their crests beside the tank.
  double left_leg = column.face_left - slot_px / 2.0;
  double right_leg = column.face_left + column.face_px + slot_px / 2.0;
  for (Slot& slot : column.slots) {
    if (!slot.crest_x) continue;
    if (slot.order < 0.0) {
      slot.crest_x = left_leg;
      left_leg -= slot_px;
    } else {
      slot.crest_x = right_leg;
      right_leg += slot_px;
    }
  }
}

void move_right(Column& column, double by) {
  column.left += by;
  column.face_left += by;
  column.heading_left += by;
  column.notes_left += by;
  for (Slot& slot : column.slots) {
    slot.x += by;
    if (slot.crest_x) *slot.crest_x += by;
  }
}

/// Room that hoses between two neighbours lack for their labels.
double lacking_px(const Yard& yard, const Column& left, const Column& right) {
  constexpr double most_px = 110.0;
  double lacking = 0.0;
  for (const Slot& slot : left.slots) {
    if (slot.goes != Slot::Goes::lane) continue;
    const Link& link = yard.items.links[slot.link];
    if (link.kind != Link::Kind::hose) continue;
    for (const Slot& far : right.slots) {
      if (far.link != slot.link || far.end == slot.end || far.goes != Slot::Goes::lane) continue;
      const Hose& hose = yard.parts.hoses[link.index];
      const double signs = sign_px * ((hose.valve ? 1.0 : 0.0) + (hose.one_way ? 1.0 : 0.0));
      const Phrase label = joined(hose_bits(yard.parts, yard.state, link.index, yard.brief));
      const double wanted = signs + room_px(label, 11.0) + 24.0;
      const double here = wanted - (far.crest_x.value_or(far.x) - slot.crest_x.value_or(slot.x));
      if (here <= most_px) lacking = std::max(lacking, here);  // else it stands beside its hose
    }
  }
  return lacking;
}

}  // namespace

void settle_row(Yard& yard, std::size_t row_index) {
  Row& row = yard.rows[row_index];
  double x = ruler_px;
  for (std::size_t c = 0; c < row.columns.size(); ++c) {
    Column& column = row.columns[c];
    add_slots(yard, row_index, column);
    column.left = column.face_left = column.heading_left = column.notes_left = 0.0;
    size_column(yard, row_index, column);
    place_slots(yard, column);
    move_right(column, x);
    column.widened_px = c == 0 ? 0.0 : lacking_px(yard, row.columns[c - 1], column);
    move_right(column, column.widened_px);
    x = column.right() + between_px;
  }
  row.width_px = x;
}

const Column* Row::of(std::size_t item) const {
  for (const Column& column : columns) {
    if (column.item == item) return &column;
  }
  return nullptr;
}

Column* Row::of(std::size_t item) {
  return const_cast<Column*>(static_cast<const Row*>(this)->of(item));
}

bool Row::has_rail(std::size_t header) const {
  return std::any_of(rails.begin(), rails.end(),
                     [&](const Rail& rail) { return rail.header == header; });
}

bool drops_on_header(const Yard& yard, const Link& link, int end, std::size_t row) {
  const Item& item = yard.items.all[link.item[end]];
  return item.kind == Item::Kind::header && yard.rows[row].has_rail(item.index) &&
         yard.items.all[link.item[1 - end]].kind != Item::Kind::header;
}

double drawn_width_px(const Tank& tank, double height, const Column& column) {
  if (!std::holds_alternative<DepthTable>(tank.shape)) return column.face_px;
  const double share = section_m(tank, height) / widest_m(tank);
  return std::clamp(share * column.face_px, column.least_face_px, column.face_px);
}

}  // namespace tankyard::elevation
