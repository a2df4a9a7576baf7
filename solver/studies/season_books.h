// SPDX-License-Identifier: MIT
#pragma once

#include "solver/studies/season.h"

namespace tankyard {

/// What one day of a season came to.
struct SeasonDay {
  std::chrono::sys_days date;
  bool measured = true;
  SeasonTally tally;             ///< of this day alone
  std::vector<double> asked_m3;  ///< per use
  std::vector<double> used_m3;
};

/// Enters days, one after another, into a season: months, years, short days, dry runs.
class SeasonBooks {
 public:
  SeasonBooks(std::size_t uses, const SeasonOptions& options);

  void enter(const SeasonDay& day);
  Season& season() { return season_; }

 private:
  void enter_uses(const SeasonDay& day, SeasonTally& tally);
  void enter_dry_runs(const SeasonDay& day, bool short_day);

  SeasonOptions options_;
  Season season_;
  int dry_days_ = 0;
  int survived_days_ = 0;
};

/// Adds a day, or the whole of one, to a sum; what the tanks held at the end is that of the last.
void add_to(SeasonTally& sum, const SeasonTally& more);

}  // namespace tankyard
