// SPDX-License-Identifier: MIT
#include "solver/run.h"

#include <gtest/gtest.h>

#include <cmath>

#include "near.h"
#include "small_yard.h"

namespace tankyard {
namespace run_test {

Result<RunRecord> run_with(const SmallYard& yard, const RunOptions& options) {
  return run(*yard.array(), yard.sheet, options);
}

//   a 0.6 m        b 0.6 m           two like tanks at one level, joined
//   |~~~~|=========|~~~~|
SmallYard at_rest() {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.6);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.6);
  yard.hose("h", a, b, 0.050);
  yard.sheet.lasts_s = 86400.0;
  return yard;
}

// Source of truth: nothing changes, so nothing needs more than one step up to the next thing that
// is done.
TEST(Run, CostsOneStepAGapAtRest) {
  SmallYard yard = at_rest();
  const auto quiet = yard.record();
  ASSERT_TRUE(quiet);
  EXPECT_EQ(quiet->effort.steps, 1);
  for (const double at_s : {3600.0, 7200.0, 50000.0}) yard.sheet.steps.push_back({at_s, {}, 0.0});
  const auto visited = yard.record();
  ASSERT_TRUE(visited);
  EXPECT_EQ(visited->effort.steps, 4);
  EXPECT_EQ(visited->effort.rejected, 0);
  EXPECT_EQ(visited->tanks[0].end_m3, 0.6);
}

// Source of truth: 0.1 L/s for as long as the tap is open, to the last bit of the times given.
TEST(Run, LandsOnTimedStepsExactly) {
  SmallYard yard = at_rest();
  const OutletId tap = yard.draw("tap", id_at<TankId>(0), 0.0, 0.1);
  part(yard.parts.outlets, tap).open = false;
  yard.sheet.steps.push_back({1234.56789, {{Action::Does::open, tap}}, std::nullopt});
  yard.sheet.steps.push_back({2000.000001, {{Action::Does::close, tap}}, std::nullopt});
  yard.sheet.steps.push_back({3000.0, {{Action::Does::open, tap}}, std::nullopt});
  yard.sheet.steps.push_back({3000.25, {{Action::Does::close, tap}}, std::nullopt});
  const auto record = yard.record();
  ASSERT_TRUE(record);
  std::vector<double> done_at;
  for (const Event& event : record->events) {
    if (event.kind == Event::Kind::step) done_at.push_back(event.at_s);
  }
  EXPECT_EQ(done_at, (std::vector<double>{1234.56789, 2000.000001, 3000.0, 3000.25}));
  const double open_s = 2000.000001 - 1234.56789 + 0.25;
  EXPECT_TRUE(near(record->outlets[0].open_s, open_s, {1e-12, 0.0}));
  EXPECT_TRUE(near(record->outlets[0].delivered_m3, 1e-4 * open_s, {1e-12, 0.0}));
  EXPECT_TRUE(near(record->outlets[0].asked_m3, 1e-4 * open_s, {1e-12, 0.0}));
  EXPECT_TRUE(near(record->outlets[0].short_m3, 0.0, {0.0, 1e-15}));
  EXPECT_EQ(record->outlets[0].dry_s, 0.0);
  EXPECT_EQ(record->lasted_s, 86400.0);
}

TEST(Run, DoesStepsOfOneMomentInTheirOrder) {
  SmallYard yard = at_rest();
  const OutletId tap = yard.draw("tap", id_at<TankId>(0), 0.0, 0.1);
  yard.sheet.steps.push_back({100.0, {{Action::Does::close, tap}}, std::nullopt});
  yard.sheet.steps.push_back({100.0, {{Action::Does::open, tap}}, std::nullopt});
  yard.sheet.steps.push_back(
      {200.0, {{Action::Does::open, tap}, {Action::Does::close, tap}}, std::nullopt});
  const auto record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_TRUE(near(record->outlets[0].open_s, 200.0, {1e-12, 0.0}));
}

// Source of truth: by hand. 0.3 m3 and 0.12 L/s of draw: full flow down to 1 cm over the mouth,
// then the last centimetre fades: x' = -(q / A h) x (2 - x), so x/(2 - x) falls as exp(-2 q t / A
// h).
TEST(Run, CountsWhatAFixedDrawWentShortOf) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.31);
  yard.draw("tap", a, 0.2, 0.1);
  yard.sheet.lasts_s = 2000.0;
  const auto record = run_with(yard, {.depth_tolerance_m = 1e-8});
  ASSERT_TRUE(record);
  const double fading_s = 2000.0 - 0.1 / 1e-4;
  const double ratio = std::exp(-2.0 * 1e-4 * fading_s / 0.01);
  const double left = 0.01 * 2.0 * ratio / (1.0 + ratio);
  EXPECT_TRUE(near(record->tanks[0].end_depth_m, 0.2 + left, {0.0, 1e-6}));
  EXPECT_TRUE(near(record->outlets[0].delivered_m3, 0.11 - left, {0.0, 1e-6}));
  EXPECT_TRUE(near(record->outlets[0].short_m3, 0.2 - 0.11 + left, {0.0, 1e-6}));
}

// Source of truth: the ledger of run.h, by hand: 0.5 in the tanks, 36 L of rain and 60 L of mains
// in; 18 L drawn; the rest still there.
TEST(Run, PutsEveryLitreInItsPlace) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.3);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.2);
  yard.roof("roof", a, 36.0);
  yard.sheet.steps.push_back({0.0, {}, 1e-3 / 3600.0});
  yard.draw("tap", b, 0.0, 0.005);
  TopUp mains;
  mains.name = "mains";
  mains.into = b;
  mains.flow_m3_per_s = 0.060 / 3600.0;
  mains.starts_below_m = 0.25;
  mains.stops_above_m = 0.9;
  yard.parts.top_ups.push_back(mains);
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const Ledger& ledger = record->ledger;
  EXPECT_TRUE(near(ledger.start_m3, 0.5, {1e-15, 0.0}));
  EXPECT_TRUE(near(ledger.rain_m3, 0.036, {1e-12, 0.0}));
  EXPECT_TRUE(near(ledger.topped_up_m3, 0.060, {1e-12, 0.0}));
  EXPECT_TRUE(near(ledger.delivered_m3, 0.018, {1e-12, 0.0}));
  EXPECT_EQ(ledger.overflowed_m3, 0.0);
  EXPECT_EQ(ledger.leaked_m3, 0.0);
  EXPECT_TRUE(near(ledger.end_m3, 0.578, {1e-12, 0.0}));
  EXPECT_TRUE(near(ledger.passed_m3, 0.596, {1e-12, 0.0}));
  EXPECT_TRUE(near(ledger.closing_error_m3(), 0.0, {0.0, 1e-14}));
  EXPECT_TRUE(near(record->tanks[0].end_m3, 0.336, {1e-12, 0.0}));
  EXPECT_TRUE(near(record->tanks[1].end_m3, 0.242, {1e-12, 0.0}));
}

// Source of truth: what comes in goes out over the lip once the tank is full: 0.1 m3/h from 0.5 m3,
// full at 0.8 m3 after 3 h. Events say when the water stands a millimetre over.
TEST(Run, SpillsOverAnOverflowOnceFull) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.5);
  yard.overflow(a, 0.8, 0.05);
  yard.roof("roof", a, 100.0);
  yard.sheet.steps.push_back({0.0, {}, 1e-3 / 3600.0});
  yard.sheet.lasts_s = 5.0 * 3600.0;
  const auto record = run_with(yard, {.depth_tolerance_m = 1e-7});
  ASSERT_TRUE(record);
  std::vector<double> starts;
  for (const Event& event : record->events) {
    EXPECT_NE(event.kind, Event::Kind::rim_reached);
    if (event.kind == Event::Kind::overflow_starts) starts.push_back(event.at_s);
  }
  ASSERT_EQ(starts.size(), 1U);
  EXPECT_TRUE(near(starts[0], 3.0 * 3600.0 + 36.0, {0.0, 3.0}));
  const double over_m = record->tanks[0].end_depth_m - 0.8;
  EXPECT_GT(over_m, 0.0);
  EXPECT_LT(over_m, 0.02);
  EXPECT_TRUE(near(record->tanks[0].spilt_m3, 0.2 - over_m, {1e-9, 0.0}));
  EXPECT_EQ(record->tanks[0].overflowed_out_m3, record->tanks[0].spilt_m3);
  EXPECT_EQ(record->tanks[0].over_rim_m3, 0.0);
}

// Source of truth: the water stands over the lip before anything has happened. It is down to half a
// millimetre over it later, by which time it has lost the rest.
TEST(Run, TellsAtTheStartOfWaterThatStandsOverALip) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.9);
  yard.overflow(a, 0.8, 0.05);
  yard.sheet.lasts_s = 6.0 * 3600.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  std::vector<double> starts;
  std::vector<double> ends;
  for (const Event& event : record->events) {
    if (event.kind == Event::Kind::overflow_starts) starts.push_back(event.at_s);
    if (event.kind == Event::Kind::overflow_ends) ends.push_back(event.at_s);
  }
  EXPECT_EQ(starts, std::vector<double>{0.0});
  ASSERT_EQ(ends.size(), 1U);
  EXPECT_GT(ends[0], 60.0);  // 100 L through 50 mm: 1.5 L/s at the most
}

TEST(Run, CountsAnOverflowIntoAnotherTankAsNoSpill) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 1.0, 0.9);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.0);
  yard.overflow(a, 0.8, 0.05, b);
  const auto record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_TRUE(
      near(record->tanks[1].overflowed_in_m3, record->tanks[0].overflowed_out_m3, {1e-12, 0.0}));
  EXPECT_TRUE(near(record->tanks[1].end_m3, 0.1, {0.0, 0.002}));
  EXPECT_EQ(record->tanks[0].spilt_m3, 0.0);
  EXPECT_EQ(record->ledger.overflowed_m3, 0.0);
  EXPECT_FALSE(record->tanks[0].first_spilt_at_s);
}

TEST(Run, KeepsRowsAsOftenAsAskedAndTheLastMoment) {
  SmallYard yard = at_rest();
  yard.at(id_at<TankId>(0)).water_m3 = 0.8;
  yard.sheet.lasts_s = 1050.0;
  EXPECT_TRUE(yard.record()->trace.time_s.empty());
  const auto record = run_with(yard, {.record_every_s = 100.0});
  ASSERT_TRUE(record);
  const Trace& trace = record->trace;
  ASSERT_EQ(trace.time_s.size(), 12U);
  for (std::size_t row = 0; row + 1 < trace.time_s.size(); ++row) {
    EXPECT_EQ(trace.time_s[row], 100.0 * static_cast<double>(row));
    EXPECT_EQ(trace.depth_m[row].size(), 2U);
    EXPECT_EQ(trace.hose_flow_m3_per_s[row].size(), 1U);
  }
  EXPECT_EQ(trace.time_s.back(), 1050.0);
  EXPECT_EQ(trace.depth_m[0][0], 0.8);
  EXPECT_EQ(trace.depth_m.back()[0], record->tanks[0].end_depth_m);
  EXPECT_EQ(trace.hose_flow_m3_per_s[0][0], record->hoses[0].peak_m3_per_s);
}

TEST(Run, RemembersTheHighestAndTheLowestWater) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.5);
  yard.roof("roof", a, 100.0);
  yard.sheet.steps.push_back({0.0, {}, 1e-3 / 3600.0});  // 0.1 m an hour up
  yard.sheet.steps.push_back({3600.0, {}, 0.0});
  const OutletId tap = yard.draw("tap", a, 0.0, 0.1);
  part(yard.parts.outlets, tap).open = false;
  yard.sheet.steps.push_back({7200.0, {{Action::Does::open, tap}}, std::nullopt});
  yard.sheet.steps.push_back({10200.0, {{Action::Does::close, tap}}, 1e-4 / 3600.0});
  yard.sheet.lasts_s = 13800.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const TankRecord& tank = record->tanks[0];
  EXPECT_TRUE(near(tank.highest_depth_m, 0.6, {1e-12, 0.0}));
  EXPECT_TRUE(near(tank.highest_at_s, 3600.0, {1e-12, 0.0}));
  EXPECT_TRUE(near(tank.lowest_depth_m, 0.3, {1e-12, 0.0}));
  EXPECT_TRUE(near(tank.lowest_at_s, 10200.0, {1e-12, 0.0}));
  EXPECT_TRUE(near(tank.end_depth_m, 0.31, {1e-12, 0.0}));
}

TEST(Run, TellsWhichEndOfAHoseUncoversAndWhen) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.0, 0.5);
  const TankId b = yard.box("b", 10.0, 1.0, -2.0, 0.0);
  Hose& hose = yard.hose("h", a, b, 0.040);
  hose.from.height_m = 0.2;
  hose.to.height_m = 0.0;
  yard.sheet.lasts_s = 86400.0;
  const auto record = run_with(yard, {.depth_tolerance_m = 1e-6, .record_every_s = 1.0});
  ASSERT_TRUE(record);
  double when = -1.0;
  int uncovered = 0;
  for (const Event& event : record->events) {
    if (event.kind != Event::Kind::port_uncovers) continue;
    ++uncovered;
    when = event.at_s;
    EXPECT_EQ(event.part, a.index);
    EXPECT_EQ(event.hose, id_at<HoseId>(0));
  }
  ASSERT_EQ(uncovered, 1);
  // At half the bore: 0.22 m. The rows on either side of it say the same.
  const auto row = static_cast<std::size_t>(when);
  EXPECT_GE(record->trace.depth_m[row][0], 0.22 - 1e-5);
  EXPECT_LE(record->trace.depth_m[row + 1][0], 0.22 + 1e-5);
}

TEST(Run, GivesUpAfterMostStepsAndSaysWhenAndWhere) {
  SmallYard yard = at_rest();
  yard.at(id_at<TankId>(0)).water_m3 = 0.9;
  yard.at(id_at<TankId>(1)).shape = Prism{1.0, 3.0};
  const auto record = run_with(yard, {.depth_tolerance_m = 1e-6, .most_steps = 3});
  ASSERT_FALSE(record);
  ASSERT_EQ(record.error().size(), 1U);
  const Trouble& trouble = record.error().front();
  EXPECT_EQ(trouble.message.rfind("the run stopped at ", 0), 0U) << trouble.message;
  EXPECT_NE(trouble.message.find(" s: took more steps than `most_steps` allows, 3"),
            std::string::npos)
      << trouble.message;
  ASSERT_EQ(trouble.notes.size(), 2U);
  EXPECT_EQ(trouble.notes[0].rfind("steps taken: ", 0), 0U) << trouble.notes[0];
  EXPECT_NE(trouble.notes[1].find("`a`"), std::string::npos) << trouble.notes[1];
  EXPECT_EQ(trouble.help.rfind("if a pump or a top-up starts and stops all the time", 0), 0U)
      << trouble.help;
}

TEST(Run, RefusesADaySheetThatNamesNothing) {
  SmallYard yard = at_rest();
  yard.sheet.steps.push_back({10.0, {{Action::Does::open, id_at<OutletId>(7)}}, std::nullopt});
  const auto record = run_with(yard, {});
  ASSERT_FALSE(record);
  EXPECT_EQ(record.error().front().about.kind, "step");
}

// First flush by hand: 1 mm of 2 mm an hour is through after half an hour; then 0.1 m3/h comes.
TEST(Run, ChangesStepWhenAFirstFlushIsThrough) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, 0.5);
  yard.roof("roof", a, 50.0);
  yard.parts.roofs[0].first_flush_m = 1e-3;
  yard.sheet.steps.push_back({0.0, {}, 2e-3 / 3600.0});
  yard.sheet.lasts_s = 3.0 * 3600.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_TRUE(near(record->roofs[0].first_flush_m3, 0.05, {1e-12, 0.0}));
  EXPECT_TRUE(near(record->roofs[0].caught_m3, 0.25, {1e-12, 0.0}));
  EXPECT_TRUE(near(record->tanks[0].end_m3, 0.75, {1e-12, 0.0}));
}

}  // namespace run_test
}  // namespace tankyard
