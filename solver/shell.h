// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "graph/tank.h"

namespace tankyard {

/// Where a figure of what a shell bears comes from. The difference is said wherever the figure is.
enum class BearsFrom {
  maker,     ///< the plan gives the maker's figure
  estimate,  ///< reckoned from material, wall and shape
  assumed,   ///< nothing to reckon with, or nothing that can be: a cautious default
};

/// The vacuum in its headspace that a tank may be left to bear, and why.
struct AllowedVacuum {
  using From = BearsFrom;
  double pa = 0.0;  ///< below the outside air
  BearsFrom from = BearsFrom::assumed;
  std::string how;  ///< a clause: which rule, modulus and margin, or why there is none
};

/// The pressure in its headspace that a tank may be left to bear, and why.
struct AllowedPressure {
  using From = BearsFrom;
  double pa = 0.0;  ///< above the outside air
  BearsFrom from = BearsFrom::assumed;
  std::string how;
};

/// The maker's figure, else an estimate from the wall, else 0.25 kPa.
///
/// Round walls, upright or lying, fold. Von Mises's pressure for a perfect shell (cylinder.h), over
/// 3 as codes of practice have it, for walls are not perfect; no more than what brings the wall to
/// its allowed stress.
///
/// Boxes bow. Of a square floor plan, the weakest flat panel is taken to bear what draws its middle
/// in by a twentieth of its shorter side, or brings it to its allowed stress (plate.h, edges free
/// to pull in). A twentieth is where a bow is plain to see and its plastic 0.7 % longer: it still
/// springs back when the lid is opened, and a crease does not. A bow grows steadily and hides no
/// sudden collapse, so there is no 3 here. What the panel's law leaves out (neighbouring walls
/// press on a panel's edges, a quarter of the load by hand; edges wrinkle finer than its modes, a
/// sixth for a square, a third and more for a long one) the modulus makes good while the wall is
/// cool; on a hot afternoon the bow may come to a fifteenth instead.
///
/// The modulus of plastics is the long-term one, for polyethylene that of 50 years at 23 degC (PPI,
/// Handbook of PE Pipe, ch. 3, table B.1.1: 152 to 200 MPa), though a vacuum lasts minutes to a
/// night. After 12 hours the same table has 331 to 434 MPa, but a wall in the sun has 50 degC and
/// then only 0.6 of that (from memory), and it is pulled on again every day.
///
/// Range: plain walls of one thickness. Ribs, cages, domes and a lid of its own thickness are not
/// in it: a ribbed or domed tank bears more, a wide flat lid thinner than the wall less. No
/// published vacuum rating of a caged tank's bottle was found to hold this against.
///
/// The default, 0.25 kPa or 25 mm of water, is what the estimate comes to for thin tanks in common
/// use: 245 Pa for a polyethylene butt of 0.57 x 0.85 m and 3 mm, 285 Pa for a caged 1000-litre
/// tank of 2 mm (sizes by common practice, no source). Wide cisterns of plain wall come out lower,
/// 160 Pa for 2.4 x 2.4 m and 10 mm, but are made with ribs. It is a tenth of the 10 inches of
/// water to which atmospheric tanks are rated by shop rule, and under half of the 2.5 inches (0.62
/// kPa, Kletz, from memory) of large steel storage tanks. Half the vacuum costs a hole a fifth
/// wider: caution is cheap.
///
/// Requires: a shape and, where given, a wall of sound measures (as graph/check_array.h has them).
AllowedVacuum allowed_vacuum(const Tank& tank);

/// The maker's figure, else 1 kPa, or less for a box whose weakest panel would bow by a twentieth
/// under less. It is the lid and the top that give way first, and of those a plan says nothing, so
/// a round wall is no ground for an estimate. The default is half of the 8 inches of water (2 kPa)
/// for which large atmospheric tanks are made, and which burst at three times that (Kletz).
AllowedPressure allowed_pressure(const Tank& tank);

/// Materials a wall can be estimated of, by the names a plan gives them, in alphabetical order.
const std::vector<std::string>& known_materials();

}  // namespace tankyard
