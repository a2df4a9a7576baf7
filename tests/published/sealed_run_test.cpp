// SPDX-License-Identifier: MIT
// Closed tanks through a whole run, not through the law of the headspace alone.
//
// Water is as warm as has the 999.7 kg/m3 of the sources. Besides half a figure's last digit a band
// holds what solver/headspace.h says its law rounds off: the space over the water is (b / space)^2
// of itself too large, b a ten-thousandth of the tank, and a pressure p too high by
// (v / 20)^2 / (p - v), v that of vapour; and a hundredth of a millimetre of water, 0.1 Pa, that a
// stage of the run may leave.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "published/table.h"
#include "published/yard.h"
#include "solver/water.h"

namespace published {
namespace sealed_run_test {

using namespace tankyard;

constexpr double atmosphere = 101325.0;
constexpr double density = 999.7;
constexpr double hour_s = 3600.0;

double degc_of_source() {
  double cold = 4.0;
  double warm = 20.0;
  for (int turn = 0; turn < 60; ++turn) {
    const double between = 0.5 * (cold + warm);
    (water_density_kg_per_m3(between) > density ? cold : warm) = between;
  }
  return cold;
}

Lid sealed() {
  Lid lid;
  lid.kind = Lid::Kind::sealed;
  return lid;
}

Lid holed(double hole_m) {
  Lid lid;
  lid.kind = Lid::Kind::holed;
  lid.hole_m = hole_m;
  lid.coefficient = 0.61;
  return lid;
}

/// A closed box of 1 m2 with so much air over so much water.
TankId closed_box(Yard& yard, double gas_m, double water_m, const Lid& lid, double base_m = 0.0) {
  const TankId box = yard.vessel(1.0, water_m, base_m);
  Tank& tank = part(yard.parts.tanks, box);
  tank.shape = Prism{1.0, gas_m + water_m};
  tank.lid = lid;
  return box;
}

/// How far the law's rounding may move a drop that opens `gas_m` of air to `gas_m + drop_m`, and
/// the run's 0.1 Pa.
double rounding_of_drop_m(double gas_m, double drop_m, double height_m, double gas_pa) {
  const double bubble = 1e-4 * height_m;
  const double vapour = water_vapour_pressure_pa(10.0);
  const double space = std::pow(bubble / gas_m, 2);
  const double pressure = (std::pow(vapour / 20.0, 2) / (gas_pa - vapour) + 0.1) / gas_pa;
  return drop_m * space + (gas_m + drop_m) * pressure;
}

//     +--------+
//     |  air   | g
//     |~~~~~~~~|
//     |        | h          and an outlet that meets the air S below: a pump that pulls S metres
//     |        +--+         finds its water where such an outlet does
//     +--------+  | S
//                 v
TEST(SealedTank, StallsAtItsOwnVacuum) {
  struct Case {
    const char* what;
    double gas_m, water_m, suction_m, falls_mm, vacuum_pa;
  };
  for (const Case& c : {Case{"A, nearly full", 0.05, 0.95, 0.0, 5.0316, 9264.19},
                        Case{"B, 90 % full", 0.10, 0.90, 0.0, 9.4292, 8730.90},
                        Case{"C, half full", 0.50, 0.50, 0.0, 24.1324, 4665.27},
                        Case{"D, hose tail 1.5 m", 0.10, 0.90, 1.5, 29.7577, 23237.16},
                        Case{"E, pulled by 5 m", 0.05, 0.85, 5.0, 63.6011, 56728.17},
                        Case{"F, pulled by 7 m", 0.10, 0.90, 7.0, 280.5475, 74698.89}}) {
    Yard yard(degc_of_source());
    const TankId box = closed_box(yard, c.gas_m, c.water_m, sealed());
    yard.drain(box, 1e-4, 0.61, -c.suction_m);
    const auto record = yard.run(24.0 * hour_s, 10, 1e-7);
    ASSERT_TRUE(record);
    const TankRecord& tank = record->tanks[0];
    const double rounding_m = rounding_of_drop_m(c.gas_m, 1e-3 * c.falls_mm, c.gas_m + c.water_m,
                                                 atmosphere - c.vacuum_pa);
    row({.what = std::string(c.what) + ": falls",
         .source = "Boyle's law and statics",
         .sure = Sure::computed,
         .published = c.falls_mm,
         .ours = 1000.0 * (c.water_m - tank.end_depth_m),
         .unit = "mm",
         .band = give_or_take(c.falls_mm, 5e-5 + 1000.0 * rounding_m)});
    row({.what = std::string(c.what) + ": vacuum",
         .source = "Boyle's law and statics",
         .sure = Sure::computed,
         .published = c.vacuum_pa,
         .ours = -tank.headspace.end_pa,
         .unit = "Pa",
         .band = give_or_take(c.vacuum_pa, 0.005 + 0.1 + density * gravity_m_per_s2 * rounding_m)});
    EXPECT_NEAR(tank.headspace.lowest_pa, tank.headspace.end_pa, 1.0) << c.what;
  }
}

// An open tank beside it, a hose between their floors.
TEST(SealedTank, LinkedToAnOpenOneGivesNextToNothing) {
  struct Case {
    double open_m, moves_mm, vacuum_pa;
  };
  for (const Case& c : {Case{0.1, 8.204, 7682.0}, Case{0.5, 3.944, 3844.0}}) {
    Yard yard(degc_of_source());
    const TankId box = closed_box(yard, 0.1, 0.9, sealed());
    const TankId open = yard.vessel(1.0, c.open_m);
    yard.pipe(box, open, 0.025, 1.0, 0.0, 3.0);
    const auto record = yard.run(24.0 * hour_s, 10);
    ASSERT_TRUE(record);
    const std::string beside = std::to_string(c.open_m).substr(0, 3) + " m beside 0.9 m";
    const double rounding_m =
        rounding_of_drop_m(0.1, 1e-3 * c.moves_mm, 1.0, atmosphere - c.vacuum_pa);
    row({.what = beside + ": moves",
         .source = "Boyle's law and statics",
         .sure = Sure::computed,
         .published = c.moves_mm,
         .ours = 1000.0 * (0.9 - record->tanks[0].end_depth_m),
         .unit = "mm",
         .band = give_or_take(c.moves_mm, 5e-4 + 1000.0 * rounding_m)});
    row({.what = beside + ": vacuum",
         .source = "Boyle's law and statics",
         .sure = Sure::computed,
         .published = c.vacuum_pa,
         .ours = -record->tanks[0].headspace.end_pa,
         .unit = "Pa",
         .band = give_or_take(c.vacuum_pa, 0.5 + 0.1)});
  }
}

// From the warmest hour to the coldest, the mean 25 degC.
TEST(SealedTank, IsPulledInByAColdNight) {
  Yard yard(degc_of_source());
  closed_box(yard, 0.5, 0.5, sealed());
  yard.parts.site.air_temperature_degc = 25.0;
  yard.parts.site.air_swing_k = 30.0;
  yard.sheet.starts_clock_s = yard.parts.site.warmest_hour * hour_s;
  const double cooling_h = yard.parts.site.coldest_hour + 24.0 - yard.parts.site.warmest_hour;
  const auto record = yard.run(cooling_h * hour_s, 10);
  ASSERT_TRUE(record);
  row({.what = "air shut in at 40 degC, at 10 degC",
       .source = "Gay-Lussac's law",
       .sure = Sure::computed,
       .published = 9707.0,
       .ours = -record->tanks[0].headspace.end_pa,
       .unit = "Pa",
       .band = give_or_take(9707.0, 0.5 + 0.1)});
}

/// The vacuum that 50 L/min settle at under a hole.
double vacuum_of_draw_pa(double hole_m) {
  Yard yard(degc_of_source());
  const TankId box = closed_box(yard, 0.1, 3.0, holed(hole_m));  // it hangs on 0.7 m at most
  Outlet draw;
  draw.name = "draw";
  draw.at = HoseEnd{box, 0.0};
  draw.draw_m3_per_s = 0.050 / 60.0;
  draw.open = true;
  yard.parts.outlets.push_back(draw);
  // 2 m3 by then, and what the vacuum has still to go is (2.1 / 0.1)^(-p / 2 dp), 1e-9 of it at
  // most.
  const auto record = yard.run(2400.0, 10);
  return record ? -record->tanks[0].headspace.end_pa : 0.0;
}

TEST(SteadyDraw, ThroughAHoleSettlesAtItsVacuum) {
  struct Case {
    double hole_mm, slow_pa, half_digit, isentropic_pa;
  };
  for (const Case& c : {Case{20.0, 11.6, 0.05, 11.5808}, Case{10.0, 185.3, 0.05, 184.998},
                        Case{4.0, 7239.0, 0.5, 6788.56}}) {
    const double ours = vacuum_of_draw_pa(1e-3 * c.hole_mm);
    const std::string what =
        "50 L/min through " + std::to_string(static_cast<int>(c.hole_mm)) + " mm";
    // The source takes air for a liquid, which is true within the share of an atmosphere that the
    // vacuum is.
    row({.what = what,
         .source = "Bernoulli, dp = rho/2 (Q / Cd A)^2",
         .sure = Sure::computed,
         .published = c.slow_pa,
         .ours = ours,
         .unit = "Pa",
         .band = give_or_take(c.slow_pa, c.half_digit + c.slow_pa * c.slow_pa / atmosphere)});
    // As much air in as the draw leaves room for, p Q / R T: the root by bisection, apart from
    // here.
    row({.what = what + ", air that expands",
         .source = "isentropic orifice flow",
         .sure = Sure::computed,
         .published = c.isentropic_pa,
         .ours = ours,
         .unit = "Pa",
         .band = give_or_take(c.isentropic_pa, 6e-6 * c.isentropic_pa + 0.1)});
  }
}

TEST(SmallestHole, ForFiftyLitresAMinuteFoundByRunning) {
  struct Case {
    double vacuum_pa, slow_mm;
  };
  for (const Case& c : {Case{100, 11.67}, Case{250, 9.28}, Case{500, 7.80}, Case{1000, 6.56}}) {
    double small_mm = 1.0;
    double large_mm = 50.0;
    while (large_mm - small_mm > 1e-3) {
      const double between_mm = 0.5 * (small_mm + large_mm);
      (vacuum_of_draw_pa(1e-3 * between_mm) > c.vacuum_pa ? small_mm : large_mm) = between_mm;
    }
    row({.what = "hole for 50 L/min at " + std::to_string(static_cast<int>(c.vacuum_pa)) + " Pa",
         .source = "Bernoulli, Q = Cd A sqrt(2 dp / rho)",
         .sure = Sure::computed,
         .published = c.slow_mm,
         .ours = large_mm,
         .unit = "mm",
         // half a digit, and a quarter of the share of an atmosphere: the vacuum goes with the
         // fourth power of the bore
         .band =
             give_or_take(c.slow_mm, 0.005 + 0.001 + 0.25 * c.slow_mm * c.vacuum_pa / atmosphere)});
  }
}

}  // namespace sealed_run_test
}  // namespace published
