// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "solver/headspace.h"

namespace tankyard {
namespace {

constexpr int most_turns_together = 100;
constexpr int most_halvings = 30;
constexpr int patient_turns = 10;

}  // namespace

/// Headspaces that air lines join, all at once.
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
    held[i] = hold(ask, group.tanks[i]);
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
      find_missing(ask, held[i], head_m[group.tanks[i]], pressure[i], missing[i]);
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
