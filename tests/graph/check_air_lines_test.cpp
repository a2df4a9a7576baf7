// SPDX-License-Identifier: MIT
// Limits from graph/air_line.h and those of a hose; names and ends as every other part has them.
#include <gtest/gtest.h>

#include "graph/check_array.h"
#include "graph/check_limits.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_air_lines_test {

std::vector<Limit> limits_of_air_lines() {
  const auto at = [](const char* field) { return PartField{"air_line", 0, field}; };
  const auto line = [](double AirLine::*field) {
    return [field](Parts& parts, double value) { parts.air_lines[0].*field = value; };
  };
  return {
      {line(&AirLine::bore_m), 1e-5, 0.0, at("bore"), "bore of air line `box-drum-air` is 0 mm"},
      {line(&AirLine::bore_m), 2.0, 2.01, at("bore"), "bore of air line `box-drum-air` is 2010 mm"},
      {line(&AirLine::length_m), 0.0, -0.1, at("length"),
       "length of air line `box-drum-air` is -0.1 m"},
      {line(&AirLine::length_m), 1e5, 1.1e5, at("length"), "length of air line"},
  };
}

TEST(CheckAirLines, HoldsThemToTheirLimits) { expect_limits(limits_of_air_lines()); }

TEST(CheckAirLines, AsksForTwoTanks) {
  expect_mistakes({
      {"begins nowhere",
       [](Parts& p) { p.air_lines[0].from = TankId{4}; },
       {"air_line", 0, "from"},
       "`from` of air line `box-drum-air` points at a part that does not exist"},
      {"ends nowhere",
       [](Parts& p) { p.air_lines[0].to = TankId{4}; },
       {"air_line", 0, "to"},
       "`to` of air line `box-drum-air` points at a part that does not exist"},
      {"in a ring",
       [](Parts& p) { p.air_lines[0].to = TankId{0}; },
       {"air_line", 0, "to"},
       "air line `box-drum-air` begins and ends at tank `box`"},
  });
}

// Both ends nowhere, and the same nowhere: two troubles, and not a third about a ring.
TEST(CheckAirLines, LeansOnNoEndThatIsNowhere) {
  Parts parts = sound_yard();
  parts.air_lines[0].from = TankId{9};
  parts.air_lines[0].to = TankId{9};
  EXPECT_EQ(check_array(parts).size(), 2u) << told_in_full(check_array(parts));
}

TEST(CheckAirLines, LeavesEveryLidAndEveryStateAlone) {
  for (const auto kind : {Lid::Kind::open, Lid::Kind::sealed, Lid::Kind::holed}) {
    for (const bool open : {true, false}) {
      Parts parts = sound_yard();
      parts.tanks[2].lid.kind = kind;
      parts.tanks[2].lid.hole_m = 0.01;
      parts.air_lines[0].open = open;
      EXPECT_EQ(told_in_full(check_array(parts)), "");
    }
  }
}

// Two air lines may join one pair of headspaces, as two hoses may join one pair of tanks; the
// direction is only which way flow counts as positive.
TEST(CheckAirLines, TakesTwoBetweenOnePairAndEitherDirection) {
  Parts parts = sound_yard();
  AirLine second = parts.air_lines[0];
  second.name = "drum-box-air";
  std::swap(second.from, second.to);
  parts.air_lines.push_back(second);
  EXPECT_EQ(told_in_full(check_array(parts)), "");
  parts.air_lines[1].name = "box-drum-air";
  expect_one(check_array(parts), {"air_line", 1, "name"},
             "two air lines are called `box-drum-air`");
}

TEST(CheckAirLines, AreToldAfterEveryOtherPart) {
  Parts parts = sound_yard();
  parts.air_lines[0].bore_m = 0.0;
  parts.leaks[0].bore_m = 0.0;
  const Troubles troubles = check_array(parts);
  ASSERT_EQ(troubles.size(), 2u) << told_in_full(troubles);
  EXPECT_EQ(troubles[0].about.kind, "leak");
  EXPECT_EQ(troubles[1].about.kind, "air_line");
}

}  // namespace check_air_lines_test
}  // namespace tankyard
