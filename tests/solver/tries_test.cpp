// SPDX-License-Identifier: MIT
#include "solver/tries.h"

#include <gmock/gmock.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace tries_test {

using ::testing::HasSubstr;

SmallYard two_tanks() {
  SmallYard yard;
  const TankId high = yard.box("high", 1.0, 2.0, 0.0, 1.0);
  const TankId low = yard.box("low", 1.0, 2.0, 0.0, 0.5);
  yard.hose("link", high, low, 0.025, 100.0);
  return yard;
}

TEST(Tries, RunTheDayWithWhatWasChanged) {
  SmallYard yard = two_tanks();
  const Array array = *yard.array();
  const RunRecord as_it_is = *yard.record();
  Tries tries(array, yard.sheet, {}, as_it_is);
  yard.parts.hoses[0].bore_m = 0.050;
  const auto wider = tries.with(yard.parts);
  ASSERT_TRUE(wider);
  EXPECT_DOUBLE_EQ(wider->tanks[0].end_m3, yard.record()->tanks[0].end_m3);
  EXPECT_FALSE(tries.over());
  // Parts that make no array are none, and cost nothing.
  yard.parts.hoses[0].bore_m = -1.0;
  EXPECT_FALSE(tries.with(yard.parts));
  EXPECT_FALSE(tries.over());
}

// The purse holds the steps of two runs and one step more: the third run is cut short.
TEST(Tries, EndWhenThePurseIsEmpty) {
  const SmallYard yard = two_tanks();
  const Array array = *yard.array();
  const RunRecord as_it_is = *yard.record();
  const long long a_run = as_it_is.effort.steps + as_it_is.effort.rejected;
  TryWatch watch;
  watch.most_steps = 2 * a_run + 1;
  Tries tries(array, yard.sheet, {}, as_it_is, watch);
  EXPECT_TRUE(tries.with(yard.parts));
  EXPECT_TRUE(tries.with(yard.parts));
  EXPECT_FALSE(tries.over());
  EXPECT_FALSE(tries.with(yard.parts));
  EXPECT_TRUE(tries.over());
  EXPECT_FALSE(tries.stopped());
  EXPECT_THAT(tries.not_tried(), HasSubstr("used up the steps"));
  EXPECT_FALSE(tries.with(yard.parts));
}

// A sealed tank that is drawn from folds. The hole that would do is found if it may be looked for.
TEST(Tries, TellWhenTheHoleThatWouldDoWasNotLookedFor) {
  SmallYard yard;
  const TankId tank = yard.box("cage", 1.0, 1.0, 0.0, 0.8);
  yard.at(tank).lid.kind = Lid::Kind::sealed;
  yard.draw("tap", tank, 0.0, 0.2);
  const auto advice = [&](const TryWatch& watch) {
    return the_one(yard.found_in_run(watch), FindingKind::vacuum_collapse).do_this;
  };
  EXPECT_THAT(advice({}), HasSubstr("then drill a hole of "));
  TryWatch watch;
  watch.most_steps = 0;
  EXPECT_THAT(advice(watch), HasSubstr("how wide was not tried: "));
}

// A pump that chatters all day takes thousands of steps; it is asked long before its end.
TEST(Tries, HearWithinARunThatTheyShallStop) {
  SmallYard yard;
  const TankId tank = yard.box("tank", 20.0, 1.3, 0.3, 22.0);
  const OutletId spray = yard.tap("spray", 0.5, 0.0047);
  Pump pump;
  pump.name = "booster";
  pump.from = tank;
  pump.to = spray;
  pump.curve = {{0.0, 20.0}, {20.0 / 60000.0, 12.0}, {30.0 / 60000.0, 4.0}};
  pump.running = true;
  pump.pressure_switch = PressureSwitch{0.5e5, 0.9e5};
  yard.parts.pumps.push_back(pump);
  yard.sheet.lasts_s = 6.0 * 3600.0;
  const Array array = *yard.array();
  const RunRecord as_it_is = *yard.record();
  ASSERT_GT(as_it_is.effort.steps, 2000);
  TryWatch watch;
  int asked = 0;
  long long seen = 0;
  watch.stop = [&] { return ++asked == 3; };
  watch.progress = [&](long long steps, long long most) {
    EXPECT_GT(steps, seen);
    EXPECT_LE(steps, most);
    seen = steps;
  };
  Tries tries(array, yard.sheet, {}, as_it_is, watch);
  EXPECT_FALSE(tries.with(yard.parts));
  EXPECT_TRUE(tries.stopped());
  EXPECT_TRUE(tries.over());
  EXPECT_EQ(asked, 3);
  EXPECT_LT(seen, as_it_is.effort.steps / 2);
  EXPECT_THAT(tries.not_tried(), HasSubstr("stopped"));
}

}  // namespace tries_test
}  // namespace tankyard
