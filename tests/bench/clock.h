// SPDX-License-Identifier: MIT
#pragma once

#include <time.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <vector>

namespace bench {

/// Processor time of this thread, s. Everything timed here runs on one thread, and processor time,
/// unlike the clock on the wall, does not count while somebody else has the processor.
inline double processor_s() {
  timespec now;
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

inline double wall_s() {
  timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

/// What several repeats of one piece of work took.
struct Times {
  double best_s = std::numeric_limits<double>::infinity();
  double worst_s = 0.0;

  void add(double s) {
    best_s = std::min(best_s, s);
    worst_s = std::max(worst_s, s);
  }
  double spread() const { return worst_s / best_s - 1.0; }
};

/// Repeats two pieces of work by turns, so that both meet the same weather.
inline void side_by_side(int repeats, const std::function<void()>& one, Times& one_takes,
                         const std::function<void()>& other, Times& other_takes) {
  for (int k = 0; k < repeats; ++k) {
    const double start = processor_s();
    one();
    const double half = processor_s();
    other();
    one_takes.add(half - start);
    other_takes.add(processor_s() - half);
  }
}

}  // namespace bench
