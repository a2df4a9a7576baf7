// SPDX-License-Identifier: MIT
#include "solver/sentences.h"

#include <gtest/gtest.h>

namespace tankyard {
namespace sentences_test {

TEST(Sentences, RoundAsPeopleRead) {
  EXPECT_EQ(in_litres(0.00049), "0.5 L");
  EXPECT_EQ(in_litres(0.006), "6 L");
  EXPECT_EQ(in_litres(0.00996), "10 L");
  EXPECT_EQ(in_litres(1.2404), "1240 L");
  EXPECT_EQ(in_mm(0.019), "19 mm");
  EXPECT_EQ(in_mm(0.0015), "1.5 mm");
  EXPECT_EQ(in_metres(-0.456), "-0.46 m");
  EXPECT_EQ(in_litres_a_minute(-1e-3 / 60.0), "1 L/min");
}

TEST(Sentences, TellTimeByItsSize) {
  EXPECT_EQ(in_minutes(40.0), "40 s");
  EXPECT_EQ(in_minutes(1500.0), "25 min");
  EXPECT_EQ(in_minutes(11400.0), "3 h 10 min");
  EXPECT_EQ(in_minutes(4.0 * 86400.0), "4 days");
}

TEST(Sentences, ListNames) {
  EXPECT_EQ(listed({}), "");
  EXPECT_EQ(listed({"a"}), "`a`");
  EXPECT_EQ(listed({"a", "b"}), "`a` and `b`");
  EXPECT_EQ(listed({"a", "b", "c"}), "`a`, `b` and `c`");
}

}  // namespace sentences_test
}  // namespace tankyard
