// SPDX-License-Identifier: MIT
#include "solver/headspace.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace tankyard {
namespace {

constexpr int most_turns = 100;
constexpr int most_turns_together = 100;
constexpr int most_halvings = 30;
constexpr int patient_turns = 10;
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
    capacity_m3_.push_back(tankyard::capacity_m3(tank.shape));
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

Headspaces::Held Headspaces::held(const Ask& ask, std::size_t tank, double head_m) const {
  const double inside_k = (*ask.tank_air_k)[tank];
  Held held;
  held.tank = tank;
  held.head_m = head_m;
  const double gas_constant = air_gas_constant * inside_k;
  held.air_j = gas_constant * (*ask.air_wanted_kg)[tank];
  held.weighed = gas_constant * ask.weight_s;
  if (vent_area_m2_[tank] > 0.0) {
    held.lid = Vent(vent_area_m2_[tank], atmosphere_pa_, ask.air_k, inside_k);
  }
  return held;
}

AirFlow Headspaces::vent_of(const Ask& ask, const Held& held, double pressure_pa) const {
  AirFlow vent = held.lid.at(pressure_pa);
  for (const Line& line : to_open_air_) {
    if (line.from != held.tank || !(*ask.air_line_open)[line.part]) continue;
    const AirExchange air =
        air_between(line.as_hole.area_m2, atmosphere_pa_, ask.air_k, pressure_pa,
                    (*ask.tank_air_k)[held.tank], line.as_hole.rounded_below_pa);
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
  return atmosphere_pa_ * bubble_share * capacity_m3_[tank] / (air_gas_constant * air_k);
}

double Headspaces::gas_of(double pressure_pa) const {
  const double rounds_pa = boils_off_share * vapour_pa_;
  return pressure_pa - rounds_pa * rounds_pa / (pressure_pa - vapour_pa_);
}

Headspaces::Space Headspaces::space_of(std::size_t tank, double volume_m3) const {
  const double bubble_m3 = bubble_share * capacity_m3_[tank];
  const double left_m3 = capacity_m3_[tank] - volume_m3;
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
  const double last_m3 = 1e-3 * capacity_m3_[tank];
  if (left_m3 >= last_m3) return {1.0, 0.0};
  if (left_m3 <= 0.0) return {0.0, 0.0};
  const double x = left_m3 / last_m3;
  return {x * x * (3.0 - 2.0 * x), 6.0 * x * (1.0 - x) / last_m3};
}

void Headspaces::find_missing(const Ask& ask, const Held& held, double pressure_pa,
                              Missing& missing) const {
  missing.volume = network_.tanks[held.tank].volume_at(
      held.head_m - (pressure_pa - atmosphere_pa_) * per_weight_);
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

Headspaces::Root Headspaces::root_at(const Ask& ask, std::size_t tank, double head_m,
                                     double guess_pa) const {
  // Newton, kept between a pressure with air too little and one with air to spare. There is none
  // too much at the least pressure, and without bound there always is in the end.
  constexpr double unbounded = std::numeric_limits<double>::infinity();
  Root root;
  const Held held = this->held(ask, tank, head_m);
  double low = least_pa_;
  double high = unbounded;
  double pressure = guess_pa > low ? guess_pa : atmosphere_pa_;
  double before_last = unbounded;  // how far the turn before the last one went
  double last = unbounded;
  for (int turn = 0; turn < most_turns; ++turn) {
    find_missing(ask, held, pressure, root.missing);
    root.pressure_pa = pressure;
    const Missing& missing = root.missing;
    (missing.of_air_j < 0.0 ? low : high) = pressure;
    double next = missing.slope_m3 > 0.0 ? pressure - missing.of_air_j / missing.slope_m3 : low;
    const double change = std::fabs(next - pressure);
    if (change <= 4.0 * last_digit * pressure) break;
    const double leaves_pa = missing.gone > 0.0 || ask.weight_s < long_enough_s ? 0.0
                             : ask.closely                                      ? closely_pa
                                                                                : ask.near_pa;
    const bool near = change <= (ask.closely ? closely_share : near_share) * pressure ||
                      change * change <= leaves_pa * (leaves_pa + std::fabs(next - atmosphere_pa_));
    if (near && next > least_pa_) {
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
  const TankLaw::Volume volume = network_.tanks[tank].volume_at(point.level_m);
  point.surface_m2 = volume.surface_m2;
  point.volume_m3 = volume.m3;
  point.gone = missing.gone;
  const double digits_m3 = capacity_m3_[tank] + volume.surface_m2 * (1.0 + std::fabs(head_m));
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
  const Root root = root_at(ask, tank, head_m[tank], guess + near_m * weight_n_per_m3_);
  const Missing& missing = root.missing;
  fill(ask, tank, head_m[tank], root.pressure_pa, missing, point);
  const double gas_slope = missing.per_head_j_per_m * per_weight_ / missing.slope_m3;
  point.level_slope = std::max(0.0, 1.0 - gas_slope);
  point.volume_slope_m2 = missing.volume.surface_m2 * point.level_slope;
}

void Headspaces::at_heads(const Ask& ask, const std::vector<double>& head_m,
                          std::vector<Point>& points, std::vector<Cross>& crosses) const {
  crosses.clear();
  for (const Group& group : groups_) solve(ask, group, head_m, points, crosses);
}

void Headspaces::at_heads(const Ask& ask, const std::vector<double>& head_m,
                          std::vector<Point>& points) const {
  std::vector<Cross> crosses;
  at_heads(ask, head_m, points, crosses);
}

void Headspaces::at_head(const Ask& ask, std::size_t tank, const std::vector<double>& head_m,
                         std::vector<Point>& points) const {
  std::vector<Cross> crosses;
  solve(ask, groups_[group_of_[tank]], head_m, points, crosses);
}

void Headspaces::solve_group(const Ask& ask, const Group& group, const std::vector<double>& head_m,
                             std::vector<Point>& points, std::vector<Cross>& crosses) const {
  const std::size_t n = group.tanks.size();
  std::vector<double> pressure(n);
  std::vector<Held> held(n);
  std::vector<Missing> missing(n);
  std::vector<double> matrix(n * n);
  std::vector<double> per_heads(n * n);  // minus the slopes of what is missing, row, with heads
  std::vector<double> right(n);
  for (std::size_t i = 0; i < n; ++i) {
    held[i] = this->held(ask, group.tanks[i], head_m[group.tanks[i]]);
    // A guess drawn on from the last step may lie anywhere.
    pressure[i] =
        std::max(least_pa_, atmosphere_pa_ + points[group.tanks[i]].gas_m * weight_n_per_m3_);
  }

  // Gauss without pivoting: by columns the matrix is dominated by its diagonal.
  const auto eliminate = [&](std::vector<double> a, std::vector<double>& b) {
    for (std::size_t k = 0; k < n; ++k) {
      for (std::size_t i = k + 1; i < n; ++i) {
        const double factor = a[i * n + k] / a[k * n + k];
        for (std::size_t j = k; j < n; ++j) a[i * n + j] -= factor * a[k * n + j];
        b[i] -= factor * b[k];
      }
    }
    for (std::size_t i = n; i-- > 0;) {
      for (std::size_t j = i + 1; j < n; ++j) b[i] -= a[i * n + j] * b[j];
      b[i] /= a[i * n + i];
    }
  };
  const auto assemble = [&] {
    std::fill(matrix.begin(), matrix.end(), 0.0);
    std::fill(per_heads.begin(), per_heads.end(), 0.0);
    for (std::size_t i = 0; i < n; ++i) {
      find_missing(ask, held[i], pressure[i], missing[i]);
      matrix[i * n + i] = missing[i].slope_m3;
      per_heads[i * n + i] = missing[i].per_head_j_per_m;
    }
    for (const Line& line : group.lines) {
      if (!(*ask.air_line_open)[line.part]) continue;
      const double from_k = (*ask.tank_air_k)[group.tanks[line.from]];
      const double to_k = (*ask.tank_air_k)[group.tanks[line.to]];
      AirExchange passes = air_between(line.as_hole.area_m2, pressure[line.from], from_k,
                                       pressure[line.to], to_k, line.as_hole.rounded_below_pa);
      // A full tank has no air to give.
      const std::size_t giver = passes.kg_per_s >= 0.0 ? line.from : line.to;
      const Left left = left_of(group.tanks[giver], missing[giver].space.left_m3);
      const double per_space = passes.kg_per_s * left.slope_per_m3;
      passes.kg_per_s *= left.share;
      passes.slope_with_a_kg_per_s_pa *= left.share;
      passes.slope_with_b_kg_per_s_pa *= left.share;
      const double per_head = per_space * missing[giver].volume.surface_m2;  // falls with the head
      const double per_pa = per_head / weight_n_per_m3_;
      (giver == line.from ? passes.slope_with_a_kg_per_s_pa : passes.slope_with_b_kg_per_s_pa) +=
          per_pa;
      const double from_j_s = air_gas_constant * from_k * ask.weight_s;
      const double to_j_s = air_gas_constant * to_k * ask.weight_s;
      per_heads[line.from * n + giver] += from_j_s * per_head;
      per_heads[line.to * n + giver] -= to_j_s * per_head;
      matrix[line.from * n + line.from] += from_j_s * passes.slope_with_a_kg_per_s_pa;
      matrix[line.from * n + line.to] += from_j_s * passes.slope_with_b_kg_per_s_pa;
      matrix[line.to * n + line.from] -= to_j_s * passes.slope_with_a_kg_per_s_pa;
      matrix[line.to * n + line.to] -= to_j_s * passes.slope_with_b_kg_per_s_pa;
      missing[line.from].of_air_j += from_j_s * passes.kg_per_s;
      missing[line.to].of_air_j -= to_j_s * passes.kg_per_s;
      missing[line.from].air_kg_per_s -= passes.kg_per_s;
      missing[line.to].air_kg_per_s += passes.kg_per_s;
    }
    for (std::size_t i = 0; i < n; ++i) right[i] = -missing[i].of_air_j;
  };

  // Air flows go with roots, on which whole turns step to and fro across the answer. What is
  // missing is, but for small differences in temperature, the slope of a potential with one lowest
  // point; a turn goes no further down it than to where it would rise again half as steeply.
  std::vector<double> from(n);
  const auto falls = [&](const std::vector<double>& way) {
    double sum = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      sum += missing[i].of_air_j / (*ask.tank_air_k)[group.tanks[i]] * way[i];
    }
    return sum;
  };
  assemble();
  for (int turn = 0; turn < most_turns_together; ++turn) {
    std::vector<double> way = right;
    eliminate(matrix, way);
    for (std::size_t i = 0; i < n; ++i) {
      const double next = std::clamp(pressure[i] + way[i], std::max(least_pa_, 0.5 * pressure[i]),
                                     2.0 * pressure[i]);
      way[i] = next - pressure[i];
    }
    const double at_first = falls(way);
    from = pressure;
    double share = 1.0;
    int shorter = 0;
    for (; shorter < most_halvings; ++shorter, share *= 0.5) {
      for (std::size_t i = 0; i < n; ++i) pressure[i] = from[i] + share * way[i];
      assemble();
      if (falls(way) <= 0.5 * std::fabs(at_first)) break;
    }
    if (shorter == most_halvings) break;  // only rounding is left
    double largest = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
      largest = std::max(largest, std::fabs(pressure[i] - from[i]) / pressure[i]);
    }
    // Between headspaces that a wide line makes one, rounding is all that is left to turn about.
    if (largest <= (turn < patient_turns ? 1e-14 : 1e-12)) break;
  }

  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t tank = group.tanks[i];
    fill(ask, tank, head_m[tank], pressure[i], missing[i], points[tank]);
    points[tank].volume_slope_m2 = missing[i].volume.surface_m2;
  }
  // dp/dH_j solves the same system.
  for (std::size_t j = 0; j < n; ++j) {
    std::vector<double> per_head(n);
    for (std::size_t i = 0; i < n; ++i) per_head[i] = per_heads[i * n + j];
    eliminate(matrix, per_head);
    for (std::size_t i = 0; i < n; ++i) {
      const std::size_t tank = group.tanks[i];
      const double gas_slope = per_head[i] / weight_n_per_m3_;
      const double change = -missing[i].volume.surface_m2 * gas_slope;
      if (i == j) {
        points[tank].level_slope = std::max(0.0, 1.0 - gas_slope);
        points[tank].volume_slope_m2 = missing[i].volume.surface_m2 * points[tank].level_slope;
      } else if (change != 0.0) {
        crosses.push_back({tank, group.tanks[j], gas_slope, change});
      }
    }
  }
}

}  // namespace tankyard
