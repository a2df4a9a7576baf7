// SPDX-License-Identifier: MIT
#include "graph/check_words.h"

#include <gtest/gtest.h>

#include <limits>

namespace tankyard {
namespace check_words_test {

TEST(CheckWords, TellNumbersInTheUnitsPeopleUse) {
  EXPECT_EQ(told(0.019, told_in_mm), "19 mm");
  EXPECT_EQ(told(0.45, told_in_m), "0.45 m");
  EXPECT_EQ(told(0.66, told_in_litres), "660 L");
  EXPECT_EQ(told(0.00025, told_in_litres_a_minute), "15 L/min");
  EXPECT_EQ(told(14e-3 / 3600.0, told_in_mm_an_hour), "14 mm/h");
  EXPECT_EQ(told(1500.0, told_in_kpa), "1.5 kPa");
  EXPECT_EQ(told(86400.0, told_in_hours), "24 h");
  EXPECT_EQ(told(0.35, told_plainly), "0.35");
  EXPECT_EQ(told(-0.0, told_in_mm), "0 mm");
}

TEST(CheckWords, TellNoNumbersInWords) {
  EXPECT_EQ(told(std::numeric_limits<double>::quiet_NaN(), told_in_m), "not a number");
  EXPECT_EQ(told(std::numeric_limits<double>::infinity(), told_in_m), "without end");
  EXPECT_EQ(told(-std::numeric_limits<double>::infinity(), told_in_m), "below every number");
}

// "2000 mm is over 2000 mm" helps nobody.
TEST(CheckWords, TellTwoNumbersApart) {
  EXPECT_EQ(told(2.0000001, told_in_mm, 2.0), "2000.0001 mm");
  EXPECT_EQ(told(2.0, told_in_mm, 2.0000001), "2000 mm");
  EXPECT_EQ(told(2.0, told_in_mm, 2.0), "2000 mm");
  EXPECT_EQ(told(2.1, told_in_mm, -0.0), "2100 mm");
}

TEST(CheckWords, SayWhatARangeHolds) {
  const Range closed{0.0, 2.0, told_in_mm};
  EXPECT_TRUE(closed.holds(0.0));
  EXPECT_TRUE(closed.holds(2.0));
  EXPECT_FALSE(closed.holds(-1e-300));
  EXPECT_FALSE(closed.holds(2.0000000001));
  EXPECT_EQ(closed.in_words(), "at least 0 mm and at most 2000 mm");
  const Range open{0.0, 2.0, told_in_mm, true, true};
  EXPECT_FALSE(open.holds(0.0));
  EXPECT_FALSE(open.holds(2.0));
  EXPECT_TRUE(open.holds(1e-300));
  EXPECT_EQ(open.in_words(), "over 0 mm and below 2000 mm");
  EXPECT_FALSE(open.holds(std::numeric_limits<double>::quiet_NaN()));
  EXPECT_FALSE(open.holds(std::numeric_limits<double>::infinity()));
}

TEST(CheckWords, CallPartsByNameOrPlace) {
  const std::string rail = "rail-1";
  const std::string none;
  EXPECT_EQ((Checked{"hose", 2, rail}.called()), "hose `rail-1`");
  EXPECT_EQ((Checked{"hose", 2, none}.called()), "hose 3");
  EXPECT_EQ((Checked{"top_up", 0, rail}.called()), "top-up `rail-1`");
  EXPECT_EQ((Checked{"site", 0, none}.called()), "the site");
}

TEST(CheckWords, ComplainOnceAndSayTheLimit) {
  const std::string name = "rail-1";
  const Checked hose{"hose", 2, name};
  Complaints complaints;
  EXPECT_TRUE(complaints.within(hose, "bore", "bore", 0.02, {1e-5, 2.0, told_in_mm}));
  EXPECT_TRUE(complaints.found.empty());
  EXPECT_FALSE(complaints.within(hose, "bore", "bore", 2.5, {1e-5, 2.0, told_in_mm}));
  ASSERT_EQ(complaints.found.size(), 1u);
  EXPECT_EQ(complaints.found[0].message, "bore of hose `rail-1` is 2500 mm");
  EXPECT_EQ(complaints.found[0].help, "the bore must be at least 0.01 mm and at most 2000 mm");
  EXPECT_EQ(complaints.found[0].about.kind, "hose");
  EXPECT_EQ(complaints.found[0].about.index, 2u);
  EXPECT_EQ(complaints.found[0].about.field, "bore");
}

}  // namespace check_words_test
}  // namespace tankyard
