// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include "graph/check_array.h"
#include "graph/check_limits.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_outlets_test {

std::vector<Limit> limits_of_outlets() {
  const auto at = [](const char* kind, std::size_t index, const char* field) {
    return PartField{kind, index, field};
  };
  const auto outlet = [](std::size_t index, auto change) {
    return [index, change](Parts& parts, double value) { change(parts.outlets[index], value); };
  };
  return {
      {outlet(0, [](Outlet& o, double v) { o.bore_m = v; }), 1e-5, 0.0, at("outlet", 0, "bore"),
       "bore of outlet `nozzle` is 0 mm"},
      {outlet(0, [](Outlet& o, double v) { o.bore_m = v; }), 2.0, 2.01, at("outlet", 0, "bore"),
       "bore of outlet `nozzle` is 2010 mm"},
      {outlet(1, [](Outlet& o, double v) { o.draw_m3_per_s = v; }), 1e-9, 0.0,
       at("outlet", 1, "draw"), "draw of outlet `spray` is 0 L/min"},
      {outlet(1, [](Outlet& o, double v) { o.draw_m3_per_s = v; }), 10.0, 10.1,
       at("outlet", 1, "draw"), "draw of outlet `spray`"},
      {outlet(0, [](Outlet& o, double v) { o.coefficient = v; }), 0.01, 0.0,
       at("outlet", 0, "coefficient"), "coefficient of outlet"},
      {outlet(0, [](Outlet& o, double v) { o.coefficient = v; }), 1.0, 1.01,
       at("outlet", 0, "coefficient"), "coefficient of outlet"},
      {outlet(0, [](Outlet& o, double v) { o.height_m = v; }), -10000.0, -10001.0,
       at("outlet", 0, "height"), "height of outlet `nozzle`"},
      {outlet(0, [](Outlet& o, double v) { o.height_m = v; }), 10000.0, 10001.0,
       at("outlet", 0, "height"), "height of outlet `nozzle`"},
      {outlet(2, [](Outlet& o, double v) { o.at->height_m = v; }), 0.0, -0.001,
       at("outlet", 2, "at.height"), "outlet `can-tap` meets tank `butt` 1 mm below"},
      {outlet(2, [](Outlet& o, double v) { o.at->height_m = v; }), 0.88, 0.881,
       at("outlet", 2, "at.height"), "outlet `can-tap` meets tank `butt` above its rim"},
      {outlet(1, [](Outlet& o, double v) { o.position->y_m = v; }), 1e6, 1.1e6,
       at("outlet", 1, "position"), "position to the back of outlet"},
  };
}

TEST(CheckOutlets, HoldsThemToTheirLimits) { expect_limits(limits_of_outlets()); }

TEST(CheckOutlets, AsksForOneWayToAnOutletAndOneMeasure) {
  expect_mistakes({
      {"no way",
       [](Parts& p) { p.outlets[2].at.reset(); },
       {"outlet", 2, ""},
       "nothing leads to outlet `can-tap`"},
      {"both ways",
       [](Parts& p) {
         p.outlets[0].at = HoseEnd{HeaderId{0}, std::nullopt};
       },
       {"outlet", 0, "at"},
       "sits straight on a place and is also the end of hose `rail-nozzle`"},
      {"both ways, pump",
       [](Parts& p) {
         p.outlets[1].at = HoseEnd{HeaderId{0}, std::nullopt};
       },
       {"outlet", 1, "at"},
       "is also the end of pump `booster`"},
      {"on an outlet",
       [](Parts& p) { p.outlets[2].at->place = OutletId{0}; },
       {"outlet", 2, "at"},
       "outlet `can-tap` sits on no tank or header"},
      {"on no tank",
       [](Parts& p) { p.outlets[2].at->place = TankId{4}; },
       {"outlet", 2, "at"},
       "outlet `can-tap` sits on no tank or header"},
      {"height on a header",
       [](Parts& p) {
         p.outlets[2].at = HoseEnd{HeaderId{0}, 0.1};
       },
       {"outlet", 2, "at.height"},
       "outlet `can-tap` gives a height at header `rail`"},
      {"bore and draw",
       [](Parts& p) { p.outlets[0].draw_m3_per_s = 1e-4; },
       {"outlet", 0, "draw"},
       "outlet `nozzle` has both a bore and a draw"},
      {"neither",
       [](Parts& p) { p.outlets[0].bore_m.reset(); },
       {"outlet", 0, ""},
       "outlet `nozzle` has neither a bore nor a draw"},
      {"no height at the end of a hose",
       [](Parts& p) { p.outlets[0].height_m.reset(); },
       {"outlet", 0, "height"},
       "outlet `nozzle` has no height"},
      {"no height at the end of a pump",
       [](Parts& p) { p.outlets[1].height_m.reset(); },
       {"outlet", 1, "height"},
       "outlet `spray` has no height"},
  });
  Parts parts = sound_yard();
  parts.outlets[2].at = HoseEnd{HeaderId{0}, std::nullopt};  // straight on a header
  EXPECT_EQ(told_in_full(check_array(parts)), "");
  parts.outlets[2].bore_m.reset();  // a draw in place of a bore
  parts.outlets[2].draw_m3_per_s = 1e-4;
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}
}  // namespace check_outlets_test
}  // namespace tankyard
