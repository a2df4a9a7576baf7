// SPDX-License-Identifier: MIT
#include "solver/stepper.h"

#include <algorithm>
#include <cmath>

namespace tankyard {
namespace {

const double theta = 1.0 - std::sqrt(0.5);
const double middle_at = 2.0 * theta;
const double w = std::sqrt(2.0) / 4.0;
const double error_now = (4.0 * w - 1.0) / 3.0;
const double error_middle = -1.0 / 3.0;
const double error_end = 2.0 * theta / 3.0;

constexpr double instant_weight_s = 1e-9;  // "no time": tanks keep their levels to rounding
constexpr double rounding_share = 1e-16;
constexpr int sweeps_to_start_from = 200;
constexpr double sweeps_below_s = 1e-4;
constexpr double instant_worth_s = 60.0;   // how long a flow found at an instant is taken to act

/// Calls a function with the vectors of each kind of flow in turn.
template <class Does>
void for_each_flow(Does does) {
  does(&Instant::way_m3_per_s, &Moved::way_m3);
  does(&Instant::draw_m3_per_s, &Moved::draw_m3);
  does(&Instant::overflow_m3_per_s, &Moved::overflow_m3);
  does(&Instant::over_rim_m3_per_s, &Moved::over_rim_m3);
}

}  // namespace

Stepper::Stepper(const Network& network, const RunOptions& options)
    : network_(network), options_(options), balance_(network) {
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
  end_volume_m3_ = into_now_ = into_middle_ = into_end_ = wanted_ = volume_m3_;
}

void Stepper::flows_into_tanks(const Instant& instant, std::vector<double>& into) const {
  const std::size_t tanks = network_.tanks.size();
  for (std::size_t i = 0; i < tanks; ++i) into[i] = setting_.inflow_m3_per_s[i];
  const auto& ways = balance_.ways().open;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const auto from = static_cast<std::size_t>(ways[k].from);
    if (from < tanks) into[from] -= instant.way_m3_per_s[k];
    if (ways[k].to != outside && static_cast<std::size_t>(ways[k].to) < tanks) {
      into[static_cast<std::size_t>(ways[k].to)] += instant.way_m3_per_s[k];
    }
  }
  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    const auto place = static_cast<std::size_t>(network_.draws[d].place);
    if (place < tanks) into[place] -= instant.draw_m3_per_s[d];
  }
  for (std::size_t i = 0; i < tanks; ++i) {
    if (instant.overflow_m3_per_s[i] != 0.0) {
      into[i] -= instant.overflow_m3_per_s[i];
      const auto& overflow = network_.tanks[i].overflow;
      if (overflow && overflow->to) into[overflow->to->index] += instant.overflow_m3_per_s[i];
    }
    into[i] -= instant.over_rim_m3_per_s[i];
  }
}

bool Stepper::solve_stage(double weight_s, double worth_s, const std::vector<double>& wanted,
                          Instant& guess) {
  Balance::Ask ask;
  ask.weight_s = weight_s;
  ask.worth_s = worth_s;
  ask.depth_tolerance_m = options_.depth_tolerance_m;
  ask.wanted_m3 = &wanted;
  const Instant start = guess;
  Balance::Answer answer = balance_.settle(ask, guess);
  effort_.turns += answer.turns;
  if (answer.settled || weight_s > sweeps_below_s) return answer.settled;
  // Too short to be quartered any more: the sure method finds the neighbourhood, turns the rest.
  guess = start;
  ask.most_sweeps = sweeps_to_start_from;
  balance_.sweep(ask, guess);
  ++effort_.swept;
  answer = balance_.settle(ask, guess);
  effort_.turns += answer.turns;
  return answer.settled;
}

bool Stepper::begin(const Setting& setting) {
  setting_ = setting;
  balance_.take(setting, now_);
  rate_known_ = false;
  Instant guess = now_;
  if (!solve_stage(instant_weight_s, instant_worth_s, volume_m3_, guess)) return false;
  now_ = guess;
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    now_.head_m[i] = network_.tanks[i].head_of(volume_m3_[i]);
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
  // Levels that would not move by a hundredth of the tolerance in all the time there is may be
  // tried in one step; the error estimate still has its say.
  const double fastest = fastest_m_per_s();
  if (fastest * at_most_s <= 0.01 * options_.depth_tolerance_m) return at_most_s;
  return std::min(at_most_s, 30.0 * options_.depth_tolerance_m / fastest);
}

double Stepper::between(double start, double middle, double end, double share) {
  const double g = middle_at;
  return start * (share - g) * (share - 1.0) / g +
         middle * share * (share - 1.0) / (g * (g - 1.0)) +
         end * share * (share - g) / (1.0 - g);
}

void Stepper::predict(const Instant& from, double reach_s, Instant& guess) const {
  guess = from;
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    guess.head_m[i] += reach_s * into_now_[i] / network_.tanks[i].scale_area_m2;
  }
  if (!rate_known_) return;
  for (std::size_t i = volume_m3_.size(); i < guess.head_m.size(); ++i) {
    guess.head_m[i] += reach_s * rate_.head_m[i];
  }
  for (std::size_t k = 0; k < guess.way_m3_per_s.size(); ++k) {
    // A flow is not predicted through zero, where its law is at its most curved.
    const double next = guess.way_m3_per_s[k] + reach_s * rate_.way_m3_per_s[k];
    guess.way_m3_per_s[k] = next * guess.way_m3_per_s[k] > 0.0 ? next : 0.5 * guess.way_m3_per_s[k];
  }
}

Stepper::Outcome Stepper::attempt(double length_s) {
  const std::size_t tanks = volume_m3_.size();
  length_s_ = length_s;

  for (std::size_t i = 0; i < tanks; ++i) {
    wanted_[i] = volume_m3_[i] + theta * length_s * (into_now_[i]);
  }
  predict(now_, middle_at * length_s, middle_);
  if (!solve_stage(theta * length_s, length_s, wanted_, middle_)) return Outcome::unsettled;
  flows_into_tanks(middle_, into_middle_);

  for (std::size_t i = 0; i < tanks; ++i) {
    wanted_[i] = volume_m3_[i] + w * length_s * (into_now_[i] + into_middle_[i]);
  }
  end_ = middle_;
  const double further = (1.0 - middle_at) / middle_at;
  for (std::size_t i = 0; i < end_.head_m.size(); ++i) {
    end_.head_m[i] += further * (middle_.head_m[i] - now_.head_m[i]);
  }
  for (std::size_t k = 0; k < end_.way_m3_per_s.size(); ++k) {
    const double next =
        middle_.way_m3_per_s[k] + further * (middle_.way_m3_per_s[k] - now_.way_m3_per_s[k]);
    end_.way_m3_per_s[k] =
        next * middle_.way_m3_per_s[k] > 0.0 ? next : 0.5 * middle_.way_m3_per_s[k];
  }
  if (!solve_stage(theta * length_s, length_s, wanted_, end_)) return Outcome::unsettled;
  flows_into_tanks(end_, into_end_);

  error_.assign(end_.head_m.size(), 0.0);
  for (std::size_t i = 0; i < tanks; ++i) {
    error_[i] = length_s * (error_now * into_now_[i] + error_middle * into_middle_[i] +
                            error_end * into_end_[i]);
  }
  balance_.spread(error_);
  double largest = 0.0;
  for (std::size_t i = 0; i < tanks; ++i) largest = std::max(largest, std::fabs(error_[i]));
  const double measured = largest / options_.depth_tolerance_m;
  const double grow = 0.9 / std::cbrt(std::max(measured, 1e-12));
  proposed_s_ = length_s * std::clamp(grow, 0.2, measured < 1e-6 ? 100.0 : 8.0);
  if (!(measured <= 1.0)) return Outcome::too_coarse;

  move(length_s);
  if (!mend_negative()) {
    proposed_s_ = 0.25 * length_s;
    return Outcome::too_coarse;
  }
  for (std::size_t i = 0; i < tanks; ++i) {
    end_.head_m[i] = network_.tanks[i].head_of(end_volume_m3_[i]);
  }
  return Outcome::good;
}

void Stepper::move(double length_s) {
  for (std::size_t i = 0; i < volume_m3_.size(); ++i) {
    end_volume_m3_[i] =
        volume_m3_[i] +
        length_s * (w * (into_now_[i] + into_middle_[i]) + theta * into_end_[i]);
  }
  for_each_flow([&](auto flow, auto volume) {
    const auto& at_now = now_.*flow;
    const auto& at_middle = middle_.*flow;
    const auto& at_end = end_.*flow;
    auto& moved = moved_.*volume;
    moved.resize(at_now.size());
    for (std::size_t k = 0; k < at_now.size(); ++k) {
      moved[k] = length_s * (w * (at_now[k] + at_middle[k]) + theta * at_end[k]);
    }
  });
}

bool Stepper::mend_negative() {
  // A tank that runs dry may end a hair below empty: the quadrature took a little more out than was
  // in. If that is far below the tolerance, the surplus is put back from where it went, along the
  // fattest stream, so that no litre is lost; if not, the step was too long.
  for (std::size_t i = 0; i < end_volume_m3_.size(); ++i) {
    const double missing = -end_volume_m3_[i];
    if (missing <= 0.0) continue;
    if (missing <= rounding_share * (volume_m3_[i] + network_.tanks[i].scale_area_m2)) {
      end_volume_m3_[i] = 0.0;
      continue;
    }
    if (missing > 0.1 * options_.depth_tolerance_m * network_.tanks[i].scale_area_m2) return false;
    int place = static_cast<int>(i);
    for (int hop = 0; hop < network_.places(); ++hop) {
      double fattest = 0.0;
      std::size_t way = 0;
      const auto& ways = balance_.ways().open;
      for (std::size_t k = 0; k < ways.size(); ++k) {
        const double out = ways[k].from == place ? moved_.way_m3[k]
                           : ways[k].to == place ? -moved_.way_m3[k]
                                                 : 0.0;
        if (out > fattest) fattest = out, way = k;
      }
      std::size_t draw = network_.draws.size();
      for (std::size_t d = 0; d < network_.draws.size(); ++d) {
        if (network_.draws[d].place == place && moved_.draw_m3[d] > fattest) {
          fattest = moved_.draw_m3[d];
          draw = d;
        }
      }
      if (fattest < missing) return false;
      if (draw < network_.draws.size()) {
        moved_.draw_m3[draw] -= missing;
        place = outside;
      } else {
        const bool forth = ways[way].from == place;
        moved_.way_m3[way] -= forth ? missing : -missing;
        place = forth ? ways[way].to : ways[way].from;
      }
      if (place == outside || static_cast<std::size_t>(place) < end_volume_m3_.size()) break;
    }
    if (place != outside) {
      const auto giver = static_cast<std::size_t>(place);
      if (giver >= end_volume_m3_.size()) return false;
      end_volume_m3_[giver] -= missing;
      if (end_volume_m3_[giver] < 0.0) return false;
    }
    end_volume_m3_[i] = 0.0;
  }
  return true;
}

void Stepper::accept() {
  ++effort_.steps;
  const double rest_s = (1.0 - middle_at) * length_s_;
  rate_.head_m.resize(end_.head_m.size());
  rate_.way_m3_per_s.resize(end_.way_m3_per_s.size());
  for (std::size_t i = 0; i < end_.head_m.size(); ++i) {
    rate_.head_m[i] = (end_.head_m[i] - middle_.head_m[i]) / rest_s;
  }
  for (std::size_t k = 0; k < end_.way_m3_per_s.size(); ++k) {
    rate_.way_m3_per_s[k] = (end_.way_m3_per_s[k] - middle_.way_m3_per_s[k]) / rest_s;
  }
  rate_known_ = true;
  std::swap(volume_m3_, end_volume_m3_);
  std::swap(now_, end_);
  std::swap(into_now_, into_end_);
}

}  // namespace tankyard
