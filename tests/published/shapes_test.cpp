// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <string>

#include "graph/shape.h"
#include "published/table.h"

namespace published {
namespace shapes_test {

// V = L (r^2 acos((r-h)/r) - (r-h) sqrt(2rh - h^2)); the formula was seen, the figures are its own.
TEST(LyingTank, FillsAsTheTablesOfMensurationSay) {
  struct Fraction {
    double depth, full;
  };
  const tankyard::Shape drum = tankyard::Lying{1.0, 1.0};
  for (const Fraction& f :
       {Fraction{0.05, 0.018693}, Fraction{0.1, 0.052044}, Fraction{0.2, 0.142378},
        Fraction{0.25, 0.195501}, Fraction{0.3, 0.252316}, Fraction{0.4, 0.373530},
        Fraction{0.5, 0.5}, Fraction{0.75, 0.804499}, Fraction{0.9, 0.947956}}) {
    row({.what = "part filled at depth " + std::to_string(f.depth).substr(0, 4) + " of the bore",
         .source = "circular segment, mensuration",
         .sure = Sure::computed,
         .published = f.full,
         .ours = tankyard::volume_m3(drum, f.depth) / tankyard::capacity_m3(drum),
         .unit = "",
         .band = give_or_take(f.full, 6e-7)});
  }
}

TEST(LyingTank, HoldsWhatItsDipstickSays) {
  struct Dip {
    double depth_m, litres;
  };
  const tankyard::Shape tank = tankyard::Lying{1.2, 2.0};
  for (const Dip& d : {Dip{0.1, 90.031}, Dip{0.3, 442.213}, Dip{0.6, 1130.973}, Dip{0.9, 1819.734},
                       Dip{1.2, 2261.947}}) {
    row({.what = "1.2 m x 2.0 m at depth " + std::to_string(d.depth_m).substr(0, 3) + " m",
         .source = "circular segment, mensuration",
         .sure = Sure::computed,
         .published = d.litres,
         .ours = 1e3 * tankyard::volume_m3(tank, d.depth_m),
         .unit = "L",
         .band = give_or_take(d.litres, 6e-4)});
    EXPECT_NEAR(tankyard::depth_m(tank, 1e-3 * d.litres), d.depth_m, 1e-5);
  }
}

}  // namespace shapes_test
}  // namespace published
