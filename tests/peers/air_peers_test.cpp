// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "air_yards.h"
#include "graph/array.h"
#include "near.h"
#include "plain_air.h"
#include "solver/run.h"
#include "yards.h"

// The second reading with closed lids (plain_air.h): held to closed forms of its own first, then
// the solver to it.

namespace peers {
namespace air_peers_test {

using namespace tankyard;

constexpr double pi = 3.141592653589793;
constexpr double sea_level_pa = 101325.0;
constexpr double water_head_pa = 998.207 * 9.80665;  // of a metre of water at 20 degC

/// A box of 1 m2, `water_m` of water and `air_m` of air high, sealed.
Tank sealed_box(double water_m, double air_m) {
  Tank tank;
  tank.name = "box";
  tank.shape = Prism{1.0, water_m + air_m};
  tank.water_m3 = water_m;
  tank.lid.kind = Lid::Kind::sealed;
  return tank;
}

Hose hose_of(double bore_m, double length_m) {
  Hose hose;
  hose.name = "hose";
  hose.bore_m = bore_m;
  hose.length_m = length_m;
  return hose;
}

/// With a drain hose to a nozzle that stands `below_m` under the box.
Parts draining(const Tank& tank, double below_m) {
  Parts parts;
  parts.site.water_temperature_degc = 20.0;
  parts.tanks.push_back(tank);
  Outlet outlet;
  outlet.name = "drain";
  outlet.bore_m = 0.025;
  outlet.height_m = -below_m;
  outlet.open = true;
  parts.outlets.push_back(outlet);
  Hose hose = hose_of(0.03, 1.0 + below_m);
  hose.from = {id_at<TankId>(0), 0.0};
  hose.to.place = id_at<OutletId>(0);
  parts.hoses.push_back(hose);
  return parts;
}

DaySheet lasting(double seconds) {
  DaySheet sheet;
  sheet.lasts_s = seconds;
  return sheet;
}

/// How far a sealed box's water falls, m: (h0 + S - x)(g0 + x) = P x (isothermal gas).
double stall_m(double air_m, double water_m, double suction_m, double outside_m) {
  const double b = outside_m + air_m - water_m - suction_m;
  return 0.5 * (-b + std::sqrt(b * b + 4.0 * (water_m + suction_m) * air_m));
}

struct StallCase {
  const char* name;
  double air_m, water_m, suction_m, published_mm, published_vacuum_pa;
};

// Source of truth: Boyle's law and hydrostatics, worked out in 30 digits at 10 degC
// (shared/checks, 7.7); here at the 20 degC of this reading.
TEST(PlainAir, StallsASealedTankWhereBoyleSays) {
  constexpr StallCase cases[] = {
      {"A", 0.05, 0.95, 0.0, 5.0316, 9264.2},   {"B", 0.10, 0.90, 0.0, 9.4292, 8730.9},
      {"C", 0.50, 0.50, 0.0, 24.1324, 4665.3},  {"D", 0.10, 0.90, 1.5, 29.7577, 23237.2},
      {"E", 0.05, 0.85, 5.0, 63.6011, 56728.2}, {"F", 0.10, 0.90, 7.0, 280.5475, 74698.9}};
  for (const StallCase& one : cases) {
    SCOPED_TRACE(one.name);
    EXPECT_NEAR(
        1e3 * stall_m(one.air_m, one.water_m, one.suction_m, sea_level_pa / (999.7 * 9.80665)),
        one.published_mm, 1e-4);

    const double fall_m =
        stall_m(one.air_m, one.water_m, one.suction_m, sea_level_pa / water_head_pa);
    const double vacuum_pa = sea_level_pa * fall_m / (one.air_m + fall_m);
    EXPECT_NEAR(vacuum_pa, one.published_vacuum_pa, 0.002 * one.published_vacuum_pa);
    const auto out = plain::run_with_air(
        draining(sealed_box(one.water_m, one.air_m), one.suction_m), lasting(1800.0));
    ASSERT_FALSE(out.stuck) << out.stuck_at_s;
    EXPECT_TRUE(near(out.books.delivered_m3[0], fall_m, {1e-6, 0.0}));
    EXPECT_TRUE(near(out.end_pa[0], -vacuum_pa, {1e-6, 0.0}));
    EXPECT_TRUE(near(out.lowest_pa[0], -vacuum_pa, {1e-6, 0.0}));
    EXPECT_EQ(out.highest_pa[0], 0.0);
  }
}

// Source of truth: (h1 - h2 - 2 x)(g0 + x) = P x; shared/checks, 7.7: 8.204 mm and 7682 Pa, 3.944
// mm and 3844 Pa.
TEST(PlainAir, HoldsWaterBackFromAnOpenNeighbour) {
  struct Case {
    double neighbour_m, published_mm, published_pa;
  };
  for (const Case& one : {Case{0.1, 8.204, 7682.0}, Case{0.5, 3.944, 3844.0}}) {
    const auto moves_m = [&](double outside_m) {
      const double apart = 0.9 - one.neighbour_m;
      const double b = outside_m + 0.2 - apart;
      return (-b + std::sqrt(b * b + 8.0 * apart * 0.1)) / 4.0;
    };
    EXPECT_NEAR(1e3 * moves_m(sea_level_pa / (999.7 * 9.80665)), one.published_mm, 1e-3);

    Parts parts;
    parts.site.water_temperature_degc = 20.0;
    parts.tanks = {sealed_box(0.9, 0.1), sealed_box(one.neighbour_m, 1.0)};
    parts.tanks[1].lid.kind = Lid::Kind::open;
    Hose hose = hose_of(0.03, 2.0);
    hose.from = {id_at<TankId>(0), 0.0};
    hose.to = {id_at<TankId>(1), 0.0};
    parts.hoses.push_back(hose);
    const auto out = plain::run_with_air(parts, lasting(3600.0));
    ASSERT_FALSE(out.stuck) << out.stuck_at_s;
    const double moved_m = moves_m(sea_level_pa / water_head_pa);
    EXPECT_TRUE(near(out.books.carried_m3[0], moved_m, {1e-6, 0.0}));
    EXPECT_TRUE(near(out.end_pa[0], -sea_level_pa * moved_m / (0.1 + moved_m), {1e-6, 0.0}));
    EXPECT_NEAR(-out.end_pa[0], one.published_pa, 0.002 * one.published_pa);
    EXPECT_EQ(out.end_pa[1], 0.0);
  }
}

// Source of truth: Gay-Lussac; shared/checks, 7.7: 40 to 10 degC is 9707 Pa.
TEST(PlainAir, PullsASealedTankInOnAColdNight) {
  Parts parts;
  parts.site.water_temperature_degc = 20.0;
  parts.site.air_temperature_degc = 25.0;
  parts.site.air_swing_k = 30.0;
  parts.tanks.push_back(sealed_box(0.5, 0.5));
  DaySheet sheet = lasting(24.0 * 3600.0);
  sheet.starts_clock_s = 15.0 * 3600.0;
  const auto day = plain::run_with_air(parts, sheet);
  ASSERT_FALSE(day.stuck);
  EXPECT_NEAR(day.lowest_pa[0], -9707.0, 0.5);
  EXPECT_TRUE(near(day.lowest_pa[0], -sea_level_pa * 30.0 / 313.15, {1e-8, 0.0}));
  EXPECT_NEAR(day.end_pa[0], 0.0, 1e-3);  // as warm as it was
  EXPECT_NEAR(day.highest_pa[0], 0.0, 1e-3);

  // Half way in time from 15 to 5 h is half way in warmth; of its own swing if it has one.
  sheet.lasts_s = 7.0 * 3600.0;
  EXPECT_TRUE(near(plain::run_with_air(parts, sheet).end_pa[0], -sea_level_pa * 15.0 / 313.15,
                   {1e-8, 0.0}));
  parts.tanks[0].air_swing_k = 50.0;
  EXPECT_TRUE(near(plain::run_with_air(parts, sheet).end_pa[0], -sea_level_pa * 25.0 / 323.15,
                   {1e-8, 0.0}));
}

// Source of truth: outside air is there at the start, however large the tank.
TEST(PlainAir, StartsAtOutsidePressure) {
  for (const double room_m : {0.01, 1.0, 1e4}) {
    Parts parts;
    parts.site.water_temperature_degc = 20.0;
    parts.tanks.push_back(sealed_box(0.5, room_m));
    const auto out = plain::run_with_air(parts, lasting(600.0));
    EXPECT_NEAR(out.end_pa[0], 0.0, 1e-6);
    EXPECT_NEAR(out.highest_pa[0], 0.0, 1e-6);
    EXPECT_NEAR(out.lowest_pa[0], 0.0, 1e-6);
  }
}

// Source of truth: a day is 14 hours of cooling and 10 of warming with the hours of `Site`.
TEST(PlainAir, WarmsAndCoolsByTheClock) {
  for (const double day : {-2.0, 0.0, 3.0}) {
    const auto at = [&](double hour) {
      return plain::warmth((hour + 24.0 * day) * 3600.0, 15.0, 5.0);
    };
    EXPECT_NEAR(at(5.0), -1.0, 1e-12);
    EXPECT_NEAR(at(10.0), 0.0, 1e-12);
    EXPECT_NEAR(at(15.0), 1.0, 1e-12);
    EXPECT_NEAR(at(22.0), 0.0, 1e-12);
    EXPECT_NEAR(at(12.5), std::cos(pi / 4.0), 1e-12);
    EXPECT_NEAR(plain::warmth((1.0 + 24.0 * day) * 3600.0, 3.0, 22.0), -std::cos(pi * 3.0 / 5.0),
                1e-12);  // warmest after midnight
  }
}

// Source of truth: shared/checks 7.2, the isentropic nozzle worked out in 30 digits; 10 mm, 0.61,
// 288.15 K. Choking starts at 0.52828.
TEST(PlainAir, PassesAHoleAsTheTableSays) {
  const double area = 0.61 * pi / 4.0 * 1e-4;
  const auto grams = [&](double inside_pa) {
    return 1e3 * plain::air_kg_per_s(area, sea_level_pa, 288.15, inside_pa, 260.0);
  };
  constexpr double rows[][2] = {{50.0, 0.53012},    {100.0, 0.74950},  {250.0, 1.18413},
                                {500.0, 1.67239},   {1000.0, 2.35882}, {2500.0, 3.69960},
                                {11325.0, 7.48738}, {51325.0, 11.5576}};
  for (const auto& row : rows) EXPECT_NEAR(grams(sea_level_pa - row[0]), row[1], 6e-6 * row[1]);
  EXPECT_EQ(grams(0.528 * sea_level_pa), grams(2339.2));
  EXPECT_GT(grams(0.528 * sea_level_pa), grams(0.5284 * sea_level_pa));
  // The air that leaves is that of the other side.
  EXPECT_NEAR(plain::air_kg_per_s(area, 90000.0, 260.0, sea_level_pa, 288.15),
              -1e-3 * grams(90000.0), 1e-15);
}

// Source of truth: ISO 2533 (shared/checks 1.3).
TEST(PlainAir, HasTheAirOutsideOfItsAltitude) {
  constexpr double rows[][2] = {
      {0.0, 101325.0}, {500.0, 95461.0}, {1000.0, 89875.0}, {2000.0, 79495.0}, {3000.0, 70109.0}};
  for (const auto& row : rows) EXPECT_NEAR(plain::outside_pa(row[0]), row[1], 0.6);
}

// Source of truth: under no gas, the overflow of an open tank; with as much suction as water, none;
// and under a gas that dwarfs the mouth, Torricelli on the mouth's area.
TEST(PlainAir, DrivesAnOverflowByWaterAndGas) {
  for (double height = 0.003; height < 0.3; height *= 1.5) {
    const double open = plain::overflow_m3_per_s(height, 0.05, 0.6);
    EXPECT_TRUE(near(plain::overflow_m3_per_s(height, 0.0, 0.05, 0.6), open, {1e-7, 0.0}));
    EXPECT_TRUE(near(plain::overflow_m3_per_s(height + 0.02, -0.02, 0.05, 0.6), open, {1e-7, 0.0}));
    EXPECT_EQ(plain::overflow_m3_per_s(height, -height, 0.05, 0.6), 0.0);
    const double jet = std::sqrt(2.0 * 9.80665 * 1e4);
    const double area = pi / 4.0 * 0.05 * 0.05 * plain::share_covered(height, 0.05);
    EXPECT_TRUE(
        near(plain::overflow_m3_per_s(height, 1e4, 0.05, 0.6), 0.6 * area * jet, {1e-4, 0.0}));
  }
}

// Source of truth: once steady, the hole lets in at the headspace's own pressure the volume that is
// drawn off. shared/checks 7.2: 50 L/min through 10 mm is 185.3 Pa, incompressible at 15 degC.
TEST(PlainAir, HoldsASteadyVacuumUnderASteadyDraw) {
  Parts parts;
  parts.site.water_temperature_degc = 20.0;
  parts.tanks.push_back(sealed_box(0.8, 0.2));
  parts.tanks[0].lid = {Lid::Kind::holed, 0.01, 0.61, 1, 1.0};
  Outlet outlet;
  outlet.name = "draw";
  outlet.at = HoseEnd{id_at<TankId>(0), 0.0};
  outlet.draw_m3_per_s = 0.05 / 60.0;
  outlet.open = true;
  parts.outlets.push_back(outlet);
  const auto out = plain::run_with_air(parts, lasting(600.0));
  ASSERT_FALSE(out.stuck) << out.stuck_at_s;
  EXPECT_TRUE(near(out.books.delivered_m3[0], 0.5, {1e-9, 0.0}));
  EXPECT_NEAR(-out.end_pa[0], 185.3, 0.006 * 185.3);
  const double inside = sea_level_pa + out.end_pa[0];
  EXPECT_TRUE(
      near(plain::air_kg_per_s(0.61 * pi / 4.0 * 1e-4, sea_level_pa, 288.15, inside, 288.15),
           inside * 0.05 / 60.0 / (287.05287 * 288.15), {1e-6, 0.0}));

  // Four holes of half the bore, or one behind a screen that leaves a quarter of twice the bore,
  // are the same hole.
  for (const Lid& lid :
       {Lid{Lid::Kind::holed, 0.005, 0.61, 4, 1.0}, Lid{Lid::Kind::holed, 0.02, 0.61, 1, 0.25}}) {
    parts.tanks[0].lid = lid;
    EXPECT_TRUE(
        near(plain::run_with_air(parts, lasting(600.0)).end_pa[0], out.end_pa[0], {1e-7, 0.0}));
  }
}

// Source of truth: air is kept, and a line evens its pressure out.
TEST(PlainAir, SharesAirAlongALine) {
  Parts parts;
  parts.site.water_temperature_degc = 20.0;
  parts.tanks = {sealed_box(0.9, 0.1), sealed_box(0.3, 0.4)};
  Outlet outlet;
  outlet.name = "draw";
  outlet.at = HoseEnd{id_at<TankId>(0), 0.0};
  outlet.draw_m3_per_s = 1e-4;
  outlet.open = true;
  parts.outlets.push_back(outlet);
  AirLine line;
  line.from = id_at<TankId>(1);
  line.to = id_at<TankId>(0);
  line.bore_m = 0.01;
  line.length_m = 5.0;
  parts.air_lines.push_back(line);
  DaySheet sheet = lasting(3600.0);
  sheet.steps.push_back({200.0, {{Action::Does::close, id_at<OutletId>(0)}}, std::nullopt});
  const auto out = plain::run_with_air(parts, sheet);
  ASSERT_FALSE(out.stuck) << out.stuck_at_s;
  const double want_pa = sea_level_pa * (0.5 / 0.52 - 1.0);
  EXPECT_TRUE(near(out.end_pa[0], want_pa, {1e-5, 0.0}));
  EXPECT_TRUE(near(out.end_pa[1], want_pa, {1e-5, 0.0}));

  // The same hole as a line, straight through a wall: 1.5 velocity heads of air.
  EXPECT_NEAR(plain::line_area_m2(0.01, 0.0), pi / 4.0 * 1e-4 / std::sqrt(1.5), 1e-15);
  EXPECT_NEAR(plain::line_area_m2(0.01, 5.0), pi / 4.0 * 1e-4 / std::sqrt(16.5), 1e-15);

  // Far below a Reynolds number of 2300 the flow goes with the difference, far above with its root.
  const double area = plain::line_area_m2(0.01, 5.0);
  const double laminar = plain::line_laminar_pa(0.01, 5.0);
  EXPECT_NEAR(laminar, 16.5 * 0.6125 * std::pow(2300.0 * 1.46e-5 / 0.01, 2.0), 1e-9);
  const auto flow = [&](double pa, double rounded) {
    return plain::air_kg_per_s(area, sea_level_pa, 288.15, sea_level_pa - pa, 288.15, rounded);
  };
  EXPECT_TRUE(
      near(flow(0.02 * laminar, laminar), 2.0 * flow(0.01 * laminar, laminar), {1e-4, 0.0}));
  EXPECT_TRUE(near(flow(10.0 * laminar, laminar), flow(10.0 * laminar, 0.0), {2e-5, 0.0}));
}

// Source of truth: hydrostatics under vapour pressure, 2339.2 Pa at 20 degC (IAPWS SR1-86).
TEST(PlainAir, BoilsInsteadOfPullingHarder) {
  const auto out = plain::run_with_air(draining(sealed_box(0.99, 0.01), 9.8), lasting(3600.0));
  ASSERT_FALSE(out.stuck) << out.stuck_at_s;
  EXPECT_TRUE(out.boiled);
  EXPECT_EQ(out.lowest_pa[0], 2339.2 - sea_level_pa);
  const double left_m = (sea_level_pa - 2339.2) / water_head_pa - 9.8;
  EXPECT_TRUE(near(out.books.volume_m3[0], left_m, {1e-6, 0.0}));
}

/// The largest difference between two columns, and where. Litres and pascals apart.
struct Gap {
  double size = 0.0;
  std::string where = "nowhere";

  void hold(const std::string& what, std::size_t part, double ours, double theirs) {
    const double apart = std::fabs(ours - theirs);
    if (!(apart <= size)) {
      size = apart;
      char words[160];
      std::snprintf(words, sizeof words, "%s %zu: %.10g and %.10g", what.c_str(), part + 1, ours,
                    theirs);
      where = words;
    }
  }
  void widen(const Gap& other, const std::string& yard) {
    if (other.size > size) *this = {other.size, yard + ", " + other.where};
  }
};

void hold_books(Gap& gap, Gap& hoses, const plain::Outcome& ours, const plain::Outcome& theirs) {
  const auto all = [](Gap& one, const char* what, const auto& mine, const auto& other) {
    for (std::size_t i = 0; i < mine.size(); ++i) one.hold(what, i, mine[i], other[i]);
  };
  all(gap, "m3 in tank", ours.volume_m3, theirs.volume_m3);
  all(gap, "m3 by overflow of tank", ours.overflowed_m3, theirs.overflowed_m3);
  all(gap, "m3 over the rim of tank", ours.over_rim_m3, theirs.over_rim_m3);
  all(gap, "m3 by outlet", ours.delivered_m3, theirs.delivered_m3);
  all(gap, "m3 by leak", ours.leaked_m3, theirs.leaked_m3);
  all(gap, "m3 by roof", ours.caught_m3, theirs.caught_m3);
  all(gap, "m3 by top-up", ours.let_in_m3, theirs.let_in_m3);
  all(hoses, "m3 by hose", ours.carried_m3, theirs.carried_m3);
}

int yards_to_try(int many) {
  if (const char* wanted = std::getenv("PEERS_YARDS")) return std::atoi(wanted);
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
  return std::max(many / 8, std::min(many, 5));
#else
  return many;
#endif
}

// Source of truth: the second reading without air, stepped by other means; open tanks, headers,
// spills, outlets and leaks.
TEST(PlainAir, IsTheOpenReadingWhereLidsAreOpen) {
  Gap widest;
  int held = 0;
  for (int k = 0; k < yards_to_try(10); ++k) {
    const std::uint64_t number = 6000 + static_cast<std::uint64_t>(k);
    const Drawn yard = draw_yard(number, {.spills = true, .outlets = true, .header = true});
    SCOPED_TRACE("yard number " + std::to_string(number) + "\n" + in_words(yard));
    const auto air = plain::run_with_air(yard.parts, yard.sheet);
    ASSERT_FALSE(air.stuck) << air.stuck_at_s;
    if (!air.within_reach() || air.header_spare_m <= 0.0) continue;
    ++held;
    Gap gap;
    hold_books(gap, gap, air.books, plain::run(yard.parts, yard.sheet, 1e-9));
    EXPECT_LE(gap.size, 1e-5) << gap.where;
    widest.widen(gap, std::to_string(number));
  }
  EXPECT_GT(held, 0);
  std::printf("%d yards; furthest apart: %.2g L (%s)\n", held, 1e3 * widest.size,
              widest.where.c_str());
}

// Source of truth: a tenth of the error a step.
TEST(PlainAir, StaysWhereItIsWithSmallerSteps) {
  Gap books, pressures;
  long long steps = 0;
  int held = 0;
  for (int k = 0; k < yards_to_try(10); ++k) {
    const std::uint64_t number = 8100 + static_cast<std::uint64_t>(k);
    const Drawn yard = draw_air_yard(number);
    SCOPED_TRACE("yard number " + std::to_string(number) + "\n" + in_words(yard));
    const auto coarse = plain::run_with_air(yard.parts, yard.sheet, 1e-8);
    ASSERT_FALSE(coarse.stuck) << coarse.stuck_at_s;
    if (!coarse.within_reach() || coarse.header_spare_m <= 0.0) continue;
    ++held;
    const auto fine = plain::run_with_air(yard.parts, yard.sheet, 1e-9);
    ASSERT_FALSE(fine.stuck) << fine.stuck_at_s;
    Gap gap, hoses, pa;
    hold_books(gap, hoses, coarse.books, fine.books);
    for (std::size_t i = 0; i < yard.parts.tanks.size(); ++i) {
      pa.hold("lowest Pa in tank", i, coarse.lowest_pa[i], fine.lowest_pa[i]);
      pa.hold("highest Pa in tank", i, coarse.highest_pa[i], fine.highest_pa[i]);
      pa.hold("Pa at the end in tank", i, coarse.end_pa[i], fine.end_pa[i]);
    }
    EXPECT_LE(gap.size, 1e-6) << gap.where;
    EXPECT_LE(pa.size, 1.0) << pa.where;
    books.widen(gap, std::to_string(number));
    pressures.widen(pa, std::to_string(number));
    steps += coarse.books.steps;
  }
  EXPECT_GT(held, 0);
  std::printf("%d yards, %lld steps; %.2g L (%s), %.2g Pa (%s)\n", held, steps, 1e3 * books.size,
              books.where.c_str(), pressures.size, pressures.where.c_str());
}

/// What the solver's record and the second reading differ by.
struct Apart {
  Gap books;
  Gap hoses;
  Gap pressures;
};

Apart compare(const RunRecord& ours, const plain::AirOutcome& theirs) {
  plain::Outcome books;
  Apart apart;
  for (std::size_t i = 0; i < ours.tanks.size(); ++i) {
    const TankRecord& tank = ours.tanks[i];
    books.volume_m3.push_back(tank.end_m3);
    books.overflowed_m3.push_back(tank.overflowed_out_m3);
    books.over_rim_m3.push_back(tank.over_rim_m3);
    apart.books.hold("m3 turned away by tank", i, tank.headspace.turned_away_m3, 0.0);
    apart.books.hold("m3 out of the lid of tank", i, tank.headspace.out_of_lid_m3, 0.0);
    apart.pressures.hold("lowest Pa in tank", i, tank.headspace.lowest_pa, theirs.lowest_pa[i]);
    apart.pressures.hold("highest Pa in tank", i, tank.headspace.highest_pa, theirs.highest_pa[i]);
    apart.pressures.hold("Pa at the end in tank", i, tank.headspace.end_pa, theirs.end_pa[i]);
  }
  for (const HoseRecord& hose : ours.hoses) books.carried_m3.push_back(hose.carried_m3);
  for (const OutletRecord& outlet : ours.outlets) books.delivered_m3.push_back(outlet.delivered_m3);
  for (const LeakRecord& leak : ours.leaks) books.leaked_m3.push_back(leak.lost_m3);
  for (const RoofRecord& roof : ours.roofs) books.caught_m3.push_back(roof.caught_m3);
  for (const TopUpRecord& top_up : ours.top_ups) books.let_in_m3.push_back(top_up.let_in_m3);
  hold_books(apart.books, apart.hoses, books, theirs.books);
  return apart;
}

/// As in peers_test.cpp: a fine tolerance and the one a user gets without asking. These yards last
/// up to six times as long, and float valves turn hundreds of times.
constexpr double fine_m = 1e-7;
constexpr double agrees_at_fine_m3 = 2e-5;
constexpr double agrees_at_default_m3 = 1e-3;
constexpr double hoses_agree_m3 = 5e-3;
constexpr double agrees_at_fine_pa = 1.0;
constexpr double agrees_at_default_pa = 30.0;

/// Holds `many` yards that stay within the second reading's reach.
void hold_yards(std::uint64_t first, int many, const MayBreathe& may) {
  many = yards_to_try(many);
  Gap books[2], hoses[2], pressures[2];
  int held = 0;
  std::uint64_t number = first;
  for (; held < many; ++number) {
    const Drawn yard = draw_air_yard(number, may);
    const plain::AirOutcome theirs = plain::run_with_air(yard.parts, yard.sheet);
    SCOPED_TRACE("yard number " + std::to_string(number) + "\n" + in_words(yard));
    ASSERT_FALSE(theirs.stuck) << theirs.stuck_at_s;
    if (!theirs.within_reach() || theirs.header_spare_m <= 0.0) continue;
    ++held;
    const auto array = Array::make(yard.parts);
    ASSERT_TRUE(array) << array.error().front().message;
    for (const bool fine : {false, true}) {
      RunOptions options;
      if (fine) {
        options.depth_tolerance_m = fine_m;
        options.event_tolerance_s = 1e-4;
      }
      const auto ours = run(*array, yard.sheet, options);
      if (!ours) {
        ADD_FAILURE() << ours.error().front().message;
        continue;
      }
      const Apart apart = compare(*ours, theirs);
      EXPECT_LE(apart.books.size, fine ? agrees_at_fine_m3 : agrees_at_default_m3)
          << (fine ? "fine: " : "default: ") << apart.books.where;
      EXPECT_LE(apart.hoses.size, hoses_agree_m3)
          << (fine ? "fine: " : "default: ") << apart.hoses.where;
      EXPECT_LE(apart.pressures.size, fine ? agrees_at_fine_pa : agrees_at_default_pa)
          << (fine ? "fine: " : "default: ") << apart.pressures.where;
      const std::string name = "yard " + std::to_string(number);
      books[fine].widen(apart.books, name);
      hoses[fine].widen(apart.hoses, name);
      pressures[fine].widen(apart.pressures, name);
    }
  }
  std::printf("%d yards of %d drawn; furthest apart at the default tolerance and at a fine one:\n",
              held, static_cast<int>(number - first));
  for (const bool fine : {false, true}) {
    std::printf("  %.2g L (%s)\n  %.2g L in one hose (%s)\n  %.2g Pa (%s)\n",
                1e3 * books[fine].size, books[fine].where.c_str(), 1e3 * hoses[fine].size,
                hoses[fine].where.c_str(), pressures[fine].size, pressures[fine].where.c_str());
  }
}

TEST(AirReading, AgreesOnYardsWithClosedLids) { hold_yards(10000, 24, {}); }

// Two tests wait for the solver; --gtest_also_run_disabled_tests runs them. What each shows is in
// README.md.

// A tank with a hole wide enough, at rest for hours, then a hand on a tap: nothing happens.
TEST(AirReading, AgreesOnAVentedTankAtRest) {
  Parts parts;
  parts.site.water_temperature_degc = 20.0;
  parts.tanks.push_back(sealed_box(0.5, 0.5));
  parts.tanks[0].lid = {Lid::Kind::holed, 0.02, 0.6, 1, 1.0};
  Outlet outlet;
  outlet.name = "tap";
  outlet.at = HoseEnd{id_at<TankId>(0), 0.9};  // above the water
  outlet.bore_m = 0.01;
  outlet.open = true;
  parts.outlets.push_back(outlet);
  const auto array = Array::make(parts);
  ASSERT_TRUE(array);
  for (const double at_s : {600.0, 6000.0, 60000.0}) {
    DaySheet sheet = lasting(24.0 * 3600.0);
    sheet.steps.push_back({at_s, {{Action::Does::close, id_at<OutletId>(0)}}, std::nullopt});
    const auto theirs = plain::run_with_air(parts, sheet);
    EXPECT_NEAR(theirs.lowest_pa[0], 0.0, 1e-3);
    EXPECT_NEAR(theirs.highest_pa[0], 0.0, 1e-3);
    const auto ours = run(*array, sheet);
    ASSERT_TRUE(ours) << ours.error().front().message;
    EXPECT_NEAR(ours->tanks[0].headspace.lowest_pa, 0.0, agrees_at_fine_pa) << at_s;
    EXPECT_NEAR(ours->tanks[0].headspace.highest_pa, 0.0, agrees_at_fine_pa) << at_s;
  }
}

// The whole day over which a tank in the sun is left alone: it moves no water that would call for
// short steps.
TEST(AirReading, AgreesOnATankLeftAloneForADay) {
  Parts parts;
  parts.site.water_temperature_degc = 20.0;
  parts.site.air_swing_k = 30.0;
  parts.tanks.push_back(sealed_box(0.5, 0.5));
  const auto array = Array::make(parts);
  ASSERT_TRUE(array);
  for (const double hour : {0.0, 6.0, 9.0, 15.0, 20.0}) {
    DaySheet sheet = lasting(24.0 * 3600.0);
    sheet.starts_clock_s = hour * 3600.0;
    const auto theirs = plain::run_with_air(parts, sheet);
    const auto ours = run(*array, sheet);
    ASSERT_TRUE(ours) << ours.error().front().message;
    EXPECT_NEAR(ours->tanks[0].headspace.lowest_pa, theirs.lowest_pa[0], agrees_at_default_pa);
    EXPECT_NEAR(ours->tanks[0].headspace.highest_pa, theirs.highest_pa[0], agrees_at_default_pa);
  }
}

TEST(AirReading, AgreesOnWarmDaysAndColdNights) { hold_yards(11010, 8, {.swing = true}); }

TEST(AirReading, AgreesOnOverflowsUnderClosedLids) { hold_yards(12000, 10, {.overflows = true}); }

}  // namespace air_peers_test
}  // namespace peers
