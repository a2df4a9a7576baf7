// SPDX-License-Identifier: MIT
#include "solver/studies/season_bucket.h"

#include <algorithm>
#include <cmath>

#include "graph/time_units.h"
#include "solver/run.h"
#include "solver/studies/season_books.h"
#include "solver/weather.h"

namespace tankyard {
namespace {

/// Rain of one day into a bucket, a stretch at a time.
class RainInto {
 public:
  explicit RainInto(const Parts& parts)
      : weather_(parts), roofs_(parts.roofs.size()), tanks_(parts.tanks.size()) {}

  void begin_day(std::vector<RainChange> changes, bool roofs_have_dried) {
    changes_ = std::move(changes);
    next_ = 0;
    clock_s_ = 0.0;
    if (roofs_have_dried) weather_.dry_roofs();
  }

  /// Lets it rain until a clock time of the day; what the bucket cannot hold is spilt.
  void until(double until_s, Bucket& bucket, SeasonTally& tally) {
    while (clock_s_ < until_s) {
      while (next_ < changes_.size() && changes_[next_].at_s <= clock_s_) {
        weather_.set_rain(changes_[next_++].rain_m_per_s);
      }
      double stop_s = std::min(until_s, clock_s_ + weather_.changes_in_s());
      if (next_ < changes_.size()) stop_s = std::min(stop_s, changes_[next_].at_s);
      pour(stop_s - clock_s_, bucket, tally);
      clock_s_ = stop_s;
    }
  }

 private:
  void pour(double for_s, Bucket& bucket, SeasonTally& tally) {
    std::fill(roofs_.begin(), roofs_.end(), RoofRecord{});
    weather_.fall(for_s, {}, roofs_, tanks_);
    for (const RoofRecord& roof : roofs_) {
      tally.fell_m3 += roof.fell_m3;
      tally.first_flush_m3 += roof.first_flush_m3;
      tally.over_gutter_m3 += roof.over_gutter_m3;
      tally.caught_m3 += roof.caught_m3;
      bucket.water_m3 += roof.caught_m3;
    }
    const double over_m3 = std::max(0.0, bucket.water_m3 - bucket.holds_m3);
    bucket.water_m3 -= over_m3;
    tally.spilt_m3 += over_m3;
  }

  Weather weather_;
  std::vector<RoofRecord> roofs_;
  std::vector<TankRecord> tanks_;
  std::vector<RainChange> changes_;
  std::size_t next_ = 0;
  double clock_s_ = 0.0;
};

}  // namespace

BucketDay yield_after_spillage(Bucket& bucket, double inflow_m3, double demand_m3) {
  const double before_m3 = bucket.water_m3;
  BucketDay day;
  day.used_m3 = std::min(demand_m3, before_m3);
  bucket.water_m3 = std::min(before_m3 + inflow_m3 - day.used_m3, bucket.holds_m3 - day.used_m3);
  day.spilt_m3 = before_m3 + inflow_m3 - day.used_m3 - bucket.water_m3;
  return day;
}

BucketDay yield_before_spillage(Bucket& bucket, double inflow_m3, double demand_m3) {
  const double before_m3 = bucket.water_m3;
  BucketDay day;
  day.used_m3 = std::min(demand_m3, before_m3 + inflow_m3);
  bucket.water_m3 = std::min(before_m3 + inflow_m3 - day.used_m3, bucket.holds_m3);
  day.spilt_m3 = before_m3 + inflow_m3 - day.used_m3 - bucket.water_m3;
  return day;
}

Season ideal_season(const Array& array, const std::vector<Use>& uses, const RainRecord& rain,
                    const SeasonOptions& options) {
  const Parts& parts = array.parts();
  Bucket bucket;
  for (const Tank& tank : parts.tanks) {
    bucket.holds_m3 += lip_volume_m3(tank);
    bucket.water_m3 += tank.water_m3;
  }
  SeasonBooks books(uses.size(), options);
  RainInto rain_into(parts);
  const std::vector<std::size_t> order = in_order_of_time(uses);
  bool was_dry = false;
  SeasonDay day;
  for (std::size_t d = 0; d < rain.days.size(); ++d) {
    const RainDay& rained = rain.days[d];
    day.date = rain.first + std::chrono::days(d);
    day.measured = rained.measured;
    day.tally = SeasonTally{};
    day.tally.rain_m = rained.depth_m;
    day.tally.start_m3 = bucket.water_m3;
    day.asked_m3.assign(uses.size(), 0.0);
    day.used_m3.assign(uses.size(), 0.0);
    rain_into.begin_day(changes_of(showers_of(rained, options.pour)),
                        rained.depth_m > 0.0 && was_dry);
    was_dry = rained.depth_m <= 0.0;
    for (const std::size_t u : order) {
      if (!is_due(uses[u], day.date, rained.depth_m)) continue;
      rain_into.until(uses[u].at_s, bucket, day.tally);
      day.asked_m3[u] = uses[u].daily_m3;
      day.used_m3[u] = std::min(uses[u].daily_m3, bucket.water_m3);
      bucket.water_m3 -= day.used_m3[u];
    }
    rain_into.until(day_s, bucket, day.tally);
    day.tally.end_m3 = bucket.water_m3;
    books.enter(day);
  }
  return std::move(books.season());
}

}  // namespace tankyard
