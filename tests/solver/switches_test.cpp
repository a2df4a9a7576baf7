// SPDX-License-Identifier: MIT
// What turns itself over when a level passes a mark, seen through whole runs.
#include "solver/switches.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "near.h"
#include "small_yard.h"

namespace tankyard {
namespace switches_test {

std::vector<Event> of_kind(const RunRecord& record, Event::Kind kind) {
  std::vector<Event> some;
  for (const Event& event : record.events) {
    if (event.kind == kind) some.push_back(event);
  }
  return some;
}

/// Depth of a tank over time in rows a second apart.
std::optional<RunRecord> watched(const SmallYard& yard, double every_s) {
  const std::optional<Array> array = yard.array();
  if (!array) return std::nullopt;
  RunOptions options;
  options.record_every_s = every_s;
  const Result<RunRecord> record = run(*array, yard.sheet, options);
  if (record) return *record;
  ADD_FAILURE() << record.error().front().message;
  return std::nullopt;
}

TopUp mains(TankId into, double litres_a_second, double starts_below_m, double stops_above_m) {
  TopUp top_up;
  top_up.name = "mains";
  top_up.into = into;
  top_up.flow_m3_per_s = litres_a_second * 1e-3;
  top_up.starts_below_m = starts_below_m;
  top_up.stops_above_m = stops_above_m;
  return top_up;
}

// Source of truth: by hand. 1 m2 loses 0.1 L/s from 0.3 m: 0.2 m is passed after 1000 s; then it
// gains 0.2 L/s net and comes to 0.5 m 1500 s later; then it is 3000 s down to 0.2 m again.
TEST(TopUp, StartsAndStopsAtItsSetPoints) {
  SmallYard yard;
  const TankId tank = yard.box("butt", 1.0, 1.0, 0.0, 0.3);
  yard.draw("drip", tank, 0.0, 0.1);
  yard.parts.top_ups.push_back(mains(tank, 0.3, 0.2, 0.5));
  yard.sheet.lasts_s = 6000.0;
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const auto starts = of_kind(*record, Event::Kind::top_up_starts);
  const auto stops = of_kind(*record, Event::Kind::top_up_stops);
  ASSERT_EQ(starts.size(), 2U);
  ASSERT_EQ(stops.size(), 1U);
  // Each may be a millisecond late, and carries the delay of those before it.
  EXPECT_TRUE(near(starts[0].at_s, 1000.0, {0.0, 0.002}));
  EXPECT_TRUE(near(stops[0].at_s, 2500.0, {0.0, 0.006}));
  EXPECT_TRUE(near(starts[1].at_s, 5500.0, {0.0, 0.020}));
  EXPECT_EQ(record->top_ups[0].starts, 2);
  EXPECT_TRUE(near(record->top_ups[0].let_in_m3, 0.45 + 0.15, {0.0, 3e-4 * 0.03}));
  EXPECT_TRUE(near(record->tanks[0].lowest_depth_m, 0.2, {0.0, 1e-4 * 0.001}));
  EXPECT_TRUE(near(record->tanks[0].highest_depth_m, 0.5, {0.0, 2e-4 * 0.001}));
}

TEST(TopUp, WaitsBetweenItsSetPoints) {
  SmallYard yard;
  const TankId tank = yard.box("butt", 1.0, 1.0, 0.0, 0.3);
  yard.parts.top_ups.push_back(mains(tank, 0.3, 0.2, 0.5));
  const auto record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_EQ(record->ledger.topped_up_m3, 0.0);
}

TEST(TopUp, RunsFromTheStartWhereTheWaterStandsLow) {
  SmallYard yard;
  const TankId tank = yard.box("butt", 1.0, 1.0, 0.0, 0.1);
  yard.parts.top_ups.push_back(mains(tank, 0.3, 0.2, 0.5));
  const auto record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_TRUE(near(record->tanks[0].end_m3, 0.5, {0.0, 3e-4 * 0.001}));
}

// Two of one kind turn at one moment, and are turned together.
TEST(TopUp, TurnsWithItsTwinAtOneMoment) {
  SmallYard yard;
  for (const char* name : {"left", "right"}) {
    const TankId tank = yard.box(name, 1.0, 1.0, 0.0, 0.3);
    yard.draw(std::string(name) + " drip", tank, 0.0, 0.1);
    yard.parts.top_ups.push_back(mains(tank, 0.3, 0.2, 0.5));
    yard.parts.top_ups.back().name = std::string(name) + " mains";
  }
  const auto record = yard.record();
  ASSERT_TRUE(record);
  const auto starts = of_kind(*record, Event::Kind::top_up_starts);
  ASSERT_EQ(starts.size(), 2U);
  EXPECT_EQ(starts[0].at_s, starts[1].at_s);
}

//         _crest 1.2_
//   a 1.0|           |        a's mouth at 0.3, b's at 0.0 and 2 m lower
//   |~~~~|           |
//   |____|           b
struct Siphon {
  SmallYard yard;
  TankId a, b;

  explicit Siphon(bool primed) {
    a = yard.box("a", 1.0, 2.0, 2.0, 1.0);
    b = yard.box("b", 4.0, 2.0, 0.0, 2.0);
    Hose& hose = yard.hose("siphon", a, b, 0.040);
    hose.from.height_m = 0.3;
    hose.crest_m = 3.2;
    hose.primed = primed;
    yard.sheet.lasts_s = 7200.0;
  }
};

// Source of truth: switches.h: it runs until half the bore of its end is bare, then holds air.
TEST(Siphon, RunsOverItsCrestAndBreaksWhenItsEndUncovers) {
  const Siphon siphon(true);
  const auto record = watched(siphon.yard, 1.0);
  ASSERT_TRUE(record);
  const auto lost = of_kind(*record, Event::Kind::prime_lost);
  ASSERT_EQ(lost.size(), 1U);
  EXPECT_EQ(lost[0].hose, id_at<HoseId>(0));
  EXPECT_FALSE(lost[0].at_header);
  EXPECT_TRUE(of_kind(*record, Event::Kind::primed).empty());
  // 0.7 m over the mouth, less half a bore, went over; the moment is met to a millisecond.
  EXPECT_TRUE(near(record->tanks[0].end_depth_m, 0.32, {0.0, 2e-5}));
  EXPECT_TRUE(near(record->hoses[0].carried_m3, 0.68, {0.0, 2e-5}));
  const auto& flows = record->trace.hose_flow_m3_per_s;
  for (std::size_t row = 0; row < flows.size(); ++row) {
    if (record->trace.time_s[row] > lost[0].at_s)
      EXPECT_EQ(flows[row][0], 0.0) << row;
    else
      EXPECT_GT(flows[row][0], 0.0) << row;
  }
}

TEST(Siphon, StaysLockedUntilBothEndsStandAboveItsCrest) {
  Siphon siphon(false);
  const auto locked = siphon.yard.record();
  ASSERT_TRUE(locked);
  EXPECT_EQ(locked->hoses[0].moved_m3, 0.0);
  EXPECT_EQ(locked->tanks[0].end_m3, 1.0);

  // a alone above the crest: it runs over as over a sill and stops there.
  siphon.yard.at(siphon.a).water_m3 = 1.5;
  const auto over = siphon.yard.record();
  ASSERT_TRUE(over);
  EXPECT_TRUE(of_kind(*over, Event::Kind::primed).empty());
  EXPECT_TRUE(near(over->tanks[0].end_depth_m, 1.2, {0.0, 0.005}));
  EXPECT_GE(over->tanks[0].lowest_depth_m, 1.2 - 1e-4);

  // Both above it, and then a sinks: full, so it draws a down to its mouth.
  Siphon deep(false);
  Tank& b = deep.yard.at(deep.b);
  b.base_m = 2.0;
  b.water_m3 = 4.0 * 1.3;
  deep.yard.at(deep.a).water_m3 = 1.3;
  deep.yard.draw("tap", deep.b, 0.0, 2.0);
  const auto full = deep.yard.record();
  ASSERT_TRUE(full);
  EXPECT_LT(full->tanks[0].end_depth_m, 0.4);
}

// Source of truth: nothing lifts water over more than the air carries, 10.3 m less vapour pressure.
TEST(Siphon, CannotBePrimedHigherThanTheAirCarriesWater) {
  for (const double crest : {2.0, 14.0}) {
    Siphon siphon(true);
    siphon.yard.parts.hoses[0].crest_m = 3.0 + crest;
    const auto record = siphon.yard.record();
    ASSERT_TRUE(record);
    const auto lost = of_kind(*record, Event::Kind::prime_lost);
    ASSERT_EQ(lost.size(), 1U);
    if (crest > 10.3) {
      EXPECT_EQ(lost[0].at_s, 0.0);
      EXPECT_EQ(record->hoses[0].moved_m3, 0.0);
    } else {
      EXPECT_GT(lost[0].at_s, 60.0);
    }
  }
}

//   a 1.2      (m) 1.0      b 0.2         both mouths on the floor
struct OverAHeader {
  SmallYard yard;
  TankId a, b;
  HeaderId m;

  explicit OverAHeader(double a_depth_m) {
    a = yard.box("a", 1.0, 2.0, 0.0, a_depth_m);
    b = yard.box("b", 1.0, 2.0, 0.0, 0.2);
    m = yard.header("m", 1.0);
    yard.hose("h1", a, m, 0.030);
    yard.hose("h2", m, b, 0.030);
    yard.sheet.lasts_s = 86400.0;
  }
};

TEST(HighHeader, SiphonsWhileNoAirGetsIn) {
  const auto record = OverAHeader(1.2).yard.record();
  ASSERT_TRUE(record);
  EXPECT_TRUE(of_kind(*record, Event::Kind::prime_lost).empty());
  EXPECT_TRUE(near(record->tanks[0].end_depth_m, 0.7, {0.0, 1e-4}));
  EXPECT_TRUE(near(record->tanks[1].end_depth_m, 0.7, {0.0, 1e-4}));
}

TEST(HighHeader, IsASillWhereNoTankFillsIt) {
  const auto record = OverAHeader(0.9).yard.record();
  ASSERT_TRUE(record);
  EXPECT_EQ(record->hoses[0].moved_m3, 0.0);
  EXPECT_EQ(record->tanks[0].end_m3, 0.9);
}

TEST(HighHeader, DrawsAirThroughAnOpenTap) {
  OverAHeader over(1.2);
  Outlet tap;
  tap.name = "tap";
  tap.at = HoseEnd{over.m, std::nullopt};
  tap.bore_m = 0.005;
  over.yard.parts.outlets.push_back(tap);
  const auto shut = over.yard.record();
  ASSERT_TRUE(shut);
  EXPECT_TRUE(of_kind(*shut, Event::Kind::prime_lost).empty());

  over.yard.parts.outlets[0].open = true;
  const auto open = over.yard.record();
  ASSERT_TRUE(open);
  const auto lost = of_kind(*open, Event::Kind::prime_lost);
  ASSERT_GE(lost.size(), 1U);
  EXPECT_TRUE(lost[0].at_header);
  EXPECT_EQ(lost[0].part, 0U);
  EXPECT_GE(open->tanks[0].end_depth_m,
            0.95);  // held back by the air, about at the header's height
}

// Source of truth: switches.h: a bare mouth lets air up where the header's head is below it. What
// is poured in fills the header again, but no sooner than a minute after.
TEST(HighHeader, LosesItsPrimeThroughABareMouthAndFillsAgainAMinuteLater) {
  OverAHeader over(1.2);
  over.yard.parts.hoses[0].from.height_m = 0.9;
  const auto dry = over.yard.record();
  ASSERT_TRUE(dry);
  const auto lost = of_kind(*dry, Event::Kind::prime_lost);
  ASSERT_EQ(lost.size(), 1U);
  EXPECT_TRUE(lost[0].at_header);
  EXPECT_TRUE(of_kind(*dry, Event::Kind::primed).empty());
  EXPECT_TRUE(near(dry->tanks[0].end_depth_m, 0.915, {0.0, 1e-3}));  // half a bore over the mouth

  // 17 L/s from a second later on: a stands high over the header long before the minute is out.
  const double empty_s = lost[0].at_s;
  over.yard.roof("roof", over.a, 100.0);
  over.yard.rain(empty_s + 1.0, empty_s + 91.0, 600.0);
  const auto wet = over.yard.record();
  ASSERT_TRUE(wet);
  const auto primed = of_kind(*wet, Event::Kind::primed);
  ASSERT_GE(primed.size(), 1U);
  EXPECT_TRUE(primed[0].at_header);
  const auto lost_again = of_kind(*wet, Event::Kind::prime_lost);  // its own, by other steps
  ASSERT_GE(lost_again.size(), 1U);
  EXPECT_TRUE(near(primed[0].at_s, lost_again[0].at_s + 60.0, {0.0, 2e-3}));
}

}  // namespace switches_test
}  // namespace tankyard
