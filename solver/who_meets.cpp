// SPDX-License-Identifier: MIT
#include "solver/who_meets.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <queue>
#include <tuple>

namespace tankyard {

std::size_t Row::of(Place place) const {
  if (const auto* tank = std::get_if<TankId>(&place)) return tank->index;
  if (const auto* header = std::get_if<HeaderId>(&place)) return tanks_ + header->index;
  return tanks_ + headers_ + std::get_if<OutletId>(&place)->index;
}

std::vector<std::size_t> groups_in_row(const Parts& parts, const OpenHoses& open) {
  const Row row(parts);
  std::vector<std::size_t> leader(row.size());
  std::iota(leader.begin(), leader.end(), std::size_t{0});
  const auto find = [&leader](std::size_t place) {
    while (leader[place] != place) place = leader[place] = leader[leader[place]];
    return place;
  };
  const auto join = [&](Place one, Place other) {
    const std::size_t a = find(row.of(one));
    const std::size_t b = find(row.of(other));
    leader[std::max(a, b)] = std::min(a, b);
  };
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    if (open[i]) join(parts.hoses[i].from.place, parts.hoses[i].to.place);
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    if (parts.outlets[i].at) join(id_at<OutletId>(i), parts.outlets[i].at->place);
  }
  for (std::size_t& place : leader) place = find(place);
  return leader;
}

OpenHoses open_at(const Array& array, const DaySheet& sheet, double at_s) {
  OpenHoses open = array.open_at_start();
  for (const TimedStep& step : sheet.steps) {
    if (step.at_s > at_s) break;
    for (const Action& action : step.actions) {
      if (const auto* hose = std::get_if<HoseId>(&action.part)) {
        open[hose->index] = action.does == Action::Does::open;
      }
    }
  }
  return open;
}

WaysFrom::WaysFrom(const Parts& parts, Place origin, double cost_at_origin, const Cost& cost)
    : row_(parts), origin_(row_.of(origin)), found_(row_.size()) {
  std::vector<std::vector<Leg>> legs(row_.size());
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    legs[row_.of(parts.hoses[i].from.place)].push_back({id_at<HoseId>(i), true});
    legs[row_.of(parts.hoses[i].to.place)].push_back({id_at<HoseId>(i), false});
  }
  // Dijkstra's search (E. W. Dijkstra, Numerische Mathematik 1 (1959) 269).
  using Waiting = std::tuple<double, std::size_t, std::size_t>;  // cost, legs, place
  std::priority_queue<Waiting, std::vector<Waiting>, std::greater<>> waiting;
  found_[origin_].cost = cost_at_origin;
  waiting.emplace(cost_at_origin, std::size_t{0}, origin_);
  while (!waiting.empty()) {
    const std::size_t here = std::get<2>(waiting.top());
    waiting.pop();
    if (found_[here].settled) continue;
    found_[here].settled = true;
    for (const Leg& leg : legs[here]) {
      const std::size_t there = row_.of(leg.far_end(parts).place);
      Found& found = found_[there];
      if (found.settled) continue;
      const double with_leg = cost(found_[here].cost, leg);
      const std::size_t count = found_[here].legs + 1;
      if (!std::isfinite(with_leg)) continue;
      const bool better = !found.leg || with_leg < found.cost ||
                          (with_leg == found.cost &&
                           (count < found.legs ||
                            (count == found.legs && part(parts.hoses, leg.hose).name <
                                                        part(parts.hoses, found.leg->hose).name)));
      if (!better) continue;
      found.cost = with_leg;
      found.legs = count;
      found.leg = leg;
      found.before = here;
      waiting.emplace(with_leg, count, there);
    }
  }
}

std::vector<Leg> WaysFrom::way_to(Place place) const {
  std::vector<Leg> way;
  for (std::size_t at = row_.of(place); found_[at].leg; at = found_[at].before) {
    way.push_back(*found_[at].leg);
  }
  std::reverse(way.begin(), way.end());
  return way;
}

}  // namespace tankyard
