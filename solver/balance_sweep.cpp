// SPDX-License-Identifier: MIT
#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "solver/balance.h"
#include "solver/drive.h"

namespace tankyard {
double Balance::flow_between(const Way& way, const std::vector<double>& head_m) const {
  if (way.pump) {
    return pump_flow(network_.pumps[*way.pump].running, pump_ends(way, head_m, points_));
  }
  return flow_at(way.loss, drive_of(way, head_m, points_, 0.0).head_m);
}

void Balance::flows_at_heads(const Ask& ask, Instant& instant) {
  // One assembly whose ways are first set to what the heads ask for.
  if (!points_.empty()) points_at_heads(ask, instant.head_m, true);
  for (std::size_t w = 0; w < ways_.open.size(); ++w) {
    const Way& way = ways_.open[w];
    instant.way_m3_per_s[w] = flow_between(way, instant.head_m);
  }
  assemble(ask, instant);
  if (!points_.empty()) keep_points(instant);
}

double Balance::missing_at(int place, double head_m, const Ask& ask, Instant& instant) {
  // Volume this place would have too much at this head, all other heads as they are: rises with
  // head. The head stays as tried, and with it the place's headspace.
  const auto at = static_cast<std::size_t>(place);
  instant.head_m[at] = head_m;
  const bool tank = at < network_.tanks.size();
  if (tank && !points_.empty()) point_at_head(ask, at, instant.head_m);
  double out = 0.0;
  for (std::size_t w : ways_at_[at]) {
    const Way& way = ways_.open[w];
    const double flow = flow_between(way, instant.head_m);
    out += way.from == place ? flow : -flow;
  }
  for (const Draw& draw : network_.draws) {
    if (draw.place == place && setting_.outlet_open[draw.outlet]) {
      const Standing water = standing_at(place, instant.head_m);
      out += fixed_draw(water.head_m - draw.mouth_m, draw.asked_m3_per_s).m3_per_s;
    }
  }
  if (!tank) return ask.weight_s * out;
  const TankFlows flows = flows_of(at, head_m);
  out += flows.overflow.m3_per_s + flows.rim.m3_per_s + flows.turned_away.m3_per_s -
         setting_.inflow_m3_per_s[at];
  for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
    const TankLaw& other = network_.tanks[i];
    if (other.overflow && other.overflow->to && other.overflow->to->index == at) {
      out -= flows_of(i, instant.head_m[i]).overflow.m3_per_s;
    }
  }
  const bool closed = !points_.empty() && headspaces_.closed(at);
  const double holds_m3 = closed ? points_[at].volume_m3 : network_.tanks[at].volume_at(head_m).m3;
  return holds_m3 - (*ask.wanted_m3)[at] + ask.weight_s * out;
}

std::vector<std::vector<int>> Balance::joined_closest_first() const {
  // Ways from the widest to the thinnest; each that joins two groups makes them one.
  std::vector<std::pair<double, std::size_t>> widest;
  for (std::size_t w = 0; w < ways_.open.size(); ++w) {
    const Way& way = ways_.open[w];
    if (way.to == outside || way.pump) continue;
    constexpr double small_head_m = 1e-3;
    widest.push_back({-flow_at(way.loss, small_head_m), w});
  }
  std::sort(widest.begin(), widest.end());
  std::vector<std::vector<int>> groups;
  const auto join_from = [&](int first) {
    std::vector<std::vector<int>> members;
    std::vector<std::size_t> group;
    for (int place = 0; place < network_.places(); ++place) {
      group.push_back(members.size());
      members.push_back({place});
    }
    for (const auto& [minus_flow, w] : widest) {
      const Way& way = ways_.open[w];
      if (std::min(way.from, way.to) < first) continue;
      const std::size_t into = group[static_cast<std::size_t>(way.from)];
      const std::size_t from = group[static_cast<std::size_t>(way.to)];
      if (into == from) continue;
      for (const int place : members[from]) {
        members[into].push_back(place);
        group[static_cast<std::size_t>(place)] = into;
      }
      members[from].clear();
      groups.push_back(members[into]);
    }
  };
  // Headers among themselves first: they hold nothing, so that what a film brings or does not may
  // move them all by a metre, of which a tank beside them knows nothing.
  join_from(static_cast<int>(network_.tanks.size()));
  join_from(0);
  return groups;
}

double Balance::shift(const std::vector<int>& places, const Ask& ask, Instant& instant) {
  const double floor_m = network_.lowest_head_m - 100.0;
  const double roof_m = network_.highest_head_m + 100.0;
  const double from_m = instant.head_m[static_cast<std::size_t>(places.front())];
  std::vector<double> above_m;  // each place over the first
  above_m.reserve(places.size());
  for (const int place : places) {
    above_m.push_back(instant.head_m[static_cast<std::size_t>(place)] - from_m);
  }
  const auto missing = [&](double first_m) {
    if (places.size() == 1) return missing_at(places.front(), first_m, ask, instant);
    for (std::size_t k = 0; k < places.size(); ++k) {
      const auto at = static_cast<std::size_t>(places[k]);
      instant.head_m[at] = first_m + above_m[k];
      if (at < points_.size()) point_at_head(ask, at, instant.head_m);
    }
    double sum_m3 = 0.0;
    for (std::size_t k = 0; k < places.size(); ++k) {
      sum_m3 += missing_at(places[k], first_m + above_m[k], ask, instant);
    }
    return sum_m3;
  };
  const double missing_there = missing(from_m);
  if (missing_there == 0.0) return 0.0;  // or it would drift along a stretch without slope
  // Where nothing is missing over a whole stretch, its nearest end is looked for.
  const auto sided = [&](double first_m) {
    const double sum_m3 = missing(first_m);
    return sum_m3 == 0.0 ? std::copysign(1e-30, -missing_there) : sum_m3;
  };
  // Closer brackets first, so that most sweeps need few turns.
  const double end_m = missing_there > 0.0 ? floor_m : roof_m;
  double near_m = from_m;
  double missing_near = missing_there;
  double far_m = from_m;
  double missing_far = missing_there;
  for (double reach_m = 1e-6; far_m != end_m && (missing_far > 0.0) == (missing_there > 0.0);
       reach_m *= 10.0) {
    near_m = far_m;
    missing_near = missing_far;
    far_m = reach_m < 10.0 ? from_m + std::copysign(reach_m, end_m - from_m) : end_m;
    missing_far = sided(far_m);
  }
  if ((missing_far > 0.0) == (missing_there > 0.0)) {  // nothing pulls
    missing(from_m);
    return 0.0;
  }
  const auto tight = [](double low_m, double high_m) {
    return high_m - low_m <= 1e-15 * (1.0 + std::fabs(low_m));
  };
  std::uintmax_t turns = 200;
  const auto [low_m, high_m] =
      near_m < far_m ? boost::math::tools::toms748_solve(sided, near_m, far_m, missing_near,
                                                         missing_far, tight, turns)
                     : boost::math::tools::toms748_solve(sided, far_m, near_m, missing_far,
                                                         missing_near, tight, turns);
  const double to_m = 0.5 * (low_m + high_m);
  missing(to_m);
  return std::fabs(to_m - from_m);
}

Balance::Answer Balance::sweep(const Ask& ask, Instant& instant) {
  Answer answer;
  answer.swept = true;
  const double enough_m = 1e-3 * stop_share * ask.depth_tolerance_m;
  if (!points_.empty()) points_at_heads(ask, instant.head_m, true);
  // Places joined by wide hoses move hardly at all one by one, each held by the others, so groups
  // move too. But the two together may go round in circles, where one by one is slow and sure:
  // stretches of the one and of the other take turns, and grow.
  const std::vector<std::vector<int>> groups = joined_closest_first();
  bool together = true;
  int stretch = 8;
  int left = stretch;
  for (int sweep = 0; sweep < ask.most_sweeps; ++sweep) {
    double largest_m = 0.0;
    for (int place = 0; place < network_.places(); ++place) {
      if (ways_.rests[static_cast<std::size_t>(place)]) continue;
      largest_m = std::max(largest_m, shift({place}, ask, instant));
    }
    if (together) {
      for (const std::vector<int>& group : groups) {
        largest_m = std::max(largest_m, shift(group, ask, instant));
      }
    }
    if (--left == 0) {
      if (!together) stretch *= 2;
      together = !together;
      left = stretch;
    }
    ++answer.turns;
    if (largest_m <= enough_m) {
      answer.settled = true;
      break;
    }
  }
  flows_at_heads(ask, instant);
  return answer;
}

}  // namespace tankyard
