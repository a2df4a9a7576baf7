// SPDX-License-Identifier: MIT
// Air through a hole in a lid, and the hole that a pull needs. Unless said otherwise: Cd 0.61,
// 101 325 Pa and 15 degC outside and in.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "published/table.h"
#include "solver/in_breathing.h"
#include "solver/vent_flow.h"

namespace published {
namespace air_test {

constexpr double pi = 3.14159265358979323846;
constexpr double atmosphere_pa = 101325.0;
constexpr double air_k = 288.15;
constexpr double coefficient = 0.61;
constexpr double air_kg_per_m3 = atmosphere_pa / (tankyard::air_gas_constant * air_k);

double litres_a_minute(double litres) { return litres / 60000.0; }

std::string whole(double value) { return std::to_string(static_cast<int>(value)); }

// Through a 10 mm hole.
double grams_per_s(double inside_pa) {
  const double area_m2 = coefficient * pi / 4.0 * 0.010 * 0.010;
  return 1000.0 * tankyard::air_into(area_m2, atmosphere_pa, air_k, inside_pa, air_k).kg_per_s;
}

TEST(Vent, PassesWhatTheIsentropicFormulaSays) {
  struct Point {
    double vacuum_pa, grams;
  };
  for (const Point& p :
       {Point{50, 0.53012}, Point{100, 0.74950}, Point{250, 1.18413}, Point{500, 1.67239},
        Point{1000, 2.35882}, Point{2500, 3.69960}, Point{11325, 7.48738}}) {
    row({.what = "10 mm hole, " + whole(p.vacuum_pa) + " Pa below outside",
         .source = "isentropic orifice flow",
         .sure = Sure::computed,
         .published = p.grams,
         .ours = grams_per_s(atmosphere_pa - p.vacuum_pa),
         .unit = "g/s",
         .band = give_or_take(p.grams, 6e-6)});
  }
  row({.what = "10 mm hole, choked (50 kPa inside)",
       .source = "isentropic orifice flow",
       .sure = Sure::computed,
       .published = 11.5576,
       .ours = grams_per_s(50000.0),
       .unit = "g/s",
       .band = give_or_take(11.5576, 6e-5)});
}

TEST(Vent, PassesLessThanBernoulliByItsExpansibility) {
  struct Point {
    double vacuum_pa, ratio;
  };
  for (const Point& p : {Point{50, 0.99974}, Point{100, 0.99947}, Point{250, 0.99868},
                         Point{500, 0.99735}, Point{1000, 0.99470}, Point{2500, 0.98669}}) {
    const double slow = 1000.0 * coefficient * pi / 4.0 * 0.010 * 0.010 *
                        std::sqrt(2.0 * air_kg_per_m3 * p.vacuum_pa);
    row({.what = "share of Bernoulli's flow at " + whole(p.vacuum_pa) + " Pa",
         .source = "isentropic orifice flow",
         .sure = Sure::computed,
         .published = p.ratio,
         .ours = grams_per_s(atmosphere_pa - p.vacuum_pa) / slow,
         .unit = "",
         .band = give_or_take(p.ratio, 6e-6)});
  }
}

// The same flows without expansion: turned round, each of them asks for the 10 mm they go through.
TEST(Hole, ForASlowPullIsBernoullis) {
  struct Point {
    double vacuum_pa, litres;
  };
  for (const Point& p : {Point{50, 25.972}, Point{100, 36.730}, Point{250, 58.075},
                         Point{500, 82.130}, Point{1000, 116.150}, Point{2500, 183.649}}) {
    row({.what = "hole for " + std::to_string(p.litres).substr(0, 6) + " L/min at " +
                 whole(p.vacuum_pa) + " Pa",
         .source = "Bernoulli, Q = Cd A sqrt(2 dp / rho)",
         .sure = Sure::computed,
         .published = 10.0,
         .ours = 1000.0 * tankyard::hole_for_slow_air_m(litres_a_minute(p.litres), p.vacuum_pa,
                                                        coefficient, air_kg_per_m3),
         .unit = "mm",
         .band = percent(10.0, 0.002)});  // half of the flow's last digit
  }
}

TEST(Hole, ForFiftyLitresAMinute) {
  struct Point {
    double vacuum_pa, bore_mm;
  };
  for (const Point& p :
       {Point{100, 11.67}, Point{250, 9.28}, Point{500, 7.80}, Point{1000, 6.56}}) {
    const double slow = tankyard::hole_for_slow_air_m(litres_a_minute(50.0), p.vacuum_pa,
                                                      coefficient, air_kg_per_m3);
    row({.what = "hole for 50 L/min at " + whole(p.vacuum_pa) + " Pa",
         .source = "Bernoulli, Q = Cd A sqrt(2 dp / rho)",
         .sure = Sure::computed,
         .published = p.bore_mm,
         .ours = 1000.0 * slow,
         .unit = "mm",
         .band = give_or_take(p.bore_mm, 0.006)});
    // Air expands on its way in, which counts for under half a per cent of bore up to 1 kPa.
    row({.what = "the same with air that expands",
         .source = "Bernoulli, Q = Cd A sqrt(2 dp / rho)",
         .sure = Sure::computed,
         .published = p.bore_mm,
         .ours = 1000.0 * tankyard::hole_for_pull_m(litres_a_minute(50.0), p.vacuum_pa, coefficient,
                                                    atmosphere_pa, air_k, air_k),
         .unit = "mm",
         .band = percent(p.bore_mm, 0.5)});
  }
}

// The vacuum goes with the inverse fourth power of the bore, so any one hole tells that of another.
TEST(Hole, OfAGivenBoreHoldsThisVacuum) {
  struct Point {
    double bore_m, vacuum_pa, half_digit;
  };
  for (const Point& p :
       {Point{0.020, 11.6, 0.05}, Point{0.010, 185.3, 0.05}, Point{0.004, 7239.0, 0.5}}) {
    const double for_one_pascal_m =
        tankyard::hole_for_slow_air_m(litres_a_minute(50.0), 1.0, coefficient, air_kg_per_m3);
    row({.what = "vacuum of 50 L/min through " + whole(1000.0 * p.bore_m + 0.5) + " mm",
         .source = "Bernoulli, dp = rho/2 (Q / Cd A)^2",
         .sure = Sure::computed,
         .published = p.vacuum_pa,
         .ours = std::pow(for_one_pascal_m / p.bore_m, 4.0),
         .unit = "Pa",
         .band = give_or_take(p.vacuum_pa, p.half_digit)});
  }
}

TEST(InBreathing, IsAsMuchAirAsWater) {
  // 5.6 cubic feet of air at 60 degF for each barrel of 42 US gallons, at 0 degC.
  const double by_units =
      5.6 * std::pow(0.3048, 3.0) * (273.15 / 288.705556) / (42.0 * 231.0 * std::pow(0.0254, 3.0));
  row({.what = "air for each m3 drawn off",
       .source = "API Std 2000, 5th ed.",
       .sure = Sure::seen,
       .published = 0.94,
       .ours = by_units,
       .unit = "Nm3/m3",
       .band = give_or_take(0.94, 0.005)});
  row({.what = "the same, as the tool has it",
       .source = "API Std 2000, 5th ed.",
       .sure = Sure::seen,
       .published = 0.94,
       .ours = tankyard::in_breathing_api_2000_5th,
       .unit = "Nm3/m3",
       .band = give_or_take(0.94, 0.0)});
  row({.what = "air for each m3 drawn off",
       .source = "ISO 28300:2008, API Std 2000 6th ed.",
       .sure = Sure::seen,
       .published = 1.0,
       .ours = tankyard::in_breathing_iso_28300,
       .unit = "Nm3/m3",
       .band = give_or_take(1.0, 0.0)});
}

TEST(InBreathing, OfACoolingTank) {
  row({.what = "200 m3 in a shower, C 4",
       .source = "ISO 28300:2008, thermal part",
       .sure = Sure::seen,
       .published = 163.2,
       .ours = 3600.0 * tankyard::thermal_in_breathing_m3_per_s(200.0, 4.0),
       .unit = "Nm3/h",
       .band = give_or_take(163.2, 0.05)});
  row({.what = "1 m3 in a shower, C 3 (outside its size)",
       .source = "ISO 28300:2008, thermal part",
       .sure = Sure::memory,
       .published = 50.0,
       .ours = 60000.0 * tankyard::thermal_in_breathing_m3_per_s(1.0),
       .unit = "L/min",
       .band = give_or_take(50.0, 0.5)});
}

}  // namespace air_test
}  // namespace published
