// SPDX-License-Identifier: MIT
#include <cstddef>
#include <set>
#include <utility>
#include <vector>

#include "graph/breach.h"
#include "graph/reach.h"

namespace tankyard {
namespace {

// Neighbours that are still there, each once.
std::vector<std::set<int>> neighbours_of(int places,
                                         const std::vector<std::pair<int, int>>& joins) {
  std::vector<std::set<int>> neighbours(static_cast<std::size_t>(places));
  for (const auto& [a, b] : joins) {
    if (a < 0 || b < 0 || a >= places || b >= places) {
      breach("elimination_order", "a join leads to a place that does not exist");
    }
    if (a == b) continue;
    neighbours[static_cast<std::size_t>(a)].insert(b);
    neighbours[static_cast<std::size_t>(b)].insert(a);
  }
  return neighbours;
}

}  // namespace

// Minimum degree, played out on the sets of neighbours themselves: take the place with the fewest
// (the lowest number among equals), join its neighbours to each other, go on. When all that are
// left know each other, the order no longer matters and the game ends. Near linear while degrees
// stay small, as they do in chains, trees, rings and small grids; a place with k neighbours left
// costs k^2 log k. Boost.Graph 1.74 has minimum_degree_ordering, but it stops with a failed
// assertion (bucket_sorter.hpp:142) on small random graphs with doubles and loops taken out.
std::vector<int> elimination_order(int places, const std::vector<std::pair<int, int>>& joins) {
  if (places < 0) breach("elimination_order", "fewer than no places");
  std::vector<std::set<int>> neighbours = neighbours_of(places, joins);
  const auto of = [&](int place) -> std::set<int>& {
    return neighbours[static_cast<std::size_t>(place)];
  };
  std::set<std::pair<std::size_t, int>> waiting;  // by neighbours left, then by number
  for (int place = 0; place < places; ++place) waiting.insert({of(place).size(), place});

  std::vector<int> order;
  order.reserve(static_cast<std::size_t>(places));
  while (!waiting.empty()) {
    const auto [degree, place] = *waiting.begin();
    if (degree + 1 == waiting.size()) {  // the fewest is everybody else: all know each other
      for (const auto& left : waiting) order.push_back(left.second);
      break;
    }
    waiting.erase(waiting.begin());
    order.push_back(place);
    const std::vector<int> around(of(place).begin(), of(place).end());
    of(place).clear();
    for (const int one : around) waiting.erase({of(one).size(), one});
    for (const int one : around) {
      of(one).erase(place);
      for (const int other : around) {
        if (other != one) of(one).insert(other);
      }
    }
    for (const int one : around) waiting.insert({of(one).size(), one});
  }
  return order;
}

}  // namespace tankyard
