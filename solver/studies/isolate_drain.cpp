// SPDX-License-Identifier: MIT
#include "solver/studies/isolate_drain.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>

#include "solver/left_alone.h"
#include "solver/water.h"

namespace tankyard {
namespace {

constexpr double longest_s = 14.0 * 86400.0;

// Mouths closer together than this are one.
constexpr double same_height_m = 1e-3;

const TankId* tank_at(const HoseEnd& end) { return std::get_if<TankId>(&end.place); }

double height_at(const Tank& tank, const HoseEnd& end) {
  return end.height_m.value_or(tank.outlet_height_m);
}

bool name_is_taken(const Parts& parts, const std::string& name) {
  const auto is = [&](const auto& each) { return each.name == name; };
  return std::any_of(parts.tanks.begin(), parts.tanks.end(), is) ||
         std::any_of(parts.headers.begin(), parts.headers.end(), is) ||
         std::any_of(parts.hoses.begin(), parts.hoses.end(),
                     [&](const Hose& hose) {
                       return hose.name == name || (hose.valve && hose.valve->name == name);
                     }) ||
         std::any_of(parts.pumps.begin(), parts.pumps.end(), is) ||
         std::any_of(parts.outlets.begin(), parts.outlets.end(), is) ||
         std::any_of(parts.roofs.begin(), parts.roofs.end(), is) ||
         std::any_of(parts.top_ups.begin(), parts.top_ups.end(), is) ||
         std::any_of(parts.leaks.begin(), parts.leaks.end(), is) ||
         std::any_of(parts.air_lines.begin(), parts.air_lines.end(), is);
}

// Time to empty by hand, well over what it takes: slices of the head that a free orifice needs
//     dt = dV / (C a sqrt(2 g h)).
double about_how_long_s(const Tank& tank, const Outlet& drain, double height_m) {
  const double top_m = depth_m(tank.shape, tank.water_m3);
  if (top_m <= height_m) return 0.0;
  if (drain.draw_m3_per_s) {
    return (tank.water_m3 - volume_m3(tank.shape, height_m)) / *drain.draw_m3_per_s;
  }
  constexpr int slices = 50;
  const double area_m2 = 0.785398163397448309616 * *drain.bore_m * *drain.bore_m;
  double time_s = 0.0;
  for (int k = 0; k < slices; ++k) {
    const double low_m = height_m + (top_m - height_m) * k / slices;
    const double high_m = height_m + (top_m - height_m) * (k + 1) / slices;
    const double head_m = 0.5 * (low_m + high_m) - height_m;
    time_s += (volume_m3(tank.shape, high_m) - volume_m3(tank.shape, low_m)) /
              (drain.coefficient * area_m2 * std::sqrt(2.0 * gravity_m_per_s2 * head_m));
  }
  return time_s;
}

// When a depth is first reached from above, between the rows of a trace.
std::optional<double> falls_to(const Trace& trace, std::size_t tank, double depth) {
  for (std::size_t row = 0; row < trace.time_s.size(); ++row) {
    const double here_m = trace.depth_m[row][tank];
    if (here_m > depth) continue;
    if (row == 0) return trace.time_s[0];
    const double before_m = trace.depth_m[row - 1][tank];
    const double share = before_m > here_m ? (before_m - depth) / (before_m - here_m) : 1.0;
    return trace.time_s[row - 1] + share * (trace.time_s[row] - trace.time_s[row - 1]);
  }
  return std::nullopt;
}

}  // namespace

DrainPoint drain_point(const Array& array, TankId id, double bore_m) {
  const Parts& parts = array.parts();
  const Tank& tank = part(parts.tanks, id);
  std::optional<double> lowest_m;
  const auto mouth = [&](const HoseEnd& end) {
    const TankId* at = tank_at(end);
    if (at == nullptr || *at != id) return;
    lowest_m = std::min(lowest_m.value_or(height_at(tank, end)), height_at(tank, end));
  };
  for (const Hose& hose : parts.hoses) {
    mouth(hose.from);
    mouth(hose.to);
  }
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at) mouth(*outlet.at);
  }
  DrainPoint point;
  point.tank = id;
  point.height_m = lowest_m.value_or(tank.outlet_height_m);
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const auto& at = parts.outlets[i].at;
    const TankId* on = at ? tank_at(*at) : nullptr;
    // One that stands higher than where it is fixed does not empty the tank.
    if (on == nullptr || *on != id || parts.outlets[i].height_m) continue;
    if (height_at(tank, *at) > point.height_m + same_height_m) continue;
    point.outlet = id_at<OutletId>(i);
    point.height_m = height_at(tank, *at);
    break;
  }
  if (!point.outlet) {
    // Its mouth has to lie in the wall.
    point.bore_m = std::min(bore_m, 0.5 * height_m(tank.shape));
    point.height_m = std::min(point.height_m, height_m(tank.shape) - point.bore_m);
  }
  point.left_m3 = std::min(tank.water_m3, volume_m3(tank.shape, point.height_m));
  point.left_kg = point.left_m3 * water_density_kg_per_m3(parts.site.water_temperature_degc);
  return point;
}

Parts with_drains(const Parts& parts, const std::vector<DrainPoint>& drains, std::size_t& first) {
  Parts with = parts;
  first = with.outlets.size();
  for (const DrainPoint& point : drains) {
    Outlet drain;
    if (point.outlet) {
      drain = part(parts.outlets, *point.outlet);
    } else {
      drain.at = HoseEnd{point.tank, point.height_m};
      drain.bore_m = point.bore_m;
      drain.coefficient = drain_coefficient;
    }
    drain.name = "drain of " + std::to_string(point.tank.index + 1);
    while (name_is_taken(with, drain.name)) drain.name += "'";
    drain.open = false;
    with.outlets.push_back(std::move(drain));
  }
  return with;
}

Result<DrainTrial> try_drains(const Parts& parts, const std::vector<DrainPoint>& drains,
                              std::size_t first, const std::vector<double>& lowered_to_m,
                              const RunOptions& options) {
  Parts open = left_alone(parts);
  DrainTrial trial;
  double about_s = 0.0;
  for (std::size_t i = 0; i < drains.size(); ++i) {
    open.outlets[first + i].open = true;
    const Tank& tank = part(open.tanks, drains[i].tank);
    about_s =
        std::max(about_s, about_how_long_s(tank, open.outlets[first + i], drains[i].height_m));
    trial.vacuum.push_back(allowed_vacuum(tank));
  }
  const Result<Array> array = Array::make(std::move(open));
  if (!array) return tl::unexpected<Troubles>(array.error());
  RunOptions traced = options;
  double lasts_s = 60.0 + 1.5 * about_s;
  // A lid that lets little air in slows it down; a sealed one stops it.
  for (int tries = 0; tries < 3; ++tries, lasts_s *= 6.0) {
    DaySheet sheet;
    sheet.lasts_s = std::min(longest_s, lasts_s);
    traced.record_every_s = std::max(1.0, sheet.lasts_s / 400.0);
    const Result<RunRecord> record = run(*array, sheet, traced);
    if (!record) return tl::unexpected<Troubles>(record.error());
    trial.drained_after_s.clear();
    trial.lowered_after_s.clear();
    trial.left_in_m3.clear();
    trial.air.clear();
    bool all = true;
    for (std::size_t i = 0; i < drains.size(); ++i) {
      const std::size_t tank = drains[i].tank.index;
      trial.drained_after_s.push_back(
          falls_to(record->trace, tank, drains[i].height_m + drained_within_m));
      if (!lowered_to_m.empty()) {
        trial.lowered_after_s.push_back(falls_to(record->trace, tank, lowered_to_m[i]));
      }
      trial.left_in_m3.push_back(record->tanks[tank].end_m3);
      trial.air.push_back(record->tanks[tank].headspace);
      all = all && trial.drained_after_s.back();
    }
    if (all) break;
  }
  return trial;
}

}  // namespace tankyard
