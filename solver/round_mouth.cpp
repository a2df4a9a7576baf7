// SPDX-License-Identifier: MIT
#include "solver/round_mouth.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace tankyard {
namespace {

constexpr std::size_t cubics = 256;

struct Knot {
  double value = 0.0;
  double slope = 0.0;
};

// 2F1(a, b; c; z) and its slope, term by term, below 1.
Knot hypergeometric(double a, double b, double c, double z) {
  Knot sum{1.0, 0.0};
  double term = 1.0;   // without z^n
  double power = 1.0;  // z^(n - 1)
  for (int n = 1;; ++n) {
    term *= (a + n - 1.0) * (b + n - 1.0) / ((c + n - 1.0) * n);
    const double slope = n * term * power;
    power *= z;
    sum.value += term * power;
    sum.slope += slope;
    if (std::fabs(slope) < 1e-17) return sum;
  }
}

// 2F1(a, b; c; 1) = gamma(c) gamma(c - a - b) / (gamma(c - a) gamma(c - b)).
double hypergeometric_at_1(double a, double b, double c) {
  return std::tgamma(c) * std::tgamma(c - a - b) / (std::tgamma(c - a) * std::tgamma(c - b));
}

std::array<Knot, cubics + 1> knots() {
  constexpr double a = -0.5;
  constexpr double b = 1.5;
  constexpr double c = 3.0;
  std::array<Knot, cubics + 1> made;
  for (std::size_t k = 0; k < cubics; ++k) {
    made[k] = hypergeometric(a, b, c, static_cast<double>(k) / cubics);
  }
  // The slope is a b / c 2F1(a + 1, b + 1; c + 1; z).
  made[cubics] = {hypergeometric_at_1(a, b, c),
                  a * b / c * hypergeometric_at_1(a + 1.0, b + 1.0, c + 1.0)};
  return made;
}

Knot at(double z) {
  static const std::array<Knot, cubics + 1> table = knots();
  const double place = z * cubics;
  const std::size_t k = std::min(static_cast<std::size_t>(place), cubics - 1);
  const double t = place - static_cast<double>(k);
  constexpr double wide = 1.0 / cubics;
  const Knot& from = table[k];
  const Knot& to = table[k + 1];
  // Value, slope and bends of the cubic at its beginning.
  const double rise = to.value - from.value;
  const double m0 = wide * from.slope;
  const double m1 = wide * to.slope;
  const double second = 3.0 * rise - 2.0 * m0 - m1;
  const double third = m0 + m1 - 2.0 * rise;
  return {from.value + t * (m0 + t * (second + t * third)),
          (m0 + t * (2.0 * second + t * 3.0 * third)) * cubics};
}

}  // namespace

RoundMouthFlow round_mouth_flow(double x) {
  constexpr double quarter_pi = 0.25 * std::numbers::pi;
  if (x <= 1.0) {
    const Knot e = at(x);
    return {quarter_pi * x * x * e.value, quarter_pi * x * (2.0 * e.value + x * e.slope)};
  }
  const double root = std::sqrt(x);
  const double z = 1.0 / x;
  const Knot e = at(z);
  return {quarter_pi * root * e.value, quarter_pi * z * root * (0.5 * e.value - z * e.slope)};
}

}  // namespace tankyard
