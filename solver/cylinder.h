// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

/// A round wall under a vacuum folds in lobes long before its material yields. These are the
/// pressures, outside over inside, at which a perfectly round, elastic, thin one does. Real walls
/// are not perfect: divide by 3, as codes of practice do.
///
/// All take both ends as held round but free to turn, and the vacuum as pulling on the ends too. An
/// upright tank without a lid, or with a loose one, does not have its upper end held round and
/// bears less. Stiffening by ribs, a cone or a dome is not in them, nor the water inside, whose own
/// pressure helps the lower part of the wall.
struct Cylinder {
  double diameter_m = 0.0;  ///< of the middle of the wall
  double length_m = 0.0;    ///< between what holds it round
  double thickness_m = 0.0;
  double youngs_modulus_pa = 0.0;
  double poisson_ratio = 0.0;
};

/// p = 2 E (t/D)^3 / (1 - nu^2): two lobes, as if the ends were not there. Holds for a length over
/// some 4.9 r sqrt(r/t) (Roark, Formulas for Stress and Strain, 6th ed., Table 35 case 19); no wall
/// of the same section bears less. Requires, like those below: everything over 0 and finite, the
/// ratio below 0.5, the wall thinner than a tenth of the diameter.
double long_tube_collapse_pa(const Cylinder& cylinder);

/// The United States Experimental Model Basin's formula (Windenburg and Trilling, Transactions of
/// the ASME 56 (1934) 819):
///
///     p = 2.42 E (t/D)^2.5 / ((1 - nu^2)^0.75 (L/D - 0.45 sqrt(t/D)))
///
/// For the lengths between: it falls to nothing for long tubes, where the formula above holds, and
/// has no meaning at L/D of 0.45 sqrt(t/D) or less. Requires: L/D over that.
double model_basin_collapse_pa(const Cylinder& cylinder);

/// What von Mises found (1914, 1929), with the number of lobes for which it is least.
struct LobedCollapse {
  double pressure_pa = 0.0;
  int lobes = 0;  ///< 2 or more
};

/// For any length. With a = pi r / L, least over n >= 2 of (formula from memory; the tests hold it
/// to the other two)
///
///     p = (E t / r) / (n^2 - 1 + a^2 / 2)
///         ( 1 / (n^2/a^2 + 1)^2 + t^2 / (12 r^2 (1 - nu^2)) (n^2 - 1 + a^2)^2 )
///
/// It goes over into the long tube's p as L grows, and is within 5 % of the Model Basin's where
/// that holds.
LobedCollapse von_mises_collapse(const Cylinder& cylinder);

}  // namespace tankyard
