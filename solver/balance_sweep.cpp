// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

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

Balance::Answer Balance::sweep(const Ask& ask, Instant& instant) {
  Answer answer;
  answer.swept = true;
  const double enough_m = 1e-3 * stop_share * ask.depth_tolerance_m;
  const double floor_m = network_.lowest_head_m - 100.0;
  const double roof_m = network_.highest_head_m + 100.0;
  if (!points_.empty()) points_at_heads(ask, instant.head_m, true);
  for (int sweep = 0; sweep < ask.most_sweeps; ++sweep) {
    double largest = 0.0;
    for (int place = 0; place < network_.places(); ++place) {
      const auto at = static_cast<std::size_t>(place);
      if (ways_.rests[at]) continue;
      double low = floor_m;
      double high = roof_m;
      // Closer brackets first, so that most sweeps need few halvings.
      const double now = instant.head_m[at];
      for (double reach = 1e-6; reach < 10.0; reach *= 10.0) {
        if (missing_at(place, now - reach, ask, instant) <= 0.0 &&
            missing_at(place, now + reach, ask, instant) >= 0.0) {
          low = now - reach;
          high = now + reach;
          break;
        }
      }
      if (missing_at(place, low, ask, instant) >= 0.0 && low == floor_m) {  // nothing pulls
        missing_at(place, now, ask, instant);
        continue;
      }
      for (int halving = 0; halving < 200 && high - low > 1e-15 * (1.0 + std::fabs(low));
           ++halving) {
        const double middle = 0.5 * (low + high);
        (missing_at(place, middle, ask, instant) > 0.0 ? high : low) = middle;
      }
      largest = std::max(largest, std::fabs(0.5 * (low + high) - now));
      missing_at(place, 0.5 * (low + high), ask, instant);
    }
    ++answer.turns;
    if (largest <= enough_m) {
      answer.settled = true;
      break;
    }
  }
  flows_at_heads(ask, instant);
  return answer;
}

}  // namespace tankyard
