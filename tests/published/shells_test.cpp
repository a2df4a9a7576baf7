// SPDX-License-Identifier: MIT
// What walls bear. Round ones fold, flat ones bow.
#include <gtest/gtest.h>

#include <string>

#include "published/table.h"
#include "solver/cylinder.h"
#include "solver/plate.h"

namespace published {
namespace shells_test {

using tankyard::bend;
using tankyard::Bent;
using tankyard::Cylinder;
using tankyard::Panel;
using tankyard::SmallDeflection;

constexpr auto held = Panel::Edges::held;
constexpr auto free_to_pull_in = Panel::Edges::free_to_pull_in;

std::string in_short(double value) {
  std::string text = std::to_string(value);
  while (text.back() == '0') text.pop_back();
  if (text.back() == '.') text.pop_back();
  return text;
}

// The formulas are linear in the modulus: with one in psi, pressures come out in psi.
struct Folding {
  const char* what;
  Cylinder shell;
  double model_basin, von_mises, long_tube;
  double half_digit, half_digit_long;
  int lobes;
  const char* unit;
};

const Folding foldings[] = {
    {"L/D 1, t/D 0.003", {1, 1, 0.003, 30e6, 0.3}, 39.38, 39.10, 1.78, 0.006, 0.006, 7, "psi"},
    {"L/D 2, t/D 0.005", {1, 2, 0.005, 30e6, 0.3}, 69.99, 70.77, 8.24, 0.006, 0.006, 4, "psi"},
    {"steel drum 571 x 850 x 1 mm",
     {0.571, 0.85, 0.001, 207e9, 0.3},
     46950,
     47840,
     2440,
     6,
     6,
     7,
     "Pa"},
    {"PE butt 570 x 850 x 3 mm, 800 MPa",
     {0.57, 0.85, 0.003, 800e6, 0.42},
     3085,
     3044,
     283,
     0.6,
     0.6,
     5,
     "Pa"},
    {"PE butt, 200 MPa (50 years)",
     {0.57, 0.85, 0.003, 200e6, 0.42},
     771,
     761,
     71,
     0.6,
     0.6,
     5,
     "Pa"},
    {"PE cistern 1.2 x 1.0 m, 6 mm",
     {1.2, 1.0, 0.006, 565e6, 0.42},
     3488,
     3550,
     172,
     0.6,
     0.6,
     6,
     "Pa"},
};

TEST(RoundWall, FoldsByTwoFormulasAtAboutOnePressure) {
  for (const Folding& f : foldings) {
    row({.what = std::string(f.what) + ": von Mises on the Basin's",
         .source = "Windenburg and Trilling 1934",
         .sure = Sure::computed,
         .published = tankyard::model_basin_collapse_pa(f.shell),
         .ours = tankyard::von_mises_collapse(f.shell).pressure_pa,
         .unit = f.unit,
         .band = percent(tankyard::model_basin_collapse_pa(f.shell), 5.0)});
  }
}

TEST(RoundWall, FoldsAsTheFormulasSay) {
  for (const Folding& f : foldings) {
    row({.what = std::string(f.what) + ": Model Basin",
         .source = "Windenburg and Trilling 1934",
         .sure = Sure::computed,
         .published = f.model_basin,
         .ours = tankyard::model_basin_collapse_pa(f.shell),
         .unit = f.unit,
         .band = give_or_take(f.model_basin, f.half_digit)});
    const tankyard::LobedCollapse ours = tankyard::von_mises_collapse(f.shell);
    row({.what = std::string(f.what) + ": von Mises",
         .source = "von Mises 1929, formula from memory",
         .sure = Sure::computed,
         .published = f.von_mises,
         .ours = ours.pressure_pa,
         .unit = f.unit,
         .band = give_or_take(f.von_mises, f.half_digit)});
    EXPECT_EQ(ours.lobes, f.lobes) << f.what;
    row({.what = std::string(f.what) + ": as a long tube",
         .source = "Roark 6th ed., Table 35 case 19",
         .sure = Sure::computed,
         .published = f.long_tube,
         .ours = tankyard::long_tube_collapse_pa(f.shell),
         .unit = f.unit,
         .band = give_or_take(f.long_tube, f.half_digit_long)});
  }
}

TEST(RoundWall, LongTubeOfRoark) {
  row({.what = "r 6.75 in, t 0.375 in, E 29e6 psi, nu 0.29",
       .source = "Roark 6th ed., Table 35 case 19a",
       .sure = Sure::seen,
       .published = 1357.0,
       .ours = tankyard::long_tube_collapse_pa({13.5, 1000.0, 0.375, 29e6, 0.29}),
       .unit = "psi",
       .band = give_or_take(1357.0, 0.5)});
}

// The vessel of a code's own example, by the Basin's formula and not by the code's chart (which
// gives 38.9 psi, from memory and not to be relied on).
TEST(RoundWall, OfACodesExampleOverThree) {
  row({.what = "D 92.25, L 636, t 1.0 in: a third of the Basin's",
       .source = "shell of ASME PTB-4 E4.4.1",
       .sure = Sure::computed,
       .published = 43.8,
       .ours = tankyard::model_basin_collapse_pa({92.25, 636.0, 1.0, 28.3e6, 0.3}) / 3.0,
       .unit = "psi",
       .band = give_or_take(43.8, 0.05)});
}

// Printed alpha is inherited from Timoshenko's table and up to 0.5 % off the series, hence the
// band.
TEST(Plate, BendsALittleAsRoarkPrints) {
  struct Printed {
    double ratio, alpha, beta, alpha_series, beta_series;
  };
  for (const Printed& p : {Printed{1.0, 0.0444, 0.2874, 0.04436, 0.28732},
                           Printed{1.2, 0.0616, 0.3762, 0.06170, 0.37609},
                           Printed{1.4, 0.0770, 0.4530, 0.07737, 0.45329},
                           Printed{1.6, 0.0906, 0.5172, 0.09072, 0.51737},
                           Printed{1.8, 0.1017, 0.5688, 0.10173, 0.56908},
                           Printed{2.0, 0.1110, 0.6102, 0.11061, 0.61010},
                           Printed{3.0, 0.1335, 0.7134, 0.13358, 0.71316},
                           Printed{4.0, 0.1400, 0.7410, 0.13998, 0.74075},
                           Printed{5.0, 0.1417, 0.7476, 0.14164, 0.74775}}) {
    const SmallDeflection ours = tankyard::small_deflection(p.ratio, 0.3);
    const std::string sides = "a/b " + in_short(p.ratio);
    row({.what = sides + ": alpha",
         .source = "Roark 7th ed., Table 11.4 case 1a",
         .sure = Sure::seen,
         .published = p.alpha,
         .ours = ours.alpha,
         .unit = "",
         .band = percent(p.alpha, 0.6)});
    row({.what = sides + ": beta",
         .source = "Roark 7th ed., Table 11.4 case 1a",
         .sure = Sure::seen,
         .published = p.beta,
         .ours = ours.beta,
         .unit = "",
         .band = percent(p.beta, 0.6)});
    row({.what = sides + ": alpha of the series",
         .source = "Navier's and Levy's series",
         .sure = Sure::computed,
         .published = p.alpha_series,
         .ours = ours.alpha,
         .unit = "",
         .band = give_or_take(p.alpha_series, 6e-6)});
    row({.what = sides + ": beta of the series",
         .source = "Navier's and Levy's series",
         .sure = Sure::computed,
         .published = p.beta_series,
         .ours = ours.beta,
         .unit = "",
         .band = give_or_take(p.beta_series, 6e-6)});
  }
  const SmallDeflection strip = tankyard::small_deflection(1e4, 0.3);
  row({.what = "a/b infinite: alpha",
       .source = "Roark 7th ed., Table 11.4 case 1a",
       .sure = Sure::seen,
       .published = 0.1421,
       .ours = strip.alpha,
       .unit = "",
       .band = percent(0.1421, 0.6)});
  row({.what = "a/b infinite: beta",
       .source = "Roark 7th ed., Table 11.4 case 1a",
       .sure = Sure::seen,
       .published = 0.75,
       .ours = strip.beta,
       .unit = "",
       .band = percent(0.75, 0.6)});
}

TEST(Plate, BendsALittleAsTimoshenkoPrints) {
  const SmallDeflection square = tankyard::small_deflection(1.0, 0.3);
  row({.what = "square: w D / q b^4",
       .source = "Timoshenko, Plates and Shells, Table 8",
       .sure = Sure::memory,
       .published = 0.00406,
       .ours = square.alpha / (12.0 * (1.0 - 0.3 * 0.3)),
       .unit = "",
       .band = give_or_take(0.00406, 5e-6)});
  row({.what = "square: M / q b^2",
       .source = "Timoshenko, Plates and Shells, Table 8",
       .sure = Sure::memory,
       .published = 0.0479,
       .ours = square.beta / 6.0,
       .unit = "",
       .band = give_or_take(0.0479, 5e-5)});
}

// Levy summed six coefficients by hand and his table is remembered, not seen: 1 %.
TEST(Plate, BowsAsLevysTableSays) {
  struct Printed {
    double load, deflection;
  };
  for (const Printed& p :
       {Printed{12.1, 0.486}, Printed{29.4, 0.962}, Printed{56.9, 1.424}, Printed{99.4, 1.870},
        Printed{161, 2.307}, Printed{247, 2.742}, Printed{358, 3.174}, Printed{497, 3.600}}) {
    row({.what = "w/t, free to pull in, load " + in_short(p.load),
         .source = "Levy, NACA TR 737",
         .sure = Sure::memory,
         .published = p.deflection,
         .ours = bend({1.0, 0.316, free_to_pull_in}, p.load).deflection,
         .unit = "",
         .band = percent(p.deflection, 1.0)});
  }
}

// Another solution of the same equations, in 36 modes: deflection to the tenth of a per cent that
// 24 modes may be off; the stress at the middle, whose series falls more slowly, to two per cent.
//
// Roark's table for edges that are held and cannot slip either is left out. As remembered it has
// w/t 0.406 at a load of 12.5 and 1.58 at 250 (ours, which may slip along its edges, 0.436
// and 1.779). In one half wave, a panel of which no point moves sideways at all, stiffer than any,
// bows 0.42 and 1.72: the figures are doubted until they are seen.
TEST(Plate, BowsAsThirtySixModesSay) {
  struct Solved {
    Panel panel;
    double load, deflection, stress;
  };
  for (const Solved& s : {Solved{{1.0, 0.316, free_to_pull_in}, 12.1, 0.48873, 3.4567},
                          Solved{{1.0, 0.316, free_to_pull_in}, 29.4, 0.96274, 7.0307},
                          Solved{{1.0, 0.316, free_to_pull_in}, 56.9, 1.42181, 10.5263},
                          Solved{{1.0, 0.316, free_to_pull_in}, 99.4, 1.86906, 13.9481},
                          Solved{{1.0, 0.316, free_to_pull_in}, 161, 2.30474, 17.3650},
                          Solved{{1.0, 0.316, free_to_pull_in}, 247, 2.73858, 20.9334},
                          Solved{{1.0, 0.316, free_to_pull_in}, 358, 3.15980, 24.6152},
                          Solved{{1.0, 0.316, free_to_pull_in}, 497, 3.57504, 28.4794},
                          Solved{{1.5, 0.3, free_to_pull_in}, 12.5, 0.81851, 5.2948},
                          Solved{{1.5, 0.3, free_to_pull_in}, 100, 2.38227, 16.5342},
                          Solved{{1.5, 0.3, free_to_pull_in}, 497, 4.41633, 33.7970},
                          Solved{{1.0, 0.3, held}, 12.5, 0.43588, 3.3217},
                          Solved{{1.0, 0.3, held}, 25, 0.66965, 5.4487},
                          Solved{{1.0, 0.3, held}, 50, 0.94491, 8.2369},
                          Solved{{1.0, 0.3, held}, 75, 1.12594, 10.2560},
                          Solved{{1.0, 0.3, held}, 100, 1.26476, 11.9174},
                          Solved{{1.0, 0.3, held}, 150, 1.47739, 14.6741},
                          Solved{{1.0, 0.3, held}, 250, 1.77896, 19.0682},
                          Solved{{1.0, 0.3, held}, 497, 2.25942, 27.3367},
                          Solved{{1.5, 0.3, held}, 50, 1.18531, 10.1343},
                          Solved{{1.5, 0.3, held}, 497, 2.65950, 33.2627},
                          Solved{{1.2, 0.42, held}, 50, 1.02523, 10.0651},
                          Solved{{1.2, 0.42, held}, 497, 2.38453, 32.7898}}) {
    const Bent ours = bend(s.panel, s.load);
    const std::string what = std::string(s.panel.edges == held ? "held" : "free to pull in") +
                             ", a/b " + in_short(s.panel.side_ratio) + ", load " + in_short(s.load);
    row({.what = "w/t, " + what,
         .source = "von Karman's equations, 36 modes",
         .sure = Sure::computed,
         .published = s.deflection,
         .ours = ours.deflection,
         .unit = "",
         .band = percent(s.deflection, 0.1)});
    row({.what = "stress at the middle, " + what,
         .source = "von Karman's equations, 36 modes",
         .sure = Sure::computed,
         .published = s.stress,
         .ours = ours.bending_stress + ours.membrane_stress,
         .unit = "",
         .band = percent(s.stress, 2.0)});
  }
}

// 0.3 m square, 4 mm, E 565 MPa, 1016 Pa: what the small rule says and what is so.
TEST(Plate, OfAPolyethyleneLid) {
  constexpr double load = 1016.0 * 0.3 * 0.3 * 0.3 * 0.3 / (565e6 * 0.004 * 0.004 * 0.004 * 0.004);
  const auto bow_mm = [](Panel panel) { return 4.0 * bend(panel, load).deflection; };
  row({.what = "lid of 0.3 m, small rule",
       .source = "Roark's alpha at nu 0.3",
       .sure = Sure::computed,
       .published = 10.1,
       .ours = 4.0 * load * tankyard::small_deflection(1.0, 0.3).alpha,
       .unit = "mm",
       .band = give_or_take(10.1, 0.05)});
  row({.what = "lid of 0.3 m, edges held",
       .source = "von Karman's equations, 36 modes",
       .sure = Sure::computed,
       .published = 3.79,
       .ours = bow_mm({1.0, 0.42, held}),
       .unit = "mm",
       .band = give_or_take(3.79, 0.006)});
  row({.what = "lid of 0.3 m, edges free to pull in",
       .source = "von Karman's equations, 36 modes",
       .sure = Sure::computed,
       .published = 5.7,
       .ours = bow_mm({1.0, 0.316, free_to_pull_in}),
       .unit = "mm",
       .band = give_or_take(5.7, 0.05)});
}

}  // namespace shells_test
}  // namespace published
