// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solver/studies/many.h"
#include "solver/studies/season.h"

namespace tankyard {

struct SeasonStudyOptions {
  SeasonOptions season;

  /// Fill the table of storage against roof: two dozen seasons more.
  bool sizes = false;

  /// Find how many tanks more give this cover, over 0, up to 1. Up to a dozen seasons more.
  std::optional<double> cover;
};

/// The same season with a day's total falling in another way.
struct PourEffect {
  PourRule rule;
  SeasonTally total;
};

/// The season with one more of something.
struct OneMoreTank {
  TankId like;
  Season season;
};
struct OneMoreRoof {
  RoofId like;
  Season season;
};

/// Cover of the same season with so many times the storage (rows) and roof (columns). None: that
/// season could not be reckoned.
struct SizeTable {
  std::vector<double> storage;
  std::vector<double> roof;
  std::vector<std::vector<std::optional<double>>> cover;
};

/// How many tanks more give the cover asked for.
struct MoreTanks {
  double cover_asked = 0.0;
  TankId like;                     ///< the tank whose repetition helps most
  std::vector<double> cover_with;  ///< with none more, one, two, ...
  std::optional<int> enough;       ///< none: not with as many as were tried
};

/// What a change is worth, year by year: only whole years count, for a season cut short is none.
struct YearlyGain {
  int years = 0;
  double mean = 0.0;  ///< of cover, as a share of what is asked
  double least = 0.0;
  double most = 0.0;
  /// The mean's standard error over the years, as if they were drawn by lot; none for one year.
  std::optional<double> standard_error;
};
YearlyGain gain_by_year(const Season& before, const Season& after);

struct SeasonStudy {
  Season as_it_is;
  Season ideal;                   ///< solver/studies/season_bucket.h
  std::vector<PourEffect> pours;  ///< empty if the record tells when in the day it rained
  std::optional<SeasonTally> tenth_less_roof;  ///< if roofs bring a tenth less than the plan says
  std::vector<OneMoreTank> tanks;
  std::vector<OneMoreRoof> roofs;
  std::optional<SizeTable> sizes;
  std::optional<MoreTanks> more_tanks;
  std::vector<std::string> not_reckoned;  ///< what was tried in vain, and why
  int seasons = 0;                        ///< that were stepped to their end
  bool stopped = false;                   ///< some changes were not tried, because of `many.stop`
};

/// Steps the season as it is and with each change, several at once as `many` says; the answer does
/// not depend on how many. Troubles: those of `step_season` for the array as it is, or that it was
/// stopped before that was done; a change that cannot be reckoned is left out and told.
Result<SeasonStudy> study_season(const Array& array, const std::vector<Use>& uses,
                                 const RainRecord& rain, const SeasonStudyOptions& options = {},
                                 const ManyOptions& many = {});

/// Whether some day has a total and nothing more.
bool has_daily_totals(const RainRecord& rain);

/// How long an array lasts without rain: every tank filled to its lip and left to settle for a day,
/// then the uses day by day, those with a season of their own always in it.
struct DrySpell {
  int tried_days = 0;
  std::optional<int> lasts_days;  ///< full days before the first short one; none: all of them
  double daily_m3 = 0.0;          ///< what the uses ask of a day
  double short_m3 = 0.0;          ///< in all the days tried
  double at_first_m3 = 0.0;       ///< in the tanks, settled
};
/// Requires: some use; 1 <= days <= 1000.
Result<DrySpell> live_dry(const Array& array, const std::vector<Use>& uses, int days,
                          const RunOptions& options = {});

}  // namespace tankyard
