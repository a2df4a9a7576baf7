// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include "graph/check_array.h"
#include "graph/check_limits.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_pumps_test {

std::vector<Limit> limits_of_pumps() {
  const auto at = [](const char* kind, std::size_t index, const char* field) {
    return PartField{kind, index, field};
  };
  const auto pump = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.pumps[0], value); };
  };
  return {
      {pump([](Pump& p, double v) { p.curve[0].flow_m3_per_s = v; }), 0.0, 1e-4,
       at("pump", 0, "curve"), "curve of pump `booster` begins at 6 L/min"},
      {pump([](Pump& p, double v) { p.curve[0].flow_m3_per_s = v; }), 0.0, -1e-4,
       at("pump", 0, "curve"), "flow of point 1 of the curve of pump `booster` is -6 L/min"},
      {pump([](Pump& p, double v) { p.curve[1].flow_m3_per_s = v; }), 1e-9, 0.0,
       at("pump", 0, "curve"), "curve of pump `booster` goes from 0 L/min to 0 L/min"},
      {pump([](Pump& p, double v) { p.curve[2].flow_m3_per_s = v; }), 10.0, 10.1,
       at("pump", 0, "curve"), "flow of point 3 of the curve"},
      {pump([](Pump& p, double v) { p.curve[1].head_m = v; }), 37.9, 38.0, at("pump", 0, "curve"),
       "curve of pump `booster` does not fall: 38 m at 0 L/min, then 38 m at 25 L/min"},
      {pump([](Pump& p, double v) { p.curve[2].head_m = v; }), 0.0, -0.1, at("pump", 0, "curve"),
       "head of point 3 of the curve"},
      {pump([](Pump& p, double v) { p.curve[0].head_m = v; }), 1000.0, 1001.0,
       at("pump", 0, "curve"), "head of point 1 of the curve"},
      {pump([](Pump& p, double v) { p.npsh_required[0].head_m = v; }), 0.0, -0.1,
       at("pump", 0, "npsh_required"), "head of point 1 of the required suction head"},
      {pump([](Pump& p, double v) { p.npsh_required[1].flow_m3_per_s = v; }), 1e-6, 0.0,
       at("pump", 0, "npsh_required"), "required suction head of pump `booster` goes from"},
      {pump([](Pump& p, double v) { p.efficiency = v; }), 0.01, 0.0, at("pump", 0, "efficiency"),
       "efficiency of pump"},
      {pump([](Pump& p, double v) { p.efficiency = v; }), 1.0, 1.01, at("pump", 0, "efficiency"),
       "efficiency of pump"},
      {pump([](Pump& p, double v) { p.stops_below->depth_m = v; }), 0.0, -0.01,
       at("pump", 0, "stops_below.depth"), "low-level stop of pump `booster` is -10 mm"},
      {pump([](Pump& p, double v) { p.stops_below->depth_m = v; }), 0.299, 1.0,
       at("pump", 0, "stops_below.depth"), "low-level stop of pump `booster` is 1000 mm"},
      {pump([](Pump& p, double v) { p.stops_below->resumes_depth_m = v; }), 0.121, 0.12,
       at("pump", 0, "stops_below.resumes"), "depth to resume of pump `booster` is 120 mm"},
      {pump([](Pump& p, double v) { p.stops_below->resumes_depth_m = v; }), 1.0, 1.001,
       at("pump", 0, "stops_below.resumes"), "depth to resume of pump `booster` is 1001 mm"},
      {pump([](Pump& p, double v) { p.position->x_m = v; }), 1e6, 1.1e6, at("pump", 0, "position"),
       "position to the right of pump"},
  };
}

TEST(CheckPumps, HoldsThemToTheirLimits) { expect_limits(limits_of_pumps()); }

TEST(CheckPumps, KnowsWhereTheyMayEnd) {
  expect_mistakes({
      {"pump from an outlet",
       [](Parts& p) { p.pumps[0].from = OutletId{2}; },
       {"pump", 0, "from"},
       "begins at outlet `can-tap`"},
      {"pump to itself",
       [](Parts& p) {
         p.pumps[0].to = HeaderId{0};
         p.outlets.erase(p.outlets.begin() + 1);  // nothing would lead to it
       },
       {"pump", 0, "to"},
       "pump `booster` begins and ends at header `rail`"},
      {"pump from no tank",
       [](Parts& p) { p.pumps[0].from = TankId{4}; },
       {"pump", 0, "from"},
       "does not exist"},
      {"cut-out in no tank",
       [](Parts& p) { p.pumps[0].stops_below->tank = TankId{4}; },
       {"pump", 0, "stops_below.tank"},
       "does not exist"},
  });
}

TEST(CheckPumps, AsksAPumpForTwoPoints) {
  expect_mistakes({
      {"none",
       [](Parts& p) { p.pumps[0].curve.clear(); },
       {"pump", 0, "curve"},
       "curve of pump `booster` has no point"},
      {"one",
       [](Parts& p) { p.pumps[0].curve.resize(1); },
       {"pump", 0, "curve"},
       "curve of pump `booster` has one point"},
  });
  Parts parts = sound_yard();
  parts.pumps[0].curve.resize(2);
  parts.pumps[0].npsh_required.clear();
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}
}  // namespace check_pumps_test
}  // namespace tankyard
