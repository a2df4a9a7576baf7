// SPDX-License-Identifier: MIT
#include "solver/headspace.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace tankyard {
namespace {

constexpr int most_turns_alone = 100;
constexpr int plain_turns = 4;
constexpr double last_digit = 2.2e-16;
constexpr double near_turn_m = 0.1;  // change of a headspace's pressure that slopes may foretell
// Changes of a pressure, as shares of it, from which a turn believes its slopes instead of looking
// again: on the way, and for what is kept. What they leave goes with the square of the change.
constexpr double near_share = 1e-9;
constexpr double closely_share = 1e-10;
constexpr double long_enough_s = 1e-2;  // a stage in which a vent carries more than rounding
constexpr double closely_pa = 1e-9;     // the same as `Ask::near_pa`, for what is kept
constexpr double hardly_m = 2e-5;       // of a head: followed along its slope between two turns
// Of a tank's volume: air that a full one keeps under its lid, and what its walls give an
// atmosphere.
constexpr double bubble_share = 1e-4;
constexpr double roomy = 500.0;  // bubbles: from there on a series does for a root
// Of the vapour pressure: how far above it a headspace begins to notice.
constexpr double boils_off_share = 0.05;

bool breathes_by_a_line(const Parts& parts, std::size_t tank) {
  return std::any_of(parts.air_lines.begin(), parts.air_lines.end(), [&](const AirLine& line) {
    return line.from.index == tank || line.to.index == tank;
  });
}

}  // namespace

Headspaces::Headspaces(const Network& network)
    : network_(network),
      weight_n_per_m3_(network.water.density_kg_per_m3 * gravity_m_per_s2),
      per_weight_(1.0 / weight_n_per_m3_),
      atmosphere_pa_(network.water.atmosphere_pa),
      vapour_pa_(network.water.vapour_pressure_pa),
      // Where no air is left at all.
      least_pa_(0.5 * vapour_pa_ *
                (1.0 + std::sqrt(1.0 + 4.0 * boils_off_share * boils_off_share))) {
  const Parts& parts = network.array.parts();
  std::vector<std::size_t> leader(parts.tanks.size());
  std::iota(leader.begin(), leader.end(), std::size_t{0});
  for (const Tank& tank : parts.tanks) {
    const TankLaw& law = network.tanks[rooms_.size()];
    const double capacity_m3 = tankyard::capacity_m3(tank.shape);
    const double bubble_m3 = bubble_share * capacity_m3;
    const bool box = law.area_m2 > 0.0 && !breathes_by_a_line(parts, rooms_.size());
    constexpr double never = std::numeric_limits<double>::infinity();
    rooms_.push_back(
        {law.area_m2, law.base_m, capacity_m3, bubble_m3, box ? roomy * bubble_m3 : never});
    const bool open = tank.lid.kind == Lid::Kind::open;
    vent_area_m2_.push_back(open ? -1.0 : effective_area_m2(tank.lid));
  }
  const auto find = [&leader](std::size_t tank) {
    while (leader[tank] != tank) tank = leader[tank];
    return tank;
  };
  for (std::size_t k = 0; k < parts.air_lines.size(); ++k) {
    const AirLine& line = parts.air_lines[k];
    const bool from_closed = closed(line.from.index);
    const bool to_closed = closed(line.to.index);
    if (from_closed && to_closed) {
      const std::size_t a = find(line.from.index);
      const std::size_t b = find(line.to.index);
      leader[std::max(a, b)] = std::min(a, b);
    } else if (from_closed || to_closed) {
      const std::size_t tank = from_closed ? line.from.index : line.to.index;
      to_open_air_.push_back({k, tank, tank, balance_line(line.bore_m, line.length_m)});
    }
  }
  held_.resize(parts.tanks.size());
  group_of_.resize(parts.tanks.size());
  std::vector<std::size_t> place_in(parts.tanks.size());
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (!closed(i)) continue;
    const std::size_t first = find(i);
    if (first == i) {
      group_of_[i] = groups_.size();
      groups_.emplace_back();
    }
    group_of_[i] = group_of_[first];
    place_in[i] = groups_[group_of_[i]].tanks.size();
    groups_[group_of_[i]].tanks.push_back(i);
  }
  for (std::size_t k = 0; k < parts.air_lines.size(); ++k) {
    const AirLine& line = parts.air_lines[k];
    if (!closed(line.from.index) || !closed(line.to.index)) continue;
    groups_[group_of_[line.from.index]].lines.push_back({k, place_in[line.from.index],
                                                         place_in[line.to.index],
                                                         balance_line(line.bore_m, line.length_m)});
  }
}

Headspaces::Held Headspaces::hold(const Ask& ask, std::size_t tank) const {
  Held held;
  held.tank = tank;
  held.inside_k = (*ask.tank_air_k)[tank];
  held.outside_k = ask.air_k;
  held.gas_constant = air_gas_constant * held.inside_k;
  held.air_j = held.gas_constant * (*ask.air_wanted_kg)[tank];
  held.weighed = held.gas_constant * ask.weight_s;
  if (vent_area_m2_[tank] > 0.0) {
    held.lid = Vent(vent_area_m2_[tank], atmosphere_pa_, ask.air_k, held.inside_k);
  }
  return held;
}

void Headspaces::hold_all(const Ask& ask) {
  for (const Group& group : groups_) {
    for (const std::size_t tank : group.tanks) {
      Held& held = held_[tank];
      if (held.inside_k != (*ask.tank_air_k)[tank] || held.outside_k != ask.air_k) {
        held = hold(ask, tank);
        continue;
      }
      // Air as warm as in the stage before: its lid is the same.
      held.air_j = held.gas_constant * (*ask.air_wanted_kg)[tank];
      held.weighed = held.gas_constant * ask.weight_s;
    }
  }
}

AirFlow Headspaces::vent_of(const Ask& ask, const Held& held, double pressure_pa) const {
  AirFlow vent = held.lid.at(pressure_pa);
  for (const Line& line : to_open_air_) {
    if (line.from != held.tank || !(*ask.air_line_open)[line.part]) continue;
    const AirExchange air = air_between(line.as_hole.area_m2, atmosphere_pa_, ask.air_k,
                                        pressure_pa, held.inside_k, line.as_hole.rounded_below_pa);
    vent.kg_per_s += air.kg_per_s;
    vent.slope_kg_per_s_pa += air.slope_with_b_kg_per_s_pa;
  }
  return vent;
}

std::vector<std::pair<int, int>> Headspaces::joins() const {
  std::vector<std::pair<int, int>> pairs;
  for (const Group& group : groups_) {
    for (std::size_t i = 0; i < group.tanks.size(); ++i) {
      for (std::size_t j = i + 1; j < group.tanks.size(); ++j) {
        pairs.emplace_back(static_cast<int>(group.tanks[i]), static_cast<int>(group.tanks[j]));
      }
    }
  }
  return pairs;
}

std::vector<double> Headspaces::air_at_rest_kg(const std::vector<double>& volume_m3,
                                               const std::vector<double>& tank_air_k) const {
  std::vector<double> mass(volume_m3.size(), 0.0);
  for (std::size_t i = 0; i < mass.size(); ++i) {
    if (!closed(i)) continue;
    const double starts_pa =
        std::max(least_pa_, atmosphere_pa_ + network_.array.tanks()[i].headspace_pa);
    mass[i] = gas_of(starts_pa) * space_of(i, volume_m3[i]).m3 / (air_gas_constant * tank_air_k[i]);
  }
  return mass;
}

double Headspaces::bubble_kg(std::size_t tank, double air_k) const {
  if (!closed(tank)) return 0.0;
  return atmosphere_pa_ * rooms_[tank].bubble_m3 / (air_gas_constant * air_k);
}

double Headspaces::gas_of(double pressure_pa) const {
  const double rounds_pa = boils_off_share * vapour_pa_;
  return pressure_pa - rounds_pa * rounds_pa / (pressure_pa - vapour_pa_);
}

Headspaces::Space Headspaces::space_of(std::size_t tank, double volume_m3) const {
  const double bubble_m3 = rooms_[tank].bubble_m3;
  const double left_m3 = rooms_[tank].capacity_m3 - volume_m3;
  if (left_m3 > roomy * bubble_m3) {
    // As nearly always: three terms of the series hold to 1e-17.
    const double ratio = bubble_m3 / left_m3;
    const double small_m3 = bubble_m3 * ratio;
    const double e = ratio * ratio;
    return {left_m3, left_m3 + small_m3 * (1.0 - e * (1.0 - 2.0 * e)), 1.0 - e * (1.0 - 3.0 * e)};
  }
  const double root = std::sqrt(left_m3 * left_m3 + 4.0 * bubble_m3 * bubble_m3);
  // Where the tank is over full the difference would lose its digits.
  const double m3 =
      left_m3 >= 0.0 ? 0.5 * (left_m3 + root) : 2.0 * bubble_m3 * bubble_m3 / (root - left_m3);
  return {left_m3, m3, m3 / root};
}

Headspaces::Left Headspaces::left_of(std::size_t tank, double left_m3) const {
  const double last_m3 = 1e-3 * rooms_[tank].capacity_m3;
  if (left_m3 >= last_m3) return {1.0, 0.0};
  if (left_m3 <= 0.0) return {0.0, 0.0};
  const double x = left_m3 / last_m3;
  return {x * x * (3.0 - 2.0 * x), 6.0 * x * (1.0 - x) / last_m3};
}

void Headspaces::find_missing(const Ask& ask, const Held& held, double head_m, double pressure_pa,
                              Missing& missing) const {
  missing.volume =
      network_.tanks[held.tank].volume_at(head_m - (pressure_pa - atmosphere_pa_) * per_weight_);
  const Space space = space_of(held.tank, missing.volume.m3);
  missing.space = space;
  const Left left = left_of(held.tank, space.left_m3);
  missing.gone = 1.0 - left.share;
  AirFlow vent = vent_of(ask, held, pressure_pa);
  double per_left = 0.0;  // d(vent)/d(what is left)
  if (vent.kg_per_s < 0.0) {
    per_left = vent.kg_per_s * left.slope_per_m3;
    vent.kg_per_s *= left.share;
    vent.slope_kg_per_s_pa *= left.share;
  }
  const double rounds = boils_off_share * vapour_pa_ / (pressure_pa - vapour_pa_);
  const double gas_pa = pressure_pa - rounds * boils_off_share * vapour_pa_;
  const double gas_slope = 1.0 + rounds * rounds;
  missing.air_kg_per_s = vent.kg_per_s;
  missing.vent_slope_kg_per_s_pa = vent.slope_kg_per_s_pa;
  missing.of_air_j = gas_pa * space.m3 - (held.air_j + held.weighed * vent.kg_per_s);
  missing.per_m3_pa = gas_pa * space.slope - held.weighed * per_left;
  missing.per_head_j_per_m = missing.volume.surface_m2 * missing.per_m3_pa;
  missing.slope_held_m3 = gas_slope * space.m3 - held.weighed * vent.slope_kg_per_s_pa;
  missing.slope_m3 = missing.slope_held_m3 + missing.per_head_j_per_m * per_weight_;
}

inline bool Headspaces::find_missing_in_a_box(const Held& held, double head_m, double pressure_pa,
                                              Missing& missing) const {
  // What `find_missing` finds in a tank of one area at every depth, with air to spare, as nearly
  // always: no rounding but a series, and one quotient in place of two.
  const Room& room = rooms_[held.tank];
  const AirFlow vent = held.lid.at(pressure_pa);
  const double volume_m3 =
      room.area_m2 * (head_m - (pressure_pa - atmosphere_pa_) * per_weight_ - room.base_m);
  const double left_m3 = room.capacity_m3 - volume_m3;
  if (!(left_m3 > room.roomy_m3)) return false;
  const double clear_pa = pressure_pa - vapour_pa_;
  const double per_both = 1.0 / (left_m3 * clear_pa);
  const double ratio = room.bubble_m3 * per_both * clear_pa;
  const double e = ratio * ratio;
  const double space_m3 = left_m3 + room.bubble_m3 * ratio * (1.0 - e * (1.0 - 2.0 * e));
  const double slope = 1.0 - e * (1.0 - 3.0 * e);
  const double rounds_pa = boils_off_share * vapour_pa_;
  const double rounds = rounds_pa * per_both * left_m3;
  const double gas_pa = pressure_pa - rounds * rounds_pa;
  missing.volume = {volume_m3, room.area_m2};
  missing.space = {left_m3, space_m3, slope};
  missing.gone = 0.0;
  missing.air_kg_per_s = vent.kg_per_s;
  missing.vent_slope_kg_per_s_pa = vent.slope_kg_per_s_pa;
  missing.of_air_j = gas_pa * space_m3 - (held.air_j + held.weighed * vent.kg_per_s);
  missing.per_m3_pa = gas_pa * slope;
  missing.per_head_j_per_m = room.area_m2 * missing.per_m3_pa;
  missing.slope_held_m3 =
      (1.0 + rounds * rounds) * space_m3 - held.weighed * vent.slope_kg_per_s_pa;
  missing.slope_m3 = missing.slope_held_m3 + missing.per_head_j_per_m * per_weight_;
  return true;
}

bool Headspaces::believes(const Ask& ask, double gone, double pressure_pa, double next_pa) const {
  const double leaves_pa = gone > 0.0 || ask.weight_s < long_enough_s ? 0.0
                           : ask.closely                              ? closely_pa
                                                                      : ask.near_pa;
  const double change = std::fabs(next_pa - pressure_pa);
  return change <= (ask.closely ? closely_share : near_share) * pressure_pa ||
         change * change <= leaves_pa * (leaves_pa + std::fabs(next_pa - atmosphere_pa_));
}

Headspaces::Root Headspaces::root_at(const Ask& ask, const Held& held, double head_m,
                                     double guess_pa) const {
  constexpr double unbounded = std::numeric_limits<double>::infinity();
  Root root;
  double low = least_pa_;
  double high = unbounded;
  double pressure = guess_pa > low ? guess_pa : atmosphere_pa_;
  // Nearly always two turns in a box with air to spare are all there is to it.
  double before = unbounded;
  for (int turn = 0; turn < plain_turns; ++turn) {
    if (!find_missing_in_a_box(held, head_m, pressure, root.missing)) break;
    const double next = pressure - root.missing.of_air_j / root.missing.slope_m3;
    const double change = std::fabs(next - pressure);
    if (!(next > low) || change > 0.5 * before) break;
    if (believes(ask, 0.0, pressure, next)) {
      root.missing.air_kg_per_s += root.missing.vent_slope_kg_per_s_pa * (next - pressure);
      root.pressure_pa = next;
      return root;
    }
    before = change;
    pressure = next;
  }
  // Newton, kept between a pressure with air too little and one with air to spare. There is none
  // too much at the least pressure, and without bound there always is in the end.
  double before_last = unbounded;  // how far the turn before the last one went
  double last = unbounded;
  for (int turn = 0; turn < most_turns_alone; ++turn) {
    find_missing(ask, held, head_m, pressure, root.missing);
    root.pressure_pa = pressure;
    const Missing& missing = root.missing;
    (missing.of_air_j < 0.0 ? low : high) = pressure;
    double next = missing.slope_m3 > 0.0 ? pressure - missing.of_air_j / missing.slope_m3 : low;
    const double change = std::fabs(next - pressure);
    if (change <= 4.0 * last_digit * pressure) break;
    if (believes(ask, missing.gone, pressure, next) && next > least_pa_) {
      // So near that the slopes tell the rest.
      root.missing.air_kg_per_s += missing.vent_slope_kg_per_s_pa * (next - pressure);
      root.pressure_pa = next;
      break;
    }
    // A vent's flow goes with a root, on which Newton steps to and fro across the answer: they
    // count only as long as two of them halve the way.
    const bool slow = change > 0.5 * before_last;
    if (!(next > low && next < high) || slow) {
      next = high == unbounded ? 2.0 * pressure : 0.5 * (low + high);
    }
    before_last = last;
    last = std::fabs(next - pressure);
    pressure = next;
  }
  return root;
}

void Headspaces::fill(const Ask& ask, std::size_t tank, double head_m, double pressure_pa,
                      const Missing& missing, Point& point) const {
  point.gas_m = (pressure_pa - atmosphere_pa_) * per_weight_;
  point.head_m = head_m;
  point.level_m = head_m - point.gas_m;
  const Room& room = rooms_[tank];
  const TankLaw::Volume volume =
      room.area_m2 > 0.0
          ? TankLaw::Volume{room.area_m2 * (point.level_m - room.base_m), room.area_m2}
          : network_.tanks[tank].volume_at(point.level_m);
  point.surface_m2 = volume.surface_m2;
  point.volume_m3 = volume.m3;
  point.gone = missing.gone;
  const double digits_m3 = room.capacity_m3 + volume.surface_m2 * (1.0 + std::fabs(head_m));
  point.rounding_m =
      pressure_pa * per_weight_ * last_digit * digits_m3 * missing.space.slope / missing.space.m3;
  point.air_kg_per_s = missing.air_kg_per_s;
  point.air_per_gas_kg_per_s_m = missing.vent_slope_kg_per_s_pa * weight_n_per_m3_;
  if (!ask.closely) return;  // what follows is read of what is kept
  const double pa_per_m3 = missing.per_m3_pa / missing.slope_held_m3;
  point.gas_per_m3_m = pa_per_m3 * per_weight_;
  point.air_per_m3_kg_per_s = missing.vent_slope_kg_per_s_pa * pa_per_m3;
  point.gas_per_kg_m = air_gas_constant * (*ask.tank_air_k)[tank] * per_weight_ / missing.slope_m3;
}

void Headspaces::solve(const Ask& ask, const Group& group, const std::vector<double>& head_m,
                       std::vector<Point>& points, std::vector<Cross>& crosses) const {
  if (!group.lines.empty()) return solve_group(ask, group, head_m, points, crosses);
  const std::size_t tank = group.tanks.front();
  Point& point = points[tank];
  const double moved_m = head_m[tank] - point.head_m;
  if (ask.onward && !ask.closely && std::fabs(moved_m) <= hardly_m && point.gone == 0.0) {
    const double gas_moves_m = (1.0 - point.level_slope) * moved_m;
    point.gas_m += gas_moves_m;
    point.air_kg_per_s += point.air_per_gas_kg_per_s_m * gas_moves_m;
    point.volume_m3 += point.volume_slope_m2 * moved_m;
    point.head_m = head_m[tank];
    point.level_m = point.head_m - point.gas_m;
    return;
  }
  const double guess = atmosphere_pa_ + point.gas_m * weight_n_per_m3_;
  // On from the last turn along its slope.
  const double along_m = (1.0 - point.level_slope) * moved_m;
  const double near_m = std::fabs(along_m) < near_turn_m ? along_m : 0.0;
  const Root root = root_at(ask, held_[tank], head_m[tank], guess + near_m * weight_n_per_m3_);
  const Missing& missing = root.missing;
  fill(ask, tank, head_m[tank], root.pressure_pa, missing, point);
  const double gas_slope = missing.per_head_j_per_m * per_weight_ / missing.slope_m3;
  point.level_slope = std::max(0.0, 1.0 - gas_slope);
  point.volume_slope_m2 = missing.volume.surface_m2 * point.level_slope;
}

void Headspaces::at_heads(const Ask& ask, const std::vector<double>& head_m,
                          std::vector<Point>& points, std::vector<Cross>& crosses) {
  crosses.clear();
  if (!ask.onward) hold_all(ask);
  for (const Group& group : groups_) solve(ask, group, head_m, points, crosses);
}

void Headspaces::at_heads(const Ask& ask, const std::vector<double>& head_m,
                          std::vector<Point>& points) {
  std::vector<Cross> crosses;
  at_heads(ask, head_m, points, crosses);
}

void Headspaces::at_head(const Ask& ask, std::size_t tank, const std::vector<double>& head_m,
                         std::vector<Point>& points) {
  std::vector<Cross> crosses;
  hold_all(ask);
  solve(ask, groups_[group_of_[tank]], head_m, points, crosses);
}

}  // namespace tankyard
