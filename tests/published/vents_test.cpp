// SPDX-License-Identifier: MIT
// Holes found by running a tank, against the hole by hand that a steady pull needs. Cd 0.61,
// 101 325 Pa and 15 degC outside and in, as in air_test.cpp, which holds the formulas themselves.
#include <gtest/gtest.h>

#include <string>

#include "published/table.h"
#include "published/yard.h"

namespace published {
namespace vents_test {

using namespace tankyard;

constexpr double litres_50_a_minute = 50.0 / 60000.0;

/// The deepest vacuum under a lid with this hole while 50 L/min are drawn, Pa.
double vacuum_pa(double bore_m) {
  Yard yard;
  const TankId tank = yard.vessel(1.0, 1.0);
  part(yard.parts.tanks, tank).lid = {Lid::Kind::holed, bore_m, 0.61, 1, 1.0};
  Outlet outlet;
  outlet.name = "draw";
  outlet.at = HoseEnd{tank, 0.0};
  outlet.draw_m3_per_s = litres_50_a_minute;
  outlet.open = true;
  yard.parts.outlets.push_back(outlet);
  const auto record = yard.run(600.0, 10);
  return record ? -record->tanks[0].headspace.lowest_pa : 0.0;
}

/// The bore with which a run comes to a vacuum, m: halving, to a micrometre.
double bore_by_running_m(double wanted_pa) {
  double low_m = 0.002;
  double high_m = 0.030;
  while (high_m - low_m > 1e-6) {
    const double middle_m = 0.5 * (low_m + high_m);
    (vacuum_pa(middle_m) > wanted_pa ? low_m : high_m) = middle_m;
  }
  return 0.5 * (low_m + high_m);
}

TEST(Hole, FoundByRunningATank) {
  struct Point {
    double vacuum_pa, bore_mm;
  };
  for (const Point& p :
       {Point{100, 11.67}, Point{250, 9.28}, Point{500, 7.80}, Point{1000, 6.56}}) {
    // Air expands on its way in, which the formula leaves out: half a per cent up to 1 kPa.
    row({.what = "hole for 50 L/min at " + std::to_string(static_cast<int>(p.vacuum_pa)) +
                 " Pa, by runs",
         .source = "Bernoulli, Q = Cd A sqrt(2 dp / rho)",
         .sure = Sure::computed,
         .published = p.bore_mm,
         .ours = 1000.0 * bore_by_running_m(p.vacuum_pa),
         .unit = "mm",
         .band = percent(p.bore_mm, 0.5)});
  }
}

}  // namespace vents_test
}  // namespace published
