// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include "graph/check_array.h"
#include "graph/check_limits.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_supplies_test {

std::vector<Limit> limits_of_supplies() {
  const auto at = [](const char* kind, std::size_t index, const char* field) {
    return PartField{kind, index, field};
  };
  const auto roof = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.roofs[0], value); };
  };
  const auto top_up = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.top_ups[0], value); };
  };
  const auto leak = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.leaks[0], value); };
  };
  return {
      {roof([](Roof& r, double v) { r.area_m2 = v; }), 1e-4, 0.0, at("roof", 0, "area"),
       "plan area of roof `shed` is 0 m2"},
      {roof([](Roof& r, double v) { r.area_m2 = v; }), 1e6, 1.1e6, at("roof", 0, "area"),
       "plan area of roof"},
      {roof([](Roof& r, double v) { r.runoff_fraction = v; }), 0.0, -0.01, at("roof", 0, "runoff"),
       "runoff of roof `shed` is -0.01"},
      {roof([](Roof& r, double v) { r.runoff_fraction = v; }), 1.0, 1.01, at("roof", 0, "runoff"),
       "runoff of roof `shed` is 1.01"},
      {roof([](Roof& r, double v) { r.first_flush_m = v; }), 0.0, -0.001,
       at("roof", 0, "first_flush"), "first flush of roof `shed` is -1 mm"},
      {roof([](Roof& r, double v) { r.first_flush_m = v; }), 1.0, 1.001,
       at("roof", 0, "first_flush"), "first flush of roof"},
      {roof([](Roof& r, double v) { r.gutter_limit_m3_per_s = v; }), 1e-9, 0.0,
       at("roof", 0, "gutter_limit"), "gutter limit of roof"},
      {roof([](Roof& r, double v) { r.position->x_m = v; }), 1e6, 1.1e6, at("roof", 0, "position"),
       "position to the right of roof"},
      {top_up([](TopUp& t, double v) { t.flow_m3_per_s = v; }), 1e-9, 0.0, at("top_up", 0, "flow"),
       "flow of top-up `mains` is 0 L/min"},
      {top_up([](TopUp& t, double v) { t.flow_m3_per_s = v; }), 10.0, 10.1, at("top_up", 0, "flow"),
       "flow of top-up"},
      {top_up([](TopUp& t, double v) { t.starts_below_m = v; }), 0.0, -0.01,
       at("top_up", 0, "starts_below"), "depth to start of top-up `mains` is -10 mm"},
      {top_up([](TopUp& t, double v) { t.starts_below_m = v; }), 0.299, 1.0,
       at("top_up", 0, "starts_below"), "depth to start of top-up `mains` is 1000 mm"},
      {top_up([](TopUp& t, double v) { t.stops_above_m = v; }), 0.201, 0.2,
       at("top_up", 0, "stops_above"), "depth to stop of top-up `mains` is 200 mm"},
      {top_up([](TopUp& t, double v) { t.stops_above_m = v; }), 1.0, 1.001,
       at("top_up", 0, "stops_above"), "depth to stop of top-up `mains` is 1001 mm"},
      {top_up([](TopUp& t, double v) { t.air_gap_m = v; }), 0.0, -0.001, at("top_up", 0, "air_gap"),
       "air gap of top-up"},
      {top_up([](TopUp& t, double v) { t.air_gap_m = v; }), 10.0, 10.1, at("top_up", 0, "air_gap"),
       "air gap of top-up"},
      {leak([](Leak& l, double v) { l.bore_m = v; }), 1e-5, 0.0, at("leak", 0, "bore"),
       "bore of leak `seam` is 0 mm"},
      {leak([](Leak& l, double v) { l.bore_m = v; }), 0.7, 2.01, at("leak", 0, "bore"),
       "bore of leak `seam`"},
      {leak([](Leak& l, double v) { l.coefficient = v; }), 0.01, 0.0, at("leak", 0, "coefficient"),
       "coefficient of leak"},
      {leak([](Leak& l, double v) { l.coefficient = v; }), 1.0, 1.01, at("leak", 0, "coefficient"),
       "coefficient of leak"},
      {leak([](Leak& l, double v) { l.height_m = v; }), 0.0, -0.001, at("leak", 0, "height"),
       "leak `seam` meets tank `pond` 1 mm below its inside bottom"},
      {leak([](Leak& l, double v) { l.height_m = v; }), 0.798, 0.799, at("leak", 0, "height"),
       "leak `seam` meets tank `pond` above its rim"},
  };
}

TEST(CheckSupplies, HoldsThemToTheirLimits) { expect_limits(limits_of_supplies()); }

TEST(CheckSupplies, AsksForATank) {
  expect_mistakes({
      {"roof into no tank",
       [](Parts& p) { p.roofs[0].into = TankId{4}; },
       {"roof", 0, "into"},
       "does not exist"},
      {"top-up into no tank",
       [](Parts& p) { p.top_ups[0].into = TankId{4}; },
       {"top_up", 0, "into"},
       "does not exist"},
      {"leak in no tank",
       [](Parts& p) { p.leaks[0].tank = TankId{4}; },
       {"leak", 0, "tank"},
       "does not exist"},
  });
}
}  // namespace check_supplies_test
}  // namespace tankyard
