// SPDX-License-Identifier: MIT
#include "solver/studies/link_rank.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <tuple>

namespace tankyard {
namespace {

constexpr double soon_s = 1800.0;
constexpr double time_step = 1.25;
constexpr double slow_lag_m = 0.100;  // as the finding slow-link has it
constexpr double lag_step_m = 0.050;
constexpr double two_hours_s = 7200.0;
constexpr double near_the_best = 1.5;  // where even the best is slow or behind
constexpr double most_of_it = 0.9;     // of what the tank holds, to be had at the outlets
constexpr double small_loss = 0.05;    // of the new tank: a loss nobody turns back for
constexpr double a_little_dearer = 1.25;

double steps_over(double value, double from, double step) {
  return value <= from ? 0.0 : std::ceil((value - from) / step);
}

double lag_of(const LinkOption& option) {
  return std::max(option.figures.lag_drawing_m, option.figures.lag_filling_m);
}

/// No valve of another tank has to be shut to take the new one out.
bool shut_by_its_own_valves(const LinkOption& option) {
  const std::size_t own =
      option.way.spurs.size() * static_cast<std::size_t>(option.way.side_by_side);
  return option.keeping.valves_for_new && *option.keeping.valves_for_new <= own;
}

/// What is compared, rounded to what is noticed; less is better.
using Counts = std::array<double, 8>;

Counts counts_of(const LinkStudy& study, const LinkOption& option) {
  double time = std::numeric_limits<double>::infinity();
  if (const std::optional<double>& levels_in_s = option.figures.levels_in_s) {
    time = *levels_in_s <= soon_s
               ? 0.0
               : std::ceil(std::log(*levels_in_s / soon_s) / std::log(time_step));
  }
  return {-std::round(option.saved_m3 / worth_noticing_m3(study)),
          time,
          steps_over(lag_of(option), slow_lag_m, lag_step_m),
          -static_cast<double>(option.keeping.isolable),
          shut_by_its_own_valves(option) ? 0.0 : 1.0,
          static_cast<double>(option.keeping.sole_hoses),
          option.price,
          option.way.stand == Stand::as_planned ? 0.0 : 1.0};
}

bool beats(const Counts& a, const Counts& b) {
  bool better = false;
  for (std::size_t i = 0; i < a.size(); ++i) {
    if (a[i] > b[i]) return false;
    if (a[i] < b[i]) better = true;
  }
  return better;
}

void find_merits(LinkStudy& study) {
  double best_gained = 0.0;
  double least_lag = std::numeric_limits<double>::infinity();
  double soonest = std::numeric_limits<double>::infinity();
  for (const LinkOption& option : study.options) {
    best_gained = std::max(best_gained, option.gained_m3);
    least_lag = std::min(least_lag, lag_of(option));
    soonest = std::min(soonest, option.figures.levels_in_s.value_or(soonest));
  }
  const Tank& own = part(study.parts.tanks, study.tank);
  const double holds_m3 = lip_volume_m3(own);
  const double loss_m3 = small_loss * holds_m3;
  for (LinkOption& option : study.options) {
    LinkMerits& merits = option.merits;
    merits.all_used = option.figures.stranded_m3 <= loss_m3 &&
                      option.figures.storm_missed_m3 <= loss_m3 &&
                      option.gained_m3 >= most_of_it * std::min(holds_m3, best_gained) &&
                      option.figures.full_new_m3 >= most_of_it * holds_m3;
    merits.can_be_shut_off = option.keeping.valves_for_new.has_value() &&
                             option.keeping.isolable >= study.keeping_without.isolable;
    merits.keeps_level = lag_of(option) <= std::max(slow_lag_m, near_the_best * least_lag);
    merits.levels_soon =
        option.figures.levels_in_s &&
        *option.figures.levels_in_s <= std::max(two_hours_s, near_the_best * soonest);
  }
}

/// Before which other a way is put; equal only for the same way.
auto order_of(const LinkOption& option) {
  const LinkMerits& merits = option.merits;
  std::vector<std::size_t> places;
  for (const Spur& spur : option.way.spurs) {
    const auto* tank = std::get_if<TankId>(&spur.place);
    places.push_back(tank ? tank->index : 1'000'000U + std::get_if<HeaderId>(&spur.place)->index);
  }
  return std::make_tuple(option.beaten, !merits.all_used, !merits.can_be_shut_off,
                         !merits.keeps_level, !merits.levels_soon,
                         option.way.stand != Stand::as_planned, option.price, option.pieces,
                         option.keeping.sole_hoses, places, option.way.hose,
                         option.way.side_by_side, !option.way.valved, option.way.base_m);
}

bool same_merits(const LinkMerits& a, const LinkMerits& b) {
  return a.all_used == b.all_used && a.can_be_shut_off == b.can_be_shut_off &&
         a.keeps_level == b.keeps_level && a.levels_soon == b.levels_soon;
}

/// The first so far is the cheapest of its merits. One that costs little more and saves more water,
/// or as much with fewer hoses on which something hangs alone, is worth it.
void put_first_what_is_worth_more(LinkStudy& study) {
  study.cheapest = 0;
  if (study.options.empty()) return;
  const LinkOption& cheapest = study.options.front();
  const auto worth = [&](const LinkOption& option) {
    return std::make_tuple(-std::round(option.saved_m3 / worth_noticing_m3(study)),
                           option.keeping.sole_hoses, option.price);
  };
  std::size_t best = 0;
  for (std::size_t i = 1; i < study.options.size(); ++i) {
    const LinkOption& option = study.options[i];
    if (option.beaten || !same_merits(option.merits, cheapest.merits)) continue;
    if (option.way.stand != cheapest.way.stand) continue;
    if (option.price > a_little_dearer * cheapest.price) continue;
    if (worth(option) < worth(study.options[best])) best = i;
  }
  study.cheapest = best == 0 ? 0 : 1;
  std::rotate(study.options.begin(), study.options.begin() + static_cast<std::ptrdiff_t>(best),
              study.options.begin() + static_cast<std::ptrdiff_t>(best) + 1);
}

}  // namespace

double worth_noticing_m3(const LinkStudy& study) {
  return std::max(0.005, 0.02 * capacity_m3(part(study.parts.tanks, study.tank).shape));
}

void rank(LinkStudy& study) {
  find_merits(study);
  std::vector<Counts> counts;
  for (const LinkOption& option : study.options) counts.push_back(counts_of(study, option));
  study.unbeaten = 0;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    study.options[i].beaten = std::any_of(
        counts.begin(), counts.end(), [&](const Counts& other) { return beats(other, counts[i]); });
    if (!study.options[i].beaten) ++study.unbeaten;
  }
  std::stable_sort(
      study.options.begin(), study.options.end(),
      [](const LinkOption& a, const LinkOption& b) { return order_of(a) < order_of(b); });
  put_first_what_is_worth_more(study);
  for (std::size_t i = 0; i < study.options.size(); ++i) study.options[i].rank = i + 1;
}

}  // namespace tankyard
