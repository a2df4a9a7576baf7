// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <cstddef>
#include <iosfwd>
#include <string>

namespace tankyard {

/// While one of these lives, Ctrl-C (SIGINT) does not end the program but asks it to come to an
/// end: a command then prints what it knows, says that it was stopped, and ends with
/// `Exit::interrupted`. A second Ctrl-C ends the program at once. One at a time.
class StopOnInterrupt {
 public:
  StopOnInterrupt();
  ~StopOnInterrupt();
  StopOnInterrupt(const StopOnInterrupt&) = delete;
  StopOnInterrupt& operator=(const StopOnInterrupt&) = delete;

  /// Whether Ctrl-C was pressed; fit for any thread.
  static bool asked();

 private:
  void (*before_)(int);
};

/// A bar on one line of a terminal that grows while something long is done, and is wiped when that
/// is over:
///
///     trying failures   [#########...........]  45 %  90 of 200
///
/// It shows after half a second, so that what is quick stays quiet. Without a terminal nothing is
/// shown at all.
class ProgressBar {
 public:
  /// On `err` if that is a terminal. `doing` stands before the bar.
  ProgressBar(std::ostream& err, std::string doing, int columns, bool quiet);
  ~ProgressBar();
  ProgressBar(const ProgressBar&) = delete;
  ProgressBar& operator=(const ProgressBar&) = delete;

  void show(std::size_t done, std::size_t count);

 private:
  std::ostream& err_;
  std::string doing_;
  int columns_;
  bool may_show_;
  bool shown_ = false;
  std::chrono::steady_clock::time_point next_;
};

/// The line that the bar shows, never wider than `columns` less one.
std::string bar_text(const std::string& doing, std::size_t done, std::size_t count, int columns);

}  // namespace tankyard
