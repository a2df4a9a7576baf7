// SPDX-License-Identifier: MIT
#include "solver/elimination.h"

#include <algorithm>

#include "graph/reach.h"

namespace tankyard {

namespace {

/// What each place is joined to when its turn comes, by rank: late neighbours, with what earlier
/// eliminations joined anew. `rank`: of each place in the order.
std::vector<std::vector<int>> late_neighbours(const std::vector<int>& rank,
                                              const std::vector<std::pair<int, int>>& joins) {
  std::vector<std::vector<int>> later(rank.size());
  for (auto [a, b] : joins) {
    if (a == b) continue;
    const int rank_a = rank[static_cast<std::size_t>(a)];
    const int rank_b = rank[static_cast<std::size_t>(b)];
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
  return later;
}

std::vector<int> ranks_of(const std::vector<int>& order) {
  std::vector<int> rank(order.size());
  for (std::size_t k = 0; k < order.size(); ++k) {
    rank[static_cast<std::size_t>(order[k])] = static_cast<int>(k);
  }
  return rank;
}

}  // namespace

Elimination::Elimination(int places, const std::vector<std::pair<int, int>>& joins)
    : order_(elimination_order(places, joins)),
      diagonal_(static_cast<std::size_t>(places), 0.0),
      inverse_(static_cast<std::size_t>(places), 0.0) {
  // The last of each group of places, which nothing waits for, may as well come after all others:
  // those with one late neighbour then stand together.
  std::vector<std::vector<int>> later = late_neighbours(ranks_of(order_), joins);
  std::vector<int> last;
  std::vector<int> sooner;
  for (std::size_t k = 0; k < order_.size(); ++k) {
    (later[k].empty() ? last : sooner).push_back(order_[k]);
  }
  order_ = std::move(sooner);
  order_.insert(order_.end(), last.begin(), last.end());
  rank_ = ranks_of(order_);
  later = late_neighbours(rank_, joins);
  while (lone_ < later.size() && later[lone_].size() == 1) ++lone_;

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

void Elimination::clear_couplings() { std::fill(entries_.begin(), entries_.end(), 0.0); }

double Elimination::pivot(double left, double before) {
  // Nothing is left of a diagonal when the last place of a group that nothing holds is reached: dry
  // headers joined to each other only. What such a group has too much or too little then moves its
  // heads far, and the caller's bounds keep them.
  return left > 1e-14 * before ? left : 1e-11 * before;
}

void Elimination::factorise(std::vector<double>& right_hand_side) {
  inverse_ = diagonal_;  // as they stand before anything is taken off them
  double* const diagonal = diagonal_.data();
  double* const inverse = inverse_.data();
  double* const entries = entries_.data();
  double* const right = right_hand_side.data();
  const int* const order = order_.data();
  const int* const late = late_.data();
  // Leaves of the graph, and what becomes one: nearly all places of nearly all yards.
  for (std::size_t k = 0; k < lone_; ++k) {
    const auto place = static_cast<std::size_t>(order[k]);
    const auto other = static_cast<std::size_t>(late[k]);
    const double per = 1.0 / pivot(diagonal[place], inverse[place]);
    const double multiplier = entries[2 * k + 1] * per;
    diagonal[other] -= multiplier * entries[2 * k];
    right[other] -= multiplier * right[place];
    inverse[place] = per;
    entries[2 * k + 1] = multiplier;
    entries[2 * k] *= per;
  }
  for (std::size_t k = lone_; k < order_.size(); ++k) {
    const auto place = static_cast<std::size_t>(order[k]);
    const double per = 1.0 / pivot(diagonal[place], inverse[place]);
    inverse[place] = per;
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) {
      const auto other = static_cast<std::size_t>(late[i]);
      entries[2 * i + 1] *= per;  // from here on the multiplier
      diagonal[other] -= entries[2 * i + 1] * entries[2 * i];
      right[other] -= entries[2 * i + 1] * right[place];
    }
    for (std::size_t u = first_update_[k]; u < first_update_[k + 1]; ++u) {
      const Update& update = updates_[u];
      entries[update.target] -= entries[update.low] * entries[update.high];
    }
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) entries[2 * i] *= per;
  }
  back(right_hand_side);
}

void Elimination::solve(std::vector<double>& right_hand_side) const {
  double* const right = right_hand_side.data();
  const double* const entries = entries_.data();
  const int* const order = order_.data();
  const int* const late = late_.data();
  for (std::size_t k = 0; k < lone_; ++k) {
    right[static_cast<std::size_t>(late[k])] -=
        entries[2 * k + 1] * right[static_cast<std::size_t>(order[k])];
  }
  for (std::size_t k = lone_; k < order_.size(); ++k) {
    const double known = right[static_cast<std::size_t>(order[k])];
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) {
      right[static_cast<std::size_t>(late[i])] -= entries[2 * i + 1] * known;
    }
  }
  back(right_hand_side);
}

void Elimination::back(std::vector<double>& right_hand_side) const {
  // The place's own row is divided by its diagonal already: a long row of tanks waits for one
  // product and one difference a place, and no more.
  double* const right = right_hand_side.data();
  const double* const entries = entries_.data();
  const int* const order = order_.data();
  const int* const late = late_.data();
  for (std::size_t k = order_.size(); k-- > lone_;) {
    const auto place = static_cast<std::size_t>(order[k]);
    double sum = right[place] * inverse_[place];
    for (std::size_t i = first_pair_[k]; i < first_pair_[k + 1]; ++i) {
      sum -= entries[2 * i] * right[static_cast<std::size_t>(late[i])];
    }
    right[place] = sum;
  }
  for (std::size_t k = lone_; k-- > 0;) {
    const auto place = static_cast<std::size_t>(order[k]);
    right[place] =
        right[place] * inverse_[place] - entries[2 * k] * right[static_cast<std::size_t>(late[k])];
  }
}

}  // namespace tankyard
