// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"

namespace plain {

/// A second reading of the physics: the same yard, written again from the equations with nothing of
/// solver/ in it, slow and plain. Open lids only, no pumps (plain_air.h has
/// both). Flow is found from heads by searching,
/// a header's head by halving, an overflow by fine quadrature; volumes go forward by explicit steps
/// of fifth order. What both readings say must agree.
///
/// Headers are taken as always full: give it only yards in which they stay so.

/// Friction factor, Churchill 1977, as printed.
double friction_factor(double reynolds, double relative_roughness);

/// Flow through a way for water, m3/s, from the head that drives it; odd. No table, no Newton.
struct Pipe {
  double bore_m = 0.0;
  double length_m = 0.0;  ///< 0: a hole
  double roughness_m = 0.0;
  double loss_k = 0.0;  ///< all of it, on its own velocity
};
double head_lost_m(const Pipe& pipe, double flow_m3_per_s);
double flow_m3_per_s(const Pipe& pipe, double head_m);

/// Share of a round mouth's area under a level that stands `height_m` over its lowest point.
double share_covered(double height_m, double bore_m);

double overflow_m3_per_s(double height_m, double bore_m, double coefficient);

/// What comes of a fixed draw under so much water: it fades over its last centimetre.
double drawn(double height_m, double asked);

double depth_of(const tankyard::Shape& shape, double volume_m3);

/// Where the water went. One entry a part, in plan order.
struct Outcome {
  std::vector<double> volume_m3;      ///< per tank, at the end
  std::vector<double> overflowed_m3;  ///< per tank
  std::vector<double> over_rim_m3;    ///< per tank
  std::vector<double> carried_m3;     ///< per hose, `from` to `to`
  std::vector<double> delivered_m3;   ///< per outlet
  std::vector<double> leaked_m3;      ///< per leak
  std::vector<double> caught_m3;      ///< per roof
  std::vector<double> let_in_m3;      ///< per top-up
  long long steps = 0;
};

/// `tolerance_m3`: error of one step in any volume.
Outcome run(const tankyard::Parts& parts, const tankyard::DaySheet& sheet, double tolerance_m3);

}  // namespace plain
