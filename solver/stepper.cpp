// SPDX-License-Identifier: MIT
#include "solver/stepper.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "solver/air_temperature.h"
#include "solver/crossing.h"

namespace tankyard {
namespace {

const double theta = 1.0 - std::sqrt(0.5);
const double middle_at = 2.0 * theta;
const double w = std::sqrt(2.0) / 4.0;
const double per_start = 1.0 / middle_at;  // of the parabola through a step's three instants
const double per_middle = 1.0 / (middle_at * (middle_at - 1.0));
const double per_end = 1.0 / (1.0 - middle_at);
const double error_now = (4.0 * w - 1.0) / 3.0;
const double error_middle = -1.0 / 3.0;
const double error_end = 2.0 * theta / 3.0;

constexpr double instant_weight_s = 1e-9;  // "no time": tanks keep their levels to rounding
constexpr double empty_to_rounding_share =
    1e-16;  // of a tank: below empty by this is empty, to rounding
// While headspaces settle after a change of setting; of the depth tolerance where it says so.
constexpr int most_settling_steps = 12;
constexpr double settling_grows_by = 8.0;
constexpr double settling_share =
    0.3;                              // of the tolerance: what such a step may get wrong of a level
constexpr double gas_may_step = 2.0;  // of the tolerance: a pressure's way not worth following
constexpr double gas_may_leap = 20.0;    // of the tolerance: a pressure's way worth following
constexpr double gas_may_move = 300.0;   // of the tolerance: what the first step after may follow,
constexpr double gas_may_start = 100.0;  // and what it is asked to
constexpr double settling_safety = 0.9;
constexpr double may_bare = 0.25;        // of a bore: how far a step may end below its mouth's top
constexpr double begins_share = 10.0;    // of the tolerance: what a way may move where it begins
constexpr double air_fits_share = 20.0;  // of the tolerance: what the end may mend of a pressure,
constexpr double air_fits_least_m = 1e-3;  // but not less than this, which rounding may ask for
constexpr int sweeps_to_start_from = 20;   // near enough for turns to settle from
constexpr int sweeps_to_end_with = 2000;   // the same where the turns know no more
constexpr double no_shorter_s = 1e-5;  // stages below this, where a step can hardly be shortened
constexpr int most_places_to_sweep = 500;  // a sweep's cost grows with their square
constexpr double sweeps_below_s = 10.0;    // longer stages are rather shortened
constexpr double least_worth_s = 10.0;     // a flow error counts as acting at least this long
constexpr double instant_worth_s = 60.0;   // how long a flow found at an instant is taken to act

}  // namespace

Stepper::Stepper(const Network& network, const RunOptions& options, double starts_clock_s)
    : network_(network),
      options_(options),
      balance_(network),
      all_open_(balance_.headspaces().none()),
      starts_clock_s_(starts_clock_s) {
  const Parts& parts = network.array.parts();
  for (const Tank& tank : parts.tanks) volume_m3_.push_back(tank.water_m3);
  now_.head_m.resize(static_cast<std::size_t>(network.places()), 0.0);
  double mean = 0.0;
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    now_.head_m[i] = network.tanks[i].head_of(volume_m3_[i]);
    mean += now_.head_m[i] / static_cast<double>(volume_m3_.size());
  }
  std::fill(now_.head_m.begin() + static_cast<std::ptrdiff_t>(volume_m3_.size()), now_.head_m.end(),
            mean);
  end_volume_m3_ = wanted_ = volume_m3_;
  into_now_.resize(now_.head_m.size() + 1, 0.0);
  into_middle_ = into_end_ = into_now_;
  if (all_open_) return;
  air_temperatures(0.0);
  air_kg_ = balance_.headspaces().air_at_rest_kg(volume_m3_, tank_air_k_);
  end_air_kg_ = air_wanted_ = air_error_ = air_kg_;
}

void Stepper::air_temperatures(double time_s) {
  const Parts& parts = network_.array.parts();
  const double clock_s = starts_clock_s_ + time_s;
  outside_air_k_ = air_temperature_k(parts.site, parts.site.air_swing_k, clock_s);
  tank_air_k_.resize(parts.tanks.size());
  for (std::size_t i = 0; i < tank_air_k_.size(); ++i) {
    tank_air_k_[i] = parts.tanks[i].air_swing_k
                         ? air_temperature_k(parts.site, *parts.tanks[i].air_swing_k, clock_s)
                         : outside_air_k_;
  }
}

void Stepper::flows_into_tanks(const Instant& instant, std::vector<double>& into) const {
  const std::size_t tanks = network_.tanks.size();
  // Headers and the outside get theirs too, which nobody asks for: it costs less than to ask which
  // is which.
  const std::size_t sink = into.size() - 1;
  const auto rest =
      std::copy(setting_.inflow_m3_per_s.begin(), setting_.inflow_m3_per_s.end(), into.begin());
  std::fill(rest, into.end(), 0.0);
  const auto& ways = balance_.ways().open;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const double flow = instant.way_m3_per_s[k];
    into[static_cast<std::size_t>(ways[k].from)] -= flow;
    into[ways[k].to == outside ? sink : static_cast<std::size_t>(ways[k].to)] += flow;
  }
  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    into[static_cast<std::size_t>(network_.draws[d].place)] -= instant.draw_m3_per_s[d];
  }
  if (!instant.spills) return;
  for (std::size_t i = 0; i < tanks; ++i) {
    if (instant.overflow_m3_per_s[i] != 0.0) {
      into[i] -= instant.overflow_m3_per_s[i];
      const auto& overflow = network_.tanks[i].overflow;
      if (overflow && overflow->to) into[overflow->to->index] += instant.overflow_m3_per_s[i];
    }
    into[i] -= instant.over_rim_m3_per_s[i];
    if (!all_open_) into[i] -= instant.turned_away_m3_per_s[i];
  }
}

bool Stepper::solve_stage(double weight_s, double worth_s, double time_s, Instant& guess,
                          bool closely) {
  Balance::Ask ask;
  ask.weight_s = weight_s;
  // However short the step, the next one starts from the flows it ends with.
  ask.worth_s = std::max(worth_s, least_worth_s);
  ask.depth_tolerance_m = options_.depth_tolerance_m;
  ask.wanted_m3 = &wanted_;
  ask.closely = closely;
  if (!all_open_) {
    air_temperatures(time_s);
    ask.air.air_k = outside_air_k_;
    ask.air.tank_air_k = &tank_air_k_;
    ask.air.air_wanted_kg = &air_wanted_;
    ask.air.air_line_open = &setting_.air_line_open;
  }
  const bool may_sweep = weight_s <= sweeps_below_s && network_.places() <= most_places_to_sweep;
  if (may_sweep) start_.guess_as(guess);
  Balance::Answer answer = balance_.settle(ask, guess);
  effort_.turns += answer.turns;
  if (answer.settled || !may_sweep) return answer.settled;
  // Rather than quarter on and on: the sure method finds the neighbourhood, turns the rest.
  for (const int sweeps : {sweeps_to_start_from, sweeps_to_end_with}) {
    guess.guess_as(start_);
    ask.most_sweeps = sweeps;
    balance_.sweep(ask, guess);
    ++effort_.swept;
    answer = balance_.settle(ask, guess);
    effort_.turns += answer.turns;
    // No time to spare: nothing can be shortened any more.
    if (answer.settled || weight_s > no_shorter_s) break;
  }
  return answer.settled;
}

bool Stepper::begin(const Setting& setting, double time_s) {
  setting_ = setting;
  time_s_ = time_s;
  balance_.take(setting, now_);
  course_known_ = false;
  settled_ = 0;
  gas_m_per_s_ = 0.0;
  const bool has_room = middle_.head_m.size() == now_.head_m.size() &&
                        middle_.way_m3_per_s.size() == now_.way_m3_per_s.size();
  if (has_room)
    end_.guess_as(now_);
  else
    end_ = middle_ = start_ = now_;
  wanted_ = volume_m3_;
  air_wanted_ = air_kg_;
  if (!solve_stage(instant_weight_s, instant_worth_s, time_s, end_)) return false;
  find_lowest_mouths();
  now_.swap(end_);
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    const double level_m = network_.tanks[i].head_of(volume_m3_[i]);
    if (!all_open_) now_.level_m[i] = level_m;
    if (all_open_ || !balance_.headspaces().closed(i)) now_.head_m[i] = level_m;
  }
  flows_into_tanks(now_, into_now_);
  return true;
}

double Stepper::fastest_m_per_s() const {
  double fastest = 0.0;
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    fastest = std::max(fastest, std::fabs(into_now_[i]) / network_.tanks[i].scale_area_m2);
  }
  return fastest;
}

double Stepper::first_length_s(double at_most_s) const {
  return first_length_s(at_most_s, gas_m_per_s_);
}

double Stepper::first_length_s(double at_most_s, double gas_m_per_s) const {
  // Levels that would not move by a hundredth of the tolerance in all the time there is may be
  // tried in one step; the error estimate still has its say.
  const double fastest = fastest_m_per_s();
  if (gas_m_per_s > 0.0) {
    at_most_s = std::min(at_most_s, gas_may_start * options_.depth_tolerance_m / gas_m_per_s);
  }
  if (fastest * at_most_s <= 0.01 * options_.depth_tolerance_m) return at_most_s;
  return std::min(at_most_s, 30.0 * options_.depth_tolerance_m / fastest);
}

double Stepper::between(double start, double middle, double end, double share) {
  const double g = middle_at;
  return start * (share - g) * (share - 1.0) * per_start +
         middle * share * (share - 1.0) * per_middle + end * share * (share - g) * per_end;
}

void Stepper::Course::follow(const std::vector<double>& start, const std::vector<double>& middle,
                             const std::vector<double>& end, double length_s) {
  rate.resize(end.size());
  bend.resize(end.size());
  const double second_s = (1.0 - middle_at) * length_s;
  const double per_first = 1.0 / (middle_at * length_s);
  const double per_second = 1.0 / second_s;
  const double per_length = 1.0 / length_s;
  for (std::size_t k = 0; k < end.size(); ++k) {
    const double late = (end[k] - middle[k]) * per_second;
    bend[k] = (late - (middle[k] - start[k]) * per_first) * per_length;
    rate[k] = late + bend[k] * second_s;
  }
}

namespace {

/// A flow is not predicted through zero, where its law is at its most curved.
double same_way(double next, double before) { return next * before > 0.0 ? next : 0.5 * before; }

}  // namespace

void Stepper::predict_middle(double reach_s) {
  const std::size_t tanks = volume_m3_.size();
  middle_.gas_m = now_.gas_m;
  // A parabola through the last step's instants serves for about its own length, not far beyond.
  const double bend_s2 = reach_s <= 1.5 * course_length_s_ ? reach_s * reach_s : 0.0;
  for (std::size_t i = 0; i < now_.head_m.size(); ++i) {
    double change = 0.0;
    if (course_known_)
      change = reach_s * head_course_.rate[i] + bend_s2 * head_course_.bend[i];
    else if (i < tanks)
      change = reach_s * into_now_[i] / network_.tanks[i].scale_area_m2;
    middle_.head_m[i] = now_.head_m[i] + change;
  }
  if (course_known_) {
    for (std::size_t i = 0; i < middle_.gas_m.size(); ++i) {
      middle_.gas_m[i] += reach_s * gas_course_.rate[i] + bend_s2 * gas_course_.bend[i];
    }
  }
  for (std::size_t k = 0; k < now_.way_m3_per_s.size(); ++k) {
    const double flow = now_.way_m3_per_s[k];
    middle_.way_m3_per_s[k] =
        course_known_
            ? same_way(flow + reach_s * way_course_.rate[k] + bend_s2 * way_course_.bend[k], flow)
            : flow;
  }
}

void Stepper::predict_end() {
  // Through now and the middle, leaving now at the rate the last step ended with, where it is
  // known.
  const double ratio = 1.0 / middle_at;
  end_.guess_as(middle_);
  const auto onward = [&](double now, double middle, const Course& course, std::size_t k) {
    if (!course_known_) return now + ratio * (middle - now);
    const double run = course.rate[k] * length_s_;
    return now + run + (middle - now - middle_at * run) * ratio * ratio;
  };
  for (std::size_t i = 0; i < end_.head_m.size(); ++i) {
    end_.head_m[i] = onward(now_.head_m[i], middle_.head_m[i], head_course_, i);
  }
  for (std::size_t i = 0; i < end_.gas_m.size(); ++i) {
    end_.gas_m[i] = onward(now_.gas_m[i], middle_.gas_m[i], gas_course_, i);
  }
  for (std::size_t k = 0; k < end_.way_m3_per_s.size(); ++k) {
    const double flow = middle_.way_m3_per_s[k];
    end_.way_m3_per_s[k] = same_way(onward(now_.way_m3_per_s[k], flow, way_course_, k), flow);
  }
}

Stepper::Outcome Stepper::attempt(double length_s) {
  const std::size_t tanks = volume_m3_.size();
  length_s_ = length_s;
  settling_ = false;

  for (std::size_t i = 0; i < tanks; ++i) {
    wanted_[i] = volume_m3_[i] + theta * length_s * into_now_[i];
  }
  for (std::size_t i = 0; i < air_kg_.size(); ++i) {
    air_wanted_[i] = at_least_a_bubble(i, air_kg_[i] + theta * length_s * now_.air_kg_per_s[i]);
  }
  predict_middle(middle_at * length_s);
  const double middle_s = time_s_ + middle_at * length_s;
  if (!solve_stage(theta * length_s, length_s, middle_s, middle_, false)) {
    return Outcome::unsettled;
  }
  flows_into_tanks(middle_, into_middle_);

  for (std::size_t i = 0; i < tanks; ++i) {
    wanted_[i] = volume_m3_[i] + w * length_s * (into_now_[i] + into_middle_[i]);
  }
  for (std::size_t i = 0; i < air_kg_.size(); ++i) {
    air_wanted_[i] = at_least_a_bubble(
        i, air_kg_[i] + w * length_s * (now_.air_kg_per_s[i] + middle_.air_kg_per_s[i]));
  }
  predict_end();
  if (!solve_stage(theta * length_s, length_s, time_s_ + length_s, end_)) {
    return Outcome::unsettled;
  }
  flows_into_tanks(end_, into_end_);

  error_.assign(end_.head_m.size(), 0.0);
  for (std::size_t i = 0; i < tanks; ++i) {
    error_[i] = length_s * (error_now * into_now_[i] + error_middle * into_middle_[i] +
                            error_end * into_end_[i]);
  }
  for (std::size_t i = 0; i < air_kg_.size(); ++i) {
    air_error_[i] =
        length_s * (error_now * now_.air_kg_per_s[i] + error_middle * middle_.air_kg_per_s[i] +
                    error_end * end_.air_kg_per_s[i]);
  }
  const double largest = balance_.spread(error_, air_error_);
  const double measured = largest / options_.depth_tolerance_m;
  const double grow = 0.9 / std::cbrt(std::max(measured, 1e-12));
  proposed_s_ = length_s * std::clamp(grow, 0.2, measured < 1e-6 ? 100.0 : 8.0);
  const double bares_s = bares_a_mouth_s(length_s);
  if (!(measured <= 1.0)) {
    // Up to where it bends, a course is followed in one step more often than not.
    if (bares_s < length_s) proposed_s_ = std::max(proposed_s_, std::min(bares_s, 0.7 * length_s));
    // Fast pressures in a first step shrink with it, not with its cube.
    if (settled_ > 0 && !course_known_) proposed_s_ = 0.8 * length_s / measured;
    return Outcome::too_coarse;
  }
  if (bares_s < length_s) {
    proposed_s_ = std::min(bares_s, 0.9 * length_s);
    return Outcome::too_coarse;
  }
  if (!sees_what_begins(length_s)) return Outcome::too_coarse;

  if (!move(length_s, w, w, theta) || !good_end()) {
    proposed_s_ = 0.25 * length_s;
    return Outcome::too_coarse;
  }
  if (drained_below_a_mouth()) {
    proposed_s_ = 0.3 * length_s;
    return Outcome::too_coarse;
  }
  return Outcome::good;
}

void Stepper::find_lowest_mouths() {
  lowest_mouth_m_.clear();
  for (const TankLaw& tank : network_.tanks) lowest_mouth_m_.push_back(tank.lip_m);
  const auto gives = [&](int place, double mouth_m) {
    if (place == outside || static_cast<std::size_t>(place) >= lowest_mouth_m_.size()) return;
    double& lowest = lowest_mouth_m_[static_cast<std::size_t>(place)];
    lowest = std::min(lowest, mouth_m);
  };
  for (const Way& way : balance_.ways().open) {
    gives(way.from, way.from_mouth_m);
    if (!way.one_way) gives(way.to, way.to_mouth_m);
  }
  for (const Draw& draw : network_.draws) gives(draw.place, draw.mouth_m);
}

bool Stepper::drained_below_a_mouth() const {
  // No tank falls below the lowest mouth, or lip, it can give by. A long step may have it do so,
  // where flows that run dry within it happen to look even to the error estimate.
  const double* const now_m = (all_open_ ? now_.head_m : now_.level_m).data();
  const double* const end_m = (all_open_ ? end_.head_m : end_.level_m).data();
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    const double floor_m = std::min(now_m[i], lowest_mouth_m_[i]);
    if (end_m[i] < floor_m - options_.depth_tolerance_m) return true;
  }
  return false;
}

double Stepper::bares_a_mouth_s(double length_s) const {
  // A mouth that is all under water and then comes bare bends the course of its tank, and the error
  // estimate of a step from far above to far below may vanish by accident. So no step ends more
  // than a part of the bore below where that begins.
  double shortest_s = std::numeric_limits<double>::infinity();
  const auto& ways = balance_.ways().open;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const Way& way = ways[k];
    const bool forth = now_.way_m3_per_s[k] > 0.0;
    const int giver = forth ? way.from : way.to;
    if (giver == outside || static_cast<std::size_t>(giver) >= volume_m3_.size()) continue;
    const double full_m = forth ? way.from_full_m : way.to_full_m;
    const auto at = static_cast<std::size_t>(giver);
    if (!(now_.level(at) > full_m && end_.level(at) < full_m - may_bare * way.bore_m)) continue;
    const double to_m = full_m - 0.5 * may_bare * way.bore_m;
    const double share = crossing(
        [&](double of) {
          return between(now_.level(at), middle_.level(at), end_.level(at), of) - to_m;
        },
        length_s);
    shortest_s = std::min(shortest_s, share * length_s);
  }
  return shortest_s;
}

bool Stepper::sees_what_begins(double length_s) {
  // Water that begins to run over a sill or through a mouth within the step grows from nothing
  // almost evenly, and the error estimate, which looks for bends, sees little of it.
  const auto& ways = balance_.ways().open;
  double most_m = 0.0;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    if (now_.way_m3_per_s[k] != 0.0 || end_.way_m3_per_s[k] == 0.0) continue;
    most_m = std::max(most_m,
                      0.5 * length_s * std::fabs(end_.way_m3_per_s[k]) * ways[k].per_area_per_m2);
  }
  const double may_m = begins_share * options_.depth_tolerance_m;
  if (most_m <= may_m) return true;
  proposed_s_ = length_s * std::clamp(0.9 * std::sqrt(may_m / most_m), 0.1, 0.7);
  return false;
}

bool Stepper::good_end() {
  if (!mend_negative()) return false;
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    const double level_m = network_.tanks[i].head_of(end_volume_m3_[i]);
    if (!all_open_) end_.level_m[i] = level_m;
    if (all_open_ || !balance_.headspaces().closed(i)) end_.head_m[i] = level_m;
  }
  return true;
}

double Stepper::at_least_a_bubble(std::size_t tank, double air_kg) const {
  // The quadrature may draw a hair more out of a headspace that has just filled than was left in
  // it.
  return std::max(air_kg, 0.5 * balance_.headspaces().bubble_kg(tank, tank_air_k_[tank]));
}

double Stepper::settling_s(double at_most_s) {
  if (all_open_) return 0.0;
  const double tolerance_m = options_.depth_tolerance_m;
  constexpr double first_s = 1e-3;
  if (settled_ == 0) {
    const double fastest = fastest_m_per_s();
    const double may_s = fastest > 0.0 ? 0.1 * tolerance_m / fastest : first_s;
    return std::min({first_s, may_s, at_most_s});
  }
  if (settled_ >= most_settling_steps) return 0.0;
  const double gas_moved_m = gas_m_per_s_ * length_s_;
  const bool still = gas_m_per_s_ * first_length_s(at_most_s, 0.0) <= gas_may_move * tolerance_m;
  const bool goes_on =
      gas_moved_m > gas_may_leap * tolerance_m && gas_m_per_s_ > 0.5 * gas_before_m_per_s_;
  if (still || goes_on) return 0.0;
  // As far as the fastest pressure goes a little way, if it is slow; else a few times further.
  const double slow_s = gas_may_step * tolerance_m / gas_m_per_s_;
  const double length_s =
      std::min({std::max(settling_grows_by * length_s_, slow_s), next_settling_s_, at_most_s});
  return length_s > length_s_ ? length_s : 0.0;
}

Stepper::Outcome Stepper::attempt_settling(double length_s) {
  length_s_ = length_s;
  settling_ = true;
  wanted_ = volume_m3_;
  air_wanted_ = air_kg_;
  end_ = now_;
  proposed_s_ = 0.25 * length_s;
  if (!solve_stage(length_s, length_s, time_s_ + length_s, end_)) return Outcome::unsettled;
  flows_into_tanks(end_, into_end_);
  middle_ = end_;
  into_middle_ = into_end_;
  const bool air_fits = move(length_s, 0.0, 0.0, 1.0);
  double gas_m_per_s = 0.0;
  double bend_m_per_s = 0.0;
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    const double bend_m3_per_s = std::fabs(into_end_[i] - into_now_[i]);
    bend_m_per_s = std::max(bend_m_per_s, bend_m3_per_s / network_.tanks[i].scale_area_m2);
    gas_m_per_s = std::max(gas_m_per_s, std::fabs(end_.gas_m[i] - now_.gas_m[i]) / length_s);
  }
  // What a first-order step gets wrong of a level is half of what its rate changed by, and that
  // goes with its length.
  const double bend_s = 2.0 * settling_share * options_.depth_tolerance_m / bend_m_per_s;
  next_settling_s_ = settling_safety * std::sqrt(length_s * bend_s);
  proposed_s_ = std::min(next_settling_s_, 0.7 * length_s);
  if (settled_ > 0 && length_s > bend_s) return Outcome::too_coarse;
  if (!air_fits || !good_end()) {
    proposed_s_ = 0.25 * length_s;
    return Outcome::too_coarse;
  }
  gas_before_m_per_s_ = settled_ == 0 ? std::numeric_limits<double>::infinity() : gas_m_per_s_;
  gas_m_per_s_ = gas_m_per_s;
  ++settled_;
  return Outcome::good;
}

bool Stepper::move(double length_s, double share_now, double share_middle, double share_end) {
  const double of_now = share_now * length_s;
  const double of_middle = share_middle * length_s;
  const double of_end = share_end * length_s;
  const double may_fit_m = std::max(air_fits_share * options_.depth_tolerance_m, air_fits_least_m);
  bool air_fits = true;
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    end_volume_m3_[i] = volume_m3_[i] + (of_now * into_now_[i] + of_middle * into_middle_[i] +
                                         of_end * into_end_[i]);
  }
  for (std::size_t i = 0; i < air_kg_.size(); ++i) {
    if (!balance_.headspaces().closed(i)) continue;
    // Turns stop near enough for levels; over a low headspace what they leave is worth many pascals
    // to a vent, which would blow it out at once.
    const double more_m3 = end_volume_m3_[i] - end_.volume_m3[i];
    const double more_gas_m = end_.gas_per_m3_m[i] * more_m3;
    if (!(std::fabs(more_gas_m) <= may_fit_m)) air_fits = false;
    end_.gas_m[i] += more_gas_m;
    end_.air_kg_per_s[i] += end_.air_per_m3_kg_per_s[i] * more_m3;
    // As the stage had it, whose pressure it has to fit to the last digit.
    end_air_kg_[i] = air_wanted_[i] + of_end * end_.air_kg_per_s[i];
  }
  const auto add_up = [&](const std::vector<double> Instant::*flow, std::vector<double>& moved) {
    const auto& at_now = now_.*flow;
    const auto& at_middle = middle_.*flow;
    const auto& at_end = end_.*flow;
    moved.resize(at_now.size());
    for (std::size_t k = 0; k < at_now.size(); ++k) {
      moved[k] = of_now * at_now[k] + of_middle * at_middle[k] + of_end * at_end[k];
    }
  };
  add_up(&Instant::way_m3_per_s, moved_.way_m3);
  add_up(&Instant::draw_m3_per_s, moved_.draw_m3);
  const bool spilt_before = moved_.spilt;
  moved_.spilt = now_.spills || middle_.spills || end_.spills;
  if (moved_.spilt || spilt_before || moved_.overflow_m3.empty()) {
    add_up(&Instant::overflow_m3_per_s, moved_.overflow_m3);
    add_up(&Instant::over_rim_m3_per_s, moved_.over_rim_m3);
    add_up(&Instant::turned_away_m3_per_s, moved_.turned_away_m3);
  }
  return air_fits;
}

bool Stepper::mend_negative() {
  // A tank that runs dry may end a hair below empty: the quadrature took a little more out than was
  // in. If that is far below the tolerance, the surplus is put back from where it went, along the
  // fattest streams, so that no litre is lost; if not, the step was too long.
  for (std::size_t i = 0; i < end_volume_m3_.size(); ++i) {
    double missing = -end_volume_m3_[i];
    if (missing <= 0.0) continue;
    const double rounding =
        empty_to_rounding_share * (volume_m3_[i] + network_.tanks[i].scale_area_m2);
    if (missing > 0.1 * options_.depth_tolerance_m * network_.tanks[i].scale_area_m2) return false;
    while (missing > rounding) {
      const double part =
          put_back(static_cast<int>(i), fattest_out_of(static_cast<int>(i)), missing);
      if (part <= 0.0) return false;
      missing = part < missing ? missing - part : 0.0;
    }
    end_volume_m3_[i] = 0.0;
  }
  return true;
}

Stepper::Stream Stepper::fattest_out_of(int place) const {
  Stream fattest;
  const auto& ways = balance_.ways().open;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const double out = ways[k].from == place ? moved_.way_m3[k]
                       : ways[k].to == place ? -moved_.way_m3[k]
                                             : 0.0;
    if (out > fattest.m3) fattest = {out, k, false};
  }
  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    if (network_.draws[d].place == place && moved_.draw_m3[d] > fattest.m3) {
      fattest = {moved_.draw_m3[d], d, true};
    }
  }
  return fattest;
}

double Stepper::put_back(int place, Stream stream, double m3) {
  // Headers keep nothing: what comes out of one again comes from its own fattest stream. The
  // thinnest of them all says how much can come back this way.
  std::vector<std::pair<int, Stream>> path;
  double part = m3;
  for (int hop = 0; hop < network_.places() && stream.m3 > 0.0; ++hop) {
    part = std::min(part, stream.m3);
    path.emplace_back(place, stream);
    bool arrived = stream.is_draw;
    if (!arrived) {
      const Way& way = balance_.ways().open[stream.which];
      place = way.from == place ? way.to : way.from;
      const auto giver = static_cast<std::size_t>(place);
      arrived = place == outside || giver < end_volume_m3_.size();
      if (arrived && place != outside) {
        part = std::min(part, end_volume_m3_[giver]);
        if (part <= 0.0) return 0.0;
        end_volume_m3_[giver] -= part;
      }
    }
    if (!arrived) {
      stream = fattest_out_of(place);
      continue;
    }
    for (const auto& [from, gave] : path) {
      if (gave.is_draw) {
        moved_.draw_m3[gave.which] -= part;
      } else {
        const bool forth = balance_.ways().open[gave.which].from == from;
        moved_.way_m3[gave.which] -= forth ? part : -part;
      }
    }
    return part;
  }
  return 0.0;
}

void Stepper::accept() {
  ++effort_.steps;
  head_course_.follow(now_.head_m, middle_.head_m, end_.head_m, length_s_);
  way_course_.follow(now_.way_m3_per_s, middle_.way_m3_per_s, end_.way_m3_per_s, length_s_);
  gas_course_.follow(now_.gas_m, middle_.gas_m, end_.gas_m, length_s_);
  course_length_s_ = length_s_;
  course_known_ = !settling_;
  time_s_ += length_s_;
  std::swap(air_kg_, end_air_kg_);
  std::swap(volume_m3_, end_volume_m3_);
  now_.swap(end_);
  std::swap(into_now_, into_end_);
}

}  // namespace tankyard
