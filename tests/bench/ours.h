// SPDX-License-Identifier: MIT
#pragma once

#include "chain.h"
#include "solver/run.h"

namespace bench {

/// The chain through `tankyard::run`, as a user of the library calls it: the array is compiled
/// anew, the day sheet checked and the books kept, all of it timed.
class Ours {
 public:
  explicit Ours(const Chain& chain) : array_(array_of(chain)), sheet_(sheet_of(chain)) {}

  /// Fills `depths` at every check time if asked.
  tankyard::Effort run(double tolerance_m, Depths* depths) const;

  /// The same, with everything the run has to say.
  tankyard::RunRecord record(const tankyard::RunOptions& options) const;

 private:
  tankyard::Array array_;
  tankyard::DaySheet sheet_;
};

}  // namespace bench
