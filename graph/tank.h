// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "graph/ids.h"
#include "graph/shape.h"
#include "graph/site.h"

namespace tankyard {

/// How a tank's headspace meets the outside air.
struct Lid {
  enum class Kind { open, sealed, holed };
  Kind kind = Kind::open;
  double hole_m = 0.0;       ///< bore of each hole, over 0 for a holed lid
  double coefficient = 0.6;  ///< discharge coefficient of a hole, over 0, up to 1
  int count = 1;             ///< holes of that bore, 1 or more
  double screen = 1.0;  ///< part of the hole's area that an insect screen leaves, over 0, up to 1
};

/// A pipe through the wall that lets water out before the tank stands brimful.
struct Overflow {
  double height_m = 0.0;  ///< lowest point of its mouth above the tank's inside bottom
  double bore_m = 0.0;
  double coefficient = 0.6;  ///< discharge coefficient of the mouth, over 0, up to 1
  std::optional<TankId> to;  ///< the tank it runs into, over that tank's rim; none: the ground
};

/// What the wall is made of, from which an allowed vacuum can be estimated.
struct Wall {
  std::string material;  ///< "hdpe", "lldpe", "steel", ...
  double thickness_m = 0.0;
};

struct Tank {
  std::string name;
  Shape shape;
  double base_m = 0.0;    ///< inside bottom above the yard's datum
  double water_m3 = 0.0;  ///< in it at the start
  double outlet_height_m =
      0.0;  ///< where a hose joins unless the hose says otherwise, above the base
  Lid lid;
  std::optional<Overflow> overflow;
  std::optional<double> allowed_vacuum_pa;    ///< the maker's figure
  std::optional<double> allowed_pressure_pa;  ///< the maker's figure
  std::optional<Wall> wall;
  std::optional<double> air_swing_k;  ///< its own day-night swing, for a tank in full sun
  std::optional<Position> position;
  /// Of the air under a closed lid at the start, gauge; only where a run goes on from another.
  double headspace_pa = 0.0;
};

/// Height of the rim above the yard's datum, m.
inline double rim_m(const Tank& tank) { return tank.base_m + height_m(tank.shape); }

/// Height above the yard's datum at which the tank starts to lose water, m: overflow or rim.
inline double lip_m(const Tank& tank) {
  return tank.base_m + (tank.overflow ? tank.overflow->height_m : height_m(tank.shape));
}

/// Water in the tank when it stands at its lip, m3.
inline double lip_volume_m3(const Tank& tank) {
  return volume_m3(tank.shape, lip_m(tank) - tank.base_m);
}

}  // namespace tankyard
