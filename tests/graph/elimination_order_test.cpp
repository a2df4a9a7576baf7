// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <set>
#include <utility>
#include <vector>

#include "cpu_time.h"
#include "graph/reach.h"

namespace tankyard {
namespace elimination_order_test {

using Joins = std::vector<std::pair<int, int>>;

std::vector<std::set<int>> neighbours(int places, const Joins& joins) {
  std::vector<std::set<int>> list(static_cast<std::size_t>(places));
  for (const auto& [a, b] : joins) {
    if (a == b) continue;
    list[static_cast<std::size_t>(a)].insert(b);
    list[static_cast<std::size_t>(b)].insert(a);
  }
  return list;
}

// Plays the elimination out and counts the couplings it adds. `watch` sees every move: the place
// and the degrees of all that are still there.
template <class Watch>
long long fill_in(int places, const Joins& joins, const std::vector<int>& order, Watch watch) {
  auto list = neighbours(places, joins);
  std::vector<bool> gone(static_cast<std::size_t>(places), false);
  long long added = 0;
  for (const int place : order) {
    watch(place, list, gone);
    auto& own = list[static_cast<std::size_t>(place)];
    for (const int a : own) {
      list[static_cast<std::size_t>(a)].erase(place);
      for (const int b : own) {
        if (a != b && list[static_cast<std::size_t>(a)].insert(b).second && a < b) ++added;
      }
    }
    own.clear();
    gone[static_cast<std::size_t>(place)] = true;
  }
  return added;
}

long long fill_in(int places, const Joins& joins, const std::vector<int>& order) {
  return fill_in(places, joins, order, [](int, const auto&, const auto&) {});
}

Joins chain(int places) {
  Joins joins;
  for (int i = 1; i < places; ++i) joins.emplace_back(i - 1, i);
  return joins;
}

Joins ring(int places) {
  Joins joins = chain(places);
  joins.emplace_back(places - 1, 0);
  return joins;
}

Joins grid(int side) {
  Joins joins;
  for (int i = 0; i < side * side; ++i) {
    if (i % side != 0) joins.emplace_back(i - 1, i);
    if (i >= side) joins.emplace_back(i - side, i);
  }
  return joins;
}

bool is_permutation_of(int places, std::vector<int> order) {
  std::sort(order.begin(), order.end());
  for (int i = 0; i < places; ++i) {
    if (order.size() != static_cast<std::size_t>(places)) return false;
    if (order[static_cast<std::size_t>(i)] != i) return false;
  }
  return order.size() == static_cast<std::size_t>(places);
}

TEST(EliminationOrder, FillsNothingInAlongAChain) {
  EXPECT_EQ(fill_in(50, chain(50), elimination_order(50, chain(50))), 0);
}

// Numbered at random, so that the natural order would fill in.
RC_GTEST_PROP(EliminationOrder, FillsNothingInOnATree, ()) {
  const int places = *rc::gen::inRange(1, 60);
  Joins joins;
  for (int i = 1; i < places; ++i) joins.emplace_back(*rc::gen::inRange(0, i), i);
  std::vector<int> number(static_cast<std::size_t>(places));
  for (int i = 0; i < places; ++i) number[static_cast<std::size_t>(i)] = i;
  for (int i = places - 1; i > 0; --i) {
    std::swap(number[static_cast<std::size_t>(i)],
              number[static_cast<std::size_t>(*rc::gen::inRange(0, i + 1))]);
  }
  for (auto& [a, b] : joins) {
    a = number[static_cast<std::size_t>(a)];
    b = number[static_cast<std::size_t>(b)];
  }
  const auto order = elimination_order(places, joins);
  RC_ASSERT(is_permutation_of(places, order));
  RC_ASSERT(fill_in(places, joins, order) == 0);
}

// A ring of n cannot do with less: it has to be cut into n - 2 triangles by n - 3 chords.
TEST(EliminationOrder, FillsARingWithAsFewAsCanBe) {
  for (const int places : {3, 4, 5, 12, 101}) {
    EXPECT_EQ(fill_in(places, ring(places), elimination_order(places, ring(places))), places - 3);
  }
}

TEST(EliminationOrder, FillsAGridLessThanRowByRowDoes) {
  const int side = 30;
  const auto order = elimination_order(side * side, grid(side));
  EXPECT_TRUE(is_permutation_of(side * side, order));
  std::vector<int> rows(static_cast<std::size_t>(side * side));
  for (int i = 0; i < side * side; ++i) rows[static_cast<std::size_t>(i)] = i;
  EXPECT_LT(2 * fill_in(side * side, grid(side), order), fill_in(side * side, grid(side), rows));
}

// The rule itself, on anything: whoever goes has no more neighbours left than anybody else, and of
// equals the lowest number goes. Doubles and loops change nothing.
RC_GTEST_PROP(EliminationOrder, TakesTheFewestNeighboursFirst, ()) {
  const int places = *rc::gen::inRange(1, 25);
  const int count = *rc::gen::inRange(0, 3 * places);
  Joins joins;
  for (int i = 0; i < count; ++i) {
    joins.emplace_back(*rc::gen::inRange(0, places), *rc::gen::inRange(0, places));
  }
  const auto order = elimination_order(places, joins);
  RC_ASSERT(is_permutation_of(places, order));
  fill_in(places, joins, order, [&](int place, const auto& list, const auto& gone) {
    const std::size_t own = list[static_cast<std::size_t>(place)].size();
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (gone[i]) continue;
      RC_ASSERT(list[i].size() >= own);
      RC_ASSERT(list[i].size() > own || static_cast<int>(i) >= place);
    }
  });
  Joins again;
  for (const auto& [a, b] : joins) {
    again.emplace_back(b, a);
    again.emplace_back(a, b);
    again.emplace_back(a, a);
  }
  RC_ASSERT(elimination_order(places, again) == order);
}

TEST(EliminationOrder, TakesNothingAndLonePlaces) {
  EXPECT_THAT(elimination_order(0, {}), testing::IsEmpty());
  EXPECT_THAT(elimination_order(3, {}), testing::ElementsAre(0, 1, 2));
  EXPECT_THAT(elimination_order(1, {{0, 0}}), testing::ElementsAre(0));
}

TEST(EliminationOrderDeathTest, StopsAtJoinsThatLeadNowhere) {
  EXPECT_DEATH(elimination_order(2, {{0, 2}}), "breach: elimination_order: a join leads to");
  EXPECT_DEATH(elimination_order(2, {{2, 0}}), "breach: elimination_order: a join leads to");
  EXPECT_DEATH(elimination_order(2, {{-1, 0}}), "breach: elimination_order: a join leads to");
  EXPECT_DEATH(elimination_order(2, {{0, -1}}), "breach: elimination_order: a join leads to");
  EXPECT_DEATH(elimination_order(-1, {}), "breach: elimination_order: fewer than no places");
}

// Each of these takes about a tenth of a second; a square law would take minutes.
TEST(EliminationOrder, OrdersLargeYardsInNoTime) {
  const int places = 100000;
  Joins star;
  Joins tree;
  for (int i = 1; i < places; ++i) {
    star.emplace_back(0, i);
    tree.emplace_back(i / 2, i);
  }
  Joins wheel = star;
  for (int i = 2; i < places; ++i) wheel.emplace_back(i - 1, i);
  for (const Joins& joins : {chain(places), ring(places), star, tree, wheel}) {
    const double start_s = cpu_s();
    EXPECT_TRUE(is_permutation_of(places, elimination_order(places, joins)));
    const double took_s = cpu_s() - start_s;
    EXPECT_LT(took_s, 5.0);
  }
}

}  // namespace elimination_order_test
}  // namespace tankyard
