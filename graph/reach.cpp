// SPDX-License-Identifier: MIT
#include "graph/reach.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/connected_components.hpp>
#include <boost/graph/filtered_graph.hpp>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>

#include "graph/breach.h"
#include "graph/joins.h"

namespace tankyard {
namespace {

// What a line of the drawing stands for, and its place in the plan.
struct Line {
  enum class Is { hose, pump, outlet_on_place };
  Is is = Is::hose;
  std::uint32_t index = 0;

  friend bool operator==(Line a, Line b) { return a.is == b.is && a.index == b.index; }
};

using Drawing =
    boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property, Line>;

}  // namespace

// Points are numbered tanks first, then headers, then outlets, each in plan order.
struct Array::Joins {
  Drawing drawing;
  std::size_t tanks = 0;
  std::size_t headers = 0;

  std::size_t point_of(Place place) const {
    if (const auto* tank = std::get_if<TankId>(&place)) return tank->index;
    if (const auto* header = std::get_if<HeaderId>(&place)) return tanks + header->index;
    return tanks + headers + std::get_if<OutletId>(&place)->index;
  }

  Place place_of(std::size_t point) const {
    if (point < tanks) return id_at<TankId>(point);
    if (point < tanks + headers) return id_at<HeaderId>(point - tanks);
    return id_at<OutletId>(point - tanks - headers);
  }
};

std::shared_ptr<const Array::Joins> draw_joins(const Parts& parts) {
  auto joins = std::make_shared<Array::Joins>();
  joins->tanks = parts.tanks.size();
  joins->headers = parts.headers.size();
  joins->drawing = Drawing(parts.tanks.size() + parts.headers.size() + parts.outlets.size());
  const auto draw = [&](Place from, Place to, Line::Is is, std::size_t index) {
    boost::add_edge(joins->point_of(from), joins->point_of(to),
                    Line{is, static_cast<std::uint32_t>(index)}, joins->drawing);
  };
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    draw(parts.hoses[i].from.place, parts.hoses[i].to.place, Line::Is::hose, i);
  }
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) {
    draw(parts.pumps[i].from, parts.pumps[i].to, Line::Is::pump, i);
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const auto& at = parts.outlets[i].at;
    if (at) draw(at->place, id_at<OutletId>(i), Line::Is::outlet_on_place, i);
  }
  return joins;
}

namespace {

// Lines that water can pass unaided. Boost.Graph asks that it can be made from nothing.
struct Passes {
  const Drawing* drawing = nullptr;
  const OpenHoses* open = nullptr;

  template <class Edge>
  bool operator()(const Edge& edge) const {
    const Line& line = (*drawing)[edge];
    if (line.is == Line::Is::hose) return (*open)[line.index];
    return line.is == Line::Is::outlet_on_place;
  }
};

using OpenPart = boost::filtered_graph<Drawing, Passes>;

OpenPart open_drawing(const Array& array, const OpenHoses& open, const char* asked) {
  if (open.size() != array.hoses().size()) {
    breach(asked, std::to_string(open.size()) + " entries for " +
                      std::to_string(array.hoses().size()) + " hoses");
  }
  return {array.joins().drawing, Passes{&array.joins().drawing, &open}};
}

// Which points hang together: each point has the number of its group.
struct Groups {
  std::vector<int> of_point;
  std::size_t count = 0;

  std::size_t of(std::size_t point) const { return static_cast<std::size_t>(of_point[point]); }
};

Groups groups_of(const Array& array, const OpenHoses& open, const char* asked) {
  const OpenPart drawing = open_drawing(array, open, asked);
  Groups groups;
  groups.of_point.resize(boost::num_vertices(array.joins().drawing));
  groups.count = static_cast<std::size_t>(boost::connected_components(
      drawing, boost::make_iterator_property_map(groups.of_point.begin(),
                                                 boost::get(boost::vertex_index, drawing))));
  return groups;
}

// Groups that hold a tank.
std::vector<bool> with_tank(const Array& array, const Groups& groups) {
  std::vector<bool> has(groups.count, false);
  for (std::size_t tank = 0; tank < array.tanks().size(); ++tank) has[groups.of(tank)] = true;
  return has;
}

// Groups that hold a tank, or that a pump can push water into from such a group, or from one that
// another pump feeds.
std::vector<bool> supplied(const Array& array, const Groups& groups) {
  const auto& joins = array.joins();
  std::vector<std::vector<std::size_t>> pumped_into(groups.count);
  for (const Pump& pump : array.pumps()) {
    pumped_into[groups.of(joins.point_of(pump.from))].push_back(groups.of(joins.point_of(pump.to)));
  }
  std::vector<bool> has = with_tank(array, groups);
  std::vector<std::size_t> to_follow;
  for (std::size_t group = 0; group < groups.count; ++group) {
    if (has[group]) to_follow.push_back(group);
  }
  while (!to_follow.empty()) {
    const std::size_t group = to_follow.back();
    to_follow.pop_back();
    for (const std::size_t next : pumped_into[group]) {
      if (has[next]) continue;
      has[next] = true;
      to_follow.push_back(next);
    }
  }
  return has;
}

std::vector<TankId> tanks_cut_off(const Array& array, const Groups& before, const Groups& after) {
  const std::size_t count = array.tanks().size();
  std::vector<double> capacity(after.count, 0.0);
  for (std::size_t tank = 0; tank < count; ++tank) {
    capacity[after.of(tank)] += capacity_m3(array.tanks()[tank].shape);
  }
  // The first tank of the largest remainder of each group; the earlier one where two are equal.
  std::vector<std::size_t> stays(before.count, count);
  for (std::size_t tank = 0; tank < count; ++tank) {
    std::size_t& best = stays[before.of(tank)];
    if (best == count || capacity[after.of(tank)] > capacity[after.of(best)]) best = tank;
  }
  std::vector<TankId> cut;
  for (std::size_t tank = 0; tank < count; ++tank) {
    if (after.of(tank) != after.of(stays[before.of(tank)])) cut.push_back(id_at<TankId>(tank));
  }
  return cut;
}

}  // namespace

std::vector<std::vector<TankId>> joined_tanks(const Array& array, const OpenHoses& open) {
  const Groups groups = groups_of(array, open, "joined_tanks");
  const std::size_t none = groups.count;
  std::vector<std::size_t> place_of_group(groups.count, none);
  std::vector<std::vector<TankId>> joined;
  for (std::size_t tank = 0; tank < array.tanks().size(); ++tank) {
    std::size_t& place = place_of_group[groups.of(tank)];
    if (place == none) {
      place = joined.size();
      joined.emplace_back();
    }
    joined[place].push_back(id_at<TankId>(tank));
  }
  return joined;
}

CutOff cut_off_by(const Array& array, const OpenHoses& open, const std::vector<HoseId>& shut) {
  const Groups before = groups_of(array, open, "cut_off_by");
  OpenHoses left = open;
  for (const HoseId hose : shut) {
    if (hose.index >= left.size()) breach("cut_off_by", "no hose " + std::to_string(hose.index));
    left[hose.index] = false;
  }
  const Groups after = groups_of(array, left, "cut_off_by");
  const std::vector<bool> had = supplied(array, before);
  const std::vector<bool> has = supplied(array, after);
  const auto loses = [&](Place place) {
    const std::size_t point = array.joins().point_of(place);
    return had[before.of(point)] && !has[after.of(point)];
  };
  CutOff cut;
  cut.tanks = tanks_cut_off(array, before, after);
  for (std::size_t i = 0; i < array.outlets().size(); ++i) {
    const auto outlet = id_at<OutletId>(i);
    if (loses(outlet)) cut.outlets.push_back(outlet);
  }
  for (std::size_t i = 0; i < array.pumps().size(); ++i) {
    if (loses(array.pumps()[i].from)) cut.pumps.push_back(id_at<PumpId>(i));
  }
  return cut;
}

// Bridges, by the lowest point reached again (R. Tarjan, A note on finding the bridges of a graph,
// Information Processing Letters 2, 1974). Boost.Graph 1.74 finds blocks with
// biconnected_components, but that skips every line back to the point it came from, so two hoses
// between the same pair would each pass for the only way; lines are told apart by themselves here.
// A stack in place of recursion: a chain may be 100 000 tanks long.
std::vector<HoseId> only_ways(const Array& array, const OpenHoses& open) {
  const OpenPart drawing = open_drawing(array, open, "only_ways");
  using NextLine = boost::graph_traits<OpenPart>::out_edge_iterator;
  struct Visit {
    std::size_t point;
    NextLine next;
    NextLine end;
    std::optional<Line> came_by;
  };
  const std::size_t points = boost::num_vertices(array.joins().drawing);
  std::vector<std::size_t> seen_at(points, 0);  // 0: not yet
  std::vector<std::size_t> lowest(points, 0);
  std::vector<bool> is_only_way(array.hoses().size(), false);
  std::vector<Visit> path;
  std::size_t clock = 0;
  const auto enter = [&](std::size_t point, std::optional<Line> came_by) {
    seen_at[point] = lowest[point] = ++clock;
    const auto lines = boost::out_edges(point, drawing);
    path.push_back({point, lines.first, lines.second, came_by});
  };
  for (std::size_t start = 0; start < points; ++start) {
    if (seen_at[start] != 0) continue;
    enter(start, std::nullopt);
    while (!path.empty()) {
      Visit& here = path.back();
      if (here.next != here.end) {
        const Line line = array.joins().drawing[*here.next];
        const std::size_t there = boost::target(*here.next, drawing);
        ++here.next;
        if (here.came_by && line == *here.came_by) continue;
        if (seen_at[there] == 0) {
          enter(there, line);
        } else {
          lowest[here.point] = std::min(lowest[here.point], seen_at[there]);
        }
        continue;
      }
      const Visit done = here;
      path.pop_back();
      if (path.empty()) continue;
      const std::size_t before = path.back().point;
      lowest[before] = std::min(lowest[before], lowest[done.point]);
      if (lowest[done.point] > seen_at[before] && done.came_by->is == Line::Is::hose) {
        is_only_way[done.came_by->index] = true;
      }
    }
  }
  std::vector<HoseId> ways;
  for (std::size_t i = 0; i < is_only_way.size(); ++i) {
    if (is_only_way[i]) ways.push_back(id_at<HoseId>(i));
  }
  return ways;
}

std::vector<Place> without_storage(const Array& array, const OpenHoses& open) {
  const Groups groups = groups_of(array, open, "without_storage");
  const std::vector<bool> has = with_tank(array, groups);
  std::vector<Place> places;
  for (std::size_t point = array.tanks().size(); point < groups.of_point.size(); ++point) {
    if (!has[groups.of(point)]) places.push_back(array.joins().place_of(point));
  }
  return places;
}

}  // namespace tankyard
