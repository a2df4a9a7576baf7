// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <vector>

#include "days.h"
#include "solver/lid_again.h"

// A wider hole in a lid.

namespace tankyard {
namespace {

// Its own tank comes to no deeper vacuum. (Its neighbours may: a tank that gives more runs dry
// sooner and leaves the rest to them; solver/studies/vent_study.h.) What is left over is error of
// the steps: of 2000 yards two were deeper with the wider hole, by 2 and by 24 Pa.
RC_GTEST_PROP(Holes, NeverDeepenTheVacuumByBeingWider, ()) {
  YardMayHold may;
  may.closed_lids = true;
  may.most_tanks = 4;
  const Parts yard = *random_yards(may);
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
  RC_ASSERT(wide >= 1.05 * narrow - 30.0);
}

}  // namespace
}  // namespace tankyard
