// SPDX-License-Identifier: MIT
#include "solver/cylinder.h"

#include <cmath>
#include <numbers>

#include "graph/breach.h"

namespace tankyard {

namespace {

using std::numbers::pi;

void check(const Cylinder& cylinder) {
  const auto over_nought = [](double value) { return value > 0.0 && std::isfinite(value); };
  require("cylinder", over_nought(cylinder.diameter_m), "a diameter over 0", cylinder.diameter_m);
  require("cylinder", over_nought(cylinder.length_m), "a length over 0", cylinder.length_m);
  require("cylinder",
          cylinder.thickness_m > 0.0 && cylinder.thickness_m < 0.1 * cylinder.diameter_m,
          "a wall over 0 and thinner than a tenth of the diameter", cylinder.thickness_m);
  require("cylinder", over_nought(cylinder.youngs_modulus_pa), "a modulus over 0",
          cylinder.youngs_modulus_pa);
  require("cylinder", cylinder.poisson_ratio > 0.0 && cylinder.poisson_ratio < 0.5,
          "a ratio from 0 to 0.5", cylinder.poisson_ratio);
}

}  // namespace

double long_tube_collapse_pa(const Cylinder& cylinder) {
  check(cylinder);
  const double thin = cylinder.thickness_m / cylinder.diameter_m;
  const double nu = cylinder.poisson_ratio;
  return 2.0 * cylinder.youngs_modulus_pa * thin * thin * thin / (1.0 - nu * nu);
}

double model_basin_collapse_pa(const Cylinder& cylinder) {
  check(cylinder);
  const double thin = cylinder.thickness_m / cylinder.diameter_m;
  const double nu = cylinder.poisson_ratio;
  const double length = cylinder.length_m / cylinder.diameter_m - 0.45 * std::sqrt(thin);
  require("cylinder", length > 0.0, "a length over 0.45 sqrt(t/D) diameters, over by", length);
  return 2.42 * cylinder.youngs_modulus_pa * thin * thin * std::sqrt(thin) /
         (std::pow(1.0 - nu * nu, 0.75) * length);
}

// As a function of n the pressure has one dip, where the first term, which falls, meets the second,
// which rises: at n^2 of about 7.5 (r / L) sqrt(r / t) or less. So the search ends at the first
// rise; a test holds it to a search over all n.
LobedCollapse von_mises_collapse(const Cylinder& cylinder) {
  check(cylinder);
  const double r = 0.5 * cylinder.diameter_m;
  const double a2 = (pi * r / cylinder.length_m) * (pi * r / cylinder.length_m);
  const double thin = cylinder.thickness_m / r;
  const double nu = cylinder.poisson_ratio;
  const double bending = thin * thin / (12.0 * (1.0 - nu * nu));
  const auto at = [&](double n) {
    const double stretch = 1.0 / (n * n / a2 + 1.0);
    const double turn = n * n - 1.0 + a2;
    return cylinder.youngs_modulus_pa * thin / (n * n - 1.0 + 0.5 * a2) *
           (stretch * stretch + bending * turn * turn);
  };
  LobedCollapse least{at(2.0), 2};
  for (int n = 3;; ++n) {
    const double pressure = at(n);
    if (!(pressure < least.pressure_pa)) return least;
    least = {pressure, n};
  }
}

}  // namespace tankyard
