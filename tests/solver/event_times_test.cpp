// SPDX-License-Identifier: MIT
// When a switch turns, against the moment worked out by other means, and how far depths are off, at
// tolerances from a millimetre to ten nanometres. Prints figures; tests/how_close.sh draws them.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <optional>
#include <vector>

#include "small_yard.h"
#include "solver/pump_law.h"
#include "solver/suction.h"
#include "solver/water.h"

namespace tankyard {
namespace event_times_test {

constexpr double pi = 3.14159265358979323846;
constexpr double event_tolerance_s = 1e-4;
constexpr double tolerances_m[] = {1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8};

/// What levels may be off over a run: `RunOptions` has it at about twice the tolerance of a step at
/// the default and some twenty times at 1e-7 m; half as much again for "about".
double allowed_m(double tolerance_m) { return (tolerance_m > 0.5e-4 ? 3.0 : 30.0) * tolerance_m; }

/// Seconds in which a level falls from one depth to another: the integral of area over flow, by
/// Simpson's rule; area and flow must be smooth between them.
double falls_s(double from_m, double to_m, const std::function<double(double)>& area_m2,
               const std::function<double(double)>& flow_m3_per_s) {
  constexpr int strips = 4000;
  double sum = 0.0;
  for (int k = 0; k <= strips; ++k) {
    const double depth = from_m + (to_m - from_m) * k / strips;
    const double weight = k == 0 || k == strips ? 1.0 : k % 2 == 1 ? 4.0 : 2.0;
    sum += weight * area_m2(depth) / flow_m3_per_s(depth);
  }
  return sum * (from_m - to_m) / strips / 3.0;
}

/// Runs a yard at every tolerance and holds the first event of a kind to a moment.
void hold(const char* series, const SmallYard& yard, Event::Kind kind, double want_s,
          double level_m_per_s) {
  const auto array = yard.array();
  ASSERT_TRUE(array);
  for (const double tolerance_m : tolerances_m) {
    RunOptions options;
    options.depth_tolerance_m = tolerance_m;
    options.event_tolerance_s = event_tolerance_s;
    const auto record = run(*array, yard.sheet, options);
    ASSERT_TRUE(record) << record.error().front().message;
    const auto event = std::find_if(record->events.begin(), record->events.end(),
                                    [kind](const Event& one) { return one.kind == kind; });
    ASSERT_NE(event, record->events.end()) << series << " at " << tolerance_m;
    const double apart_s = std::fabs(event->at_s - want_s);
    EXPECT_LE(apart_s, event_tolerance_s + allowed_m(tolerance_m) / level_m_per_s)
        << series << " at " << tolerance_m << " m: " << event->at_s << " s, want " << want_s;
    std::printf("how_close,%s,%.0e,%.3e,%.3e\n", series, tolerance_m, apart_s * level_m_per_s,
                apart_s);
  }
}

TopUp float_valve(TankId into, double flow_m3_per_s, double starts_below_m, double stops_above_m) {
  TopUp top_up;
  top_up.name = "float";
  top_up.into = into;
  top_up.flow_m3_per_s = flow_m3_per_s;
  top_up.starts_below_m = starts_below_m;
  top_up.stops_above_m = stops_above_m;
  return top_up;
}

Outlet hole_in(TankId tank, double bore_m, double jet_m) {
  Outlet hole;
  hole.name = "hole";
  hole.at = HoseEnd{tank, 0.0};
  hole.height_m = jet_m;
  hole.bore_m = bore_m;
  hole.coefficient = 0.6;
  hole.open = true;
  return hole;
}

double torricelli_m3_per_s(double bore_m, double head_m) {
  return 0.6 * pi / 4.0 * bore_m * bore_m * std::sqrt(2.0 * gravity_m_per_s2 * head_m);
}

// Source of truth: a steady flow into a box, volume over flow.
TEST(EventTimes, FloatShutsWhenABoxIsFull) {
  SmallYard yard;
  const TankId tank = yard.box("box", 0.7, 1.0, 0.0, 0.7 * 0.1);
  yard.parts.top_ups.push_back(float_valve(tank, 2e-4, 0.2, 0.83));
  yard.sheet.lasts_s = 7200.0;
  hold("filling", yard, Event::Kind::top_up_stops, 0.7 * 0.73 / 2e-4, 2e-4 / 0.7);
}

// Source of truth: Torricelli, 2 A (sqrt(h0) - sqrt(h1)) / (c a sqrt(2 g)). The hole turns laminar
// at Re = 10, which costs a millionth of the time.
TEST(EventTimes, FloatOpensWhenABoxHasDrained) {
  SmallYard yard;
  const TankId tank = yard.box("box", 1.0, 2.0, 0.0, 1.8);
  yard.parts.outlets.push_back(hole_in(tank, 0.02, -0.2));
  yard.parts.top_ups.push_back(float_valve(tank, 1e-3, 0.3, 0.5));
  yard.sheet.lasts_s = 7200.0;
  const double k = torricelli_m3_per_s(0.02, 1.0);
  hold("torricelli", yard, Event::Kind::top_up_starts, 2.0 * (std::sqrt(2.0) - std::sqrt(0.5)) / k,
       k * std::sqrt(0.5));
}

// Source of truth: the integral of a lying tank's surface over Torricelli's flow.
TEST(EventTimes, FloatOpensWhenALyingTankHasDrained) {
  SmallYard yard;
  Tank tank;
  tank.name = "lying";
  tank.shape = Lying{1.2, 2.0};
  tank.water_m3 = volume_m3(tank.shape, 1.1);
  yard.parts.tanks.push_back(tank);
  const TankId id = id_at<TankId>(0);
  yard.parts.outlets.push_back(hole_in(id, 0.018, -0.2));
  yard.parts.top_ups.push_back(float_valve(id, 1e-3, 0.15, 0.5));
  yard.sheet.lasts_s = 12.0 * 3600.0;
  const auto area = [&](double depth) { return surface_m2(tank.shape, depth); };
  const auto flow = [](double depth) { return torricelli_m3_per_s(0.018, depth + 0.2); };
  hold("lying", yard, Event::Kind::top_up_starts, falls_s(1.1, 0.15, area, flow),
       flow(0.15) / area(0.15));
}

/// A box, a pump straight on it, a nozzle; and what the three pass at a depth, by halving.
struct PumpedBox : SmallYard {
  static constexpr double bore_m = 0.006;
  static constexpr double coefficient = 0.9;
  static constexpr double nozzle_m = 1.5;
  TankId tank = box("box", 0.8, 1.2, 0.0, 0.8 * 1.0);
  OutletId spray = tap("spray", nozzle_m, bore_m);

  PumpedBox() {
    parts.outlets[0].coefficient = coefficient;
    Pump pump;
    pump.name = "pump";
    pump.from = tank;
    pump.to = spray;
    pump.curve = {{0.0, 32.0}, {2e-4, 29.0}, {4e-4, 22.0}, {6e-4, 11.0}};
    pump.running = true;
    parts.pumps.push_back(pump);
    sheet.lasts_s = 4.0 * 3600.0;
  }

  double flow_m3_per_s(double depth_m) const {
    const Water water = water_at(parts.site.water_temperature_degc, parts.site.altitude_m);
    const PumpLaw law{PumpCurve(parts.pumps[0].curve),
                      {boils_at_head_m(water, 0.0), NpshRequired({})}};
    // The mouth of a pump straight on a tank is taken to be 25 mm: the circle's segment.
    const double x = std::min(1.0, depth_m / 0.025);
    const double share =
        (std::acos(1.0 - 2.0 * x) - 2.0 * (1.0 - 2.0 * x) * std::sqrt(x - x * x)) / pi;
    const double area = pi / 4.0 * bore_m * bore_m * coefficient;
    double low = 0.0;
    double high = 6e-4;
    for (int turn = 0; turn < 60; ++turn) {
      const double middle = 0.5 * (low + high);
      const double jet = std::pow(middle / area, 2.0) / (2.0 * gravity_m_per_s2);
      (pump_flow(law, depth_m, nozzle_m + jet, share * share) > middle ? low : high) = middle;
    }
    return low;
  }
};

// Source of truth: the integral of area over the flow at which curve and nozzle meet.
TEST(EventTimes, PumpCutsOutWhenABoxIsLow) {
  PumpedBox yard;
  yard.parts.pumps[0].stops_below = LowLevelStop{yard.tank, 0.2, 0.3};
  const auto flow = [&](double depth) { return yard.flow_m3_per_s(depth); };
  const auto area = [](double) { return 0.8; };
  hold("cut-out", yard, Event::Kind::pump_cut_out_low, falls_s(1.0, 0.2, area, flow),
       flow(0.2) / 0.8);
}

// Source of truth: the same down to half the mouth of 25 mm, over whose last half the drive goes
// with the square of the share that is covered.
TEST(EventTimes, PumpDrawsAirWhenItsMouthIsHalfBare) {
  PumpedBox yard;
  const auto flow = [&](double depth) { return yard.flow_m3_per_s(depth); };
  const auto area = [](double) { return 0.8; };
  const double want_s = falls_s(1.0, 0.025, area, flow) + falls_s(0.025, 0.0125, area, flow);
  hold("bared", yard, Event::Kind::pump_draws_air, want_s, flow(0.0125) / 0.8);
}

// Source of truth: the same days at 1e-10 m. Five boxes in a row, a tap four times a day, rain.
TEST(EventTimes, TenDaysOfFiveTanks) {
  SmallYard yard;
  constexpr double day_s = 86400.0;
  for (int k = 0; k < 5; ++k) {
    const TankId id = yard.box("tank-" + std::to_string(k + 1), 1.0, 3.0, 0.0, 1.5);
    if (k == 0) continue;
    const double bore_m = 0.0125 + 0.0035 * (k - 1);
    yard.hose("hose-" + std::to_string(k), id_at<TankId>(id.index - 1), id, bore_m, 3.5).length_m =
        2.0 + k;
  }
  const OutletId tap = yard.draw("tap", id_at<TankId>(0), 0.0, 0.1);
  yard.parts.outlets[tap.index].open = false;
  yard.roof("roof", id_at<TankId>(4), 60.0);
  yard.sheet.lasts_s = 10.0 * day_s;
  for (int quarter = 0; quarter < 40; ++quarter) {
    const double from_s = 0.25 * day_s * quarter;
    yard.sheet.steps.push_back({from_s + 3600.0, {{Action::Does::open, tap}}, 0.0});
    yard.sheet.steps.push_back({from_s + 5400.0, {{Action::Does::close, tap}}, {}});
    yard.sheet.steps.push_back({from_s + 14400.0, {}, 3e-3 / 3600.0});
    yard.sheet.steps.push_back({from_s + 18000.0, {}, 0.0});
  }
  const auto array = yard.array();
  ASSERT_TRUE(array);
  long long steps = 0;
  const auto depths = [&](double tolerance_m) {
    RunOptions options;
    options.depth_tolerance_m = tolerance_m;
    options.record_every_s = 600.0;
    auto record = run(*array, yard.sheet, options);
    EXPECT_TRUE(record);
    if (record) steps = record->effort.steps;
    return record ? std::move(record->trace) : Trace{};
  };
  // Rows stand at every ten minutes in both; what else is recorded is left out.
  const auto every_ten_minutes = [](const Trace& trace) {
    std::vector<double> all;
    for (std::size_t row = 0; row < trace.time_s.size(); ++row) {
      const double tens = trace.time_s[row] / 600.0;
      if (std::fabs(tens - std::round(tens)) > 1e-9) continue;
      const auto now = trace.depth_m[row];
      all.insert(all.end(), now.begin(), now.end());
    }
    return all;
  };
  const std::vector<double> truth = every_ten_minutes(depths(1e-10));
  ASSERT_GE(truth.size(), 5U * 1440U);
  for (const double tolerance_m : {1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7}) {
    const std::vector<double> got = every_ten_minutes(depths(tolerance_m));
    ASSERT_EQ(got.size(), truth.size());
    double most_m = 0.0;
    for (std::size_t k = 0; k < got.size(); ++k) {
      most_m = std::max(most_m, std::fabs(got[k] - truth[k]));
    }
    EXPECT_LE(most_m, allowed_m(tolerance_m)) << tolerance_m;
    std::printf("how_close,ten-days,%.0e,%.3e,,%lld steps\n", tolerance_m, most_m, steps);
  }
}

}  // namespace event_times_test
}  // namespace tankyard
