// SPDX-License-Identifier: MIT
#include "random_arrays.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "graph/check_array.h"

namespace tankyard {
namespace random_arrays_test {

std::string first_of(const Troubles& troubles) {
  return troubles.empty() ? "" : troubles.front().message + "; " + troubles.front().help;
}

// The other random tests stand on these two: yards and days that pass every check.

RC_GTEST_PROP(RandomYards, PassEveryCheck, ()) {
  YardMayHold may;
  may.pumps = *rc::gen::arbitrary<bool>();
  may.closed_lids = *rc::gen::arbitrary<bool>();
  const Parts yard = *random_yards(may);
  RC_ASSERT(first_of(check_array(yard)) == "");
}

RC_GTEST_PROP(RandomDays, PassEveryCheck, ()) {
  const Parts yard = *random_yards({.pumps = true});
  const DaySheet day = *random_days(yard);
  RC_ASSERT(first_of(check_day_sheet(yard, day)) == "");
}

// A generator that has stopped making some kind of part would make every test above it blind.
TEST(RandomYards, HoldEveryKindOfPart) {
  rc::Random random(2026);
  int tanks[4] = {}, lids[3] = {};
  int doubled = 0, shut = 0, crests = 0, one_way = 0, overflows = 0, chained = 0, headers = 0;
  int pumps = 0, pumped_outlets = 0, roofs = 0, top_ups = 0, leaks = 0, nozzles = 0, draws = 0;
  const YardMayHold may{.pumps = true, .closed_lids = true};
  for (int i = 0; i < 300; ++i) {
    const Parts yard = random_yards(may)(random.split(), rc::kNominalSize).value();
    for (const Tank& tank : yard.tanks) {
      ++tanks[tank.shape.index()];
      ++lids[static_cast<int>(tank.lid.kind)];
      overflows += tank.overflow ? 1 : 0;
      chained += tank.overflow && tank.overflow->to ? 1 : 0;
    }
    bool all_shut = !yard.hoses.empty();
    for (std::size_t a = 0; a < yard.hoses.size(); ++a) {
      const Hose& hose = yard.hoses[a];
      all_shut = all_shut && !starts_open(hose);
      crests += hose.crest_m ? 1 : 0;
      one_way += hose.one_way ? 1 : 0;
      for (std::size_t b = 0; b < a; ++b) {
        const Hose& other = yard.hoses[b];
        doubled += hose.from.place == other.from.place && hose.to.place == other.to.place ? 1 : 0;
      }
    }
    shut += all_shut ? 1 : 0;
    headers += static_cast<int>(yard.headers.size());
    pumps += static_cast<int>(yard.pumps.size());
    for (const Pump& pump : yard.pumps) {
      pumped_outlets += std::holds_alternative<OutletId>(pump.to) ? 1 : 0;
    }
    roofs += static_cast<int>(yard.roofs.size());
    top_ups += static_cast<int>(yard.top_ups.size());
    leaks += static_cast<int>(yard.leaks.size());
    for (const Outlet& outlet : yard.outlets) {
      nozzles += outlet.bore_m ? 1 : 0;
      draws += outlet.draw_m3_per_s ? 1 : 0;
    }
  }
  for (const int each : tanks) EXPECT_GT(each, 100);
  for (const int each : lids) EXPECT_GT(each, 100);
  for (const int each : {doubled, crests, one_way, overflows, chained, headers, pumps, roofs,
                         top_ups, leaks, nozzles, draws}) {
    EXPECT_GT(each, 50);
  }
  EXPECT_GT(shut, 10);
  EXPECT_GT(pumped_outlets, 10);
}

}  // namespace random_arrays_test
}  // namespace tankyard
