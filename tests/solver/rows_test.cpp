// SPDX-License-Identifier: MIT
#include "solver/rows.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace tankyard {
namespace rows_test {

using testing::ElementsAre;

TEST(Rows, StandOneAfterTheOther) {
  Rows rows;
  EXPECT_TRUE(rows.empty());
  for (int row = 0; row < 3; ++row) {
    const auto added = rows.add(2);
    EXPECT_THAT(added, ElementsAre(0.0, 0.0));
    added[0] = 10.0 * row;
    added[1] = 10.0 * row + 1.0;
  }
  EXPECT_EQ(rows.size(), 3U);
  EXPECT_THAT(rows.front(), ElementsAre(0.0, 1.0));
  EXPECT_THAT(rows[1], ElementsAre(10.0, 11.0));
  EXPECT_THAT(rows.back(), ElementsAre(20.0, 21.0));
  EXPECT_THAT(rows.values(), ElementsAre(0.0, 1.0, 10.0, 11.0, 20.0, 21.0));
}

// A yard without pumps has a row of no flows at each moment.
TEST(Rows, MayHaveNothingInThem) {
  Rows rows;
  rows.add(0);
  rows.add(0);
  EXPECT_EQ(rows.size(), 2U);
  EXPECT_TRUE(rows.back().empty());
  EXPECT_TRUE(rows.values().empty());
}

}  // namespace rows_test
}  // namespace tankyard
