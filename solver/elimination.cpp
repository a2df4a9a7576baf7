// SPDX-License-Identifier: MIT
#include "solver/elimination.h"

#include <algorithm>

#include "graph/reach.h"

namespace tankyard {

Elimination::Elimination(int places, const std::vector<std::pair<int, int>>& joins)
    : order_(elimination_order(places, joins)),
      diagonal_(static_cast<std::size_t>(places), 0.0),
      inverse_(static_cast<std::size_t>(places), 0.0),
      rank_(static_cast<std::size_t>(places), 0) {
  for (std::size_t k = 0; k < order_.size(); ++k) {
    rank_[static_cast<std::size_t>(order_[k])] = static_cast<int>(k);
  }

  // Late neighbours of each place, by rank, with what its elimination joins anew.
  std::vector<std::vector<int>> later(order_.size());
  for (auto [a, b] : joins) {
    if (a == b) continue;
    const int rank_a = rank_[static_cast<std::size_t>(a)];
    const int rank_b = rank_[static_cast<std::size_t>(b)];
    later[static_cast<std::size_t>(std::min(rank_a, rank_b))].push_back(std::max(rank_a, rank_b));
  }
  for (auto& neighbours : later) {
    std::sort(neighbours.begin(), neighbours.end());
    neighbours.erase(std::unique(neighbours.begin(), neighbours.end()), neighbours.end());
    if (neighbours.size() < 2) continue;
    // All late neighbours of a place become neighbours; the first of them carries the news on.
    auto& next = later[static_cast<std::size_t>(neighbours.front())];
    next.insert(next.end(), neighbours.begin() + 1, neighbours.end());
  }

  first_pair_.push_back(0);
  for (const auto& neighbours : later) {
    for (int rank : neighbours) late_.push_back(order_[static_cast<std::size_t>(rank)]);
    first_pair_.push_back(late_.size());
  }
  entries_.assign(2 * late_.size(), 0.0);

  first_update_.push_back(0);
  for (std::size_t k = 0; k < order_.size(); ++k) {
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) {
      for (std::size_t j = first_pair_[k]; j < first_pair_[k + 1]; ++j) {
        if (i == j) continue;
        const Coupling target = coupling(late_[i], late_[j]);
        updates_.push_back({target.at_a_of_b, 2 * i + 1, 2 * j});
      }
    }
    first_update_.push_back(updates_.size());
  }
}

Elimination::Coupling Elimination::coupling(int a, int b) const {
  const int rank_a = rank_[static_cast<std::size_t>(a)];
  const int rank_b = rank_[static_cast<std::size_t>(b)];
  const auto early = static_cast<std::size_t>(std::min(rank_a, rank_b));
  const int late_rank = std::max(rank_a, rank_b);
  const auto first = late_.begin() + static_cast<std::ptrdiff_t>(first_pair_[early]);
  const auto last = late_.begin() + static_cast<std::ptrdiff_t>(first_pair_[early + 1]);
  const auto found = std::lower_bound(first, last, late_rank, [this](int place, int rank) {
    return rank_[static_cast<std::size_t>(place)] < rank;
  });
  const auto pair = static_cast<std::uint32_t>(found - late_.begin());
  return rank_a < rank_b ? Coupling{2 * pair, 2 * pair + 1} : Coupling{2 * pair + 1, 2 * pair};
}

void Elimination::clear() {
  std::fill(diagonal_.begin(), diagonal_.end(), 0.0);
  std::fill(entries_.begin(), entries_.end(), 0.0);
}

void Elimination::factorise() {
  inverse_ = diagonal_;  // as they stand before anything is taken off them
  for (std::size_t k = 0; k < order_.size(); ++k) {
    const auto place = static_cast<std::size_t>(order_[k]);
    // Nothing is left of a diagonal when the last place of a group that nothing holds is reached:
    // dry headers joined to each other only. What such a group has too much or too little then
    // moves its heads far, and the caller's bounds keep them.
    if (!(diagonal_[place] > 1e-14 * inverse_[place])) diagonal_[place] = 1e-11 * inverse_[place];
    const double inverse = 1.0 / diagonal_[place];
    inverse_[place] = inverse;
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) {
      entries_[2 * i + 1] *= inverse;  // from here on the multiplier
      diagonal_[static_cast<std::size_t>(late_[i])] -= entries_[2 * i + 1] * entries_[2 * i];
    }
    for (std::size_t u = first_update_[k]; u < first_update_[k + 1]; ++u) {
      entries_[updates_[u].target] -= entries_[updates_[u].low] * entries_[updates_[u].high];
    }
  }
}

void Elimination::solve(std::vector<double>& right_hand_side) const {
  for (std::size_t k = 0; k < order_.size(); ++k) {
    const double known = right_hand_side[static_cast<std::size_t>(order_[k])];
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) {
      right_hand_side[static_cast<std::size_t>(late_[i])] -= entries_[2 * i + 1] * known;
    }
  }
  for (std::size_t k = order_.size(); k-- > 0;) {
    const auto place = static_cast<std::size_t>(order_[k]);
    double sum = right_hand_side[place];
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) {
      sum -= entries_[2 * i] * right_hand_side[static_cast<std::size_t>(late_[i])];
    }
    right_hand_side[place] = sum * inverse_[place];
  }
}

}  // namespace tankyard
