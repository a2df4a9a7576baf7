// SPDX-License-Identifier: MIT
#include "published/yard.h"

#include <gtest/gtest.h>

#include <cmath>

namespace published {

using namespace tankyard;

namespace {

constexpr double pi = 3.14159265358979323846;

double bore_of(double area_m2) { return std::sqrt(4.0 * area_m2 / pi); }

void tell(const Troubles& troubles) {
  for (const Trouble& trouble : troubles) ADD_FAILURE() << trouble.message;
}

}  // namespace

TankId Yard::vessel(double area_m2, double depth_m, double base_m) {
  Tank tank;
  tank.name = "vessel-" + std::to_string(parts.tanks.size() + 1);
  tank.shape = Prism{area_m2, depth_m + 1.0};
  tank.base_m = base_m;
  tank.water_m3 = area_m2 * depth_m;
  parts.tanks.push_back(tank);
  return id_at<TankId>(parts.tanks.size() - 1);
}

HeaderId Yard::header(double height_m) {
  parts.headers.push_back({"junction-" + std::to_string(parts.headers.size() + 1), height_m, {}});
  return id_at<HeaderId>(parts.headers.size() - 1);
}

HoseId Yard::pipe(Place from, Place to, double bore_m, double length_m, double roughness_m,
                  double total_k) {
  Hose hose;
  hose.name = "pipe-" + std::to_string(parts.hoses.size() + 1);
  hose.from.place = from;
  hose.to.place = to;
  hose.bore_m = bore_m;
  hose.length_m = length_m;
  hose.roughness_m = roughness_m;
  hose.loss_k = total_k - 1.5;
  parts.hoses.push_back(hose);
  return id_at<HoseId>(parts.hoses.size() - 1);
}

HoseId Yard::orifice(Place from, Place to, double area_m2, double coefficient) {
  return pipe(from, to, bore_of(area_m2), 0.0, 0.0, 1.0 / (coefficient * coefficient));
}

void Yard::drain(TankId vessel, double area_m2, double coefficient, double mouth_m) {
  Outlet outlet;
  outlet.name = "drain-" + std::to_string(parts.outlets.size() + 1);
  outlet.at = HoseEnd{vessel, 0.0};
  outlet.height_m = part(parts.tanks, vessel).base_m + mouth_m;
  outlet.bore_m = bore_of(area_m2);
  outlet.coefficient = coefficient;
  outlet.open = true;
  parts.outlets.push_back(outlet);
}

std::optional<RunRecord> Yard::run(double lasts_s, int rows, double depth_tolerance_m) const {
  const auto array = Array::make(parts);
  if (!array) {
    tell(array.error());
    return std::nullopt;
  }
  DaySheet lasting = sheet;
  lasting.lasts_s = lasts_s;
  RunOptions options;
  options.depth_tolerance_m = depth_tolerance_m;
  options.record_every_s = lasts_s / rows;
  const auto record = tankyard::run(*array, lasting, options);
  if (!record) {
    tell(record.error());
    return std::nullopt;
  }
  return *record;
}

double when_down_to(const Trace& trace, const Reading& reading, double value) {
  for (std::size_t row = 1; row < trace.time_s.size(); ++row) {
    const double before = reading(trace, row - 1);
    const double after = reading(trace, row);
    if (before > value && after <= value) {
      const double share = (before - value) / (before - after);
      return trace.time_s[row - 1] + share * (trace.time_s[row] - trace.time_s[row - 1]);
    }
  }
  ADD_FAILURE() << "never came down to " << value << " within " << trace.time_s.size() << " rows";
  return 0.0;
}

double when_gone(const Trace& trace, const Reading& reading) {
  const double start = reading(trace, 0);
  const Reading root = [&](const Trace& t, std::size_t row) {
    return std::sqrt(std::max(0.0, reading(t, row)));
  };
  const double early = when_down_to(trace, root, std::sqrt(start) / 5.0);
  const double late = when_down_to(trace, root, std::sqrt(start) / 10.0);
  return late + (late - early);
}

Reading difference_between(const Yard& yard, TankId high, TankId low) {
  const double bases = part(yard.parts.tanks, high).base_m - part(yard.parts.tanks, low).base_m;
  return [=](const Trace& trace, std::size_t row) {
    return trace.depth_m[row][high.index] - trace.depth_m[row][low.index] + bases;
  };
}

Reading depth_over(TankId vessel, double mouth_m) {
  return [=](const Trace& trace, std::size_t row) {
    return trace.depth_m[row][vessel.index] - mouth_m;
  };
}

}  // namespace published
