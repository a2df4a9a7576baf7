// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <utility>

#include "graph/array.h"
#include "solver/run.h"

namespace tankyard {

/// How long remedies may be tried, and somebody who waits.
struct TryWatch {
  std::optional<long long> most_steps = {};  ///< in all; none: what `Tries` says
  std::function<bool()> stop = {};  ///< asked now and then, also within a run; true: no more
  /// Steps that trying has taken, and the most it may take.
  std::function<void(long long steps, long long most)> progress = {};
};

/// Runs a day again and again with something changed, to see whether a remedy would do. All
/// remedies of one run draw on one purse of steps: four times what the run itself took, or two
/// million steps times places, if that is more. It is counted in steps and not by the clock, so
/// that the same plan finds the same remedies however busy the machine is.
class Tries {
 public:
  Tries(const Array& array, const DaySheet& sheet, const RunOptions& options,
        const RunRecord& as_it_is, TryWatch watch = {});

  const Array& array() const { return array_; }
  const RunRecord& as_it_is() const { return as_it_is_; }

  /// Whether one run of this yard is short enough to be taken again: at most so many steps times
  /// places.
  bool worth_trying(double most_place_steps) const;

  /// The day with these parts. None: they make no array, their run failed or took more steps than
  /// `most_steps`, or trying is `over`, and then it is not known what they would do.
  std::optional<RunRecord> with(Parts parts, long long most_steps);
  std::optional<RunRecord> with(Parts parts) { return with(std::move(parts), options_.most_steps); }

  /// The purse is empty, or somebody asked for an end: nothing more is tried.
  bool over() const { return stopped_ || spent_ >= most_; }
  bool stopped() const { return stopped_; }

  /// Why something was not tried, once it is over: "not tried: ...".
  std::string not_tried() const;

 private:
  bool shall_end(long long steps, long long& looked_at);

  const Array& array_;
  const DaySheet& sheet_;
  RunOptions options_;
  const RunRecord& as_it_is_;
  TryWatch watch_;
  long long most_ = 0;
  long long spent_ = 0;
  bool stopped_ = false;
};

}  // namespace tankyard
