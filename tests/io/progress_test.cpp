// SPDX-License-Identifier: MIT
#include "io/progress.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <csignal>
#include <sstream>

#include "io/tables.h"

namespace tankyard {
namespace progress_test {

TEST(ProgressBar, SaysHowMuchIsDone) {
  EXPECT_EQ(bar_text("trying failures", 90, 200, 60),
            "trying failures  [##########.............]  45 %  90 of 200");
  EXPECT_EQ(bar_text("trying failures", 200, 200, 60),
            "trying failures  [######################] 100 %  200 of 200");
}

TEST(ProgressBar, NeverSaysAHundredBeforeTheEnd) {
  EXPECT_EQ(bar_text("", 1999, 2000, 26), " 99 %  1999 of 2000");
}

TEST(ProgressBar, IsNeverWiderThanItsLine) {
  for (int columns = 0; columns < 120; ++columns) {
    EXPECT_LE(width_of(bar_text("trying failures", 7, 1000, columns)), std::max(columns - 1, 0));
  }
}

TEST(ProgressBar, ShowsNothingWhereThereIsNoTerminal) {
  std::ostringstream err;
  {
    ProgressBar bar(err, "trying", 80, false);
    for (std::size_t k = 0; k <= 10; ++k) bar.show(k, 10);
  }
  EXPECT_EQ(err.str(), "");
}

TEST(StopOnInterrupt, TakesTheFirstCtrlCForAWish) {
  void (*const before)(int) = std::signal(SIGINT, SIG_DFL);
  {
    const StopOnInterrupt stop;
    EXPECT_FALSE(StopOnInterrupt::asked());
    std::raise(SIGINT);
    EXPECT_TRUE(StopOnInterrupt::asked());
    // A second one would end this program: nothing holds it up any more.
    void (*const now)(int) = std::signal(SIGINT, SIG_DFL);
    EXPECT_EQ(now, SIG_DFL);
  }
  {
    const StopOnInterrupt stop;
    EXPECT_FALSE(StopOnInterrupt::asked()) << "an old wish must not stop the next command";
  }
  std::signal(SIGINT, before);
}

TEST(StopOnInterrupt, LeavesCtrlCOffWhereItWasOff) {
  void (*const before)(int) = std::signal(SIGINT, SIG_IGN);
  {
    const StopOnInterrupt stop;
    std::raise(SIGINT);
    EXPECT_FALSE(StopOnInterrupt::asked());
  }
  std::signal(SIGINT, before);
}

}  // namespace progress_test
}  // namespace tankyard
