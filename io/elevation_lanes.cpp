// SPDX-License-Identifier: MIT
#include "io/elevation_lanes.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

namespace tankyard::elevation {
namespace {

constexpr double corner_px = 8.0;  ///< of a stretch that stays bare at its ends
constexpr double apart_px = 10.0;  ///< between two stretches of one lane

}  // namespace

std::size_t assign_lanes(std::vector<LaneRun>& runs, double most_left) {
  for (LaneRun& run : runs) {
    const double inside = run.right - run.left - 2.0 * corner_px;
    run.room_left = run.left;
    run.room_right = run.right;
    run.signs_x = (run.left + run.right) / 2.0;
    if (run.text_px <= 0.0) continue;
    if (run.text_on == LaneRun::TextOn::anywhere && inside >= run.signs_px + run.text_px + 6.0) {
      run.text_inside = true;
      continue;
    }
    const double beside = corner_px + run.text_px;
    const bool left = run.text_on == LaneRun::TextOn::left;
    run.text_x = left ? run.left - beside : run.right + corner_px;
    if (left && run.text_x < most_left) run.text_x = run.right + corner_px;
    run.room_left = std::min(run.left, run.text_x);
    run.room_right = std::max(run.right, run.text_x + run.text_px);
  }
  std::vector<std::size_t> order(runs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  // Hoses that go on in another row lie lowest, the outermost of them first.
  const auto key = [&](std::size_t k) {
    switch (runs[k].text_on) {
      case LaneRun::TextOn::anywhere:
        return std::pair(0, std::round(runs[k].room_right - runs[k].room_left));
      case LaneRun::TextOn::left:
        return std::pair(1, runs[k].right);
      case LaneRun::TextOn::right:
        return std::pair(2, -runs[k].left);
    }
    return std::pair(3, 0.0);
  };
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
  std::vector<std::vector<std::size_t>> lanes;
  for (const std::size_t k : order) {
    LaneRun& run = runs[k];
    run.lane = lanes.size();
    for (std::size_t lane = 0; lane < lanes.size(); ++lane) {
      const bool free = std::none_of(lanes[lane].begin(), lanes[lane].end(), [&](std::size_t j) {
        return runs[j].room_left < run.room_right + apart_px &&
               run.room_left < runs[j].room_right + apart_px;
      });
      if (!free) continue;
      run.lane = lane;
      break;
    }
    if (run.lane == lanes.size()) lanes.emplace_back();
    lanes[run.lane].push_back(k);
  }
  return lanes.size();
}

void place_text(LaneRun& run, const std::vector<Descent>& descents) {
  if (!run.text_inside) return;
  const double block = run.signs_px + run.text_px;
  const double first = run.left + corner_px;
  const double last = run.right - corner_px - block;
  double best = first;
  double least = std::numeric_limits<double>::infinity();
  constexpr int tries = 24;
  for (int k = 0; k <= tries; ++k) {
    const double at = first + (last - first) * k / tries;
    double cost = std::fabs(at - (first + last) / 2.0) / (last - first + 1.0);
    for (const Descent& descent : descents) {
      const bool through =
          descent.lane > run.lane && descent.x > at - 4.0 && descent.x < at + block + 4.0;
      if (through) cost += 10.0;
    }
    if (cost < least) {
      least = cost;
      best = at;
    }
  }
  run.signs_x = best + run.signs_px / 2.0;
  run.text_x = best + run.signs_px;
}

}  // namespace tankyard::elevation
