// SPDX-License-Identifier: MIT
#include "graph/critical_hoses.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/biconnected_components.hpp>
#include <boost/graph/connected_components.hpp>
#include <cstddef>
#include <iterator>
#include <string>
#include <utility>

#include "graph/breach.h"
#include "graph/points.h"

namespace tankyard {
namespace {

using OpenDrawing = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS>;

void check(const Array& array, const OpenHoses& open, const char* asked) {
  if (open.size() == array.hoses().size()) return;
  breach(asked, std::to_string(open.size()) + " entries for " +
                    std::to_string(array.hoses().size()) + " hoses");
}

// Lines that water can pass unaided; none that ends at the point left out.
OpenDrawing draw(const Array& array, const Points& points, const OpenHoses& open,
                 std::size_t left_out) {
  OpenDrawing drawing(points.count());
  const auto lines = lines_of(array.parts(), points);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (i < open.size() && !open[i]) continue;
    if (lines[i].from == left_out || lines[i].to == left_out) continue;
    boost::add_edge(lines[i].from, lines[i].to, drawing);
  }
  return drawing;
}

// The number of the piece each point is in.
std::vector<std::size_t> pieces_of(const OpenDrawing& drawing) {
  std::vector<std::size_t> pieces(boost::num_vertices(drawing));
  boost::connected_components(
      drawing,
      boost::make_iterator_property_map(pieces.begin(), boost::get(boost::vertex_index, drawing)));
  return pieces;
}

// Tanks in the piece that water leaves by, and those that pumps can push into it.
Draining draining(const Array& array, const Points& points, const std::vector<std::size_t>& pieces,
                  std::size_t bared) {
  std::vector<std::vector<std::size_t>> pumped_from(points.count());
  for (const Pump& pump : array.pumps()) {
    pumped_from[pieces[points.of(pump.to)]].push_back(pieces[points.of(pump.from)]);
  }
  std::vector<bool> drained(points.count(), false);  // by number of the piece
  drained[bared] = true;
  std::vector<std::size_t> to_follow = {bared};
  while (!to_follow.empty()) {
    const std::size_t here = to_follow.back();
    to_follow.pop_back();
    for (const std::size_t there : pumped_from[here]) {
      if (drained[there]) continue;
      drained[there] = true;
      to_follow.push_back(there);
    }
  }
  Draining found;
  for (std::size_t tank = 0; tank < array.tanks().size(); ++tank) {
    if (!drained[pieces[tank]]) continue;
    (pieces[tank] == bared ? found.tanks : found.if_pumped).push_back(id_at<TankId>(tank));
  }
  return found;
}

}  // namespace

std::vector<CriticalHose> critical_hoses(const Array& array, const OpenHoses& open) {
  check(array, open, "critical_hoses");
  std::vector<CriticalHose> critical;
  for (const HoseId hose : only_ways(array, open)) {
    CutOff lost = cut_off_by(array, open, {hose});
    if (lost.tanks.empty() && lost.outlets.empty() && lost.pumps.empty()) continue;
    critical.push_back({hose, std::move(lost)});
  }
  return critical;
}

// Boost.Graph's biconnected_components takes either of two hoses between one pair for the only way
// (reach.cpp), but no place is more or less critical for a second hose beside the first, so that
// its articulation points are right all the same.
std::vector<Place> critical_places(const Array& array, const OpenHoses& open) {
  check(array, open, "critical_places");
  const Points points(array.parts());
  const OpenDrawing drawing = draw(array, points, open, points.count());
  std::vector<std::size_t> found;
  boost::articulation_points(drawing, std::back_inserter(found));
  std::sort(found.begin(), found.end());
  std::vector<Place> places;
  places.reserve(found.size());
  for (const std::size_t point : found) places.push_back(points.place(point));
  return places;
}

std::vector<std::vector<Place>> pieces_without(const Array& array, const OpenHoses& open,
                                               Place place) {
  check(array, open, "pieces_without");
  const Points points(array.parts());
  const std::size_t lost = points.of(place);
  if (lost >= points.count() || points.place(lost) != place)
    breach("pieces_without", "no such place");
  const auto before = pieces_of(draw(array, points, open, points.count()));
  const auto after = pieces_of(draw(array, points, open, lost));
  const std::size_t none = points.count();
  std::vector<std::size_t> listed_as(points.count(), none);  // by number of the piece
  std::vector<std::vector<Place>> pieces;
  for (std::size_t point = 0; point < points.count(); ++point) {
    if (point == lost || before[point] != before[lost]) continue;
    std::size_t& listed = listed_as[after[point]];
    if (listed == none) {
      listed = pieces.size();
      pieces.emplace_back();
    }
    pieces[listed].push_back(points.place(point));
  }
  return pieces;
}

Burst burst(const Array& array, const OpenHoses& open, HoseId hose) {
  check(array, open, "burst");
  if (hose.index >= open.size()) breach("burst", "no hose " + std::to_string(hose.index));
  const Points points(array.parts());
  const auto pieces = pieces_of(draw(array, points, open, points.count()));
  const Hose& off = part(array.hoses(), hose);
  // While the hose passes water both ends are in one piece.
  return {draining(array, points, pieces, pieces[points.of(off.from.place)]),
          draining(array, points, pieces, pieces[points.of(off.to.place)])};
}

}  // namespace tankyard
