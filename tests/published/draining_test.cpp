// SPDX-License-Identifier: MIT
// Vessels that run out through a hole: t = 2 A (sqrt H1 - sqrt H2) / (Cd a sqrt(2 g)).
//
//      |      |                 the hole is at the floor, its jet meets the air a little higher, so
//   H1 |~~~~~~|                 that it stays drowned to the end
//      |      |__
//      |  ____   =>  mouth
//      |_/
//
// The books reckon with g = 9.81 or 9.8 m/s2 or 32.2 ft/s2, the tool with 9.80665: up to 0.04 % of
// time.
#include <gtest/gtest.h>

#include <cmath>

#include "published/table.h"
#include "published/yard.h"

namespace published {
namespace draining_test {

constexpr double pi = 3.14159265358979323846;
constexpr double foot_m = 0.3048;

double disc_m2(double diameter_m) { return pi / 4.0 * diameter_m * diameter_m; }

struct Drained {
  double area_m2, hole_m2, coefficient, from_m;
};

// Time from `from_m` over the mouth to `to_m`; 0: all of it.
double time_to_drain(const Drained& d, double to_m, double about_s) {
  constexpr double mouth_m = 0.2;
  Yard yard;
  const auto vessel = yard.vessel(d.area_m2, d.from_m + mouth_m);
  yard.drain(vessel, d.hole_m2, d.coefficient, mouth_m);
  const auto record = yard.run(1.05 * about_s);
  if (!record) return 0.0;
  const Reading head = depth_over(vessel, mouth_m);
  return to_m > 0.0 ? when_down_to(record->trace, head, to_m) : when_gone(record->trace, head);
}

TEST(Draining, RoundTankThroughAnOrifice) {
  row({.what = "1.2 m tank, 50 mm orifice, 3 m to nothing",
       .source = "Choudhary and Om Prakash, ex. 6.17",
       .sure = Sure::computed,  // the book's companion program, 12 min 30.8 s; the page not seen
       .published = 750.8,
       .ours = time_to_drain({disc_m2(1.2), disc_m2(0.05), 0.6, 3.0}, 0.0, 750.8),
       .unit = "s",
       .band = percent(750.8, 0.1)});
}

TEST(Draining, BetweenTwoDepthsAndToNothing) {
  const Drained tank{3.2, 10e-4, 0.6, 5.0};
  row({.what = "3.2 m2, 10 cm2 orifice, 5 m to 2.5 m",
       .source = "Choudhary and Om Prakash, ex. 6.18",
       .sure = Sure::computed,
       .published = 1577.2,
       .ours = time_to_drain(tank, 2.5, 1577.2),
       .unit = "s",
       .band = percent(1577.2, 0.1)});
  row({.what = "3.2 m2, 10 cm2 orifice, 5 m to nothing",
       .source = "Choudhary and Om Prakash, ex. 6.19",
       .sure = Sure::computed,
       .published = 5384.7,
       .ours = time_to_drain(tank, 0.0, 5384.7),
       .unit = "s",
       .band = percent(5384.7, 0.1)});
}

TEST(Draining, CubicMetreThroughTwentyMillimetres) {
  row({.what = "1 m3 in a 1 m tank, 20 mm orifice, to nothing",
       .source = "tank drainage text, ex. 6.3",
       .sure = Sure::seen,
       .published = 2124.5,
       .ours = time_to_drain({disc_m2(1.0), disc_m2(0.02), 0.6, 1.0 / disc_m2(1.0)}, 0.0, 2124.5),
       .unit = "s",
       .band = percent(2124.5, 0.1)});
}

TEST(Draining, InFeetThroughFiveSquareInches) {
  const double square_inch_m2 = foot_m * foot_m / 144.0;
  row({.what = "4 ft tank, 5 in2 hole, 6 ft to 2 ft",
       .source = "FE review, problem 435",
       .sure = Sure::seen,
       .published = 94.0,
       .ours = time_to_drain({disc_m2(4.0 * foot_m), 5.0 * square_inch_m2, 1.0, 6.0 * foot_m},
                             2.0 * foot_m, 94.0),
       .unit = "s",
       .band = percent(94.0, 1.0)});
}

TEST(Draining, TakesTwiceAsLongAsAtConstantHead) {
  constexpr double mouth_m = 0.2;
  Yard yard;
  const auto vessel = yard.vessel(1.1, 0.9 + mouth_m);
  yard.drain(vessel, disc_m2(0.02), 0.6, mouth_m);
  const auto record = yard.run(3000.0);
  ASSERT_TRUE(record);
  const double first = record->trace.outlet_flow_m3_per_s[0][0];
  row({.what = "time to empty over time at the first flow",
       .source = "Unwin, Hydraulics, EB 11th ed., sec. 53",
       .sure = Sure::seen,
       .published = 2.0,
       .ours = when_gone(record->trace, depth_over(vessel, mouth_m)) / (1.1 * 0.9 / first),
       .unit = "",
       .band = percent(2.0, 0.1)});
}

// A vessel that drains through a long thin upright tube, its end h below the floor:
// Z = (Z0 + h) exp(-C t) - h, C = rho g d^4 pi / (128 mu L A).
TEST(Draining, ThroughALaminarTube) {
  Yard yard(20.0);
  const auto vessel = yard.vessel(1.0, 0.1);
  tankyard::Outlet end;
  end.name = "end-of-tube";
  end.height_m = -0.2;
  end.bore_m = 0.004;
  end.coefficient = 1.0;
  end.open = true;
  yard.parts.outlets.push_back(end);
  yard.pipe(vessel, tankyard::OutletId{0}, 0.004, 50.0, 0.0, 1.5);
  const double want = 2.0 * 407099.2 * std::log((0.1 + 0.2) / (0.02 + 0.2));  // 20 degC water
  const auto record = yard.run(1.1 * want, 2000, 1e-8);
  ASSERT_TRUE(record);
  row({.what = "1 m2, 4 mm x 50 m tube 0.2 m down, 0.1 m to 20 mm",
       .source = "White 5th ed., problem 6.27",
       .sure = Sure::computed,
       .published = want,
       .ours = when_down_to(record->trace, depth_over(vessel, 0.0), 0.02),
       .unit = "s",
       // what the jet and the entry cost, 1.5 velocity heads, is 2e-4 of the loss
       .band = percent(want, 0.03)});
}

}  // namespace draining_test
}  // namespace published
