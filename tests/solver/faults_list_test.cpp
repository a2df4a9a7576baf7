// SPDX-License-Identifier: MIT
#include "solver/studies/faults_list.h"

#include <gtest/gtest.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace faults_list_test {

using Kind = Fault::Kind;

/// One of everything that can fail.
SmallYard yard_of_everything() {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.0, 1.0, 0.0, 0.5);
  yard.at(tank).lid = {Lid::Kind::holed, 0.005, 0.6, 2, 1.0};
  yard.overflow(tank, 0.9);
  const HeaderId rail = yard.header("rail", 0.0);
  Hose& hose = yard.hose("pick-up", tank, rail, 0.025);
  hose.valve = Valve{"V1"};
  hose.one_way = true;
  yard.parts.pumps.resize(1);
  yard.parts.pumps[0].name = "jet";
  yard.parts.top_ups.resize(1);
  yard.parts.top_ups[0].name = "mains";
  yard.parts.air_lines.resize(1);
  yard.parts.air_lines[0].name = "air";
  yard.roof("barn", tank, 20.0);
  return yard;
}

TEST(FaultsList, SaysWhatFailsOfWhich) {
  const SmallYard yard = yard_of_everything();
  const struct {
    Kind kind;
    const char* word;
    const char* words;
    const char* part;
  } told[] = {
      {Kind::lid_blocked, "lid_blocked", "a hole in the lid of `cage` blocked", "cage"},
      {Kind::air_line_blocked, "air_line_blocked", "`air` blocked", "air"},
      {Kind::hose_throttled, "hose_throttled", "`pick-up` throttled to a tenth", "pick-up"},
      {Kind::valve_left_open, "valve_left_open", "`V1` never shut", "pick-up"},
      {Kind::valve_left_shut, "valve_left_shut", "`V1` left shut", "pick-up"},
      {Kind::pump_left_on, "pump_left_on", "`jet` left running", "jet"},
      {Kind::pump_left_off, "pump_left_off", "`jet` does not run", "jet"},
      {Kind::cut_out_stuck, "cut_out_stuck", "low-level cut-out of `jet` stuck", "jet"},
      {Kind::float_stuck_open, "float_stuck_open", "float of `mains` stuck open", "mains"},
      {Kind::overflow_blocked, "overflow_blocked", "overflow of `cage` blocked", "cage"},
      {Kind::non_return_stuck_open, "non_return_stuck_open",
       "non-return valve of `pick-up` stuck open", "pick-up"},
      {Kind::gutter_blocked, "gutter_blocked", "gutter of `barn` blocked", "barn"},
      {Kind::hose_off_at_from, "hose_off_at_from", "`pick-up` off at `cage`", "pick-up"},
      {Kind::hose_off_at_to, "hose_off_at_to", "`pick-up` off at `rail`", "pick-up"},
  };
  for (const auto& each : told) {
    const Fault fault{each.kind, 0, 1.0};
    EXPECT_STREQ(word_for(each.kind), each.word);
    EXPECT_EQ(in_words(yard.parts, fault), each.words);
    EXPECT_EQ(part_name(yard.parts, fault), each.part);
  }
}

TEST(FaultsList, KnowsWhichCannotGoTogether) {
  const auto can = [](Kind a, Kind b) { return can_go_together({a, 0, 1.0}, {b, 0, 1.0}); };
  EXPECT_FALSE(can(Kind::valve_left_open, Kind::valve_left_shut));
  EXPECT_FALSE(can(Kind::hose_off_at_from, Kind::hose_off_at_to));
  EXPECT_FALSE(can(Kind::pump_left_on, Kind::pump_left_off));
  EXPECT_TRUE(can(Kind::lid_blocked, Kind::gutter_blocked));
  EXPECT_TRUE(can_go_together({Kind::hose_off_at_from, 0, 1.0}, {Kind::hose_off_at_to, 1, 1.0}));
}

}  // namespace faults_list_test
}  // namespace tankyard
