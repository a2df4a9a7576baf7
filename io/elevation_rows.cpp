// SPDX-License-Identifier: MIT
// The scale, the rows, and which headers run along them.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "io/elevation_columns.h"

namespace tankyard::elevation {
namespace {

constexpr double px_per_inch = 96.0;
constexpr double m_per_inch = 0.0254;

/// Cuts the order into rows no wider than wanted, where few links cross the cut.
std::vector<std::vector<std::size_t>> rows_of(const Yard& yard,
                                              const std::vector<std::size_t>& order,
                                              const std::vector<double>& width_px, double row_px) {
  const std::size_t count = order.size();
  std::vector<double> crossing(count + 1, 0.0);  // links across the cut before place k
  for (const Link& link : yard.items.links) {
    const auto a = std::min(yard.place_of[link.item[0]], yard.place_of[link.item[1]]);
    const auto b = std::max(yard.place_of[link.item[0]], yard.place_of[link.item[1]]);
    for (std::size_t k = a + 1; k <= b; ++k) crossing[k] += 1.0;
  }
  std::vector<double> best(count + 1, std::numeric_limits<double>::infinity());
  std::vector<std::size_t> from(count + 1, 0);
  best[0] = 0.0;
  for (std::size_t end = 1; end <= count; ++end) {
    double wide = ruler_px;
    for (std::size_t begin = end; begin-- > 0;) {
      wide += width_px[order[begin]] + between_px;
      if (wide > row_px && begin + 1 < end) break;
      const double empty = std::max(0.0, row_px - wide) / row_px;
      // A row costs as much as six cut links; ragged rows cost a little.
      const double cost = best[begin] + 6.0 + (end < count ? crossing[end] : 0.0) + empty * empty;
      if (cost < best[end]) {
        best[end] = cost;
        from[end] = begin;
      }
    }
  }
  std::vector<std::vector<std::size_t>> rows;
  for (std::size_t end = count; end > 0; end = from[end]) {
    rows.insert(rows.begin(),
                std::vector<std::size_t>(order.begin() + static_cast<std::ptrdiff_t>(from[end]),
                                         order.begin() + static_cast<std::ptrdiff_t>(end)));
  }
  return rows;
}

/// Whether a header can be drawn along a row without being taken for something else: not through
/// tanks that have nothing to do with it, and not along another header at its height.
void choose_rails(Yard& yard, std::size_t row_index) {
  Row& row = yard.rows[row_index];
  struct Span {
    std::size_t first;
    std::size_t last;
    double y;
  };
  std::vector<Span> taken;
  std::vector<std::pair<std::size_t, std::size_t>> added;  // a header, and before whom
  for (std::size_t h = 0; h < yard.parts.headers.size(); ++h) {
    const std::size_t item = yard.items.header[h];
    const double height = yard.parts.headers[h].height_m;
    std::vector<bool> hangs(row.columns.size(), false);
    std::size_t hanging = 0;
    std::optional<Span> span;
    for (std::size_t c = 0; c < row.columns.size(); ++c) {
      const std::size_t here = row.columns[c].item;
      const bool self = here == item;
      bool joined = false;
      for (const Link& link : yard.items.links) {
        for (int end = 0; end < 2; ++end) {
          joined = joined || (link.item[end] == here && link.item[1 - end] == item);
        }
      }
      if (joined && yard.items.all[here].kind == Item::Kind::header) joined = false;
      if (!joined && !self) continue;
      hangs[c] = true;
      hanging += joined;
      if (!span) span = Span{c, c, yard.scale.y(height)};
      span->last = c;
    }
    const bool home = yard.row_of[item] == row_index;
    if (hanging < (home ? 1U : 2U)) continue;
    std::size_t in_the_way = 0;
    for (std::size_t c = span->first; c <= span->last; ++c) {
      const Item& other = yard.items.all[row.columns[c].item];
      if (hangs[c] || other.kind != Item::Kind::tank) continue;
      const Tank& tank = yard.parts.tanks[other.index];
      in_the_way += height < rim_m(tank) && height > tank.base_m - 0.02;
    }
    // Nor over another header's own place at its height.
    const bool over_another = [&] {
      for (std::size_t c = span->first; c <= span->last; ++c) {
        const Item& other = yard.items.all[row.columns[c].item];
        if (other.kind != Item::Kind::header || other.index == h) continue;
        const double there = yard.scale.y(yard.parts.headers[other.index].height_m);
        if (std::fabs(there - span->y) < 14.0) return true;
      }
      return false;
    }();
    const std::size_t allowed = hanging >= 4 ? 1 : 0;
    const bool beside = std::any_of(taken.begin(), taken.end(), [&](const Span& other) {
      return std::fabs(other.y - span->y) < 14.0 && other.first <= span->last &&
             span->first <= other.last;
    });
    if (in_the_way > allowed || beside || over_another) continue;
    taken.push_back(*span);
    row.rails.push_back({h, 0});
    if (!home) added.emplace_back(item, row.columns[span->first].item);
  }
  for (const auto& [item, before] : added) {
    Column column;
    column.item = item;
    const auto place =
        std::find_if(row.columns.begin(), row.columns.end(),
                     [&, before = before](const Column& each) { return each.item == before; });
    row.columns.insert(place, column);
  }
  for (Rail& rail : row.rails) {
    for (std::size_t c = 0; c < row.columns.size(); ++c) {
      if (row.columns[c].item == yard.items.header[rail.header]) rail.column = c;
    }
  }
}

void break_into_rows(Yard& yard, const std::vector<std::size_t>& order, double row_px) {
  // Widths as if all stood in one row: they hardly change.
  yard.rows.assign(1, Row{});
  for (const std::size_t item : order) {
    Column column;
    column.item = item;
    yard.rows[0].columns.push_back(column);
  }
  std::fill(yard.row_of.begin(), yard.row_of.end(), std::size_t{0});
  choose_rails(yard, 0);
  settle_row(yard, 0);
  std::vector<double> width(order.size(), 0.0);
  for (const Column& column : yard.rows[0].columns) {
    width[column.item] = column.width_px + column.widened_px;
  }
  const auto cut = rows_of(yard, order, width, row_px);
  yard.rows.assign(cut.size(), Row{});
  for (std::size_t r = 0; r < cut.size(); ++r) {
    for (const std::size_t item : cut[r]) {
      Column column;
      column.item = item;
      yard.rows[r].columns.push_back(column);
      yard.row_of[item] = r;
    }
  }
  for (std::size_t r = 0; r < cut.size(); ++r) choose_rails(yard, r);
  for (std::size_t r = 0; r < cut.size(); ++r) settle_row(yard, r);
}

struct Heights {
  double floor_m = 0.0;
  double top_m = 0.0;
  double usual_tank_m = 1.0;
};

Heights heights_of(const Yard& yard) {
  Heights heights;
  std::vector<double> tanks;
  const auto meet = [&](double height) {
    heights.floor_m = std::min(heights.floor_m, height);
    heights.top_m = std::max(heights.top_m, height);
  };
  for (const Tank& tank : yard.parts.tanks) {
    meet(tank.base_m);
    meet(rim_m(tank));
    tanks.push_back(height_m(tank.shape));
  }
  for (const Header& header : yard.parts.headers) meet(header.height_m);
  for (const Outlet& outlet : yard.parts.outlets) meet(mouth_m(yard.parts, outlet));
  for (const Hose& hose : yard.parts.hoses) {
    if (hose.crest_m) meet(*hose.crest_m);
  }
  std::sort(tanks.begin(), tanks.end());
  if (!tanks.empty()) heights.usual_tank_m = tanks[tanks.size() / 2];
  return heights;
}

/// Round scales, as a draughtsman would use.
constexpr std::array<int, 25> scales = {1,   2,   3,   4,   5,    8,    10,  12, 15,
                                        20,  25,  30,  35,  40,   50,   60,  75, 100,
                                        150, 200, 300, 500, 1000, 2000, 5000};

double px_at(int one_to) { return px_per_inch / m_per_inch / one_to; }

}  // namespace

Yard arrange(const Array& array, const ElevationState& state, const ElevationOptions& options) {
  Yard yard{array, array.parts(), state, items_of(array.parts()), {}, {}, {}, {}, options.brief};
  const std::vector<std::size_t> order = left_to_right(yard.parts, yard.items);
  yard.row_of.assign(order.size(), 0);
  yard.place_of.assign(order.size(), 0);
  for (std::size_t k = 0; k < order.size(); ++k) yard.place_of[order[k]] = k;

  // The largest scale at which the yard is not too high; a usual tank keeps a size that can be
  // read, also in a high yard. One row is worth a smaller scale, within limits.
  const Heights heights = heights_of(yard);
  yard.scale.floor_m = heights.floor_m;
  const double range = std::max(heights.top_m - heights.floor_m, 1e-3);
  double most_px = std::min(430.0 / range, 240.0 / heights.usual_tank_m);
  if (most_px * heights.usual_tank_m < 90.0) {
    most_px = std::min(90.0 / heights.usual_tank_m, 900.0 / range);
  }
  // On a narrow page the widest tank leaves room for the texts beside it.
  if (options.brief) most_px = std::min(most_px, 0.4 * options.row_px / widest_tank_m);
  std::size_t chosen = scales.size() - 1;
  for (std::size_t k = scales.size(); k-- > 0;) {
    if (px_at(scales[k]) <= most_px) chosen = k;
  }
  const auto try_scale = [&](std::size_t k) {
    yard.scale.one_to = scales[k];
    yard.scale.px_per_m = px_at(scales[k]);
    break_into_rows(yard, order, options.row_px);
    return yard.rows.size();
  };
  std::size_t best = chosen;
  std::size_t fewest = std::numeric_limits<std::size_t>::max();
  for (std::size_t k = chosen; k < scales.size(); ++k) {
    if (k > chosen && px_at(scales[k]) * heights.usual_tank_m < 85.0) break;
    const std::size_t rows = try_scale(k);
    if (rows >= fewest) continue;
    fewest = rows;
    best = k;
    if (rows == 1) break;
  }
  try_scale(best);
  return yard;
}

}  // namespace tankyard::elevation
