// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

namespace tankyard {

/// A smooth curve through points that never fall, which never falls between them either: a cubic on
/// each stretch, one slope at each point (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238).
///
/// Slopes start as those of the parabola through a point and its two neighbours (at an end: the
/// nearest three points), so that a parabola is met exactly where nothing else asks otherwise. Then
/// slopes are lowered until, on each stretch of mean slope m, (slope at start / m)^2 + (slope at
/// end / m)^2 <= 9, which is enough for it never to fall.
///
/// Boost.Math 1.74 has a `pchip` that does nearly this. It is not used here because it asks for
/// four points at least, where makers print two or three; takes the first stretch's mean slope as
/// the end's, where a pump's curve is level; has no inverse; and throws. Its `cubic_hermite` is
/// what tests hold the evaluation against.
struct MonotoneCubic {
  std::vector<double> x;      ///< rising
  std::vector<double> y;      ///< as many, never falling
  std::vector<double> slope;  ///< at each point, 0 or more
};

/// `least_share`, 0 to 0.1: no slope at a point is less than this share of the less steep stretch
/// beside it. Over 0, and with y rising from point to point, the curve is strictly rising and its
/// inverse has finite slopes; the price is that it misses a curve that sets out level by up to
/// least_share * 4/27 of the first stretch's rise.
///
/// Requires: two points or more, finite, x rising, y not falling.
MonotoneCubic monotone_cubic(std::vector<double> x, std::vector<double> y, double least_share);

struct ValueAndSlope {
  double value = 0.0;
  double slope = 0.0;  ///< exact derivative
};

/// Requires: x from the first point's to the last one's.
ValueAndSlope value_at(const MonotoneCubic& curve, double x);

/// The x at which the curve has a value, to rounding: the inverse. Requires: y strictly rising, and
/// `y` from the first point's to the last one's.
double where(const MonotoneCubic& curve, double y);

}  // namespace tankyard
