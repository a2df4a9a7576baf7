// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "graph/array.h"
#include "graph/use.h"
#include "solver/options.h"
#include "solver/studies/season_rain.h"

namespace tankyard {

/// How a season is stepped.
struct SeasonOptions {
  RunOptions run;

  /// How a day's total falls, on days whose record knows no more.
  PourRule pour;

  /// A day with less rain than this is a dry day. 1 mm is the limit of the index "consecutive dry
  /// days" of the Expert Team on Climate Change Detection and Indices (CDD, days under 1 mm; from
  /// memory).
  double dry_day_m = 0.001;

  /// A day counts as short when more than this share of what some use asked for did not come.
  double short_share = 0.01;

  /// On the first so many days nothing is taken and nothing is entered: water finds its level.
  int settle_days = 0;
};

/// Litres and days of some time: a month, a year, or all of it.
struct SeasonTally {
  int days = 0;
  int days_not_measured = 0;  ///< the rain record has nothing; a stand-in fell
  double rain_m = 0.0;
  double fell_m3 = 0.0;  ///< on the roofs, times their runoff
  double first_flush_m3 = 0.0;
  double over_gutter_m3 = 0.0;
  double caught_m3 = 0.0;
  double asked_m3 = 0.0;  ///< by the uses
  double used_m3 = 0.0;   ///< of that, what came
  double mains_m3 = 0.0;  ///< topped up
  double spilt_m3 = 0.0;
  double spilt_with_room_m3 = 0.0;  ///< of that, while a tank joined to it had room
  double leaked_m3 = 0.0;
  double start_m3 = 0.0;  ///< in the tanks
  double end_m3 = 0.0;
  int asked_days = 0;  ///< on which some use was due
  int short_days = 0;  ///< of these

  double short_m3() const { return asked_m3 - used_m3; }
  /// Share of what was asked that came, mains left out; 1 where nothing was asked.
  double cover() const;
  /// Start + caught + mains - used - spilt - leaked - end.
  double closing_error_m3() const;
};

struct SeasonMonth {
  int year = 0;
  int month = 1;
  SeasonTally tally;
};

struct SeasonYear {
  int year = 0;
  SeasonTally tally;
};

/// What became of one use.
struct SeasonUse {
  double asked_m3 = 0.0;
  double used_m3 = 0.0;
  int asked_days = 0;
  int short_days = 0;
  std::optional<std::chrono::sys_days> first_short;
};

struct SeasonTank {
  /// The first day on which its water fell to 5 mm over the lowest mouth that takes from it.
  std::optional<std::chrono::sys_days> first_dry;
  int dry_days = 0;  ///< on how many days it did
  double spilt_m3 = 0.0;
  double spilt_with_room_m3 = 0.0;
  double capacity_m3 = 0.0;  ///< up to its rim
  /// What it held at midnight, as a share of its capacity: on a tenth of the days less than the
  /// first, on half less than the second, on a tenth more than the third. To 0.1 %.
  double tenth_share = 0.0;
  double median_share = 0.0;
  double ninetieth_share = 0.0;
};

/// Dry days on end.
struct DryRun {
  int days = 0;
  std::optional<std::chrono::sys_days> until;
};

/// What the array did over the whole record.
struct Season {
  SeasonTally total;
  std::vector<SeasonMonth> months;  ///< in order; the first and the last may be cut short
  std::vector<SeasonYear> years;
  std::vector<SeasonUse> uses;    ///< in plan order
  std::vector<SeasonTank> tanks;  ///< in plan order
  DryRun longest_dry_run;         ///< there was
  DryRun longest_survived;        ///< on each of which some use was due, and none came short
  std::optional<std::chrono::sys_days> first_short;
  long long steps = 0;  ///< that the solver took
};

/// Asked now and then, with the share that is done; false stops the work.
using GoOn = std::function<bool(double done_share)>;

/// Steps the array itself, hoses and all, through every day of the record.
///
/// The plan's day sheet is left aside: at the start every outlet is shut and every pump stands that
/// has no pressure switch, and only the uses open and start them. Uses are served one after
/// another, in the order of their clock times, those of one time in plan order. An outlet stands
/// open until its litres have come (to 0.2 %, or a little over while its flow rises), until it
/// gives less than a hundredth of its best that day, or until midnight; one with a fixed draw and
/// no pump twice as long at most as its litres take at that draw. Whatever has not come by then is
/// short; nobody tries again that day. A roof's first flush is turned away again after each day
/// without rain.
///
/// Requires: at least one day of rain, at least one use, ids of the array. Troubles: those of
/// `run`, told with the date, or that it was stopped. Memory does not grow with time but for the
/// months.
Result<Season> step_season(const Array& array, const std::vector<Use>& uses, const RainRecord& rain,
                           const SeasonOptions& options = {}, const GoOn& go_on = {});

/// The array as a season begins: every outlet shut and every pump standing, but for those that a
/// pressure switch starts and stops.
Parts parts_for_season(const Array& array);

/// Whether a use is due: in season, and not skipped for rain.
bool is_due(const Use& use, std::chrono::sys_days date, double rain_m);

/// The uses of a day in the order in which they are served.
std::vector<std::size_t> in_order_of_time(const std::vector<Use>& uses);

/// The showers of a day: the record's own, or the total poured by the rule.
std::vector<Shower> showers_of(const RainDay& day, const PourRule& rule);

/// Rain as rates that hold until the next change, from midnight on; equal rates are joined.
struct RainChange {
  double at_s = 0.0;
  double rain_m_per_s = 0.0;
};
std::vector<RainChange> changes_of(const std::vector<Shower>& showers);

}  // namespace tankyard
