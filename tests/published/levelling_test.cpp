// SPDX-License-Identifier: MIT
// Vessels that find one level.
//
//   |~~~~|      |    |        t = 2 Ae (sqrt h1 - sqrt h2) / (Cd a sqrt(2 g)) through an orifice,
//   |    |======|~~~~|        h = h0 exp(-t / tau) through a laminar pipe,
//   |____|      |____|        Ae = A1 A2 / (A1 + A2), h the difference of the levels
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "published/table.h"
#include "published/yard.h"
#include "solver/water.h"

namespace published {
namespace levelling_test {

constexpr double pi = 3.14159265358979323846;

double disc_m2(double diameter_m) { return pi / 4.0 * diameter_m * diameter_m; }

struct Pair {
  Yard yard;
  tankyard::TankId high{};
  tankyard::TankId low{};
};

Pair pair_of(double area_1, double area_2, double depth_1, double depth_2,
             double water_degc = 10.0) {
  Pair pair{Yard(water_degc)};
  pair.high = pair.yard.vessel(area_1, depth_1);
  pair.low = pair.yard.vessel(area_2, depth_2);
  return pair;
}

// Time until the levels differ by `to_m`; 0: not at all.
double time_to_level(const Pair& pair, double to_m, double about_s, double tolerance_m = 1e-6) {
  const auto record = pair.yard.run(1.1 * about_s, 2000, tolerance_m);
  if (!record) return 0.0;
  const Reading difference = difference_between(pair.yard, pair.high, pair.low);
  return to_m > 0.0 ? when_down_to(record->trace, difference, to_m)
                    : when_gone(record->trace, difference);
}

TEST(Levelling, TankSplitByAWallWithAHole) {
  Pair pair = pair_of(3.0, 3.0, 1.5, 0.5);
  pair.yard.orifice(pair.high, pair.low, 1e-4, 0.6);
  row({.what = "3 + 3 m2, 1 cm x 1 cm, 1.5 m and 0.5 m, to one level",
       .source = "Douglas et al. 5th ed., problem 14.24",
       .sure = Sure::seen,
       .published = 11290.0,
       .ours = time_to_level(pair, 0.0, 11290.0),
       .unit = "s",
       .band = percent(11290.0, 0.05)});
}

TEST(Levelling, UnequalTanks) {
  Pair pair = pair_of(8.0, 4.0, 1.3, 1.0);
  pair.yard.orifice(pair.high, pair.low, 0.01, 0.62);
  const char* source = "tank drainage text, ex. 6.6";
  const auto record = pair.yard.run(60.0);
  ASSERT_TRUE(record);
  row({.what = "8 + 4 m2, 0.01 m2, 0.3 m: first flow",
       .source = source,
       .sure = Sure::computed,
       .published = 0.015042,
       .ours = record->trace.hose_flow_m3_per_s[0][0],
       .unit = "m3/s",
       .band = percent(0.015042, 0.05)});
  row({.what = "8 + 4 m2, 0.01 m2, 0.3 m to 0.1 m",
       .source = source,
       .sure = Sure::computed,
       .published = 44.957,
       .ours = when_down_to(record->trace, difference_between(pair.yard, pair.high, pair.low), 0.1),
       .unit = "s",
       .band = percent(44.957, 0.1)});

  Pair other = pair_of(2.0, 0.8, 2.0, 0.5);
  other.yard.orifice(other.high, other.low, disc_m2(0.1), 0.7);
  row({.what = "2 + 0.8 m2, 10 cm orifice, 1.5 m to 0.5 m",
       .source = "tank drainage exercise",
       .sure = Sure::computed,
       .published = 24.293,
       .ours = time_to_level(other, 0.5, 24.293),
       .unit = "s",
       .band = percent(24.293, 0.1)});
}

TEST(Levelling, CagedTanksThroughAHoleAndAThrottledHose) {
  Pair hole = pair_of(1.0, 1.0, 1.0, 0.2);
  hole.yard.orifice(hole.high, hole.low, disc_m2(0.025), 0.6);
  row({.what = "1 + 1 m2, 25 mm orifice, 0.8 m to 10 mm",
       .source = "Torricelli",
       .sure = Sure::computed,
       .published = 609.057,
       .ours = time_to_level(hole, 0.01, 609.057),
       .unit = "s",
       .band = percent(609.057, 0.01)});
  row({.what = "1 + 1 m2, 25 mm orifice, 0.8 m to nothing",
       .source = "Torricelli",
       .sure = Sure::computed,
       .published = 685.723,
       .ours = time_to_level(hole, 0.0, 685.723),
       .unit = "s",
       .band = percent(685.723, 0.01)});

  Pair hose = pair_of(1.0, 0.25, 0.8, 0.3);
  hose.yard.pipe(hose.high, hose.low, 0.0125, 0.0, 0.0, 12.0);
  row({.what = "1 + 0.25 m2, 12.5 mm, K 12, 0.5 m to 10 mm",
       .source = "Torricelli",
       .sure = Sure::computed,
       .published = 1547.856,
       .ours = time_to_level(hose, 0.01, 1547.856),
       .unit = "s",
       .band = percent(1547.856, 0.01)});
}

// Two tanks and a thread of a pipe, 4 mm by 50 m, so long that entry and exit are under a
// ten-thousandth of its loss. Time stretches with the logarithm of a small difference, so a step's
// depth error is held at 0.01 um here.
//   tau = 128 mu L Ae / (pi rho g D^4), 20 degC water, Ae = 1/2 m2
constexpr double thread_bore_m = 0.004;
constexpr double thread_length_m = 50.0;
constexpr double thread_tau_s = 407099.2;
constexpr double thread_tolerance_m = 1e-8;

TEST(Levelling, LaminarPairDecaysExponentially) {
  Pair pair = pair_of(1.0, 1.0, 0.6, 0.5, 20.0);
  pair.yard.pipe(pair.high, pair.low, thread_bore_m, thread_length_m, 0.0, 1.5);
  row({.what = "1 + 1 m2, 4 mm x 50 m laminar, 0.1 m to 10 mm",
       .source = "Poiseuille; UC Davis note 2013",
       .sure = Sure::computed,
       .published = thread_tau_s * std::log(10.0),
       .ours = time_to_level(pair, 0.01, thread_tau_s * std::log(10.0), thread_tolerance_m),
       .unit = "s",
       .band = percent(thread_tau_s * std::log(10.0), 0.01)});
}

// Three tanks in a row, each pipe of resistance R = 2 tau per m2: what the ends differ by dies away
// at 1/(RA), what the middle stands above or below the ends at 3/(RA).
TEST(Levelling, ThreeInARowDecayInTwoWays) {
  const double slow_s = 2.0 * thread_tau_s * std::log(10.0);
  struct Mode {
    const char* what;
    std::vector<double> depth;
    std::size_t high, low;
    double seconds;
  };
  for (const Mode& mode :
       {Mode{"three in a row, ends opposed, to a tenth", {0.6, 0.5, 0.4}, 0, 2, slow_s},
        Mode{
            "three in a row, middle opposed, to a tenth", {0.55, 0.4, 0.55}, 0, 1, slow_s / 3.0}}) {
    Yard yard(20.0);
    std::vector<tankyard::TankId> tanks;
    for (const double depth : mode.depth) tanks.push_back(yard.vessel(1.0, depth));
    yard.pipe(tanks[0], tanks[1], thread_bore_m, thread_length_m, 0.0, 1.5);
    yard.pipe(tanks[1], tanks[2], thread_bore_m, thread_length_m, 0.0, 1.5);
    const auto record = yard.run(1.1 * mode.seconds, 2000, thread_tolerance_m);
    ASSERT_TRUE(record);
    const Reading apart = difference_between(yard, tanks[mode.high], tanks[mode.low]);
    row({.what = mode.what,
         .source = "graph Laplacian of a chain",
         .sure = Sure::computed,
         .published = mode.seconds,
         .ours = when_down_to(record->trace, apart, 0.1 * apart(record->trace, 0)),
         .unit = "s",
         .band = percent(mode.seconds, 0.01)});
  }
}

// Four tanks on one header: each dies away towards the mean at 1/(RA), whatever the others do.
TEST(Levelling, StarOnAHeaderDecaysAtOneRate) {
  Yard yard(20.0);
  const auto middle = yard.header(0.0);
  const double mean = 0.5;
  const double off[] = {0.10, 0.03, -0.05, -0.08};
  for (const double d : off) {
    const auto tank = yard.vessel(1.0, mean + d);
    yard.pipe(tank, middle, thread_bore_m, thread_length_m, 0.0, 1.5);
  }
  const double tenth_s = 2.0 * thread_tau_s * std::log(10.0);
  const auto record = yard.run(1.1 * tenth_s, 2000, thread_tolerance_m);
  ASSERT_TRUE(record);
  for (std::size_t i = 0; i < 4; ++i) {
    const Reading apart = [&](const tankyard::Trace& trace, std::size_t r) {
      return (trace.depth_m[r][i] - mean) * (off[i] > 0.0 ? 1.0 : -1.0);
    };
    char what[60];
    std::snprintf(what, sizeof what, "star of four, tank %+.2f m off, to a tenth", off[i]);
    row({.what = what,
         .source = "graph Laplacian of a star",
         .sure = Sure::computed,
         .published = tenth_s,
         .ours = when_down_to(record->trace, apart, 0.1 * std::fabs(off[i])),
         .unit = "s",
         .band = percent(tenth_s, 0.01)});
  }
}

// A smooth pipe by Blasius, f = 0.316 / Re^0.25 from Re 4000 to 100 000, with the entry and exit
// that every hose has: the velocity by halving, the time by Simpson's rule over the difference.
double blasius_time_s(double bore_m, double length_m, double k, double viscosity,
                      double effective_m2, double from_m, double to_m) {
  const auto flow = [&](double head) {
    double low = 0.0;
    double high = 100.0;
    for (int i = 0; i < 100; ++i) {
      const double v = 0.5 * (low + high);
      const double f = 0.316 / std::pow(v * bore_m / viscosity, 0.25);
      const double lost = (f * length_m / bore_m + k) * v * v / (2.0 * 9.80665);
      (lost < head ? low : high) = v;
    }
    return 0.5 * (low + high) * disc_m2(bore_m);
  };
  constexpr int strips = 400;
  double sum = 0.0;
  for (int i = 0; i <= strips; ++i) {
    const double weight = i == 0 || i == strips ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0);
    sum += weight / flow(to_m + (from_m - to_m) * i / strips);
  }
  return effective_m2 * sum * (from_m - to_m) / strips / 3.0;
}

TEST(Levelling, SmoothHoseFollowsBlasius) {
  const double viscosity = 1.30629e-6;  // 10 degC
  // The closed form without entry and exit, (7/3) Ae c^(4/7) (h1^(3/7) - h2^(3/7)), gives 2755.623
  // s and so checks the quadrature.
  EXPECT_NEAR(blasius_time_s(0.0125, 5.0, 0.0, viscosity, 0.5, 0.5, 0.1), 2755.623, 0.01);
  const double want = blasius_time_s(0.0125, 5.0, 1.5, viscosity, 0.5, 0.5, 0.15);
  Pair pair = pair_of(1.0, 1.0, 0.8, 0.3);
  pair.yard.pipe(pair.high, pair.low, 0.0125, 5.0, 0.0, 1.5);
  row({.what = "1 + 1 m2, 12.5 mm x 5 m smooth, 0.5 m to 0.15 m",
       .source = "Blasius, f = 0.316 / Re^0.25",
       .sure = Sure::memory,
       .published = want,
       .ours = time_to_level(pair, 0.15, want),
       .unit = "s",
       // 2.5 % of f, which is a little more than 1.2 % of time
       .band = percent(want, 1.3)});
}

}  // namespace levelling_test
}  // namespace published
