// SPDX-License-Identifier: MIT
#include "solver/elimination.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include "near.h"

namespace tankyard {
namespace elimination_test {

using Joins = std::vector<std::pair<int, int>>;
using Matrix = std::vector<std::vector<double>>;

/// Gauss with full rows and row pivots: shares nothing with the sparse one but arithmetic.
std::vector<double> dense_solve(Matrix a, std::vector<double> b) {
  const std::size_t n = b.size();
  for (std::size_t k = 0; k < n; ++k) {
    std::size_t pivot = k;
    for (std::size_t i = k; i < n; ++i) {
      if (std::fabs(a[i][k]) > std::fabs(a[pivot][k])) pivot = i;
    }
    std::swap(a[k], a[pivot]);
    std::swap(b[k], b[pivot]);
    for (std::size_t i = k + 1; i < n; ++i) {
      const double factor = a[i][k] / a[k][k];
      for (std::size_t j = k; j < n; ++j) a[i][j] -= factor * a[k][j];
      b[i] -= factor * b[k];
    }
  }
  for (std::size_t k = n; k-- > 0;) {
    for (std::size_t j = k + 1; j < n; ++j) b[k] -= a[k][j] * b[j];
    b[k] /= a[k][k];
  }
  return b;
}

/// Adds a way that takes `of_a` a metre of head at a from a and gives it to b, and the other way
/// round, as a stage of a step does.
void add_way(Elimination& sparse, Matrix& dense, int a, int b, double of_a, double of_b) {
  sparse.diagonal(a) += of_a;
  sparse.diagonal(b) += of_b;
  const Elimination::Coupling coupling = sparse.coupling(a, b);
  sparse.entry(coupling.at_a_of_b) -= of_b;
  sparse.entry(coupling.at_b_of_a) -= of_a;
  const auto i = static_cast<std::size_t>(a);
  const auto j = static_cast<std::size_t>(b);
  dense[i][i] += of_a;
  dense[j][j] += of_b;
  dense[i][j] -= of_b;
  dense[j][i] -= of_a;
}

// Source of truth: dense elimination with pivots. Ways are one-sided as often as not, as they are
// behind a dry mouth; areas of storage spread over eight powers of ten.
RC_GTEST_PROP(Elimination, SolvesAsDenseGaussDoes, ()) {
  const int places = *rc::gen::inRange(1, 20);
  const auto pick = [&] { return *rc::gen::inRange(0, places); };
  const auto spread = [](double low, double high) {
    const int step = *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(0, 1001));
    return low * std::pow(high / low, step / 1000.0);
  };
  Joins joins;
  const int ways = *rc::gen::inRange(0, 3 * places);
  for (int k = 0; k < ways; ++k) joins.emplace_back(pick(), pick());  // doubles and loops as well

  Elimination sparse(places, joins);
  RC_ASSERT(sparse.places() == places);
  Matrix dense(static_cast<std::size_t>(places),
               std::vector<double>(static_cast<std::size_t>(places), 0.0));
  std::vector<double> right;
  for (int round = 0; round < 2; ++round) {  // the second finds nothing of the first left
    sparse.clear_couplings();
    for (auto& row : dense) row.assign(row.size(), 0.0);
    right.clear();
    for (int place = 0; place < places; ++place) {
      const double area = spread(1e-4, 1e4);
      sparse.diagonal(place) = area;
      dense[static_cast<std::size_t>(place)][static_cast<std::size_t>(place)] += area;
      right.push_back(spread(1e-6, 1.0));
    }
    for (const auto& [a, b] : joins) {
      if (a == b) continue;
      const bool one_sided = *rc::gen::arbitrary<bool>();
      add_way(sparse, dense, a, b, spread(1e-4, 1e4), one_sided ? 0.0 : spread(1e-4, 1e4));
    }
    std::vector<double> got = right;
    sparse.factorise(got);
    std::vector<double> again = right;
    sparse.solve(again);
    RC_ASSERT(got == again);
    const std::vector<double> want = dense_solve(dense, right);
    for (std::size_t i = 0; i < got.size(); ++i) {
      RC_ASSERT(std::fabs(got[i] - want[i]) <= 1e-9 * std::fabs(want[i]) + 1e-15);
    }
  }
}

// Source of truth: a tree falls leaf by leaf, so nothing is filled in.
TEST(Elimination, FillsNothingInOnAChainOrAStar) {
  Joins chain, star;
  for (int place = 1; place < 1000; ++place) {
    chain.emplace_back(place - 1, place);
    star.emplace_back(0, place);
  }
  EXPECT_EQ(Elimination(1000, chain).pairs(), chain.size());
  EXPECT_EQ(Elimination(1000, star).pairs(), star.size());
}

TEST(Elimination, KeepsOneCouplingForHosesSideBySide) {
  EXPECT_EQ(Elimination(3, {{0, 1}, {1, 0}, {0, 1}, {2, 2}}).pairs(), 1U);
}

// Source of truth: by hand, 2x - y = 1 and -x + 3y = 7 give x = 2, y = 3.
TEST(Elimination, KnowsARowFromAColumn) {
  Elimination sparse(2, {{0, 1}});
  sparse.diagonal(0) = 2.0;
  sparse.diagonal(1) = 3.0;
  sparse.entry(sparse.coupling(0, 1).at_a_of_b) = -1.0;
  sparse.entry(sparse.coupling(0, 1).at_b_of_a) = -1.0;
  std::vector<double> both = {1.0, 7.0};
  sparse.factorise(both);
  EXPECT_TRUE(near(both[0], 2.0, {1e-15, 0.0}));
  EXPECT_TRUE(near(both[1], 3.0, {1e-15, 0.0}));

  // Row 1 hears of place 0, row 0 of nothing: x = 1 / 2, y = (7 + x) / 3.
  sparse.clear_couplings();
  sparse.diagonal(0) = 2.0;
  sparse.diagonal(1) = 3.0;
  sparse.entry(sparse.coupling(1, 0).at_a_of_b) = -1.0;
  both = {1.0, 7.0};
  sparse.factorise(both);
  EXPECT_TRUE(near(both[0], 0.5, {1e-15, 0.0}));
  EXPECT_TRUE(near(both[1], 2.5, {1e-15, 0.0}));
}

// A group that nothing holds has no answer of its own; what comes back is finite or the caller's
// bounds could not keep it.
TEST(Elimination, StaysFiniteWhereNothingHoldsAGroup) {
  Elimination sparse(2, {{0, 1}});
  Matrix dense(2, {0.0, 0.0});
  add_way(sparse, dense, 0, 1, 0.3, 0.3);
  std::vector<double> both = {1e-3, 0.0};
  sparse.factorise(both);
  EXPECT_TRUE(std::isfinite(both[0]));
  EXPECT_TRUE(std::isfinite(both[1]));
}

}  // namespace elimination_test
}  // namespace tankyard
