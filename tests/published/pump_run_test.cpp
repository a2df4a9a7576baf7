// SPDX-License-Identifier: MIT
// Pumps on their pipes through a whole run: two wide vessels, one above the other, the pump between
// them on its own header, all losses in one pipe without length. The same problems stand in
// pumps_test.cpp, where the law alone answers them. Cengel's ex. 8-7 is not here: a hose of the
// tool loses at its entry and exit, and the book leaves both out.
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "published/table.h"
#include "published/yard.h"

namespace published {
namespace pump_run_test {

using namespace tankyard;

constexpr double foot_m = 0.3048;
constexpr double inch_m = 0.0254;
constexpr double cubic_foot_m3 = foot_m * foot_m * foot_m;
constexpr double thousand_gallons_a_minute = 3.785411784 / 60.0;
constexpr double litre_a_minute = 1.0 / 60000.0;
constexpr double pi = 3.14159265358979323846;

struct Across {
  Yard yard;
  TankId low, high;
  HeaderId delivery;

  /// `lost_m` at `flow`: what the pipes cost, as the square of the flow.
  Across(double lift_m, double lost_m, double flow_m3_per_s, double bore_m) {
    low = yard.vessel(100.0, 3.0);
    high = yard.vessel(100.0, 3.0, lift_m);
    delivery = yard.header(0.0);
    const double speed = flow_m3_per_s / (0.25 * pi * bore_m * bore_m);
    yard.pipe(delivery, high, bore_m, 0.0, 0.0, lost_m * 2.0 * 9.80665 / (speed * speed));
  }

  void pump(Place from, Place to, const std::vector<CurvePoint>& curve) {
    Pump pump;
    pump.name = "pump-" + std::to_string(yard.parts.pumps.size() + 1);
    pump.from = from;
    pump.to = to;
    pump.curve = curve;
    pump.running = true;
    yard.parts.pumps.push_back(pump);
  }

  /// Flow through the pipe at once, and the head that the pumps together give.
  struct Duty {
    double m3_per_s = 0.0;
    double head_m = 0.0;
    double kwh = 0.0;
  };
  Duty duty(double lasts_s = 0.1) const {
    const auto record = yard.run(lasts_s, 1, 1e-9);
    if (!record) return {};
    return {record->trace.hose_flow_m3_per_s.back()[0],
            record->trace.header_head_m.back()[delivery.index] - 3.0, record->pumps[0].energy_kwh};
  }
};

std::vector<CurvePoint> sheet(double top, double k, const std::vector<double>& flows,
                              double flow_unit_m3_per_s, double head_unit_m) {
  std::vector<CurvePoint> points;
  for (const double flow : flows) {
    points.push_back({flow * flow_unit_m3_per_s, (top - k * flow * flow) * head_unit_m});
  }
  return points;
}

TEST(PumpInARun, OnAPipelineOfWhite) {
  Across across(120.0 * foot_m, 1.335 * foot_m, thousand_gallons_a_minute, 0.6);
  across.pump(across.low, across.delivery,
              sheet(490.0, 0.26, {0.0, 5.0, 10.0, 15.0, 20.0}, thousand_gallons_a_minute, foot_m));
  const Across::Duty duty = across.duty();
  row({.what = "through a run, 490 - 0.26 Q2 ft against 120 + 1.335 Q2: flow",
       .source = "White, ex. 11.6",
       .sure = Sure::memory,
       .published = 15.2,
       .ours = duty.m3_per_s / thousand_gallons_a_minute,
       .unit = "kgpm",
       .band = give_or_take(15.2, 0.05)});
  row({.what = "the same: head",
       .source = "White, ex. 11.6",
       .sure = Sure::memory,
       .published = 430.0,
       .ours = duty.head_m / foot_m,
       .unit = "ft",
       .band = give_or_take(430.0, 0.5)});
}

TEST(PumpInARun, OnAQuadraticSystem) {
  Across across(3.52, 0.0261, litre_a_minute, 0.016);
  across.pump(across.low, across.delivery,
              sheet(7.46, 0.0453, {0.0, 3.0, 6.0, 9.0, 12.0}, litre_a_minute, 1.0));
  const Across::Duty duty = across.duty();
  row({.what = "through a run, 7.46 - 0.0453 Q2 m against 3.52 + 0.0261 Q2: flow",
       .source = "Cengel and Cimbala, problem",
       .sure = Sure::computed,
       .published = 7.42846,
       .ours = duty.m3_per_s / litre_a_minute,
       .unit = "L/min",
       .band = percent(7.42846, 0.05)});
  row({.what = "the same: head",
       .source = "Cengel and Cimbala, problem",
       .sure = Sure::computed,
       .published = 4.96025,
       .ours = duty.head_m,
       .unit = "m",
       .band = percent(4.96025, 0.05)});
  // rho g Q H t / eta by hand: 999.70 x 9.80665 x 1.238077e-4 x 4.96025 x 600 / 0.35 / 3.6e6.
  row({.what = "the same for ten minutes at 35 %: energy",
       .source = "by hand, rho g Q H t / eta",
       .sure = Sure::computed,
       .published = 2.86696e-3,
       .ours = across.duty(600.0).kwh,
       .unit = "kWh",
       .band = percent(2.86696e-3, 0.2)});
}

TEST(PumpInARun, AloneInARowAndSideBySide) {
  // The wide pipe's loss is reckoned to the narrow one's bore.
  const double bore_m = 8.0 * inch_m;
  const double area = 0.25 * pi * bore_m * bore_m;
  const double k = 0.028 * 4900.0 * foot_m / bore_m +
                   0.022 * 90.0 * foot_m / (10.0 * inch_m) * std::pow(8.0 / 10.0, 4);
  const double speed = cubic_foot_m3 / area;
  const double lost_at_1_cfs_m = k * speed * speed / (2.0 * 9.80665);
  const std::vector<CurvePoint> points =
      sheet(365.0, 20.0, {0.0, 0.5, 1.0, 2.0, 3.0, 4.0}, cubic_foot_m3, foot_m);
  const auto across = [&] {
    return Across(290.0 * foot_m, lost_at_1_cfs_m, cubic_foot_m3, bore_m);
  };
  Across one = across();
  one.pump(one.low, one.delivery, points);
  Across in_a_row = across();
  const HeaderId between = in_a_row.yard.header(0.0);
  in_a_row.pump(in_a_row.low, between, points);
  in_a_row.pump(between, in_a_row.delivery, points);
  Across beside = across();
  beside.pump(beside.low, beside.delivery, points);
  beside.pump(beside.low, beside.delivery, points);
  struct Case {
    const char* what;
    const Across& of;
    double flow_cfs, head_ft;
  };
  for (const Case& c :
       {Case{"through a run, one pump of 365 - 20 Q2 ft, lift 290 ft", one, 1.27204, 332.64},
        Case{"through a run, two in a row", in_a_row, 2.57515, 464.74},
        Case{"through a run, two side by side", beside, 1.54670, 353.04}}) {
    const Across::Duty duty = c.of.duty();
    // The book's g is 32.2 ft/s2, ours 32.174.
    row({.what = std::string(c.what) + ": flow",
         .source = "textbook problem",
         .sure = Sure::computed,
         .published = c.flow_cfs,
         .ours = duty.m3_per_s / cubic_foot_m3,
         .unit = "cfs",
         .band = percent(c.flow_cfs, 0.08)});
    row({.what = std::string(c.what) + ": head",
         .source = "textbook problem",
         .sure = Sure::computed,
         .published = c.head_ft,
         .ours = duty.head_m / foot_m,
         .unit = "ft",
         .band = percent(c.head_ft, 0.08)});
  }
}

}  // namespace pump_run_test
}  // namespace published
