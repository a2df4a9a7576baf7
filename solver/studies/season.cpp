// SPDX-License-Identifier: MIT
#include "solver/studies/season.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

#include "graph/time_units.h"
#include "solver/run.h"
#include "solver/studies/season_books.h"

namespace tankyard {
namespace {

constexpr double first_serving_s = 0.02;   // at what an outlet gives, ...
constexpr double looks_grow = 8.0;         // ... the next one so many times later at most, ...
constexpr double longest_look_s = 1800.0;  // ... and no later than this
constexpr double served_share = 0.002;     // of a use: near enough to all of it
constexpr double most_over_share = 0.02;   // of a use that may come too much at a known draw
constexpr double trickle_share = 0.01;     // of the best flow of the day: the outlet is given up
constexpr double trickle_m3_per_s = 1e-8;
constexpr double dry_within_m = 0.005;  // over a tank's lowest mouth
constexpr std::size_t bins = 1000;      // of how full a tank stands

/// What an outlet gives, looked at now and then: as much as on the last look, and rising on as it
/// rose from the look before, middle to middle.
class RisingFlow {
 public:
  explicit RisingFlow(double m3_per_s) : m3_per_s_(m3_per_s) {}

  /// On the last look, on average.
  double m3_per_s() const { return m3_per_s_; }

  void saw(double came_m3, double lasted_s) {
    const double now_m3_per_s = came_m3 / lasted_s;
    rises_m3_per_s2_ = std::max(0.0, (now_m3_per_s - m3_per_s_) / (0.5 * (looked_s_ + lasted_s)));
    m3_per_s_ = now_m3_per_s;
    looked_s_ = lasted_s;
  }

  /// How soon so much comes: s that solves flow s + rises / 2 s^2 = m3. Requires a flow over 0.
  double brings_in_s(double m3) const {
    const double flow_m3_per_s = m3_per_s_ + 0.5 * rises_m3_per_s2_ * looked_s_;
    return 2.0 * m3 /
           (flow_m3_per_s + std::sqrt(flow_m3_per_s * flow_m3_per_s + 2.0 * rises_m3_per_s2_ * m3));
  }

 private:
  double m3_per_s_;
  double looked_s_ = 0.0;
  double rises_m3_per_s2_ = 0.0;
};

/// The lowest mouth that takes water from each tank, above its inside bottom; infinite: none does.
std::vector<double> lowest_mouths_m(const Parts& parts) {
  std::vector<double> lowest(parts.tanks.size(), std::numeric_limits<double>::infinity());
  const auto at = [&](const Place& place, double height_m) {
    const auto* const tank = std::get_if<TankId>(&place);
    if (tank == nullptr) return;
    double& mark = lowest[tank->index];
    mark = std::min(mark, height_m - part(parts.tanks, *tank).base_m);
  };
  for (const Hose& hose : parts.hoses) {
    at(hose.from.place, mouth_m(parts, hose.from));
    if (!hose.one_way) at(hose.to.place, mouth_m(parts, hose.to));
  }
  for (const Pump& pump : parts.pumps) at(pump.from, mouth_m(parts, {pump.from, std::nullopt}));
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at) at(outlet.at->place, mouth_m(parts, *outlet.at));
  }
  return lowest;
}

/// How full a tank stood at midnight, counted in bins so that memory does not grow.
class Fullness {
 public:
  void enter(double share) {
    const double scaled = std::clamp(share, 0.0, 1.0) * static_cast<double>(bins);
    ++counts_[std::min(static_cast<std::size_t>(scaled), bins - 1)];
    ++days_;
  }
  /// The share that is not passed on so many of the days.
  double at(double of_days) const {
    const double wanted = of_days * static_cast<double>(days_);
    double below = 0.0;
    for (std::size_t k = 0; k < bins; ++k) {
      const auto count = static_cast<double>(counts_[k]);
      if (below + count >= wanted && count > 0.0) {
        return (static_cast<double>(k) + (wanted - below) / count) / static_cast<double>(bins);
      }
      below += count;
    }
    return 1.0;
  }

 private:
  std::array<int, bins> counts_{};
  int days_ = 0;
};

/// One season, day by day.
class Walk {
 public:
  Walk(const Array& array, const std::vector<Use>& uses, const SeasonOptions& options)
      : parts_(array.parts()),
        uses_(uses),
        options_(options),
        order_(in_order_of_time(uses)),
        run_(array, options.run),
        books_(uses.size(), options),
        mouth_m_(lowest_mouths_m(parts_)),
        fullness_(parts_.tanks.size()) {
    season().tanks.resize(parts_.tanks.size());
    for (std::size_t t = 0; t < parts_.tanks.size(); ++t) {
      season().tanks[t].capacity_m3 = capacity_m3(parts_.tanks[t].shape);
    }
  }

  Result<Season> through(const RainRecord& rain, const GoOn& go_on) {
    for (std::size_t d = 0; d < rain.days.size(); ++d) {
      if (go_on && d % 64 == 0 &&
          !go_on(static_cast<double>(d) / static_cast<double>(rain.days.size()))) {
        Trouble trouble;
        trouble.message = "the season was stopped before its end";
        return refuse(trouble);
      }
      const std::chrono::sys_days date = rain.first + std::chrono::days(d);
      settling_ = d < static_cast<std::size_t>(std::max(options_.settle_days, 0));
      if (!live_through(rain.days[d], date)) return tl::unexpected<Troubles>(std::move(troubles_));
    }
    for (std::size_t t = 0; t < fullness_.size(); ++t) {
      SeasonTank& tank = season().tanks[t];
      tank.tenth_share = fullness_[t].at(0.1);
      tank.median_share = fullness_[t].at(0.5);
      tank.ninetieth_share = fullness_[t].at(0.9);
    }
    return std::move(season());
  }

 private:
  Season& season() { return books_.season(); }

  bool live_through(const RainDay& rain, std::chrono::sys_days date) {
    day_ = SeasonDay{};
    day_.date = date;
    day_.measured = rain.measured;
    day_.tally.rain_m = rain.depth_m;
    day_.asked_m3.assign(uses_.size(), 0.0);
    day_.used_m3.assign(uses_.size(), 0.0);
    tank_dry_.assign(parts_.tanks.size(), false);
    first_stretch_ = true;
    clock_s_ = 0.0;
    changes_ = changes_of(showers_of(rain, options_.pour));
    if (rain.depth_m > 0.0 && was_dry_) run_.dry_roofs();
    was_dry_ = rain.depth_m <= 0.0;

    for (const std::size_t u : order_) {
      if (settling_ || !is_due(uses_[u], date, rain.depth_m)) continue;
      day_.asked_m3[u] = uses_[u].daily_m3;
      if (!step_until(std::max(clock_s_, uses_[u].at_s)) || !serve(u)) return false;
    }
    if (!step_until(day_s)) return false;
    if (settling_) return true;
    for (std::size_t t = 0; t < parts_.tanks.size(); ++t) {
      fullness_[t].enter(end_m3_[t] / season().tanks[t].capacity_m3);
      if (!tank_dry_[t]) continue;
      SeasonTank& tank = season().tanks[t];
      ++tank.dry_days;
      if (!tank.first_dry) tank.first_dry = date;
    }
    books_.enter(day_);
    return true;
  }

  /// Opens what a use needs, lets its litres come, and has it shut with the next stretch.
  bool serve(std::size_t u) {
    if (clock_s_ >= day_s) return true;
    const Use& use = uses_[u];
    const Outlet& outlet = part(parts_.outlets, use.outlet);
    due_.push_back({Action::Does::open, use.outlet});
    if (use.pump) due_.push_back({Action::Does::start, *use.pump});
    const bool served = outlet.draw_m3_per_s && !use.pump
                            ? serve_for(u, use.daily_m3 / *outlet.draw_m3_per_s)
                            : serve_litres(u);
    if (use.pump) due_.push_back({Action::Does::stop, *use.pump});
    due_.push_back({Action::Does::close, use.outlet});
    return served;
  }

  /// As long as its litres take at its draw, and as long again while the last of them still come.
  bool serve_for(std::size_t u, double for_s) {
    const std::size_t outlet = uses_[u].outlet.index;
    const double gives_up_at_s = std::min(clock_s_ + 2.0 * for_s, day_s);
    const double before_s = clock_s_;
    if (!step_until(std::min(clock_s_ + for_s, day_s))) return false;
    const double came_m3 = last_.outlets[outlet].delivered_m3;
    day_.used_m3[u] += came_m3;
    return serve_on(u, came_m3 / (clock_s_ - before_s), uses_[u].daily_m3 / for_s, longest_look_s,
                    gives_up_at_s);
  }

  bool serve_litres(std::size_t u) { return serve_on(u, 0.0, 0.0, first_serving_s, day_s); }

  /// Lets an outlet that is open run on, and looks at what came, each time when the rest should
  /// have come. `flow_m3_per_s`: what it gave so far, 0 if that is not known. An outlet that gave
  /// less than it can must not run away with a long look once there is water again: no look is
  /// much longer than the rest takes at its draw, nor than it takes at a flow that rises on as it
  /// rose; and one ends where the rain changes, after which nobody gives up for half an hour.
  bool serve_on(std::size_t u, double flow_m3_per_s, double best_m3_per_s, double look_s,
                double until_s) {
    const std::size_t outlet = uses_[u].outlet.index;
    const double daily_m3 = uses_[u].daily_m3;
    const std::optional<double> draw_m3_per_s = parts_.outlets[outlet].draw_m3_per_s;
    double patient_until_s = 0.0;  // rain that sets in may bring water yet
    RisingFlow flow(flow_m3_per_s);
    while (clock_s_ < until_s) {
      const double left_m3 = daily_m3 - day_.used_m3[u];
      if (left_m3 <= served_share * daily_m3) break;
      if (best_m3_per_s > 0.0 && clock_s_ >= patient_until_s &&
          flow.m3_per_s() < std::max(trickle_m3_per_s, trickle_share * best_m3_per_s)) {
        break;
      }
      if (flow.m3_per_s() > 0.0)
        look_s = std::min(look_s, std::max(flow.brings_in_s(left_m3), 0.1));
      if (draw_m3_per_s && !uses_[u].pump) {
        const double most_over_s = most_over_share * daily_m3 / *draw_m3_per_s;
        look_s = std::min(look_s, std::max(left_m3 / *draw_m3_per_s, most_over_s));
      }
      const double before_s = clock_s_;
      const double rains_s = next_rain_s();
      if (!step_until(std::min({clock_s_ + look_s, until_s, rains_s}))) return false;
      const double came_m3 = last_.outlets[outlet].delivered_m3;
      day_.used_m3[u] += came_m3;
      flow.saw(came_m3, clock_s_ - before_s);
      best_m3_per_s = std::max({best_m3_per_s, flow.m3_per_s(), trickle_m3_per_s});
      look_s = std::min(looks_grow * look_s, longest_look_s);
      if (clock_s_ == rains_s) {
        look_s = first_serving_s;
        patient_until_s = clock_s_ + longest_look_s;
      }
    }
    return true;
  }

  /// When it next rains otherwise than now; infinite: not today.
  double next_rain_s() const {
    for (const RainChange& change : changes_) {
      if (change.at_s > clock_s_) return change.at_s;
    }
    return std::numeric_limits<double>::infinity();
  }

  /// Steps to a clock time of this day, beginning with whatever is due to be opened or shut.
  bool step_until(double until_s) {
    if (until_s <= clock_s_) return true;
    sheet_.lasts_s = until_s - clock_s_;
    sheet_.starts_clock_s = clock_s_;
    sheet_.steps.clear();
    if (!due_.empty()) {
      sheet_.steps.push_back({0.0, due_, std::nullopt});
      due_.clear();
    }
    for (const RainChange& change : changes_) {
      // What is due at the very end is left to the next stretch, which begins there.
      if (change.at_s < clock_s_ || change.at_s >= until_s) continue;
      if (change.rain_m_per_s == rain_m_per_s_) continue;
      rain_m_per_s_ = change.rain_m_per_s;
      sheet_.steps.push_back({change.at_s - clock_s_, {}, rain_m_per_s_});
    }
    Result<RunRecord> record = run_.go_on(sheet_);
    if (!record) {
      troubles_ = std::move(record.error());
      for (Trouble& trouble : troubles_) {
        trouble.notes.push_back("that was on " + date_text(day_.date) + ", in a stretch of " +
                                std::to_string(sheet_.lasts_s) + " s from second " +
                                std::to_string(clock_s_) + " of the day");
      }
      return false;
    }
    last_ = std::move(*record);
    clock_s_ = until_s;
    enter(last_);
    return true;
  }

  void enter(const RunRecord& record) {
    SeasonTally& tally = day_.tally;
    if (first_stretch_) tally.start_m3 = record.ledger.start_m3;
    first_stretch_ = false;
    tally.end_m3 = record.ledger.end_m3;
    for (const RoofRecord& roof : record.roofs) {
      tally.fell_m3 += roof.fell_m3;
      tally.first_flush_m3 += roof.first_flush_m3;
      tally.over_gutter_m3 += roof.over_gutter_m3;
    }
    tally.caught_m3 += record.ledger.rain_m3;
    tally.mains_m3 += record.ledger.topped_up_m3;
    tally.spilt_m3 += record.ledger.overflowed_m3;
    tally.leaked_m3 += record.ledger.leaked_m3;
    end_m3_.resize(record.tanks.size());
    for (std::size_t t = 0; t < record.tanks.size(); ++t) {
      const TankRecord& tank = record.tanks[t];
      tally.spilt_with_room_m3 += tank.spilt_with_room_m3;
      if (!settling_) {
        season().tanks[t].spilt_m3 += tank.spilt_m3;
        season().tanks[t].spilt_with_room_m3 += tank.spilt_with_room_m3;
      }
      end_m3_[t] = tank.end_m3;
      if (tank.lowest_depth_m <= mouth_m_[t] + dry_within_m && mouth_m_[t] < 1e9) {
        tank_dry_[t] = true;
      }
    }
    season().steps = record.effort.steps;
  }

  const Parts& parts_;
  const std::vector<Use>& uses_;
  SeasonOptions options_;
  std::vector<std::size_t> order_;
  RunInStretches run_;
  SeasonBooks books_;
  std::vector<double> mouth_m_;
  std::vector<Fullness> fullness_;

  SeasonDay day_;
  double clock_s_ = 0.0;
  double rain_m_per_s_ = 0.0;
  bool first_stretch_ = true;
  bool settling_ = false;
  bool was_dry_ = false;  // yesterday; the run begins with dry roofs
  std::vector<RainChange> changes_;
  std::vector<Action> due_;
  std::vector<bool> tank_dry_;
  std::vector<double> end_m3_;
  DaySheet sheet_;
  RunRecord last_;
  Troubles troubles_;
};

Troubles check_season(const Parts& parts, const std::vector<Use>& uses, const RainRecord& rain,
                      const SeasonOptions& options) {
  Troubles troubles = check(options.pour);
  const auto complain = [&](const char* message, const char* help) {
    Trouble trouble;
    trouble.message = message;
    trouble.help = help;
    troubles.push_back(std::move(trouble));
  };
  if (rain.days.empty()) complain("the rain record has no days", "give at least one");
  if (uses.empty()) complain("nothing is said of what the season takes", "give at least one use");
  for (const Use& use : uses) {
    if (use.outlet.index >= parts.outlets.size() ||
        (use.pump && use.pump->index >= parts.pumps.size())) {
      complain("a use names a part that does not exist", "name a part of the plan");
    }
    if (!(use.daily_m3 > 0.0)) complain("a use takes nothing", "it must take over 0 L a day");
    if (!(use.at_s >= 0.0 && use.at_s < day_s)) {
      complain("a use begins at no clock time", "it must be 00:00 or later, before 24:00");
    }
  }
  return troubles;
}

}  // namespace

Parts parts_for_season(const Array& array) {
  Parts parts = array.parts();
  for (Outlet& outlet : parts.outlets) outlet.open = false;
  for (Pump& pump : parts.pumps) {
    if (!pump.pressure_switch) pump.running = false;
  }
  return parts;
}

bool is_due(const Use& use, std::chrono::sys_days date, double rain_m) {
  if (!in_season(use, month_day_of(date))) return false;
  return !use.skip_after_rain_m || rain_m < *use.skip_after_rain_m;
}

std::vector<std::size_t> in_order_of_time(const std::vector<Use>& uses) {
  std::vector<std::size_t> order(uses.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return uses[a].at_s < uses[b].at_s; });
  return order;
}

std::vector<Shower> showers_of(const RainDay& day, const PourRule& rule) {
  return day.showers.empty() ? poured(day.depth_m, rule) : day.showers;
}

std::vector<RainChange> changes_of(const std::vector<Shower>& showers) {
  std::vector<RainChange> changes = {{0.0, 0.0}};
  const auto change = [&](double at_s, double rain_m_per_s) {
    // Times that differ by rounding are one.
    if (at_s - changes.back().at_s < 1e-3) {
      changes.back().rain_m_per_s = rain_m_per_s;
    } else if (rain_m_per_s != changes.back().rain_m_per_s) {
      changes.push_back({at_s, rain_m_per_s});
    }
  };
  for (const Shower& shower : showers) {
    if (shower.depth_m <= 0.0) continue;
    change(shower.starts_s, shower.depth_m / shower.lasts_s);
    change(shower.starts_s + shower.lasts_s, 0.0);
  }
  return changes;
}

Result<Season> step_season(const Array& array, const std::vector<Use>& uses, const RainRecord& rain,
                           const SeasonOptions& options, const GoOn& go_on) {
  Troubles troubles = check_season(array.parts(), uses, rain, options);
  if (!troubles.empty()) return tl::unexpected<Troubles>(std::move(troubles));
  Result<Array> shut = Array::make(parts_for_season(array));
  if (!shut) return tl::unexpected<Troubles>(std::move(shut.error()));
  return Walk(*shut, uses, options).through(rain, go_on);
}

}  // namespace tankyard
