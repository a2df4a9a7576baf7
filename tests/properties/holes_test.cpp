// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <vector>

#include "days.h"
#include "solver/lid_again.h"

// A wider hole in a lid.

namespace tankyard {
namespace holes_test {

// A tank that only gives water comes to no deeper vacuum under a wider hole. One that is filled and
// emptied by turns may: what air a wider hole let out while it was filled is missing when it is
// emptied. So may the neighbours, for a tank that gives more runs dry sooner and leaves the rest to
// them. That is why the vent study runs the holes that it found.
RC_GTEST_PROP(Holes, NeverDeepenAPullByBeingWider, ()) {
  YardMayHold may;
  may.closed_lids = true;
  may.most_tanks = 1;
  may.supplies = false;
  Parts yard = *random_yards(may);
  // A brimful tank has no air to speak of, and its first moments are those of its lid's holes.
  for (Tank& tank : yard.tanks) {
    tank.water_m3 = std::min(tank.water_m3, 0.98 * capacity_m3(tank.shape));
  }
  const DaySheet day = *random_days(yard);
  std::vector<TankId> holed;
  for (std::size_t i = 0; i < yard.tanks.size(); ++i) {
    if (yard.tanks[i].lid.kind == Lid::Kind::holed) holed.push_back(id_at<TankId>(i));
  }
  RC_PRE(!holed.empty());
  const TankId tank = *rc::gen::elementOf(holed);
  const double now_m = as_one_hole_m(part(yard.tanks, tank).lid);
  const double wider_m = now_m * *rc::gen::elementOf(std::vector<double>{1.1, 1.5, 3.0});
  const auto lowest = [&](double bore_m) {
    return must_run(with_hole(yard, tank, bore_m), day).tanks[tank.index].headspace.lowest_pa;
  };
  const double narrow = lowest(now_m);
  const double wide = lowest(wider_m);
  RC_LOG() << "at " << now_m << " m " << narrow << " Pa, at " << wider_m << " m " << wide << " Pa";
  RC_ASSERT(wide >= 1.01 * narrow - 1.0);
}

}  // namespace holes_test
}  // namespace tankyard
