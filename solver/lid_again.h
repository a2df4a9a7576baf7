// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <utility>

#include "graph/array.h"
#include "solver/run.h"
#include "solver/tries.h"

namespace tankyard {

// Other holes in the lids of a yard, and which of them would do.

/// A copy of the parts in which one lid has a single hole of this bore in place of what it has. The
/// coefficient and the screen stay those of the lid: a screened lid keeps its screen over a wider
/// hole. Requires: a bore over 0.
Parts with_hole(const Parts& parts, TankId tank, double bore_m);

/// A copy of the parts in which one lid lets no air through: its holes are blocked.
Parts with_lid_blocked(const Parts& parts, TankId tank);

/// Bore of the one hole, with the same coefficient and screen, that lets through what all holes of
/// a lid do; 0 for a sealed one. Requires: a lid that is not open.
double as_one_hole_m(const Lid& lid);

/// The smallest drill (solver/drills.h) that will do, found by halving the list: it takes for
/// granted that what does with one drill does with every wider one. None: even the widest will not.
std::optional<double> smallest_drill_m(const std::function<bool(double bore_m)>& will_do);

/// Runs a day again and again, each time with another hole in one lid, the other lids as they are.
/// Runs are kept, so that two findings about one lid share them.
class LidAgain {
 public:
  explicit LidAgain(Tries& tries) : tries_(tries) {}

  /// False for a yard so large that running it again would keep people waiting: more than
  /// two hundred thousand steps times places, which takes some seconds a run.
  bool worth_trying() const { return tries_.worth_trying(2e5); }
  const Tries& tries() const { return tries_; }

  /// The smallest drill with which the tank `will_do`. A hole whose run fails, or takes twenty
  /// times the steps of the day as it is, counts as one that will not do. None: not even the widest
  /// does, or the yard is not worth trying, or `tries().over()` before the smallest was found.
  std::optional<double> smallest_that_will_do(
      TankId tank, const std::function<bool(const HeadspaceRecord&)>& will_do);

 private:
  const HeadspaceRecord* with(TankId tank, double bore_m);

  Tries& tries_;
  std::map<std::pair<std::size_t, double>, std::optional<HeadspaceRecord>> kept_;
};

}  // namespace tankyard
