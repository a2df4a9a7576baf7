// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include "solver/find_each.h"
#include "solver/lid_words.h"
#include "solver/small_yard.h"

// vacuum-collapse, pressure-bulge, vent-too-small and no-vent. Records are made by hand here, so
// that what is told can be held against what is known; find_lids_run_test.cpp has whole days.

namespace tankyard {
namespace find_lids_test {

using testing::HasSubstr;
using testing::Not;

//   near (tap) --- link --- far
struct Pair : SmallYard {
  TankId near = box("near", 1.0, 1.0, 0.0, 0.9);
  TankId far = box("far", 1.0, 1.0, 0.0, 0.9);
  OutletId tap = draw("tap", near, 0.0, 0.5);
  Pair() {
    hose("link", near, far, 0.025);
    at(far).lid.kind = Lid::Kind::sealed;
  }

  RunRecord record_of_nothing() const {
    RunRecord record;
    record.lasted_s = sheet.lasts_s;
    record.tanks.resize(2);
    record.hoses.resize(1);
    record.lags.resize(1);
    record.outlets.resize(1);
    record.effort.steps = 10;
    return record;
  }

  ShellMoment moment() const {
    ShellMoment moment;
    moment.at_s = 60.0;
    moment.out_m3 = 0.012;
    moment.out_m3_per_s = 1e-4;
    moment.outlet_m3_per_s = {5e-4};
    return moment;
  }

  template <class Finder>
  std::vector<Finding> found(Finder find, const RunRecord& record) const {
    const Array made = *array();
    Tries tries(made, sheet, {}, record);
    LidAgain again(tries);
    return find(made, sheet, record, again);
  }
};

TEST(VacuumCollapse, TellsWhenHowDeepAndByWhatLimit) {
  const Pair yard;
  RunRecord record = yard.record_of_nothing();
  EXPECT_TRUE(yard.found(find_vacuum_collapse, record).empty());
  record.tanks[1].headspace.folds = yard.moment();
  record.tanks[1].headspace.lowest_pa = -9264.2;
  const Finding found =
      the_one(yard.found(find_vacuum_collapse, record), FindingKind::vacuum_collapse);
  EXPECT_EQ(found.severity, Severity::danger);
  EXPECT_EQ(found.where, "far");
  EXPECT_DOUBLE_EQ(found.at_s.value_or(0.0), 60.0);
  EXPECT_DOUBLE_EQ(found.value, 9264.2);
  EXPECT_DOUBLE_EQ(found.limit.value_or(0.0), 250.0);
  EXPECT_EQ(found.unit, "Pa");
  EXPECT_THAT(found.says, HasSubstr("after 12 L had left it"));
  EXPECT_THAT(found.says, HasSubstr("while `tap` drew 30 L/min"));
  EXPECT_THAT(found.says, HasSubstr("250 Pa below"));
  EXPECT_THAT(found.says, HasSubstr("assumed with caution"));
  EXPECT_THAT(found.says, HasSubstr("9.26 kPa"));
  EXPECT_THAT(found.says, HasSubstr("all results describe a tank that has failed"));
  EXPECT_THAT(found.do_this, HasSubstr("stop what draws before the lid is touched"));
}

TEST(VacuumCollapse, TellsWhereTheLimitComesFrom) {
  Pair yard;
  RunRecord record = yard.record_of_nothing();
  record.tanks[1].headspace.folds = yard.moment();
  record.tanks[1].headspace.lowest_pa = -9264.2;
  const auto says = [&] { return yard.found(find_vacuum_collapse, record).front().says; };
  yard.at(yard.far).allowed_vacuum_pa = 1500.0;
  EXPECT_THAT(says(), HasSubstr("1.50 kPa below"));
  EXPECT_THAT(says(), HasSubstr("the maker's figure"));
  yard.at(yard.far).allowed_vacuum_pa.reset();
  yard.at(yard.far).wall = Wall{"hdpe", 0.002};
  EXPECT_THAT(says(), HasSubstr("an estimate"));
}

// Nothing draws from `far` itself. Put a leak into it, and something does.
TEST(VacuumCollapse, NamesTheWayByWhichAFarTankIsPulled) {
  Pair yard;
  RunRecord record = yard.record_of_nothing();
  record.tanks[1].headspace.folds = yard.moment();
  const auto says = [&] { return yard.found(find_vacuum_collapse, record).front().says; };
  EXPECT_THAT(says(), HasSubstr("no outlet, pump or leak is at `far` itself: it is pulled through "
                                "`link`"));
  Leak leak;
  leak.name = "crack";
  leak.tank = yard.far;
  leak.bore_m = 0.001;
  yard.parts.leaks.push_back(leak);
  record.leaks.resize(1);
  record.tanks[1].headspace.folds->leak_m3_per_s = {1e-5};
  EXPECT_THAT(says(), Not(HasSubstr("pulled through")));
  EXPECT_THAT(says(), HasSubstr("while `tap` drew 30 L/min and `crack` leaked 0.6 L/min"));
}

// A tank at the end of whose own hose the tap is, is no far tank.
TEST(VacuumCollapse, DoesNotCallATankWithATapOnItsHoseFar) {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.0, 1.0, 1.0, 0.9);
  yard.at(tank).lid.kind = Lid::Kind::sealed;
  yard.hose("hose", tank, yard.tap("tap", 0.2, 0.010), 0.019);
  EXPECT_EQ(pulled_through(*yard.array(), yard.sheet, tank, 1.0), "");
}

TEST(VacuumCollapse, BlamesTheNightOrTheNeighboursWhereNothingDraws) {
  Pair yard;
  RunRecord record = yard.record_of_nothing();
  record.tanks[1].headspace.folds = yard.moment();
  record.tanks[1].headspace.folds->outlet_m3_per_s = {0.0};
  const auto says = [&] { return yard.found(find_vacuum_collapse, record).front().says; };
  EXPECT_THAT(says(), HasSubstr("into the tanks that it is joined to"));
  yard.parts.site.air_swing_k = 14.0;
  record.tanks[1].headspace.folds->out_m3_per_s = 0.0;
  EXPECT_THAT(says(), HasSubstr("while the air under its lid cooled"));
}

TEST(PressureBulge, TellsWhatPushed) {
  Pair yard;
  yard.roof("shed", yard.far, 60.0);
  yard.rain(30.0, 300.0, 20.0);
  RunRecord record = yard.record_of_nothing();
  record.roofs.resize(1);
  EXPECT_TRUE(yard.found(find_pressure_bulge, record).empty());
  record.tanks[1].headspace.bulges = yard.moment();
  record.tanks[1].headspace.highest_pa = 4000.0;
  record.tanks[1].headspace.turned_away_m3 = 0.020;
  const auto found = [&] { return yard.found(find_pressure_bulge, record).front(); };
  EXPECT_EQ(found().severity, Severity::danger);
  EXPECT_EQ(found().where, "far");
  EXPECT_DOUBLE_EQ(found().value, 4000.0);
  EXPECT_DOUBLE_EQ(found().limit.value_or(0.0), 1000.0);
  EXPECT_THAT(found().says, HasSubstr("while rain came in from roof `shed`"));
  EXPECT_THAT(found().says, HasSubstr("20 L could not get in"));
  EXPECT_THAT(found().do_this, HasSubstr("fit an overflow"));
  // Not raining at that moment, but a float valve was open.
  record.tanks[1].headspace.bulges->at_s = 10.0;
  TopUp top_up;
  top_up.name = "mains";
  top_up.into = yard.far;
  top_up.flow_m3_per_s = 1e-4;
  top_up.starts_below_m = 0.5;
  top_up.stops_above_m = 0.6;
  yard.parts.top_ups.push_back(top_up);
  record.top_ups.resize(1);
  record.events.push_back({5.0, Event::Kind::top_up_starts, 0, std::nullopt, false});
  EXPECT_THAT(found().says, HasSubstr("top-up `mains` let water in"));
  record.events.push_back({8.0, Event::Kind::top_up_stops, 0, std::nullopt, false});
  EXPECT_THAT(found().says, Not(HasSubstr("mains")));
  yard.parts.site.air_swing_k = 14.0;
  EXPECT_THAT(found().says, HasSubstr("while the air under its lid grew warm"));
}

// 250 Pa may be borne: 125 Pa is half.
TEST(VentTooSmall, IsFoundBeyondHalfAndNotBeyondAll) {
  Pair yard;
  RunRecord record = yard.record_of_nothing();
  const auto found = [&] { return yard.found(find_vent_too_small, record); };
  record.tanks[1].headspace.lowest_pa = -124.9;
  EXPECT_TRUE(found().empty());
  record.tanks[1].headspace.lowest_pa = -125.1;
  record.tanks[1].headspace.lowest_at_s = 20.0;
  const Finding one = the_one(found(), FindingKind::vent_too_small);
  EXPECT_EQ(one.severity, Severity::warning);
  EXPECT_EQ(one.where, "far");
  EXPECT_DOUBLE_EQ(one.limit.value_or(0.0), 125.0);
  EXPECT_DOUBLE_EQ(one.at_s.value_or(0.0), 20.0);
  EXPECT_THAT(one.says, HasSubstr("while `tap` stood open"));
  EXPECT_THAT(one.says, HasSubstr("it is pulled through `link`"));
  record.tanks[1].headspace.lowest_pa = -300.0;
  record.tanks[1].headspace.folds = yard.moment();
  EXPECT_TRUE(found().empty());
}

TEST(VentTooSmall, NamesThePumpThatDrew) {
  Pair yard;
  yard.parts.outlets[0].at.reset();  // the tap stands behind the pump
  yard.parts.outlets[0].height_m = 1.0;
  Pump jet;
  jet.name = "jet";
  jet.from = yard.near;
  jet.to = yard.tap;
  jet.curve = {{0.0, 10.0}, {1e-4, 5.0}, {2e-4, 1.0}};
  yard.parts.pumps.push_back(jet);
  yard.sheet.steps.push_back({10.0, {{Action::Does::start, PumpId{0}}}, {}});
  RunRecord record = yard.record_of_nothing();
  record.pumps.resize(1);
  record.tanks[1].headspace.lowest_pa = -130.0;
  record.tanks[1].headspace.lowest_at_s = 20.0;
  const auto says = [&] {
    return the_one(yard.found(find_vent_too_small, record), FindingKind::vent_too_small).says;
  };
  EXPECT_THAT(says(), HasSubstr("while `jet` drew"));
  EXPECT_THAT(says(), HasSubstr("it is pulled through `link`"));
  // One with a switch of its own may have stood just then.
  yard.parts.pumps[0].runs_at_most_s = 600.0;
  EXPECT_THAT(says(), HasSubstr("while `jet` was switched on"));
  record.tanks[1].headspace.lowest_at_s = 5.0;
  EXPECT_THAT(says(), HasSubstr("while no outlet stood open and no pump drew"));
}

TEST(VentTooSmall, IsFoundForPressureToo) {
  Pair yard;
  RunRecord record = yard.record_of_nothing();
  record.tanks[1].headspace.highest_pa = 501.0;
  const Finding one = the_one(yard.found(find_vent_too_small, record), FindingKind::vent_too_small);
  EXPECT_DOUBLE_EQ(one.limit.value_or(0.0), 500.0);
  EXPECT_THAT(one.says, HasSubstr("over the air outside"));
  // An open lid holds neither.
  yard.at(yard.far).lid.kind = Lid::Kind::open;
  EXPECT_TRUE(yard.found(find_vent_too_small, record).empty());
}

TEST(NoVent, IsFoundWhereWaterMovesUnderASealedLid) {
  Pair yard;
  const Finding found = the_one(yard.found_at_rest(), FindingKind::no_vent);
  EXPECT_EQ(found.where, "far");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_THAT(found.says, HasSubstr("through `link`"));
  EXPECT_THAT(found.says, HasSubstr("250 Pa"));
  EXPECT_THAT(found.says, Not(HasSubstr("overflow")));
  yard.overflow(yard.far, 0.9);
  EXPECT_THAT(the_one(yard.found_at_rest(), FindingKind::no_vent).says,
              HasSubstr("overflow pipe is not counted as a way for air"));
  yard.at(yard.far).lid = {Lid::Kind::holed, 0.001, 0.6, 1, 1.0};
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::no_vent).empty());
}

TEST(NoVent, CountsAShutValveAndALoneTankNot) {
  Pair yard;
  yard.parts.hoses[0].valve = Valve{"V1", false, 0.05};
  EXPECT_EQ(of_kind(yard.found_at_rest(), FindingKind::no_vent).size(), 1U);
  yard.parts.hoses.clear();
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::no_vent).empty());
  yard.roof("shed", yard.far, 20.0);
  EXPECT_THAT(the_one(yard.found_at_rest(), FindingKind::no_vent).says, HasSubstr("`shed`"));
}

// far - third - near, by air hoses: `near` is open, so all have air, as long as both hoses are.
TEST(NoVent, IsNotFoundBehindABalanceLineToAVentedTank) {
  Pair yard;
  const TankId third = yard.box("third", 1.0, 1.0, 0.0, 0.1);
  yard.at(third).lid.kind = Lid::Kind::sealed;
  AirLine one;
  one.name = "far-third";
  one.from = yard.far;
  one.to = third;
  one.bore_m = 0.010;
  AirLine other = one;
  other.name = "third-near";
  other.from = third;
  other.to = yard.near;
  yard.parts.air_lines = {one};
  EXPECT_EQ(of_kind(yard.found_at_rest(), FindingKind::no_vent).size(), 1U);
  yard.parts.air_lines = {one, other};
  EXPECT_TRUE(of_kind(yard.found_at_rest(), FindingKind::no_vent).empty());
  yard.parts.air_lines[1].open = false;
  EXPECT_EQ(of_kind(yard.found_at_rest(), FindingKind::no_vent).size(), 1U);
}

}  // namespace find_lids_test
}  // namespace tankyard
