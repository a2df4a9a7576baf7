// SPDX-License-Identifier: MIT
#include "solver/studies/season_books.h"

#include <algorithm>

namespace tankyard {

double SeasonTally::cover() const {
  if (asked_m3 <= 0.0) return 1.0;
  return std::max(0.0, (used_m3 - mains_m3) / asked_m3);
}

double SeasonTally::closing_error_m3() const {
  return start_m3 + caught_m3 + mains_m3 - used_m3 - spilt_m3 - leaked_m3 - end_m3;
}

void add_to(SeasonTally& sum, const SeasonTally& more) {
  if (sum.days == 0) sum.start_m3 = more.start_m3;
  sum.end_m3 = more.end_m3;
  sum.days += more.days;
  sum.days_not_measured += more.days_not_measured;
  sum.rain_m += more.rain_m;
  sum.fell_m3 += more.fell_m3;
  sum.first_flush_m3 += more.first_flush_m3;
  sum.over_gutter_m3 += more.over_gutter_m3;
  sum.caught_m3 += more.caught_m3;
  sum.asked_m3 += more.asked_m3;
  sum.used_m3 += more.used_m3;
  sum.mains_m3 += more.mains_m3;
  sum.spilt_m3 += more.spilt_m3;
  sum.spilt_with_room_m3 += more.spilt_with_room_m3;
  sum.leaked_m3 += more.leaked_m3;
  sum.asked_days += more.asked_days;
  sum.short_days += more.short_days;
}

SeasonBooks::SeasonBooks(std::size_t uses, const SeasonOptions& options) : options_(options) {
  season_.uses.resize(uses);
}

void SeasonBooks::enter_uses(const SeasonDay& day, SeasonTally& tally) {
  for (std::size_t u = 0; u < season_.uses.size(); ++u) {
    if (day.asked_m3[u] <= 0.0) continue;
    SeasonUse& use = season_.uses[u];
    use.asked_m3 += day.asked_m3[u];
    use.used_m3 += day.used_m3[u];
    ++use.asked_days;
    tally.asked_m3 += day.asked_m3[u];
    tally.used_m3 += day.used_m3[u];
    tally.asked_days = 1;
    if (day.asked_m3[u] - day.used_m3[u] <= options_.short_share * day.asked_m3[u]) continue;
    ++use.short_days;
    tally.short_days = 1;
    if (!use.first_short) use.first_short = day.date;
  }
  if (tally.short_days > 0 && !season_.first_short) season_.first_short = day.date;
}

void SeasonBooks::enter_dry_runs(const SeasonDay& day, bool short_day) {
  const bool dry = day.tally.rain_m < options_.dry_day_m;
  dry_days_ = dry ? dry_days_ + 1 : 0;
  const bool asked = std::any_of(day.asked_m3.begin(), day.asked_m3.end(),
                                 [](double asked_m3) { return asked_m3 > 0.0; });
  survived_days_ = dry && asked && !short_day ? survived_days_ + 1 : 0;
  if (dry_days_ > season_.longest_dry_run.days) season_.longest_dry_run = {dry_days_, day.date};
  if (survived_days_ > season_.longest_survived.days) {
    season_.longest_survived = {survived_days_, day.date};
  }
}

void SeasonBooks::enter(const SeasonDay& day) {
  SeasonTally tally = day.tally;
  tally.days = 1;
  tally.days_not_measured = day.measured ? 0 : 1;
  enter_uses(day, tally);
  enter_dry_runs(day, tally.short_days > 0);
  const int year = year_of(day.date);
  const int month = month_day_of(day.date) / 100;
  if (season_.years.empty() || season_.years.back().year != year) {
    season_.years.push_back({year, {}});
  }
  if (season_.months.empty() || season_.months.back().year != year ||
      season_.months.back().month != month) {
    season_.months.push_back({year, month, {}});
  }
  add_to(season_.months.back().tally, tally);
  add_to(season_.years.back().tally, tally);
  add_to(season_.total, tally);
}

}  // namespace tankyard
