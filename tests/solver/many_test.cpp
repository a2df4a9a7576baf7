// SPDX-License-Identifier: MIT
#include "solver/studies/many.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <thread>
#include <vector>

namespace tankyard {
namespace many_test {

RC_GTEST_PROP(TryEach, TriesEveryOneOnceWithAnyNumberOfThreads, ()) {
  const auto count = *rc::gen::inRange<std::size_t>(0, 200);
  const auto threads = *rc::gen::inRange<unsigned>(0, 9);
  std::vector<int> tried(count, 0);
  RC_ASSERT(try_each(count, [&](std::size_t i) { ++tried[i]; }, {.threads = threads}) == count);
  for (const int times : tried) RC_ASSERT(times == 1);
}

RC_GTEST_PROP(TryEach, StopsWithTheFirstSoManyTriedAndNoneBeyond, ()) {
  const auto count = *rc::gen::inRange<std::size_t>(1, 200);
  const auto threads = *rc::gen::inRange<unsigned>(1, 9);
  const auto enough = *rc::gen::inRange<std::size_t>(0, count);
  std::vector<int> tried(count, 0);
  std::atomic<std::size_t> begun{0};
  const std::size_t n = try_each(count,
                                 [&](std::size_t i) {
                                   ++begun;
                                   ++tried[i];
                                 },
                                 {.threads = threads, .stop = [&] { return begun >= enough; }});
  RC_ASSERT(n >= enough);
  RC_ASSERT(n <= std::min(count, enough + threads));  // those under way are ended
  for (std::size_t i = 0; i < count; ++i) RC_ASSERT(tried[i] == (i < n ? 1 : 0));
}

TEST(TryEach, StopsBeforeTheFirstIfAskedTo) {
  const auto never = [](std::size_t) { FAIL() << "was tried"; };
  EXPECT_EQ(try_each(5, never, {.threads = 2, .stop = [] { return true; }}), 0u);
}

TEST(TryEach, TellsProgressOneByOne) {
  std::vector<std::size_t> told;
  try_each(50, [](std::size_t) {},
           {.threads = 4, .progress = [&](std::size_t done, std::size_t count) {
              EXPECT_EQ(count, 50u);
              told.push_back(done);
            }});
  ASSERT_EQ(told.size(), 50u);
  for (std::size_t k = 0; k < told.size(); ++k) EXPECT_EQ(told[k], k + 1);
}

// Each waits for the other, which one thread alone could never end.
TEST(TryEach, TriesTwoAtTheSameTime) {
  std::atomic<int> here{0};
  const auto meet = [&](std::size_t) {
    ++here;
    for (int waits = 0; here < 2 && waits < 10000; ++waits) {
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
  };
  try_each(2, meet, {.threads = 2});
  EXPECT_EQ(here, 2);
}

TEST(TryEach, NeverAsksForNoThread) {
  EXPECT_GE(threads_for({}), 1u);
  EXPECT_EQ(threads_for({.threads = 3}), 3u);
}

}  // namespace many_test
}  // namespace tankyard
