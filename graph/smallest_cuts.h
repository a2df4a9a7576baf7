// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

// Private to graph/. Points and lines only: what they stand for, isolating_valves.cpp knows.

namespace tankyard {

/// A way between two points, passable in both directions.
struct CutLine {
  std::size_t from = 0;
  std::size_t to = 0;
  bool can_be_cut = false;
};

/// Which lines to cut so that no point of `inside` hangs together with any point of `outside`.
struct CutQuestion {
  std::vector<CutLine> lines;      ///< doubles and loops may occur
  std::vector<bool> inside;        ///< one entry a point; at least one is true
  std::vector<bool> outside;       ///< one entry a point; none that is inside
  std::vector<std::size_t> ranks;  ///< one entry a point, each rank once: which of the smallest
                                   ///< cuts are kept when there are more than asked for hangs on
                                   ///< the ranks, and not on the order of points and lines
};

struct Cut {
  std::vector<std::size_t> lines;  ///< rising
  std::vector<bool> inside;        ///< one entry a point: still hangs together with the inside
};

struct SmallestCuts {
  bool possible = false;  ///< no: lines that cannot be cut join inside and outside
  bool all_listed = true;
  /// All cuts of the fewest lines, `most` of them at most; the first has the smallest inside, which
  /// is part of the inside of every other. One cut without lines: nothing needs cutting.
  std::vector<Cut> cuts;
};

/// All smallest cuts by one maximum flow: what the flow leaves over tells every smallest cut
/// (J. Picard and M. Queyranne, On the structure of all minimum cuts in a network and applications,
/// Mathematical Programming Study 13, 1980).
///
/// Requires: lists of one length, lines within it, `most` over 0.
/// Cost: lines times the fewest lines to cut, then linear for every cut.
SmallestCuts smallest_cuts(const CutQuestion& question, std::size_t most);

}  // namespace tankyard
