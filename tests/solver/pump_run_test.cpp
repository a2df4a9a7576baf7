// SPDX-License-Identifier: MIT
// Pumps through whole runs: duty, prime, switches, what they strand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "small_yard.h"
#include "solver/pump_again.h"
#include "solver/pump_law.h"
#include "solver/pump_stranded.h"
#include "solver/studies/pump_reach.h"
#include "solver/studies/pump_set_points.h"
#include "solver/water.h"
#include "solver/wider_hose.h"

namespace tankyard {
namespace pump_run_test {

using ::testing::HasSubstr;

constexpr double litre_a_minute = 1.0 / 60000.0;

/// 20 m at no flow, 12 m at 20 L/min, none at about 35 L/min.
Pump garden_pump(const std::string& name, Place from, Place to) {
  Pump pump;
  pump.name = name;
  pump.from = from;
  pump.to = to;
  pump.curve = {{0.0, 20.0},
                {10.0 * litre_a_minute, 17.0},
                {20.0 * litre_a_minute, 12.0},
                {30.0 * litre_a_minute, 4.0}};
  pump.running = true;
  return pump;
}

std::vector<double> times_of(const RunRecord& record, Event::Kind kind) {
  std::vector<double> times;
  for (const Event& event : record.events) {
    if (event.kind == kind) times.push_back(event.at_s);
  }
  return times;
}

TimedStep at(double at_s, std::vector<Action> actions) {
  TimedStep step;
  step.at_s = at_s;
  step.actions = std::move(actions);
  return step;
}

/// A near tank with a pump on a header below it, a far tank behind a thin hose, a nozzle.
struct PumpedPair : SmallYard {
  TankId near = box("near", 1.0, 1.0, 0.5, 0.5);
  TankId far = box("far", 1.0, 1.0, 0.5, 0.9);
  HeaderId suction = header("suction", 0.2);
  OutletId spray = tap("spray", 1.8, 0.005);

  explicit PumpedPair(double between_bore_m = 0.008) {
    hose("link", far, near, between_bore_m, 10.0);
    hose("pick-up", near, suction, 0.032, 3.0);
    parts.pumps.push_back(garden_pump("booster", suction, spray));
    sheet.lasts_s = 4.0 * 3600.0;
  }
  Pump& pump() { return parts.pumps[0]; }
};

// The law, the nozzle's own law and the suction hose's meet in one point of the run.
TEST(PumpRun, MeetsItsCurveAndItsNozzle) {
  PumpedPair yard(0.050);
  yard.sheet.lasts_s = 60.0;
  const auto array = yard.array();
  ASSERT_TRUE(array);
  RunOptions options;
  options.record_every_s = 60.0;
  options.depth_tolerance_m = 1e-7;
  const auto record = run(*array, yard.sheet, options);
  ASSERT_TRUE(record);
  const double flow = record->trace.pump_flow_m3_per_s.back()[0];
  EXPECT_NEAR(flow, record->trace.outlet_flow_m3_per_s.back()[0], 1e-9);
  const double inlet_m = record->trace.header_head_m.back()[0];
  // By hand: (Q / (c A))^2 / 2g above the nozzle.
  const double area = 0.25 * 3.14159265358979 * 0.005 * 0.005;
  const double jet = flow / (0.97 * area);
  const double outlet_m = 1.8 + jet * jet / (2.0 * 9.80665);
  EXPECT_NEAR(outlet_m - inlet_m, PumpCurve(yard.pump().curve).head_at(flow).head_m, 1e-3);
  const double level_m = 0.5 + record->tanks[0].end_depth_m;
  const double v = flow / (0.25 * 3.14159265358979 * 0.032 * 0.032);
  EXPECT_NEAR(level_m - inlet_m, 3.0 * v * v / (2.0 * 9.80665), 1e-4);
  EXPECT_EQ(record->pumps[0].lost_prime, 0);
  EXPECT_NEAR(record->ledger.closing_error_m3(), 0.0, 1e-9 * record->ledger.passed_m3);
}

// rho g Q H t / eta from the run's own flow and heads, the water hardly falling.
TEST(PumpRun, TakesTheEnergyReckonedByHand) {
  PumpedPair yard(0.050);
  yard.at(yard.near).shape = Prism{1000.0, 1.0};
  yard.at(yard.near).water_m3 = 900.0;
  yard.at(yard.far).water_m3 = 0.9;
  yard.pump().efficiency = 0.4;
  yard.sheet.lasts_s = 3600.0;
  RunOptions options;
  options.record_every_s = 3600.0;
  options.depth_tolerance_m = 1e-8;
  const auto record = run(*yard.array(), yard.sheet, options);
  ASSERT_TRUE(record);
  const double flow = record->trace.pump_flow_m3_per_s.back()[0];
  const double head = PumpCurve(yard.pump().curve).head_at(flow).head_m;
  const double density = water_at(10.0, 0.0).density_kg_per_m3;
  const double by_hand = density * 9.80665 * flow * head / 0.4 * 3600.0 / 3.6e6;
  EXPECT_NEAR(record->pumps[0].energy_kwh, by_hand, 2e-3 * by_hand);
  EXPECT_NEAR(record->pumps[0].ran_s, 3600.0, 1e-6);
}

// The far tank stands full behind a wide hose, under a lid that lets no air in.
TEST(PumpRun, StrandsWhatAVacuumHoldsBack) {
  PumpedPair yard;
  yard.parts.hoses[0].bore_m = 0.050;
  yard.at(yard.far).lid.kind = Lid::Kind::sealed;
  yard.sheet.steps = {at(4000.0, {{Action::Does::stop, PumpId{0}}})};
  const auto record = yard.record();
  ASSERT_TRUE(record);
  ASSERT_TRUE(record->pumps[0].air_drawn);
  const PumpStranded stranded = stranded_by(*yard.array(), PumpId{0}, *record->pumps[0].air_drawn);
  ASSERT_EQ(stranded.tanks.size(), 1U);
  EXPECT_TRUE(stranded.tanks[0].by_vacuum);
  EXPECT_FALSE(stranded.tanks[0].thin);
  const std::vector<Finding> findings = find_in_run(*yard.array(), yard.sheet, {}, *record);
  const Finding air = the_one(findings, FindingKind::pump_draws_air);
  EXPECT_THAT(air.says, HasSubstr("its lid lets too little air in: a vacuum of 0."));
  EXPECT_THAT(air.do_this, HasSubstr("let air in under the lid of `far` first"));
}

TEST(PumpRun, DrawsAirFromAHeaderAndStrandsWhatComesTooSlowly) {
  PumpedPair yard;
  yard.sheet.steps = {at(4000.0, {{Action::Does::stop, PumpId{0}}})};
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const PumpRecord& pump = record->pumps[0];
  ASSERT_TRUE(pump.air_drawn);
  EXPECT_EQ(pump.lost_prime, 1);
  const auto array = yard.array();
  const PumpStranded stranded = stranded_by(*array, PumpId{0}, *pump.air_drawn);
  ASSERT_EQ(stranded.tanks.size(), 1U);
  EXPECT_EQ(stranded.tanks[0].tank, yard.far);
  EXPECT_TRUE(stranded.tanks[0].thin);
  EXPECT_EQ(stranded.tanks[0].hose, HoseId{0});
  // Stranded, delivered and left below the sills is what there was.
  const double near_m3 = pump.air_drawn->water_m3[0];
  EXPECT_NEAR(stranded.total_m3 + pump.delivered_m3 + near_m3, 1.4, 1e-3);
  // Nothing more comes, although the near tank fills again; the pump runs dry.
  EXPECT_NEAR(pump.dry_s, 4000.0 - pump.air_drawn->at_s, 0.1);
  EXPECT_GT(record->tanks[0].end_depth_m, 0.2);
  EXPECT_EQ(drew_air_by(*array, PumpId{0}, *pump.air_drawn), yard.near);
  const std::vector<Finding> findings = find_in_run(*array, yard.sheet, {}, *record);
  const Finding air = the_one(findings, FindingKind::pump_draws_air);
  EXPECT_THAT(air.says, HasSubstr("`link` is too thin"));
  EXPECT_THAT(air.do_this, HasSubstr("for `link`"));
  EXPECT_NEAR(air.value, stranded.total_m3 * 1000.0, 1e-9);
  TryWatch nothing_tried;
  nothing_tried.most_steps = 0;
  const std::vector<Finding> untried = find_in_run(*array, yard.sheet, {}, *record, nothing_tried);
  EXPECT_THAT(the_one(untried, FindingKind::pump_draws_air).do_this,
              HasSubstr("what else may help was not tried: "));
  the_one(findings, FindingKind::pump_runs_dry);
  EXPECT_EQ(the_one(findings, FindingKind::stranded_water).where, "spray");
  // As wide as it says, it keeps its prime.
  Tries tries(*array, yard.sheet, {}, *record);
  DayAgain day(tries);
  const auto wide = day.smallest_that_will_do(
      HoseId{0}, [](const RunRecord& again) { return again.pumps[0].lost_prime == 0; });
  ASSERT_TRUE(wide);
  yard.parts.hoses[0].bore_m = wide->bore_m;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::pump_draws_air).empty());
}

TEST(PumpRun, DrawsAirStraightFromATank) {
  SmallYard yard;
  const TankId tank = yard.box("tank", 0.2, 1.0, 0.5, 0.1);
  const OutletId spray = yard.tap("spray", 1.0, 0.006);
  yard.parts.pumps.push_back(garden_pump("booster", tank, spray));
  const auto record = yard.record();
  ASSERT_TRUE(record);
  ASSERT_TRUE(record->pumps[0].air_drawn);
  // When half of its 25 mm are bare.
  EXPECT_NEAR(record->pumps[0].air_drawn->level_m[0], 0.5 + 0.0125, 2e-4);
}

TEST(PumpRun, DeliversAgainOnlyStoppedCoveredAndStarted) {
  PumpedPair yard;
  const auto once = yard.record();
  ASSERT_TRUE(once && once->pumps[0].air_drawn);
  const double air_s = once->pumps[0].air_drawn->at_s;
  const auto told = [&](std::vector<TimedStep> steps) {
    yard.sheet.steps = std::move(steps);
    return yard.record();
  };
  const Action start{Action::Does::start, PumpId{0}};
  const Action stop{Action::Does::stop, PumpId{0}};
  // Started while it runs: nothing. Stopped and started an hour later: it delivers again.
  const auto only_started = told({at(air_s + 3600.0, {start})});
  ASSERT_TRUE(only_started);
  EXPECT_NEAR(only_started->pumps[0].delivered_m3, once->pumps[0].delivered_m3, 1e-3);
  const auto both = told({at(air_s + 3600.0, {stop}), at(air_s + 3700.0, {start})});
  ASSERT_TRUE(both);
  EXPECT_GT(both->pumps[0].delivered_m3, once->pumps[0].delivered_m3 + 0.05);
  EXPECT_EQ(both->pumps[0].starts, 2);
  // At once, with its mouth still bare and no minute gone: it starts dry.
  const auto at_once = told({at(air_s + 1.0, {stop}), at(air_s + 2.0, {start})});
  ASSERT_TRUE(at_once);
  EXPECT_EQ(times_of(*at_once, Event::Kind::pump_starts_dry).size(), 1U);
  EXPECT_NEAR(at_once->pumps[0].delivered_m3, once->pumps[0].delivered_m3, 1e-3);
}

TEST(PumpRun, IsSavedByItsCutOut) {
  PumpedPair yard;
  yard.pump().stops_below = LowLevelStop{yard.near, 0.10, 0.20};
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const PumpRecord& pump = record->pumps[0];
  EXPECT_EQ(pump.lost_prime, 0);
  EXPECT_EQ(pump.dry_s, 0.0);
  EXPECT_GT(pump.cut_outs, 1);
  EXPECT_GT(pump.starts, 1);
  const std::vector<double> stops = times_of(*record, Event::Kind::pump_cut_out_low);
  const std::vector<double> starts = times_of(*record, Event::Kind::pump_starts);
  ASSERT_GT(stops.size(), 1U);
  // Between a stop and the next start the near tank rises by the dead band.
  for (std::size_t k = 0; k + 1 < starts.size() && k < stops.size(); ++k) {
    EXPECT_LT(stops[k], starts[k + 1]);
  }
  EXPECT_GE(record->tanks[0].lowest_depth_m, 0.10 - 1e-3);
}

TEST(PumpRun, PressureSwitchStopsAgainstAShutTapAndStartsForAnOpenOne) {
  PumpedPair yard(0.050);
  yard.parts.outlets[0].open = false;
  yard.pump().pressure_switch = PressureSwitch{0.5e5, 1.9e5};  // of 2.0 bar at no flow
  yard.sheet.steps = {at(600.0, {{Action::Does::open, OutletId{0}}}),
                      at(900.0, {{Action::Does::close, OutletId{0}}})};
  yard.sheet.lasts_s = 1800.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const std::vector<double> stops = times_of(*record, Event::Kind::pump_cut_out_by_pressure);
  const std::vector<double> starts = times_of(*record, Event::Kind::pump_starts);
  ASSERT_EQ(starts.size(), 2U);
  ASSERT_EQ(stops.size(), 2U);
  EXPECT_NEAR(stops[0], 10.0, 0.01);
  EXPECT_NEAR(starts[1], 600.0, 0.01);
  EXPECT_NEAR(stops[1], 900.0, 0.01);
  EXPECT_GT(record->pumps[0].delivered_m3, 0.05);
}

// Short steps follow each start and stop until the lid's pressure has settled, which takes longer
// here than the switch holds its position: it turns every ten seconds all the same.
TEST(PumpRun, PressureSwitchTurnsOnTimeWhileLidsSettle) {
  SmallYard yard;
  const TankId tank = yard.box("lidded", 2.0, 1.3, 0.3, 2.2);
  yard.at(tank).lid = {Lid::Kind::holed, 0.008, 0.6, 1, 1.0};
  const HeaderId suction = yard.header("suction", -0.3);
  yard.hose("pick-up", tank, suction, 0.029, 20.0);
  const OutletId spray = yard.tap("spray", 1.38, 0.0047);
  yard.parts.pumps.push_back(garden_pump("booster", suction, spray));
  yard.parts.pumps[0].pressure_switch = PressureSwitch{0.5e5, 0.9e5};  // the nozzle asks for more
  yard.sheet.lasts_s = 305.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const std::vector<double> stops = times_of(*record, Event::Kind::pump_cut_out_by_pressure);
  const std::vector<double> starts = times_of(*record, Event::Kind::pump_starts);
  ASSERT_EQ(stops.size(), 15U);
  ASSERT_EQ(starts.size(), 16U);
  for (std::size_t k = 0; k < stops.size(); ++k) {
    EXPECT_NEAR(starts[k], 20.0 * static_cast<double>(k), 0.05);
    EXPECT_NEAR(stops[k], 10.0 + 20.0 * static_cast<double>(k), 0.05);
  }
}

TEST(PumpRun, RunsNoLongerThanItMay) {
  PumpedPair yard(0.050);
  yard.pump().runs_at_most_s = 300.0;
  yard.sheet.steps = {at(1000.0, {{Action::Does::start, PumpId{0}}})};
  const auto record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_NEAR(record->pumps[0].ran_s, 600.0, 0.05);
  EXPECT_EQ(times_of(*record, Event::Kind::pump_cut_out_by_time).size(), 2U);
}

TEST(PumpRun, StandingLetsWaterBackUnlessItHasANonReturnValve) {
  SmallYard yard;
  const TankId low = yard.box("low", 1.0, 1.0, 0.0, 0.3);
  const TankId high = yard.box("high", 1.0, 1.0, 3.0, 0.5);
  yard.parts.pumps.push_back(garden_pump("lift", low, high));
  yard.parts.pumps[0].running = false;
  const auto open = yard.record();
  ASSERT_TRUE(open);
  EXPECT_GT(open->pumps[0].ran_back_m3, 0.05);
  EXPECT_EQ(open->pumps[0].delivered_m3, 0.0);
  yard.parts.pumps[0].one_way = true;
  const auto held = yard.record();
  ASSERT_TRUE(held);
  EXPECT_EQ(held->pumps[0].ran_back_m3, 0.0);
  EXPECT_NEAR(held->tanks[1].end_m3, 0.5, 1e-12);
}

// A pump a metre above the water: without a foot valve its header holds air from the start.
TEST(PumpRun, LiftsOnlyWithAFootValve) {
  SmallYard yard;
  const TankId pit = yard.box("pit", 2.0, 1.0, -1.5, 1.6);
  const HeaderId suction = yard.header("suction", 0.5);
  const OutletId spray = yard.tap("spray", 1.0, 0.005);
  yard.hose("pick-up", pit, suction, 0.032, 3.0);
  yard.parts.pumps.push_back(garden_pump("jet", suction, spray));
  const auto bare = yard.record();
  ASSERT_TRUE(bare);
  EXPECT_EQ(bare->pumps[0].delivered_m3, 0.0);
  EXPECT_TRUE(bare->pumps[0].started_dry);
  yard.parts.hoses[0].one_way = true;
  yard.sheet.steps = {at(60.0, {{Action::Does::stop, PumpId{0}}}),
                      at(600.0, {{Action::Does::start, PumpId{0}}})};
  const auto valved = yard.record();
  ASSERT_TRUE(valved);
  EXPECT_GT(valved->pumps[0].delivered_m3, 0.5);
  EXPECT_EQ(valved->pumps[0].lost_prime, 0);
  EXPECT_EQ(times_of(*valved, Event::Kind::pump_starts_dry).size(), 0U);
  ASSERT_TRUE(valved->pumps[0].lowest);
  EXPECT_LT(valved->pumps[0].lowest->gauge_pa, -9000.0);
  the_one(yard.found_in_run(), FindingKind::low_suction);
  // Filled by hand once, it runs, and loses its water when it stands with the nozzle open.
  yard.parts.hoses[0].one_way = false;
  yard.parts.pumps[0].primed = true;
  const auto by_hand = yard.record();
  ASSERT_TRUE(by_hand);
  EXPECT_GT(by_hand->pumps[0].delivered_m3, 0.005);
  EXPECT_EQ(times_of(*by_hand, Event::Kind::pump_starts_dry).size(), 1U);
}

// A lift that boils the water gives next to nothing, smoothly; altitude and warmth make it worse.
TEST(PumpRun, FadesAsItsWaterNearsBoiling) {
  const auto delivered = [](double lift_m, double altitude_m, double degc) {
    SmallYard yard;
    const TankId pit = yard.box("pit", 50.0, 1.0, -lift_m - 0.5, 25.0);
    const HeaderId suction = yard.header("suction", 0.0);
    const OutletId spray = yard.tap("spray", 1.0, 0.005);
    yard.hose("pick-up", pit, suction, 0.032, 3.0).one_way = true;
    yard.parts.pumps.push_back(garden_pump("jet", suction, spray));
    yard.parts.site.altitude_m = altitude_m;
    yard.parts.site.water_temperature_degc = degc;
    yard.sheet.lasts_s = 600.0;
    const auto record = yard.record();
    return record ? record->pumps[0].delivered_m3 : -1.0;
  };
  const double shallow = delivered(2.0, 0.0, 10.0);
  EXPECT_GT(shallow, delivered(8.5, 0.0, 10.0));
  EXPECT_GT(delivered(8.5, 0.0, 10.0), delivered(9.5, 0.0, 10.0));
  EXPECT_GT(delivered(8.5, 0.0, 10.0), delivered(8.5, 0.0, 30.0));
  EXPECT_GT(delivered(8.5, 0.0, 10.0), delivered(8.5, 1000.0, 10.0));
  EXPECT_LT(delivered(10.5, 0.0, 10.0), 1e-3 * shallow);
}

TEST(PumpRun, InARowOneHandsPrimeToTheNext) {
  SmallYard yard;
  const TankId tank = yard.box("tank", 2.0, 1.0, 0.5, 1.8);
  const HeaderId between = yard.header("between", 0.5);
  const OutletId spray = yard.tap("spray", 2.0, 0.005);
  yard.parts.pumps.push_back(garden_pump("first", tank, between));
  yard.parts.pumps.push_back(garden_pump("second", between, spray));
  yard.sheet.lasts_s = 600.0;
  const auto two = yard.record();
  ASSERT_TRUE(two);
  EXPECT_EQ(two->pumps[1].dry_s, 0.0);
  EXPECT_NEAR(two->pumps[0].delivered_m3, two->pumps[1].delivered_m3, 1e-9);
  yard.parts.pumps[0].running = false;
  yard.parts.pumps[0].one_way = true;
  const auto one = yard.record();
  ASSERT_TRUE(one);
  EXPECT_LT(one->outlets[0].delivered_m3, two->outlets[0].delivered_m3);
}

TEST(PumpRun, SaysThatAnOutletIsOutOfReach) {
  PumpedPair yard(0.050);
  yard.parts.outlets[0].height_m = 30.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_EQ(record->pumps[0].delivered_m3, 0.0);
  EXPECT_GT(record->pumps[0].shut_s, 3600.0);
  const Finding finding = the_one(yard.found_in_run(), FindingKind::outlet_out_of_reach);
  EXPECT_THAT(finding.says, HasSubstr("`booster` can push no higher"));
  yard.parts.outlets[0].height_m = 1.8;
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::outlet_out_of_reach).empty());
}

// Common practice, no source: a small pump holds its pressure when the nozzle is raised by a metre,
// gravity does not.
TEST(PumpReach, ShowsThatGravityFeelsAMetreAndAPumpHardly) {
  PumpedPair yard(0.050);
  yard.parts.pumps[0].running = false;
  const auto reach_at = [&](double height_m) {
    yard.parts.outlets[0].height_m = height_m;
    return reach_of(*yard.array());
  };
  const std::vector<Reach> low = reach_at(0.3);
  const std::vector<Reach> high = reach_at(1.3);
  ASSERT_EQ(low.size(), 2U);
  ASSERT_EQ(high.size(), 2U);
  EXPECT_FALSE(low[0].pump);
  EXPECT_GT(low[0].at[0].m3_per_s, 1.0 * litre_a_minute);
  EXPECT_EQ(high[0].at[0].m3_per_s, 0.0);
  ASSERT_TRUE(low[1].at[0].gauge_pa && high[1].at[0].gauge_pa);
  EXPECT_GT(*high[1].at[0].gauge_pa, 0.85 * *low[1].at[0].gauge_pa);
  EXPECT_LT(low[0].at[2].m3_per_s, low[0].at[0].m3_per_s);
}

TEST(PumpSetPoints, KeepThePrimeOnTheDayAndWithTheWorstValves) {
  PumpedPair yard;
  // Later in the day the far tank is shut off.
  yard.sheet.steps = {at(3.0 * 3600.0, {{Action::Does::close, HoseId{0}}})};
  const std::vector<SetPoint> points = cut_out_set_points(*yard.array(), yard.sheet);
  ASSERT_EQ(points.size(), 1U);
  EXPECT_TRUE(points[0].draws_air);
  EXPECT_EQ(points[0].settings, 2);
  ASSERT_TRUE(points[0].tank && points[0].depth_m);
  EXPECT_EQ(*points[0].tank, yard.near);
  EXPECT_GT(*points[0].depth_m, 0.0);
  EXPECT_LT(*points[0].depth_m, 0.200);
  yard.pump().stops_below = LowLevelStop{yard.near, *points[0].depth_m, *points[0].depth_m + 0.05};
  const auto saved = yard.record();
  ASSERT_TRUE(saved);
  EXPECT_EQ(saved->pumps[0].lost_prime, 0);
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::pump_draws_air).empty());
  // Without it, it does not.
  yard.pump().stops_below.reset();
  const auto lost = yard.record();
  ASSERT_TRUE(lost);
  EXPECT_GT(lost->pumps[0].lost_prime, 0);
}

TEST(Throttled, PassesNoMoreThanItIsTold) {
  const Pump pump = garden_pump("pump", TankId{0}, TankId{1});
  const double most = 12.0 * litre_a_minute;
  const Pump slow = throttled(pump, most);
  const PumpCurve curve(slow.curve);
  EXPECT_NEAR(curve.free_flow_m3_per_s(), most, 1e-3 * most);
  EXPECT_NEAR(curve.shut_off_head_m(), 20.0, 1e-9);
}

}  // namespace pump_run_test
}  // namespace tankyard
