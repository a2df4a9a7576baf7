// SPDX-License-Identifier: MIT
#include "solver/studies/vent_trials.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <optional>
#include <utility>

#include "graph/time_units.h"
#include "solver/left_alone.h"
#include "solver/lid_words.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

using Pull = Trial::Pull;
using Fill = Trial::Fill;
using Valves = Trial::Valves;

constexpr double longest_trial_s = 30.0 * day_s;
constexpr double mm_per_h = 1e-3 / hour_s;

/// Nobody does anything, and the air keeps its temperature. Leaks go on: nobody can shut them.
Parts quiet(const Parts& parts) {
  Parts still = left_alone(parts);
  still.leaks = parts.leaks;
  still.site.air_swing_k = 0.0;
  for (Tank& tank : still.tanks) tank.air_swing_k.reset();
  return still;
}

Parts with_valves(Parts parts, Valves valves) {
  if (valves == Valves::as_planned) return parts;
  for (Hose& hose : parts.hoses) {
    hose.open = true;
    if (hose.valve) hose.valve->open = true;
  }
  return parts;
}

OpenHoses open_in(const Parts& parts) {
  OpenHoses open;
  for (const Hose& hose : parts.hoses) open.push_back(starts_open(hose));
  return open;
}

/// Water in each tank when the yard is nearly full: as far as the lips let it under open lids.
std::vector<double> nearly_full(const Parts& parts) {
  Parts open_lids = parts;
  for (Tank& tank : open_lids.tanks) tank.lid = Lid{};
  std::vector<double> water_m3;
  const Result<Array> array = Array::make(open_lids);
  const Result<std::vector<double>> settled =
      array ? water_when_full(*array) : tl::unexpected<Troubles>(array.error());
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const Tank& tank = parts.tanks[i];
    const double lip_m3 = lip_volume_m3(tank);
    // A yard that does not settle is taken as full to the lips, each tank for itself.
    const double most_m3 = (1.0 - full_headspace_fraction) * capacity_m3(tank.shape);
    water_m3.push_back(std::min(settled ? (*settled)[i] : lip_m3, most_m3));
  }
  return water_m3;
}

/// Lowers a tank to a depth, and every tank that shares water with it to the same level, so that
/// they do not fill it up again at once.
void lower_to(Parts& parts, TankId tank, double to_depth_m) {
  const std::vector<std::size_t> group = groups_in_row(parts, open_in(parts));
  const double level_m = part(parts.tanks, tank).base_m + to_depth_m;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (group[i] != group[tank.index]) continue;
    Tank& other = parts.tanks[i];
    const double depth = std::clamp(level_m - other.base_m, 0.0, height_m(other.shape));
    other.water_m3 = std::min(other.water_m3, volume_m3(other.shape, depth));
  }
}

std::string fill_words(Fill fill) {
  switch (fill) {
    case Fill::as_planned:
      break;
    case Fill::full:
      return ", tanks nearly full";
    case Fill::empty:
      return ", tanks nearly empty";
    case Fill::low:
      return ", tanks low";
  }
  return {};
}

std::string figure(const char* format, double value) {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

/// Gathers the trials of one yard.
class Trials {
 public:
  Trials(const Array& array, const DaySheet& sheet) : array_(array), sheet_(sheet) {
    add_day();
    add_with(Valves::as_planned);
    const OpenHoses open = array.open_at_start();
    if (std::any_of(open.begin(), open.end(), [](bool is_open) { return !is_open; })) {
      add_with(Valves::all_open);
    }
    add_rain();
    add_top_ups();
    add_air();
    for (std::size_t i = 0; i < array.tanks().size(); ++i) add_feeding_alone(id_at<TankId>(i));
  }

  std::vector<Trial> taken() { return std::move(trials_); }

 private:
  const Parts& plan() const { return array_.parts(); }

  void add_day() {
    Trial trial;
    trial.says = "the day of the plan";
    trial.parts = plan();
    trial.sheet = sheet_;
    trial.lasts_at_most_s = sheet_.lasts_s;
    trials_.push_back(std::move(trial));
  }

  void add(Pull pull, Fill fill, Valves valves, Parts parts, double lasts_s, double at_most_s,
           const std::string& says) {
    Trial trial;
    trial.pull = pull;
    trial.fill = fill;
    trial.valves = valves;
    trial.says = says + fill_words(fill) + (valves == Valves::all_open ? ", every valve open" : "");
    trial.parts = std::move(parts);
    trial.sheet.lasts_s = lasts_s;
    trial.lasts_at_most_s = at_most_s;
    trials_.push_back(std::move(trial));
  }

  /// Everything that takes water, by whatever fill is worse.
  void add_with(Valves valves) {
    const Parts as_planned = with_valves(quiet(plan()), valves);
    Parts full = as_planned;
    const std::vector<double> water_m3 = nearly_full(as_planned);
    for (std::size_t i = 0; i < full.tanks.size(); ++i) full.tanks[i].water_m3 = water_m3[i];
    add_draws(as_planned, Fill::as_planned, valves);
    add_draws(full, Fill::full, valves);
    if (!plan().hoses.empty() || !plan().leaks.empty()) {
      add_left_alone(as_planned, Fill::as_planned, valves);
      if (!plan().leaks.empty()) add_left_alone(full, Fill::full, valves);
    }
  }

  void add_draws(const Parts& from, Fill fill, Valves valves) {
    const auto open = [](Parts parts, std::size_t outlet) {
      parts.outlets[outlet].open = true;
      return parts;
    };
    Parts all = from;
    for (std::size_t i = 0; i < from.outlets.size(); ++i) {
      const Outlet& outlet = from.outlets[i];
      const std::string says =
          named(outlet.name) + (outlet.draw_m3_per_s
                                    ? " drawing " + in_litres_a_minute(*outlet.draw_m3_per_s)
                                    : " open");
      add(Pull::outlet, fill, valves, open(from, i), day_s, longest_trial_s, says);
      trials_.back().outlet = id_at<OutletId>(i);
      all = open(std::move(all), i);
    }
    if (from.outlets.size() > 1) {
      add(Pull::outlets, fill, valves, std::move(all), day_s, longest_trial_s,
          "all outlets at once");
    }
    for (std::size_t i = 0; i < from.pumps.size(); ++i) add_pumping(from, fill, valves, i);
  }

  /// One pump running, everything that it delivers to open.
  void add_pumping(const Parts& from, Fill fill, Valves valves, std::size_t pump) {
    Parts parts = from;
    parts.pumps[pump].running = true;
    const std::vector<std::size_t> group = groups_in_row(parts, open_in(parts));
    const Row row(parts);
    for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
      if (group[row.of(id_at<OutletId>(i))] == group[row.of(parts.pumps[pump].to)]) {
        parts.outlets[i].open = true;
      }
    }
    const std::string says = named(parts.pumps[pump].name) + " running";
    add(Pull::pump, fill, valves, std::move(parts), day_s, longest_trial_s, says);
  }

  void add_left_alone(const Parts& from, Fill fill, Valves valves) {
    std::vector<std::string> leaks;
    for (const Leak& leak : from.leaks) leaks.push_back(leak.name);
    add(Pull::left_alone, fill, valves, from, day_s, longest_trial_s,
        leaks.empty() ? "nobody drawing" : "nobody drawing, " + listed(leaks) + " leaking");
  }

  /// All that is drawn, from one tank: the valves of all others are shut, as far as they have any.
  /// Nothing is added where that cuts nobody off, or the tank from every outlet.
  void add_feeding_alone(TankId tank) {
    if (part(plan().tanks, tank).lid.kind == Lid::Kind::open || plan().outlets.empty()) return;
    const Parts all_open = with_valves(quiet(plan()), Valves::all_open);
    Parts alone = all_open;
    for (Hose& hose : alone.hoses) {
      bool here = false;
      bool elsewhere = false;
      for (const HoseEnd* end : {&hose.from, &hose.to}) {
        if (const auto* id = std::get_if<TankId>(&end->place)) {
          (*id == tank ? here : elsewhere) = true;
        }
      }
      if (hose.valve && elsewhere && !here) hose.valve->open = false;
    }
    const Row row(alone);
    const std::vector<std::size_t> before = groups_in_row(all_open, open_in(all_open));
    const std::vector<std::size_t> after = groups_in_row(alone, open_in(alone));
    const auto sharing = [&](const std::vector<std::size_t>& group, std::size_t place) {
      return group[place] == group[row.of(tank)];
    };
    bool cuts_off = false;
    for (std::size_t i = 0; i < row.tanks(); ++i) {
      cuts_off = cuts_off || (sharing(before, i) && !sharing(after, i));
    }
    bool draws = false;
    for (std::size_t i = 0; i < alone.outlets.size(); ++i) {
      Outlet& outlet = alone.outlets[i];
      const Place place = outlet.at ? outlet.at->place : Place(id_at<OutletId>(i));
      outlet.open = sharing(after, row.of(place));
      draws = draws || outlet.open;
    }
    if (!cuts_off || !draws) return;
    const std::vector<double> water_m3 = nearly_full(alone);
    for (std::size_t i = 0; i < alone.tanks.size(); ++i) alone.tanks[i].water_m3 = water_m3[i];
    std::vector<std::string> open;
    for (const Outlet& outlet : alone.outlets) {
      if (outlet.open) open.push_back(outlet.name);
    }
    add(Pull::outlets, Fill::full, Valves::others_shut, std::move(alone), day_s, longest_trial_s,
        listed(open) + " fed by " + named(part(plan().tanks, tank).name) + " alone");
    trials_.back().feeds_alone = tank;
  }

  void add_rain() {
    if (plan().roofs.empty()) return;
    double rain_mm_per_h = heavy_rain_mm_per_h;
    for (const TimedStep& step : sheet_.steps) {
      rain_mm_per_h = std::max(rain_mm_per_h, step.rain_m_per_s.value_or(0.0) / mm_per_h);
    }
    const double rain_m_per_s = rain_mm_per_h * mm_per_h;
    Parts parts = quiet(plan());
    parts.roofs = plan().roofs;
    std::vector<double> comes_m3(parts.tanks.size(), 0.0);
    for (Roof& roof : parts.roofs) {
      roof.first_flush_m = 0.0;  // it has rained for a while
      double flow = rain_m_per_s * roof.area_m2 * roof.runoff_fraction;
      if (roof.gutter_limit_m3_per_s) flow = std::min(flow, *roof.gutter_limit_m3_per_s);
      comes_m3[roof.into.index] += flow * heavy_rain_s;
    }
    // A tank that runs over into another stands full, so that its rain goes on to the other one.
    const std::vector<double> falls_m3 = comes_m3;
    std::vector<bool> passes_on(parts.tanks.size(), false);
    for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
      const std::optional<Overflow>& overflow = parts.tanks[i].overflow;
      passes_on[i] = overflow && overflow->to && falls_m3[i] > 0.0;
      if (passes_on[i]) comes_m3[overflow->to->index] += falls_m3[i];
    }
    for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
      if (passes_on[i]) parts.tanks[i].water_m3 = lip_volume_m3(parts.tanks[i]);
    }
    // Those that are joined to one with room are lowered with it all the same.
    for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
      if (comes_m3[i] <= 0.0 || passes_on[i]) continue;
      const Tank& tank = parts.tanks[i];
      const double room_for_m3 = std::max(0.0, 0.98 * lip_volume_m3(tank) - comes_m3[i]);
      if (tank.water_m3 > room_for_m3) {
        lower_to(parts, id_at<TankId>(i), depth_m(tank.shape, room_for_m3));
      }
    }
    add(Pull::rain, Fill::as_planned, Valves::as_planned, std::move(parts), heavy_rain_s,
        heavy_rain_s,
        figure("rain of %.0f mm/h", rain_mm_per_h) +
            (plan().roofs.size() > 1 ? " on every roof" : ""));
    trials_.back().sheet.steps.push_back({0.0, {}, rain_m_per_s});
  }

  void add_top_ups() {
    if (plan().top_ups.empty()) return;
    Parts parts = quiet(plan());
    parts.top_ups = plan().top_ups;
    double slowest_s = 0.0;
    for (const TopUp& top_up : parts.top_ups) {
      lower_to(parts, top_up.into, 0.99 * top_up.starts_below_m);
      slowest_s = std::max(
          slowest_s, capacity_m3(part(parts.tanks, top_up.into).shape) / top_up.flow_m3_per_s);
    }
    std::vector<std::string> names;
    for (const TopUp& top_up : parts.top_ups) names.push_back(top_up.name);
    const double lasts_s = std::min(longest_trial_s, slowest_s + hour_s);
    add(Pull::top_ups, Fill::low, Valves::as_planned, std::move(parts), lasts_s, lasts_s,
        listed(names) + " letting water in");
  }

  void add_air() {
    Parts parts = quiet(plan());
    parts.leaks.clear();
    parts.site.air_swing_k = plan().site.air_swing_k;
    const bool assumed = !(parts.site.air_swing_k > 0.0);
    if (assumed) parts.site.air_swing_k = assumed_swing_k;
    for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
      parts.tanks[i].air_swing_k = plan().tanks[i].air_swing_k;
    }
    Parts empty = parts;
    for (Tank& tank : empty.tanks) {
      tank.water_m3 = empty_water_fraction * capacity_m3(tank.shape);
    }
    const std::string swing =
        figure(", %.0f K", parts.site.air_swing_k) + (assumed ? " assumed" : "");
    for (const Fill fill : {Fill::as_planned, Fill::empty}) {
      for (const bool night : {true, false}) {
        add(night ? Pull::night : Pull::afternoon, fill, Valves::as_planned,
            fill == Fill::empty ? empty : parts, day_s, day_s,
            (night ? "a cold night" : "a warm afternoon") + swing);
        trials_.back().sheet.starts_clock_s =
            hour_s * (night ? parts.site.warmest_hour : parts.site.coldest_hour);
        trials_.back().as_assumed = assumed;
      }
    }
  }

  const Array& array_;
  const DaySheet& sheet_;
  std::vector<Trial> trials_;
};

}  // namespace

std::vector<Trial> vent_trials(const Array& array, const DaySheet& sheet) {
  return Trials(array, sheet).taken();
}

bool takes_water(const Trial& trial) {
  switch (trial.pull) {
    case Pull::day:
    case Pull::outlet:
    case Pull::outlets:
    case Pull::pump:
    case Pull::left_alone:
      return true;
    case Pull::rain:
    case Pull::top_ups:
    case Pull::night:
    case Pull::afternoon:
      return false;
  }
  return false;
}

}  // namespace tankyard
