// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <numeric>

#include "io/elevation_items.h"

namespace tankyard::elevation {
namespace {

/// Above this many items the order of the plan is kept: the descent grows with their square.
constexpr std::size_t most_moved = 120;
constexpr int most_rounds = 30;

struct Pull {
  std::size_t other;
  double strength;
};

/// Who wants to stand near whom.
std::vector<std::vector<Pull>> pulls_of(const Parts& parts, const Items& items) {
  std::vector<std::vector<Pull>> pulls(items.all.size());
  const auto pull = [&](std::size_t a, std::size_t b, double strength) {
    if (a == b) return;
    pulls[a].push_back({b, strength});
    pulls[b].push_back({a, strength});
  };
  for (const Link& link : items.links) pull(link.item[0], link.item[1], 1.0);
  for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
    const auto& overflow = parts.tanks[t].overflow;
    if (overflow && overflow->to) pull(items.tank[t], items.tank[overflow->to->index], 0.7);
  }
  for (const AirLine& line : parts.air_lines) {
    pull(items.tank[line.from.index], items.tank[line.to.index], 0.4);
  }
  return pulls;
}

/// Pieces of yard that nothing joins, each with its items in the order of the plan.
std::vector<std::size_t> piece_of(const std::vector<std::vector<Pull>>& pulls) {
  constexpr std::size_t none = static_cast<std::size_t>(-1);
  std::vector<std::size_t> piece(pulls.size(), none);
  for (std::size_t first = 0; first < pulls.size(); ++first) {
    if (piece[first] != none) continue;
    std::vector<std::size_t> open = {first};
    piece[first] = first;
    while (!open.empty()) {
      const std::size_t at = open.back();
      open.pop_back();
      for (const Pull& each : pulls[at]) {
        if (piece[each.other] != none) continue;
        piece[each.other] = first;
        open.push_back(each.other);
      }
    }
  }
  return piece;
}

double length_of(const std::vector<std::size_t>& order,
                 const std::vector<std::vector<Pull>>& pulls) {
  std::vector<double> place(order.size());
  for (std::size_t k = 0; k < order.size(); ++k) place[order[k]] = static_cast<double>(k);
  double sum = 0.0;
  for (std::size_t item = 0; item < pulls.size(); ++item) {
    for (const Pull& each : pulls[item]) {
      sum += each.strength * std::fabs(place[item] - place[each.other]);
    }
  }
  return sum;
}

/// Puts an item where the sum of lengths is least; of equal places, where it is already.
void put_best(std::vector<std::size_t>& order, std::size_t item,
              const std::vector<std::vector<Pull>>& pulls) {
  const auto found = std::find(order.begin(), order.end(), item);
  const bool there = found != order.end();
  std::size_t best = order.size();
  double least = INFINITY;
  if (there) {
    best = static_cast<std::size_t>(found - order.begin());
    least = length_of(order, pulls);
    order.erase(found);
  }
  for (std::size_t k = 0; k <= order.size(); ++k) {
    std::vector<std::size_t> tried = order;
    tried.insert(tried.begin() + static_cast<std::ptrdiff_t>(k), item);
    const double length = length_of(tried, pulls);
    if (length < least - 1e-9) {
      least = length;
      best = k;
    }
  }
  order.insert(order.begin() + static_cast<std::ptrdiff_t>(std::min(best, order.size())), item);
}

}  // namespace

std::vector<std::size_t> left_to_right(const Parts& parts, const Items& items) {
  const auto pulls = pulls_of(parts, items);
  const std::vector<std::size_t> piece = piece_of(pulls);
  std::vector<std::size_t> fixed;
  std::vector<std::size_t> loose;
  for (std::size_t item = 0; item < items.all.size(); ++item) {
    (items.all[item].position ? fixed : loose).push_back(item);
  }
  std::stable_sort(fixed.begin(), fixed.end(), [&](std::size_t a, std::size_t b) {
    return items.all[a].position->x_m < items.all[b].position->x_m;
  });

  // Loose ones first stand behind the last of their piece that stands already, else at the end.
  std::vector<std::size_t> order = fixed;
  for (const std::size_t item : loose) {
    auto after = order.end();
    for (auto it = order.begin(); it != order.end(); ++it) {
      if (piece[*it] == piece[item]) after = it + 1;
    }
    order.insert(after, item);
  }
  if (loose.empty() || items.all.size() > most_moved) return order;
  for (int round = 0; round < most_rounds; ++round) {
    const std::vector<std::size_t> before = order;
    // Headers, outlets and pumps first: tanks keep the order of the plan where that is as good.
    for (auto it = loose.rbegin(); it != loose.rend(); ++it) put_best(order, *it, pulls);
    if (order == before) break;
  }
  return order;
}

}  // namespace tankyard::elevation
