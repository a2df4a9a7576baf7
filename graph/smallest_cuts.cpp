// SPDX-License-Identifier: MIT
#include "graph/smallest_cuts.h"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/edmonds_karp_max_flow.hpp>
#include <boost/graph/filtered_graph.hpp>
#include <boost/graph/strong_components.hpp>
#include <cstdint>
#include <numeric>
#include <utility>

#include "graph/breach.h"

namespace tankyard {
namespace {

using Traits = boost::adjacency_list_traits<boost::vecS, boost::vecS, boost::directedS>;

// One direction of a line, with what it may carry, what it could still carry on top of the flow
// found, and the direction back.
struct Direction {
  std::int64_t capacity = 0;
  std::int64_t left = 0;
  Traits::edge_descriptor back;
};

using Network = boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS,
                                      boost::no_property, Direction>;

// More than all lines that can be cut together.
constexpr std::int64_t cannot_be_cut = std::int64_t{1} << 40;

void join(Network& network, std::size_t from, std::size_t to, std::int64_t forth,
          std::int64_t back) {
  const auto there = boost::add_edge(from, to, Direction{forth, forth, {}}, network).first;
  const auto again = boost::add_edge(to, from, Direction{back, back, {}}, network).first;
  network[there].back = again;
  network[again].back = there;
}

// Every point of the question under its own number, then one that gives to all that is inside and
// one that takes from all that is outside.
Network network_of(const CutQuestion& question) {
  const std::size_t points = question.inside.size();
  Network network(points + 2);
  for (const CutLine& line : question.lines) {
    const std::int64_t capacity = line.can_be_cut ? 1 : cannot_be_cut;
    join(network, line.from, line.to, capacity, capacity);
  }
  for (std::size_t point = 0; point < points; ++point) {
    if (question.inside[point]) join(network, points, point, cannot_be_cut, cannot_be_cut);
    if (question.outside[point]) join(network, point, points + 1, cannot_be_cut, 0);
  }
  return network;
}

// Edmonds-Karp, for a cut has a handful of lines. Of its peers in release 1.74,
// boykov_kolmogorov_max_flow draws a warning from g++ and push_relabel_max_flow stops with a failed
// assertion where a line carries both ways.
std::int64_t most_flow(Network& network) {
  const std::size_t count = boost::num_vertices(network);
  std::vector<boost::default_color_type> colours(count);
  std::vector<Traits::edge_descriptor> came_by(count);
  const auto by_point = boost::get(boost::vertex_index, network);
  return boost::edmonds_karp_max_flow(
      network, count - 2, count - 1, boost::get(&Direction::capacity, network),
      boost::get(&Direction::left, network), boost::get(&Direction::back, network),
      boost::make_iterator_property_map(colours.begin(), by_point),
      boost::make_iterator_property_map(came_by.begin(), by_point));
}

// Directions that could carry more. Boost.Graph asks that it can be made from nothing.
struct CarriesMore {
  const Network* network = nullptr;

  template <class Edge>
  bool operator()(const Edge& edge) const {
    return (*network)[edge].left > 0;
  }
};

// Points that could carry more to each other both ways are never parted by a smallest cut: they are
// one clump. Between clumps, `next` are those that a clump could carry more to.
struct Clumps {
  std::vector<std::size_t> of_point;
  std::vector<std::vector<std::size_t>> next;
  std::vector<std::vector<std::size_t>> before;
};

Clumps clumps_of(const Network& network) {
  const boost::filtered_graph<Network, CarriesMore> spare(network, CarriesMore{&network});
  Clumps clumps;
  clumps.of_point.resize(boost::num_vertices(network));
  const std::size_t count = boost::strong_components(
      spare, boost::make_iterator_property_map(clumps.of_point.begin(),
                                               boost::get(boost::vertex_index, spare)));
  clumps.next.resize(count);
  clumps.before.resize(count);
  // Point by point: over the edges of all points at once, g++ 12 takes Boost's iterator for unset.
  for (std::size_t point = 0; point < clumps.of_point.size(); ++point) {
    const auto ways = boost::out_edges(point, network);
    for (auto way = ways.first; way != ways.second; ++way) {
      if (network[*way].left == 0) continue;
      const std::size_t from = clumps.of_point[point];
      const std::size_t to = clumps.of_point[boost::target(*way, network)];
      if (from == to) continue;
      clumps.next[from].push_back(to);
      clumps.before[to].push_back(from);
    }
  }
  return clumps;
}

enum class Side : char { open, inside, outside };

// Takes the side, and with it all that are open along `ways`.
void take_side(std::vector<Side>& sides, std::size_t clump, Side side,
               const std::vector<std::vector<std::size_t>>& ways) {
  std::vector<std::size_t> to_follow = {clump};
  sides[clump] = side;
  while (!to_follow.empty()) {
    const std::size_t here = to_follow.back();
    to_follow.pop_back();
    for (const std::size_t there : ways[here]) {
      if (sides[there] != Side::open) continue;
      sides[there] = side;
      to_follow.push_back(there);
    }
  }
}

Cut cut_between(const CutQuestion& question, const Clumps& clumps, const std::vector<Side>& sides) {
  Cut cut;
  cut.inside.resize(question.inside.size());
  for (std::size_t point = 0; point < cut.inside.size(); ++point) {
    cut.inside[point] = sides[clumps.of_point[point]] == Side::inside;
  }
  for (std::size_t i = 0; i < question.lines.size(); ++i) {
    if (cut.inside[question.lines[i].from] != cut.inside[question.lines[i].to]) {
      cut.lines.push_back(i);
    }
  }
  return cut;
}

// Clumps that are on neither side yet, the one with the lowest rank first.
std::vector<std::size_t> still_open(const CutQuestion& question, const Clumps& clumps,
                                    const std::vector<Side>& sides) {
  std::vector<std::size_t> by_rank(question.inside.size());
  std::iota(by_rank.begin(), by_rank.end(), std::size_t{0});
  std::sort(by_rank.begin(), by_rank.end(),
            [&](std::size_t a, std::size_t b) { return question.ranks[a] < question.ranks[b]; });
  std::vector<bool> listed(sides.size(), false);
  std::vector<std::size_t> open;
  for (const std::size_t point : by_rank) {
    const std::size_t clump = clumps.of_point[point];
    if (sides[clump] != Side::open || listed[clump]) continue;
    listed[clump] = true;
    open.push_back(clump);
  }
  return open;
}

// A half-told cut: the clumps up to `next` in the list of open ones have their side.
struct HalfTold {
  std::vector<Side> sides;
  std::size_t next = 0;
};

void check(const CutQuestion& question, std::size_t most) {
  const std::size_t points = question.inside.size();
  bool sound = most > 0 && question.outside.size() == points && question.ranks.size() == points &&
               std::count(question.inside.begin(), question.inside.end(), true) > 0;
  for (std::size_t point = 0; sound && point < points; ++point) {
    sound = !(question.inside[point] && question.outside[point]);
  }
  for (const CutLine& line : question.lines)
    sound = sound && line.from < points && line.to < points;
  if (!sound) breach("smallest_cuts", "a question that contradicts itself");
}

}  // namespace

// A set of clumps is the inside of a smallest cut exactly if it holds the giver, does not hold the
// taker, and holds whatever one of its own could carry more to. Clumps that neither side settles
// are tried outside first, each time with all that follow from it, so that no trial ends in vain
// and no cut comes twice. What hangs together with the inside could carry more to the giver, along
// a way that carries nothing yet or back along what the giver sends; all else is left outside.
SmallestCuts smallest_cuts(const CutQuestion& question, std::size_t most) {
  check(question, most);
  SmallestCuts found;
  Network network = network_of(question);
  if (most_flow(network) >= cannot_be_cut) return found;
  found.possible = true;

  const Clumps clumps = clumps_of(network);
  const std::size_t giver = clumps.of_point[question.inside.size()];
  const std::size_t taker = clumps.of_point[question.inside.size() + 1];
  std::vector<Side> joined(clumps.next.size(), Side::open);
  take_side(joined, giver, Side::inside, clumps.before);
  std::vector<Side> sides(clumps.next.size(), Side::open);
  take_side(sides, giver, Side::inside, clumps.next);
  take_side(sides, taker, Side::outside, clumps.before);
  for (std::size_t clump = 0; clump < sides.size(); ++clump) {
    if (joined[clump] == Side::open) sides[clump] = Side::outside;
  }
  const std::vector<std::size_t> open = still_open(question, clumps, sides);

  std::vector<HalfTold> waiting = {{sides, 0}};
  while (!waiting.empty()) {
    HalfTold told = std::move(waiting.back());
    waiting.pop_back();
    for (; told.next < open.size(); ++told.next) {
      const std::size_t clump = open[told.next];
      if (told.sides[clump] != Side::open) continue;
      // Everything that waits becomes a cut of its own, and so does this one.
      if (found.cuts.size() + waiting.size() + 2 <= most) {
        waiting.push_back({told.sides, told.next + 1});
        take_side(waiting.back().sides, clump, Side::inside, clumps.next);
      } else {
        found.all_listed = false;
      }
      take_side(told.sides, clump, Side::outside, clumps.before);
    }
    found.cuts.push_back(cut_between(question, clumps, told.sides));
  }
  return found;
}

}  // namespace tankyard
