// SPDX-License-Identifier: MIT
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "solver/run.h"
#include "solver/who_meets.h"

// Why water stands in a tank and does not come to where it is wanted. Each way from the tank has
// sills: the heights that water has to stand above to pass, which are the mouths of its hoses,
// crests and headers that hold air, and the place itself. The way that counts is the one whose
// highest sill is lowest. Water that stands no higher than that sill is kept by it; if it stands
// higher, the way is open, and either a vacuum over it takes most of what could drive it, or the
// way is merely too thin.

namespace tankyard {

/// What keeps the water of one tank.
struct Keeper {
  enum class Is { shut, no_hose, one_way, holds_air, header_air, mouth, vacuum, thin };
  Is is = Is::thin;
  std::optional<HoseId> hose;
  std::optional<HeaderId> header;
  std::vector<HoseId> shut;
  double sill_m = -std::numeric_limits<double>::infinity();  ///< highest one on the way, if any
  double vacuum_m = 0.0;  ///< of water, that holds the tank's own back
};

/// Judges tanks against one place where water is wanted, at one moment.
class WhatKeeps {
 public:
  /// Which hose of an open way is called too thin: the one of the least bore, or the one whose ends
  /// stand furthest apart.
  enum class Thin { by_bore, by_levels };

  /// `above_m`: the place's own sill; minus infinity for one that draws below itself.
  WhatKeeps(const Parts& parts, Place place, double above_m, const YardMoment& moment, Thin thin);

  Keeper keeper_of(TankId tank) const;

 private:
  bool against(const Leg& leg) const;
  double apart_m(const Leg& leg) const;
  Keeper on_open_way(TankId tank) const;
  bool held_by_vacuum(TankId tank, double over_m) const;

  const Parts& parts_;
  const YardMoment& moment_;
  Thin thin_;
  WaysFrom open_;             // cost: the highest sill
  WaysFrom open_either_way_;  // cost: non-return valves in the way
  WaysFrom any_;              // cost: hoses that are shut
};

/// "`V1` is shut", "`a-b` is too thin to bring it in time"
std::string in_words(const Parts& parts, const Keeper& keeper);
/// Valves or hoses that are shut on the way: "`V1` and `V2`".
std::string names_of_shut(const Parts& parts, const Keeper& keeper);

}  // namespace tankyard
