// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/headspace.h"
#include "solver/pump_way.h"
#include "solver/setting.h"

namespace tankyard {

/// What drives a way at some heads: the head difference on either side of its mouths, how far its
/// donor's mouth is covered, and how both change.
struct Drive {
  double head_m = 0.0;   ///< s^2 times the difference, s as in solver/mouth.h
  double of_from = 0.0;  ///< its slope with the head of `from`, >= 0
  double of_to = 0.0;    ///< minus its slope with the head of `to`, >= 0
  bool partly = false;   ///< the donor's mouth is not fully covered
  bool past = false;     ///< it is dry, and what flows yet comes from the other side
};

/// `points`: of the tanks, if any lid is closed; empty: the level of every tank is its head.
/// `flow_m3_per_s`: what passes at present. A way held shut by its non-return valve counts as open
/// as long as something still flows forth: its slope leads back to the edge, where nothing would.
/// So does one out of whose lower end water runs into a tank that stands below it: a turn that
/// leaves the giver under that edge is one too far, and not the end of the flow.
Drive drive_of(const Way& way, const std::vector<double>& head_m,
               const std::vector<Headspaces::Point>& points, double flow_m3_per_s);

/// The ends of a running pump, between which its own law holds (solver/pump_way.h).
PumpEnds pump_ends(const Way& way, const std::vector<double>& head_m,
                   const std::vector<Headspaces::Point>& points);

}  // namespace tankyard
