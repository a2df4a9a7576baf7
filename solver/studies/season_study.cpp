// SPDX-License-Identifier: MIT
#include "solver/studies/season_study.h"

#include <algorithm>
#include <cmath>

#include "graph/time_units.h"
#include "solver/studies/season_bucket.h"
#include "solver/studies/season_changes.h"

namespace tankyard {
namespace {

constexpr int most_more_tanks = 12;

/// The ways a day's total may fall that are set beside the one chosen: in an hour, to a peak, which
/// tries hoses and gutters most; and from midnight on, so that the same day's rain can be used.
std::vector<PourRule> other_pours(const PourRule& chosen) {
  return {{std::min(chosen.starts_s, 86400.0 - hour_s), hour_s, PourShape::triangle},
          {0.0, chosen.lasts_s, PourShape::even}};
}

bool same(const PourRule& a, const PourRule& b) {
  return a.starts_s == b.starts_s && a.lasts_s == b.lasts_s && a.shape == b.shape;
}

/// One season to be stepped, and where its answer goes.
struct Job {
  std::string says;
  Result<Array> array;
  SeasonOptions options;
  Result<Season> season = refuse(Trouble{"the season was not begun", {}, "", {}, {}, {}, {}});
};

}  // namespace

bool has_daily_totals(const RainRecord& rain) {
  return std::any_of(rain.days.begin(), rain.days.end(),
                     [](const RainDay& day) { return day.depth_m > 0.0 && day.showers.empty(); });
}

YearlyGain gain_by_year(const Season& before, const Season& after) {
  YearlyGain gain;
  double sum = 0.0;
  double squares = 0.0;
  for (std::size_t y = 0; y < before.years.size(); ++y) {
    const SeasonTally& was = before.years[y].tally;
    if (was.days < 365 || was.asked_m3 <= 0.0) continue;
    const double more = after.years[y].tally.cover() - was.cover();
    gain.least = gain.years == 0 ? more : std::min(gain.least, more);
    gain.most = gain.years == 0 ? more : std::max(gain.most, more);
    sum += more;
    squares += more * more;
    ++gain.years;
  }
  if (gain.years == 0) return gain;
  gain.mean = sum / gain.years;
  if (gain.years > 1) {
    const double variance =
        std::max(0.0, squares - gain.years * gain.mean * gain.mean) / (gain.years - 1);
    gain.standard_error = std::sqrt(variance / gain.years);
  }
  return gain;
}

Result<SeasonStudy> study_season(const Array& array, const std::vector<Use>& uses,
                                 const RainRecord& rain, const SeasonStudyOptions& options,
                                 const ManyOptions& many) {
  std::vector<Job> jobs;
  const auto add = [&](std::string says, Result<Array> changed, const SeasonOptions& season) {
    jobs.push_back({std::move(says), std::move(changed), season});
  };
  add("the yard as it is", array, options.season);

  std::vector<PourRule> pours;
  if (has_daily_totals(rain)) {
    for (const PourRule& rule : other_pours(options.season.pour)) {
      if (same(rule, options.season.pour) || !check(rule).empty()) continue;
      pours.push_back(rule);
      SeasonOptions otherwise = options.season;
      otherwise.pour = rule;
      add("rain that falls otherwise", array, otherwise);
    }
  }
  const bool roofed = !array.parts().roofs.empty();
  if (roofed) add("roofs that bring a tenth less", with_roofs(array, 0.9), options.season);
  const std::vector<TankId> repeat = tanks_to_repeat(array);
  for (const TankId like : repeat) {
    add("one more tank like `" + part(array.tanks(), like).name + "`", with_tank_again(array, like),
        options.season);
  }
  const std::vector<RoofId> repeat_roofs = roofs_to_repeat(array);
  for (const RoofId like : repeat_roofs) {
    add("one more roof like `" + part(array.parts().roofs, like).name + "`",
        with_roof_again(array, like), options.season);
  }
  SizeTable table;
  if (options.sizes) {
    table.storage = {0.5, 1.0, 1.5, 2.0, 3.0, 4.0};
    table.roof = {0.5, 1.0, 1.5, 2.0};
    for (const double storage : table.storage) {
      for (const double roof : table.roof) {
        Result<Array> wide = with_storage(array, storage);
        if (wide) wide = with_roofs(*wide, roof);
        add("other sizes", std::move(wide), options.season);
      }
    }
  }

  SeasonStudy study;
  const auto step = [&](std::vector<Job>& all) {
    try_each(
        all.size(),
        [&](std::size_t j) {
          Job& job = all[j];
          if (!job.array) {
            job.season = tl::unexpected<Troubles>(job.array.error());
            return;
          }
          const GoOn on = [&](double) { return !many.stop || !many.stop(); };
          job.season = step_season(*job.array, uses, rain, job.options, on);
        },
        many);
    study.stopped = many.stop && many.stop();
    for (const Job& job : all) {
      if (job.season) {
        ++study.seasons;
      } else if (!study.stopped) {
        study.not_reckoned.push_back(job.says + ": " + job.season.error().front().message);
      }
    }
  };
  step(jobs);
  if (!jobs[0].season) return tl::unexpected<Troubles>(std::move(jobs[0].season.error()));
  std::size_t next = 0;
  study.as_it_is = std::move(*jobs[next++].season);
  study.ideal = ideal_season(array, uses, rain, options.season);
  for (const PourRule& rule : pours) {
    const Job& job = jobs[next++];
    if (job.season) study.pours.push_back({rule, job.season->total});
  }
  if (roofed) {
    const Job& job = jobs[next++];
    if (job.season) study.tenth_less_roof = job.season->total;
  }
  for (const TankId like : repeat) {
    Job& job = jobs[next++];
    if (job.season) study.tanks.push_back({like, std::move(*job.season)});
  }
  for (const RoofId like : repeat_roofs) {
    Job& job = jobs[next++];
    if (job.season) study.roofs.push_back({like, std::move(*job.season)});
  }
  if (options.sizes) {
    for (std::size_t row = 0; row < table.storage.size(); ++row) {
      table.cover.emplace_back();
      for (std::size_t column = 0; column < table.roof.size(); ++column) {
        const Job& job = jobs[next++];
        table.cover.back().push_back(job.season ? std::optional<double>(job.season->total.cover())
                                                : std::nullopt);
      }
    }
    study.sizes = std::move(table);
  }
  if (!options.cover || study.tanks.empty() || study.stopped) return study;

  // The smallest number: one more at a time of the kind that helped most.
  const auto best = std::max_element(study.tanks.begin(), study.tanks.end(),
                                     [](const OneMoreTank& a, const OneMoreTank& b) {
                                       return a.season.total.cover() < b.season.total.cover();
                                     });
  MoreTanks more{*options.cover,
                 best->like,
                 {study.as_it_is.total.cover(), best->season.total.cover()},
                 std::nullopt};
  const auto is_enough = [&](double cover) { return cover >= more.cover_asked; };
  Result<Array> grown = with_tank_again(array, more.like);
  constexpr int at_once = 4;  // a few too many may be stepped, for the sake of idle cores
  for (int count = 1; !study.stopped && count < most_more_tanks &&
                      std::none_of(more.cover_with.begin(), more.cover_with.end(), is_enough);) {
    std::vector<Job> batch;
    for (int k = 0; k < at_once && count < most_more_tanks; ++k) {
      ++count;
      if (grown) grown = with_tank_again(*grown, more.like);
      batch.push_back({std::to_string(count) + " more tanks", grown, options.season});
    }
    step(batch);
    for (const Job& job : batch) {
      if (!job.season) {
        count = most_more_tanks;
        break;
      }
      more.cover_with.push_back(job.season->total.cover());
    }
  }
  const auto first = std::find_if(more.cover_with.begin(), more.cover_with.end(), is_enough);
  if (first != more.cover_with.end()) {
    more.enough = static_cast<int>(first - more.cover_with.begin());
    more.cover_with.erase(first + 1, more.cover_with.end());
  }
  study.more_tanks = std::move(more);
  return study;
}

Result<DrySpell> live_dry(const Array& array, const std::vector<Use>& uses, int days,
                          const RunOptions& options) {
  Parts parts = array.parts();
  for (Tank& tank : parts.tanks) {
    tank.water_m3 = lip_volume_m3(tank);
  }
  // Nothing comes in: what is left of a dry spell is what was stored.
  parts.top_ups.clear();
  Result<Array> full = Array::make(std::move(parts));
  if (!full) return tl::unexpected<Troubles>(std::move(full.error()));
  std::vector<Use> always = uses;
  DrySpell spell;
  spell.tried_days = days;
  for (Use& use : always) {
    use.from_month_day.reset();
    use.until_month_day.reset();
    use.skip_after_rain_m.reset();
    spell.daily_m3 += use.daily_m3;
  }
  // A day to settle: the uses begin on 2 January, a date of no year in particular.
  RainRecord rain;
  rain.first = std::chrono::sys_days(std::chrono::year(2001) / 1 / 1);
  rain.days.resize(static_cast<std::size_t>(days) + 1);
  SeasonOptions stepping;
  stepping.run = options;
  stepping.settle_days = 1;
  const Result<Season> season = step_season(*full, always, rain, stepping);
  if (!season) return tl::unexpected<Troubles>(season.error());
  spell.short_m3 = season->total.short_m3();
  spell.at_first_m3 = season->total.start_m3;
  if (season->first_short) {
    spell.lasts_days = static_cast<int>((*season->first_short - rain.first).count()) - 1;
  }
  return spell;
}

}  // namespace tankyard
