// SPDX-License-Identifier: MIT
// Three reservoirs on one junction: tanks of a square kilometre, so that their levels stand still.
//
//    |~~~|                       the head at the junction is the one at which what comes in
//    |   |----.      |~~~|       goes out again
//             |------|   |
//    |~~~|----'
#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "published/table.h"
#include "published/yard.h"

namespace published {
namespace reservoirs_test {

constexpr double pi = 3.14159265358979323846;
constexpr double foot_m = 0.3048;
constexpr double gravity = 9.80665;

struct Arm {
  double level_m, bore_m, length_m, roughness_m, total_k;
};

struct Answer {
  double junction_m = 0.0;
  std::vector<double> to_junction_m3_per_s;  ///< per arm
};

Answer settle(const std::vector<Arm>& arms, double water_degc) {
  Yard yard(water_degc);
  const auto junction = yard.header(0.0);
  for (const Arm& arm : arms) {
    const auto reservoir = yard.vessel(1e6, 5.0, arm.level_m - 5.0);
    yard.pipe(reservoir, junction, arm.bore_m, arm.length_m, arm.roughness_m, arm.total_k);
  }
  const auto record = yard.run(10.0, 2);
  if (!record) return {0.0, std::vector<double>(arms.size(), 0.0)};
  const auto flows = record->trace.hose_flow_m3_per_s.back();
  return {record->trace.header_head_m.back()[0], {flows.begin(), flows.end()}};
}

// A pipe whose loss the book gives as head = k Q^2: no length, K = 2 g a^2 k.
Arm by_square(double level_m, double bore_m, double k_s2_per_m5) {
  const double area = pi / 4.0 * bore_m * bore_m;
  return {level_m, bore_m, 0.0, 0.0, 2.0 * gravity * area * area * k_s2_per_m5};
}

void rows(const std::string& what, const char* source, Sure junction_sure, double junction_m,
          Sure flow_sure, const std::vector<double>& flows, double flow_unit_m3_per_s,
          const char* flow_unit, const Answer& ours, double head_percent, double flow_percent,
          double head_unit_m = 1.0, const char* head_unit = "m") {
  row({.what = what + ": junction",
       .source = source,
       .sure = junction_sure,
       .published = junction_m,
       .ours = ours.junction_m / head_unit_m,
       .unit = head_unit,
       .band = percent(junction_m, head_percent)});
  for (std::size_t i = 0; i < flows.size(); ++i) {
    row({.what = what + ": from reservoir " + std::to_string(i + 1),
         .source = source,
         .sure = flow_sure,
         .published = flows[i],
         .ours = ours.to_junction_m3_per_s[i] / flow_unit_m3_per_s,
         .unit = flow_unit,
         .band = percent(flows[i], flow_percent)});
  }
}

// White counts no entry and no exit. What the tool always counts for them, 1.5, is taken off the
// length, with the f that the book's own head and flow have: 1.5 D / f.
TEST(ThreeReservoirs, OfWhite) {
  struct Printed {
    double level_m, length_m, bore_m, roughness_m, cubic_metres_per_h;
  };
  const double junction_m = 34.53;
  const std::vector<Printed> printed = {{20.0, 100.0, 0.08, 0.24e-3, -52.8},
                                        {100.0, 150.0, 0.06, 0.12e-3, 47.0},
                                        {40.0, 80.0, 0.04, 0.20e-3, 5.8}};
  std::vector<Arm> arms;
  std::vector<double> flows;
  for (const Printed& p : printed) {
    const double velocity = p.cubic_metres_per_h / 3600.0 / (pi / 4.0 * p.bore_m * p.bore_m);
    const double f = std::fabs(p.level_m - junction_m) * 2.0 * gravity * p.bore_m /
                     (p.length_m * velocity * velocity);
    arms.push_back({p.level_m, p.bore_m, p.length_m - 1.5 * p.bore_m / f, p.roughness_m, 1.5});
    flows.push_back(p.cubic_metres_per_h);
  }
  // Lengths, bores and roughness from memory; they give the printed answers to three digits.
  // nu = 1.02e-6 m2/s is water at 19.4 degC.
  rows("three reservoirs", "White 4th ed., ex. 6.18", Sure::seen, junction_m, Sure::seen, flows,
       1.0 / 3600.0, "m3/h", settle(arms, 19.4), 0.3, 1.5);
}

TEST(ThreeReservoirs, OfACompanionOf1962) {
  const std::vector<Arm> arms = {by_square(135.0, 1.5, 0.7594), by_square(120.0, 0.5, 36.33),
                                 by_square(112.0, 0.75, 8.168)};
  rows("three reservoirs, h = k Q2", "textbook companion 1962, ex. 9.12", Sure::seen, 131.6,
       Sure::computed, {2.1144, -0.56518, -1.54926}, 1.0, "m3/s", settle(arms, 10.0), 0.02, 0.02);
}

TEST(ThreeReservoirs, OfDouglas) {
  const auto k = [](double length, double bore) {
    return 0.01 * length / (3.0 * std::pow(bore, 5));
  };
  const std::vector<Arm> arms = {by_square(60.0, 0.3, k(1500.0, 0.3)),
                                 by_square(30.0, 0.25, k(800.0, 0.25)),
                                 by_square(15.0, 0.2, k(400.0, 0.2))};
  rows("three reservoirs, h = f L Q2/(3 d5)", "Douglas et al., fig. 14.19", Sure::computed, 34.7767,
       Sure::computed, {0.110718, -0.041824, -0.068894}, 1.0, "m3/s", settle(arms, 10.0), 0.01,
       0.02);
}

TEST(ThreeReservoirs, InFeet) {
  const std::vector<Arm> arms = {{100.0 * foot_m, foot_m, 0.0, 0.0, 0.02 * 1000.0},
                                 {20.0 * foot_m, foot_m, 0.0, 0.0, 0.02 * 500.0},
                                 {0.0, foot_m, 0.0, 0.0, 0.02 * 400.0}};
  // The book's g is 32.2 ft/s2, ours 32.174.
  rows("three reservoirs, f 0.02", "textbook problem", Sure::computed, 21.2550, Sure::computed,
       {12.5063, -2.2328, -10.2735}, foot_m * foot_m * foot_m, "cfs", settle(arms, 10.0), 0.01,
       0.06, foot_m, "ft");
}

}  // namespace reservoirs_test
}  // namespace published
