// SPDX-License-Identifier: MIT
// No tank drains below the lowest mouth it gives by, however long the steps.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "properties/days.h"

namespace tankyard {
namespace mouths_test {

RC_GTEST_PROP(Tanks, KeepWhatStandsBelowTheirMouths, ()) {
  YardMayHold may;
  may.overflows = false;
  Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  for (std::size_t i = 0; i < yard.tanks.size(); ++i) {
    const Tank& tank = yard.tanks[i];
    double lowest = std::min(height_m(tank.shape), depth_m(tank.shape, tank.water_m3));
    const auto gives_at = [&](Place place, double above_datum_m) {
      if (place == Place(id_at<TankId>(i))) lowest = std::min(lowest, above_datum_m - tank.base_m);
    };
    for (const Hose& hose : yard.hoses) {
      gives_at(hose.from.place, mouth_m(yard, hose.from));
      if (!hose.one_way) gives_at(hose.to.place, mouth_m(yard, hose.to));
    }
    for (const Outlet& outlet : yard.outlets) {
      if (outlet.at) gives_at(outlet.at->place, mouth_m(yard, *outlet.at));
    }
    for (const Leak& leak : yard.leaks) gives_at(leak.tank, tank.base_m + leak.height_m);
    at_most("below its lowest mouth", lowest - record.tanks[i].lowest_depth_m, 0.0, 5e-4);
  }
}

}  // namespace mouths_test
}  // namespace tankyard
