// SPDX-License-Identifier: MIT
// Seasons of random yards. Sources of truth: conservation, and that more of something cannot give
// less where nothing but size matters.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "properties/days.h"
#include "random_arrays.h"
#include "season_yards.h"
#include "solver/studies/season_bucket.h"
#include "solver/studies/season_changes.h"

namespace tankyard {
namespace season_test {

using random_yard::between;
using random_yard::chance;
using random_yard::spread;
using random_yard::whole;

RainRecord random_rain(int days) {
  std::vector<double> mm;
  for (int d = 0; d < days; ++d) mm.push_back(chance(40) ? spread(0.1, 60.0) : 0.0);
  return days_of_mm(mm);
}

PourRule random_pour() {
  PourRule rule;
  rule.lasts_s = between(600.0, 43200.0);
  rule.starts_s = between(0.0, 86400.0 - rule.lasts_s);
  rule.shape = chance(50) ? PourShape::even : PourShape::triangle;
  return rule;
}

/// Uses of some of a yard's outlets, one at least; a yard without outlets gets one.
std::vector<Use> random_uses(Parts& yard) {
  if (yard.outlets.empty()) {
    Outlet tap;
    tap.name = "season-tap";
    tap.at = HoseEnd{TankId{0}, 0.0};
    tap.draw_m3_per_s = spread(1e-5, 1e-3);
    yard.outlets.push_back(tap);
  }
  std::vector<Use> uses;
  for (std::size_t i = 0; i < yard.outlets.size(); ++i) {
    const bool last_chance = uses.empty() && i + 1 == yard.outlets.size();
    if (!last_chance && !chance(60)) continue;
    Use use;
    use.outlet = id_at<OutletId>(i);
    use.daily_m3 = spread(1e-3, 2.0);
    use.at_s = 3600.0 * whole(0, 23);
    if (chance(30)) use.skip_after_rain_m = between(0.0, 0.01);
    uses.push_back(use);
  }
  return uses;
}

Season season_of(const Parts& yard, const std::vector<Use>& uses, const RainRecord& rain,
                 const SeasonOptions& options = {}) {
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  Result<Season> season = step_season(*array, uses, rain, options);
  if (!season) RC_DISCARD(all_of(season.error()));
  return std::move(*season);
}

RC_GTEST_PROP(Seasons, LoseNoLitre, ()) {
  Parts yard = *random_yards();
  const std::vector<Use> uses = random_uses(yard);
  const Season season = season_of(yard, uses, random_rain(whole(3, 12)), {{}, random_pour()});
  const SeasonTally& total = season.total;
  const double passed_m3 = total.start_m3 + total.caught_m3 + total.mains_m3;
  RC_ASSERT(std::fabs(total.closing_error_m3()) <= 1e-8 * passed_m3 + 1e-10);
  // A flow that rises from a bare mouth or a header that fills may bring more than its last look.
  // The widest of random nozzles gives ten litres before anybody can look.
  RC_ASSERT(total.used_m3 <= 2.0 * total.asked_m3 + 0.010 * total.asked_days);
  SeasonTally months;
  for (const SeasonMonth& month : season.months) months.used_m3 += month.tally.used_m3;
  RC_ASSERT(std::fabs(months.used_m3 - total.used_m3) <= 1e-9 * total.used_m3 + 1e-12);
}

RC_GTEST_PROP(Seasons, InStretchesAreTheSameRun, ()) {
  // A day in one piece, and cut at random: the steps differ, the litres hardly.
  const Parts yard = *random_yards();
  const DaySheet day = *random_days(yard);
  const RunRecord whole_day = run_of(yard, day);
  const Result<Array> array = Array::make(yard);
  RunInStretches pieces(*array);
  double rain_m3 = 0.0;
  double end_m3 = 0.0;
  double from_s = 0.0;
  while (from_s < day.lasts_s) {
    const double until_s = std::min(day.lasts_s, from_s + day.lasts_s * between(0.05, 0.6));
    DaySheet sheet;
    sheet.lasts_s = until_s - from_s;
    sheet.starts_clock_s = std::fmod(day.starts_clock_s + from_s, 86400.0);
    for (const TimedStep& step : day.steps) {
      const bool at_the_end = until_s >= day.lasts_s && step.at_s == day.lasts_s;
      if (step.at_s < from_s || (step.at_s >= until_s && !at_the_end)) continue;
      sheet.steps.push_back(step);
      sheet.steps.back().at_s = std::min(step.at_s - from_s, sheet.lasts_s);
    }
    const Result<RunRecord> record = pieces.go_on(sheet);
    if (!record) RC_DISCARD(all_of(record.error()));
    rain_m3 += record->ledger.rain_m3;
    end_m3 = record->ledger.end_m3;
    from_s = until_s;
  }
  RC_ASSERT(std::fabs(rain_m3 - whole_day.ledger.rain_m3) <=
            1e-9 * whole_day.ledger.rain_m3 + 1e-12);
  double area_m2 = 0.0;
  for (const Tank& tank : yard.tanks) area_m2 += capacity_m3(tank.shape) / height_m(tank.shape);
  // Each stretch may be off by some steps' tolerance (0.1 mm) in each tank.
  RC_ASSERT(std::fabs(end_m3 - whole_day.ledger.end_m3) <= 0.005 * area_m2);
}

/// A tank, its roof and its tap at the floor: nothing but sizes.
OneTank random_one_tank() {
  const double holds_l = spread(100.0, 20000.0);
  return OneTank(holds_l, holds_l * between(0.0, 1.0), spread(5.0, 300.0), between(0.3, 1.0),
                 spread(5.0, 1000.0));
}

RC_GTEST_PROP(Seasons, MoreStorageRoofOrRainNeverLowersCover, ()) {
  const OneTank yard = random_one_tank();
  const RainRecord rain = random_rain(whole(10, 60));
  const SeasonOptions options{{}, random_pour()};
  const double factor = between(1.0, 4.0);
  const Result<Array> array = Array::make(yard.parts);
  RC_ASSERT(array.has_value());
  const double cover = season_of(yard.parts, yard.uses, rain, options).total.cover();
  // A wider tank keeps a film of its own area on the floor under the draw, which fades over the
  // last 10 mm: litres that a larger tank needs once to begin with.
  const double film = (factor - 1.0) * 0.010 * capacity_m3(yard.parts.tanks[0].shape) /
                      (yard.uses[0].daily_m3 * static_cast<double>(rain.days.size()));

  const Result<Array> wide = with_storage(*array, factor);
  RC_ASSERT(wide.has_value());
  // And a use is served to 0.2 %, a little under or over, and given up where only a trickle comes.
  constexpr double served = 0.005;
  RC_ASSERT(season_of(wide->parts(), yard.uses, rain, options).total.cover() >=
            cover - film - served);

  const Result<Array> roofed = with_roofs(*array, factor);
  RC_ASSERT(roofed.has_value());
  RC_ASSERT(season_of(roofed->parts(), yard.uses, rain, options).total.cover() >= cover - served);

  RainRecord wetter = rain;
  for (RainDay& day : wetter.days) day.depth_m *= factor;
  RC_ASSERT(season_of(yard.parts, yard.uses, wetter, options).total.cover() >= cover - served);

  // The ideal tank has no film: not by a litre.
  const auto ideal = [&](const Array& of, const RainRecord& falls) {
    return ideal_season(of, yard.uses, falls, options).total.cover();
  };
  RC_ASSERT(ideal(*wide, rain) >= ideal(*array, rain) - 1e-12);
  RC_ASSERT(ideal(*roofed, rain) >= ideal(*array, rain) - 1e-12);
  RC_ASSERT(ideal(*array, wetter) >= ideal(*array, rain) - 1e-12);
}

RC_GTEST_PROP(Seasons, TwiceTheAreasAndUsesAreTwiceTheLitres, ()) {
  const OneTank yard = random_one_tank();
  const RainRecord rain = random_rain(whole(10, 60));
  const SeasonOptions options{{}, random_pour()};
  OneTank twice = yard;
  std::get<Prism>(twice.parts.tanks[0].shape).area_m2 *= 2.0;
  twice.parts.tanks[0].water_m3 *= 2.0;
  twice.parts.roofs[0].area_m2 *= 2.0;
  *twice.parts.outlets[0].draw_m3_per_s *= 2.0;
  twice.uses[0].daily_m3 *= 2.0;
  const SeasonTally once = season_of(yard.parts, yard.uses, rain, options).total;
  const SeasonTally doubled = season_of(twice.parts, twice.uses, rain, options).total;
  const auto same = [&](double one_m3, double two_m3) {
    // The rim of a square grows by the root of two only, so a little more stands over it.
    return std::fabs(two_m3 - 2.0 * one_m3) <= 0.005 * one_m3 + 0.002 * once.start_m3 + 1e-3;
  };
  RC_ASSERT(std::fabs(doubled.caught_m3 - 2.0 * once.caught_m3) <= 1e-9 * once.caught_m3 + 1e-12);
  RC_ASSERT(same(once.used_m3, doubled.used_m3));
  RC_ASSERT(same(once.spilt_m3, doubled.spilt_m3));
  RC_ASSERT(same(once.end_m3, doubled.end_m3));
}

}  // namespace season_test
}  // namespace tankyard
