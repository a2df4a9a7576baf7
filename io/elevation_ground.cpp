// SPDX-License-Identifier: MIT
// Ground line, ruler and datum.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/elevation_row.h"
#include "io/elevation_signs.h"
#include "io/report_words.h"
#include "io/svg_text.h"

namespace tankyard::elevation {
namespace {

constexpr double least_tick_px = 30.0;

/// 1, 2 or 5 times a power of ten.
double tick_m(double px_per_m) {
  const double least = least_tick_px / px_per_m;
  const double power = std::pow(10.0, std::floor(std::log10(least)));
  for (const double step : {1.0, 2.0, 5.0}) {
    if (step * power >= least * (1.0 - 1e-9)) return step * power;
  }
  return 10.0 * power;
}

double top_of_row_m(const Yard& yard, std::size_t row) {
  double top = yard.scale.floor_m;
  for (const Column& column : yard.rows[row].columns) {
    const Item& item = yard.items.all[column.item];
    if (item.kind == Item::Kind::tank) top = std::max(top, rim_m(yard.parts.tanks[item.index]));
    if (item.kind == Item::Kind::header) {
      top = std::max(top, yard.parts.headers[item.index].height_m);
    }
    if (item.kind == Item::Kind::outlet) {
      top = std::max(top, mouth_m(yard.parts, yard.parts.outlets[item.index]));
    }
    for (const Slot& slot : column.slots) {
      if (slot.crest_x) top = std::max(top, *yard.items.links[slot.link].crest_m);
    }
  }
  return top;
}

}  // namespace

void draw_ground(const Yard& yard, std::size_t row, double left, double right,
                 RowDrawing& drawing) {
  Group back;
  back.kind = "ground";
  back.layer = at_the_back;
  const double bottom = drawing.strip_bottom_y;
  back.strokes.push_back(
      area({{left, 0.0}, {right, 0.0}, {right, bottom}, {left, bottom}}, "strip"));
  const double step = tick_m(yard.scale.px_per_m);
  const double top = top_of_row_m(yard, row);
  const double axis = left - 6.0;
  const auto first = static_cast<long>(std::ceil(yard.scale.floor_m / step - 1e-9));
  const auto last = static_cast<long>(std::floor(top / step + 1e-9));
  const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
  for (long k = first; k <= last; ++k) {
    const double height = static_cast<double>(k) * step;
    const double y = yard.scale.y(height);
    back.strokes.push_back(line({{axis - 5.0, y}, {axis, y}}, "ruler"));
    back.strokes.push_back(line({{left, y}, {right, y}}, k == 0 ? "datum" : "grid"));
    Writing writing;
    writing.text = fmt::format("{:.{}f} m", height, decimals);
    writing.at = {axis - 8.0, y + 3.8};
    writing.anchor = Anchor::end;
    writing.look = "tick";
    drawing.writings.push_back(writing);
    if (k != 0) continue;
    writing.text = "datum";
    writing.at.y += 13.5;
    drawing.writings.push_back(writing);
  }
  back.strokes.push_back(line({{axis, 0.0}, {axis, yard.scale.y(top)}}, "ruler"));
  back.strokes.push_back(line({{left, 0.0}, {right, 0.0}}, "floor"));
  drawing.groups.push_back(back);
}

}  // namespace tankyard::elevation
