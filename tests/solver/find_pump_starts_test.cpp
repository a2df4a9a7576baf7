// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace find_pump_starts_test {

using ::testing::HasSubstr;
using ::testing::Not;

constexpr double litre_a_minute = 1.0 / 60000.0;

Pump small_pump(Place from, Place to) {
  Pump pump;
  pump.name = "booster";
  pump.from = from;
  pump.to = to;
  pump.curve = {{0.0, 20.0}, {20.0 * litre_a_minute, 12.0}, {30.0 * litre_a_minute, 4.0}};
  pump.running = true;
  return pump;
}

// Through 4.7 mm the pump gives more than 0.9 bar, and none once it stands: its switch turns every
// ten seconds, the least it holds a position for. 3600 / 20 = 180 starts an hour.
TEST(PumpStartsOften, IsFoundWhereAPressureSwitchChatters) {
  SmallYard yard;
  const TankId tank = yard.box("tank", 20.0, 1.3, 0.3, 22.0);
  const OutletId spray = yard.tap("spray", 0.5, 0.0047);
  yard.parts.pumps.push_back(small_pump(tank, spray));
  yard.parts.pumps[0].pressure_switch = PressureSwitch{0.5e5, 0.9e5};
  yard.sheet.lasts_s = 2.0 * 3600.0;
  const Finding found = the_one(yard.found_in_run(), FindingKind::pump_starts_often);
  EXPECT_EQ(found.where, "booster");
  EXPECT_EQ(found.severity, Severity::warning);
  EXPECT_NEAR(found.value, 180.0, 1.0);
  EXPECT_DOUBLE_EQ(found.limit.value_or(0.0), 30.0);
  EXPECT_EQ(found.unit, "starts/h");
  EXPECT_THAT(found.says, HasSubstr("its pressure switch"));
  EXPECT_THAT(found.do_this, HasSubstr("pressure vessel"));
  // With its cut-out over what the nozzle asks for it runs on.
  yard.parts.pumps[0].pressure_switch = PressureSwitch{0.5e5, 1.9e5};
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::pump_starts_often).empty());
}

// 1 L/min of rain runs into 0.05 m2. Between marks 10 mm apart lies half a litre, which comes in 30
// s and is gone in two; between marks 250 mm apart lie 12.5 L, and it starts five times an hour.
TEST(PumpStartsOften, IsFoundWhereACutOutHasTooNarrowABand) {
  const auto found = [](double resumes_m) {
    SmallYard yard;
    const TankId tank = yard.box("sump", 0.05, 1.0, 0.0, 0.005);
    const OutletId spray = yard.tap("spray", 1.0, 0.008);
    yard.roof("shed", tank, 100.0);
    yard.rain(0.0, 2.0 * 3600.0, 0.6);
    yard.parts.pumps.push_back(small_pump(tank, spray));
    yard.parts.pumps[0].one_way = true;
    yard.parts.pumps[0].stops_below = LowLevelStop{tank, 0.10, resumes_m};
    yard.sheet.lasts_s = 2.0 * 3600.0;
    return of_kind(yard.found_in_run(), FindingKind::pump_starts_often);
  };
  const std::vector<Finding> often = found(0.11);
  ASSERT_EQ(often.size(), 1U);
  EXPECT_GT(often[0].value, 100.0);
  EXPECT_LE(often[0].value, 121.0);
  EXPECT_THAT(often[0].says, HasSubstr("its low-level cut-out in `sump` stopped it at 100 mm and "
                                       "let it start again at 110 mm"));
  EXPECT_THAT(often[0].do_this, HasSubstr("start again higher"));
  EXPECT_TRUE(found(0.35).empty());
}

// 31 starts by the day sheet, 100 s apart: all within an hour. 130 s apart, no hour has more than
// 28.
TEST(PumpStartsOften, CountsWithinAnyOneHour) {
  const auto found = [](double apart_s) {
    SmallYard yard;
    const TankId tank = yard.box("tank", 20.0, 1.3, 0.3, 22.0);
    const OutletId spray = yard.tap("spray", 0.5, 0.0047);
    yard.parts.pumps.push_back(small_pump(tank, spray));
    yard.parts.pumps[0].running = false;
    for (int k = 0; k < 31; ++k) {
      const double at_s = 600.0 + apart_s * k;
      yard.sheet.steps.push_back({at_s, {{Action::Does::start, PumpId{0}}}, std::nullopt});
      yard.sheet.steps.push_back({at_s + 30.0, {{Action::Does::stop, PumpId{0}}}, std::nullopt});
    }
    yard.sheet.lasts_s = 2.0 * 3600.0;
    return of_kind(yard.found_in_run(), FindingKind::pump_starts_often);
  };
  const std::vector<Finding> often = found(100.0);
  ASSERT_EQ(often.size(), 1U);
  EXPECT_DOUBLE_EQ(often[0].value, 31.0);
  EXPECT_DOUBLE_EQ(often[0].at_s.value_or(0.0), 600.0);
  EXPECT_THAT(often[0].says, HasSubstr("the day sheet"));
  EXPECT_THAT(often[0].do_this, Not(HasSubstr("vessel")));
  EXPECT_TRUE(found(130.0).empty());
}

}  // namespace find_pump_starts_test
}  // namespace tankyard
