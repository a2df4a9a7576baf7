// SPDX-License-Identifier: MIT
#include "io/progress.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <csignal>
#include <iostream>

#include "io/tables.h"

namespace tankyard {
namespace {

// A lock-free atomic may be written by a signal's handler and read by any thread.
std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free);

extern "C" void on_interrupt(int) {
  interrupted.store(true);
  std::signal(SIGINT, SIG_DFL);
}

constexpr std::chrono::milliseconds before_first(500);
constexpr std::chrono::milliseconds between(100);

}  // namespace

StopOnInterrupt::StopOnInterrupt() {
  interrupted.store(false);
  before_ = std::signal(SIGINT, on_interrupt);
  // Who was started with Ctrl-C turned off, as by `nohup` or in the background of a script, keeps
  // it so.
  if (before_ == SIG_IGN) std::signal(SIGINT, SIG_IGN);
}

StopOnInterrupt::~StopOnInterrupt() { std::signal(SIGINT, before_ == SIG_ERR ? SIG_DFL : before_); }

bool StopOnInterrupt::asked() { return interrupted.load(); }

ProgressBar::ProgressBar(std::ostream& err, std::string doing, int columns, bool quiet)
    : err_(err),
      doing_(std::move(doing)),
      columns_(columns),
      may_show_(!quiet && &err == &std::cerr && ::isatty(STDERR_FILENO) == 1),
      next_(std::chrono::steady_clock::now() + before_first) {}

ProgressBar::~ProgressBar() {
  if (!shown_) return;
  err_ << "\r" << std::string(static_cast<std::size_t>(std::max(columns_ - 1, 0)), ' ') << "\r"
       << std::flush;
}

void ProgressBar::show(std::size_t done, std::size_t count) {
  if (!may_show_ || count == 0) return;
  const auto now = std::chrono::steady_clock::now();
  if (now < next_) return;
  next_ = now + between;
  shown_ = true;
  const std::string line = bar_text(doing_, done, count, columns_);
  const int blank = std::max(columns_ - 1 - width_of(line), 0);
  err_ << "\r" << line << std::string(static_cast<std::size_t>(blank), ' ') << std::flush;
}

std::string bar_text(const std::string& doing, std::size_t done, std::size_t count, int columns) {
  const double share = count == 0 ? 1.0 : static_cast<double>(done) / static_cast<double>(count);
  const std::string numbers =
      fmt::format("{:3.0f} %  {} of {}", std::floor(100.0 * share), done, count);
  const int room = columns - 1;
  const int wide = std::min(room - width_of(doing) - width_of(numbers) - 5, 40);
  if (wide >= 5) {
    const auto full = static_cast<std::size_t>(share * wide);
    return doing + "  [" + std::string(full, '#') +
           std::string(static_cast<std::size_t>(wide) - full, '.') + "] " + numbers;
  }
  return width_of(numbers) <= room ? numbers : std::string();
}

}  // namespace tankyard
