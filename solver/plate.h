// SPDX-License-Identifier: MIT
#pragma once

namespace tankyard {

/// A flat rectangular panel under an even pressure, its edges held flat but free to turn, which is
/// the least a corner does. Clamped edges would let it bend less and are not reckoned with.
///
/// Everything here is without units. With b the short side, t the thickness, E the modulus and q
/// the pressure:
///
///     load  q b^4 / (E t^4)      deflection  w / t      stress  s b^2 / (E t^2)
struct Panel {
  enum class Edges {
    free_to_pull_in,  ///< straight, but drawn inward as the panel bows: the softer case
    held,             ///< straight, and held in the panel's own plane
  };
  double side_ratio = 1.0;  ///< long side over short side, 1 to 4
  double poisson_ratio = 0.3;
  Edges edges = Edges::free_to_pull_in;

  bool operator==(const Panel&) const = default;
};

/// What a panel's middle does while it bends less than half its thickness and everything goes with
/// the load: deflection = alpha x load, stress = beta x load. Levy's single series (Timoshenko and
/// Woinowsky-Krieger, Theory of Plates and Shells, section 30, from memory), summed to 1e-8.
/// Requires: a side ratio of 1 or more, without upper limit; a Poisson ratio from 0 to below 0.5.
struct SmallDeflection {
  double alpha = 0.0;
  double beta = 0.0;
};
SmallDeflection small_deflection(double side_ratio, double poisson_ratio);

/// A panel that has bowed, by any amount.
struct Bent {
  double deflection = 0.0;       ///< at the middle
  double bending_stress = 0.0;   ///< at the middle, across the short side
  double membrane_stress = 0.0;  ///< likewise
  double greatest_stress = 0.0;  ///< von Mises's, on either face, anywhere on a grid over the panel
};

/// Large deflections. A panel that bows by more than its thickness carries the load by being
/// stretched as well; thin polyethylene does so from a few pascals on, and the rule for small
/// deflections is then out tenfold and more. Von Karman's equations (1910),
///
///     laplacian^2 F = E (w_xy^2 - w_xx w_yy)
///     D laplacian^2 w = q + t (F_yy w_xx + F_xx w_yy - 2 F_xy w_xy),
///
/// with w in 6 x 4 sine modes and F exact for each such shape (Levy, NACA TR 737), as the least of
/// the panel's energy.
///
/// How close, against up to 60 modes: at a load of 500 the deflection is within 0.1 % for a square
/// and 3 % too small for a side ratio of 4; the greatest stress, which lies near the corners then,
/// 2 % too small for a square, 6 % for a ratio of 2, a third for 4. Edges free to pull in are
/// pressed together while the middle is stretched, and from a load of some 2000 on they wrinkle in
/// more waves than these modes have: at 100 000 the deflection is 5 % too small for a square, 11 to
/// 16 % for ratios of 2 to 4, and the stress good for its order of magnitude. It may then jump by
/// some per cent where one pattern of wrinkles gives way to another. Held edges do not wrinkle: at
/// 100 000 their deflection is within 0.1 % for a square.
///
/// Requires: a load from 0 to 1e7; the ranges of `Panel`. Costs a fraction of a millisecond.
Bent bend(const Panel& panel, double load);

/// The smallest load at which the panel's middle goes in by `deflection`, or its greatest stress
/// comes to `stress`; to 1e-4 of itself. Requires: a deflection over 0 and up to 40, a stress over
/// 0.
double load_at(const Panel& panel, double deflection, double stress);

}  // namespace tankyard
