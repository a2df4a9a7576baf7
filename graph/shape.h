// SPDX-License-Identifier: MIT
#pragma once

#include <variant>
#include <vector>

namespace tankyard {

/// A box or any tank with the same floor area at every height: caged tanks, square cisterns.
struct Prism {
  double area_m2 = 0.0;
  double height_m = 0.0;
};

/// A round tank standing on its end: butts, drums.
struct Upright {
  double diameter_m = 0.0;
  double height_m = 0.0;
};

/// A round tank lying on its side, with flat ends.
struct Lying {
  double diameter_m = 0.0;
  double length_m = 0.0;
};

/// A tank of any shape, measured: water volume at rising depths, both starting at zero. Between two
/// rows the floor area is taken as constant.
struct DepthTable {
  std::vector<double> depth_m;
  std::vector<double> volume_m3;
};

using Shape = std::variant<Prism, Upright, Lying, DepthTable>;

/// Inside height from floor to rim, m.
double height_m(const Shape& shape);

/// Volume up to the rim, m3.
double capacity_m3(const Shape& shape);

/// Area of the opening that water standing over the rim would fill, m2: the top area of the tank,
/// and for a lying tank, whose top has no area, that of an assumed lid 0.4 m across.
double rim_area_m2(const Shape& shape);

/// Length of the lip that water runs over when a tank stands brimful, m. A prism is taken as
/// square; a lying tank spills round an assumed lid 0.4 m across.
double rim_length_m(const Shape& shape);

/// Water volume at a depth, m3. Exact from floor to rim. Above the rim the volume goes on with the
/// rim's area; below the floor it goes on, negative, with the floor's area, so that a solver on its
/// way has something to stand on (a lying tank has no floor area and stays at zero).
///
/// Lying: V = L (r^2 acos((r-h)/r) - (r-h) sqrt(2rh - h^2)), the circular segment (any table of
/// mensuration; checked against the printed fill fractions in tests/published).
double volume_m3(const Shape& shape, double depth_m);

/// Area of the water's surface at a depth, m2: the slope of `volume_m3`.
double surface_m2(const Shape& shape, double depth_m);

/// Depth of a volume, m: the inverse of `volume_m3` for volumes of zero or more.
/// Exact for prisms, uprights and tables; to 1e-14 of the diameter for lying tanks.
double depth_m(const Shape& shape, double volume_m3);

}  // namespace tankyard
