// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace tankyard {

/// The one linear solve: one unknown a place, one coupling a join, the same pattern for every stage
/// of every step of a run.
///
/// The matrix of a stage is an M-matrix by columns: what leaves one place enters another, and
/// storage stands on the diagonal (see solver/README.md). Such a matrix can be eliminated in any
/// order without pivoting (Fiedler and Ptak 1962), so the order is fixed once per array, from the
/// graph alone, and the work becomes a list of operations that is read from front to back. A chain
/// or a tree of n places costs O(n).
///
/// A general sparse library was weighed: it must pivot, or asks for symmetry, which a mouth that
/// runs dry breaks.
class Elimination {
 public:
  /// `joins`: pairs of places from 0 to `places` - 1 that may be coupled; doubles and loops may
  /// occur.
  Elimination(int places, const std::vector<std::pair<int, int>>& joins);

  int places() const { return static_cast<int>(diagonal_.size()); }

  /// Where the coupling of two joined places is kept. Requires: `a` and `b` were joined, a != b.
  struct Coupling {
    std::uint32_t at_a_of_b = 0;  ///< index into `entries` of row a, column b
    std::uint32_t at_b_of_a = 0;
  };
  Coupling coupling(int a, int b) const;

  /// Sets every entry off the diagonal to zero; the diagonal itself is the caller's to set.
  void clear_couplings();
  double& diagonal(int place) { return diagonal_[static_cast<std::size_t>(place)]; }
  double& entry(std::size_t at) { return entries_[at]; }
  /// The same as plain rows, for loops over all of them.
  double* diagonals() { return diagonal_.data(); }
  double* entries() { return entries_.data(); }

  /// Eliminates in place, the entries being spent, and solves for one right-hand side on the way.
  void factorise(std::vector<double>& right_hand_side);

  /// Solves for another right-hand side, in place, after that. May be called again and again.
  void solve(std::vector<double>& right_hand_side) const;

  /// Off-diagonal pairs, with what elimination filled in; for tests and benchmarks.
  std::size_t pairs() const { return late_.size(); }

 private:
  // Pair k couples an early place (eliminated first) with a late one. Its two entries stand beside
  // each other: 2k is (row early, column late), 2k+1 is (row late, column early).
  struct Update {
    std::size_t target;  // entry to change ...
    std::size_t low;     // ... by this multiplier
    std::size_t high;    // ... times this entry
  };
  static double pivot(double left, double before);
  void back(std::vector<double>& right_hand_side) const;

  std::vector<int> order_;               // place eliminated k-th
  std::size_t lone_ = 0;                 // how many of the first have one late neighbour each
  std::vector<std::size_t> first_pair_;  // of the k-th eliminated place; one more at the end
  std::vector<int> late_;                // late place of each pair
  std::vector<std::size_t> first_update_;
  std::vector<Update> updates_;  // off-diagonal updates, by early place
  std::vector<double> diagonal_;
  std::vector<double> inverse_;  // of the diagonal after elimination
  std::vector<double> entries_;
  std::vector<int> rank_;  // of each place in the order
};

}  // namespace tankyard
