// SPDX-License-Identifier: MIT
#include "solver/studies/many.h"

#ifndef __EMSCRIPTEN__
#include <algorithm>
#include <boost/asio/post.hpp>
#include <boost/asio/thread_pool.hpp>
#include <mutex>
#include <thread>
#endif

namespace tankyard {

#ifdef __EMSCRIPTEN__

// A web page has the one thread.
unsigned threads_for(const ManyOptions&) { return 1; }

std::size_t try_each(std::size_t count, const std::function<void(std::size_t)>& attempt,
                     const ManyOptions& options) {
  for (std::size_t i = 0; i < count; ++i) {
    if (options.stop && options.stop()) return i;
    attempt(i);
    if (options.progress) options.progress(i + 1, count);
  }
  return count;
}

#else

unsigned threads_for(const ManyOptions& options) {
  if (options.threads > 0) return options.threads;
  return std::max(std::thread::hardware_concurrency(), 1u);
}

namespace {

/// Hands out tries in order, one at a time, and counts what has ended.
class InTurn {
 public:
  InTurn(std::size_t count, const std::function<void(std::size_t)>& attempt,
         const ManyOptions& options)
      : count_(count), attempt_(attempt), options_(options) {}

  /// What each thread does until nothing is left.
  void work() {
    std::size_t mine = 0;
    while (take(mine)) {
      attempt_(mine);
      const std::lock_guard<std::mutex> one_at_a_time(counting_);
      ++ended_;
      if (options_.progress) options_.progress(ended_, count_);
    }
  }

  std::size_t begun() const { return next_; }

 private:
  // `stop` is asked under the lock that hands out: what one thread has been refused, no other gets.
  bool take(std::size_t& mine) {
    const std::lock_guard<std::mutex> one_at_a_time(handing_out_);
    if (stopped_ || next_ == count_) return false;
    if (options_.stop && options_.stop()) {
      stopped_ = true;
      return false;
    }
    mine = next_++;
    return true;
  }

  const std::size_t count_;
  const std::function<void(std::size_t)>& attempt_;
  const ManyOptions& options_;
  std::mutex handing_out_;
  std::size_t next_ = 0;
  bool stopped_ = false;
  std::mutex counting_;
  std::size_t ended_ = 0;
};

}  // namespace

std::size_t try_each(std::size_t count, const std::function<void(std::size_t)>& attempt,
                     const ManyOptions& options) {
  InTurn tries(count, attempt, options);
  const std::size_t threads = std::min<std::size_t>(threads_for(options), count);
  if (threads <= 1) {
    tries.work();
    return tries.begun();
  }
  // The thread that asks is one of them.
  boost::asio::thread_pool others(threads - 1);
  for (std::size_t k = 1; k < threads; ++k) {
    boost::asio::post(others, [&tries] { tries.work(); });
  }
  tries.work();
  others.join();
  return tries.begun();
}

#endif

}  // namespace tankyard
