// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>

namespace tankyard {

/// How many tries are done at once, and who watches them.
struct ManyOptions {
  /// At once: 1 does all in the thread that asks; 0: as many as the machine has cores. Built for a
  /// web page, always 1.
  unsigned threads = 0;

  /// Asked before each try, by any of the threads but one call at a time. Once it says yes, no
  /// further try begins; those that have begun are ended.
  std::function<bool()> stop = {};

  /// Told after each try how many of how many are done: one call at a time, each with one more than
  /// the last, from any of the threads.
  std::function<void(std::size_t done, std::size_t count)> progress = {};
};

/// Calls `attempt(i)` for i = 0, 1, ... up to `count`, several at once, and comes back when all
/// have ended. They are begun in that order, and whatever has begun is ended: so what comes back,
/// n, says that exactly the first n were tried. Less than `count` only if `stop` said so.
///
/// The answers are the same with one thread or many if each attempt writes to a place of its own
/// (say `answers[i]`), reads nothing that another one writes, and is the same when done again.
/// An `Array`, a `DaySheet` and `run` are fit for that. Not `std::vector<bool>`, whose
/// entries share their bytes.
///
/// Requires: `attempt` and what the options call throw nothing.
std::size_t try_each(std::size_t count, const std::function<void(std::size_t)>& attempt,
                     const ManyOptions& options = {});

/// The threads that `options` comes to on this machine, 1 or more.
unsigned threads_for(const ManyOptions& options);

}  // namespace tankyard
