// SPDX-License-Identifier: MIT
#include "solver/studies/isolate_cut.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace isolate_cut_test {

using testing::ElementsAre;
using testing::IsEmpty;

//   [a]--V1--+
//   [b]--V2--+==(rail)==pump--> spray
struct RailYard : SmallYard {
  TankId a = box("a", 1.0, 1.0, 0.5, 0.5);
  TankId b = box("b", 1.0, 1.0, 0.5, 0.5);
  HeaderId rail = header("rail", 0.4);

  RailYard() {
    hose("a-rail", a, rail, 0.025).valve = Valve{"V1", true, 0.05};
    hose("b-rail", b, rail, 0.025).valve = Valve{"V2", true, 0.05};
  }

  void pump(const std::string& name, Place from) {
    parts.outlets.push_back(
        {name + "-end", std::nullopt, 1.0, 0.008, std::nullopt, 0.97, false, {}});
    Pump pump;
    pump.name = name;
    pump.from = from;
    pump.to = id_at<OutletId>(parts.outlets.size() - 1);
    pump.curve = {{0.0, 30.0}, {1e-3, 5.0}};
    parts.pumps.push_back(pump);
  }

  void air(const std::string& name, TankId from, TankId to) {
    parts.air_lines.push_back({name, from, to, 0.02, 1.0, true});
  }

  IsolateCut cut(const std::vector<TankId>& tanks) const { return isolate_cut(*array(), tanks); }
};

TEST(IsolateCut, CutsPumpsOffWhereValvesCan) {
  RailYard yard;
  yard.pump("booster", yard.rail);
  const IsolateCut cut = yard.cut({yard.a});
  ASSERT_TRUE(cut.possible());
  EXPECT_THAT(cut.best().shut, ElementsAre(HoseId{0}));
  EXPECT_FALSE(cut.pumps_stopped);
  EXPECT_EQ(far_side_of(*yard.array(), cut, cut.best(), HoseId{0}), "rail");
}

// Only the valve of `b` is there: the rail goes along with `a`, and its pump is stopped.
TEST(IsolateCut, StopsAPumpThatNoValveParts) {
  RailYard yard;
  yard.parts.hoses[0].valve.reset();
  yard.pump("booster", yard.rail);
  const IsolateCut cut = yard.cut({yard.a});
  ASSERT_TRUE(cut.possible());
  EXPECT_THAT(cut.best().shut, ElementsAre(HoseId{1}));
  EXPECT_TRUE(cut.pumps_stopped);
  EXPECT_THAT(cut.best().pumps_stopped, ElementsAre(PumpId{0}));
  EXPECT_EQ(far_side_of(*yard.array(), cut, cut.best(), HoseId{1}), "b");
}

TEST(IsolateCut, TrustsAHoseThatIsOffToStayOff) {
  RailYard yard;
  yard.hose("spare", yard.a, yard.b, 0.019).open = false;
  const IsolateCut cut = yard.cut({yard.a});
  ASSERT_TRUE(cut.possible());
  EXPECT_THAT(cut.best().shut, ElementsAre(HoseId{0}));
  EXPECT_THAT(cut.stay_off, ElementsAre(HoseId{2}));
  // Not one that the day puts on.
  DaySheet day;
  day.steps.push_back({60.0, {{Action::Does::open, HoseId{2}}}, std::nullopt});
  EXPECT_FALSE(isolate_cut(*yard.array(), {yard.a}, day).possible());
}

TEST(IsolateCut, SaysWhereAValveIsMissing) {
  RailYard yard;
  yard.hose("loop", yard.a, yard.b, 0.019);
  const IsolateCut cut = yard.cut({yard.a});
  EXPECT_FALSE(cut.possible());
  ASSERT_EQ(cut.found.to_fit.size(), 1U);
  EXPECT_THAT(cut.found.to_fit[0].hoses, ElementsAre(HoseId{2}));
  EXPECT_THAT(cut.found.emptied_with, ElementsAre(yard.b));
}

TEST(IsolateCut, KnowsWhoHasNoOtherAir) {
  RailYard yard;
  const TankId c = yard.box("c", 1.0, 1.0, 0.5, 0.5);
  yard.at(yard.b).lid.kind = Lid::Kind::sealed;
  yard.air("a-b", yard.a, yard.b);
  IsolateCut cut = yard.cut({yard.a});
  ASSERT_EQ(cut.air_lines.size(), 1U);
  EXPECT_EQ(cut.air_lines[0].stays, yard.b);
  EXPECT_TRUE(cut.air_lines[0].only_air);
  // `c` is open, and lends it air.
  yard.air("b-c", yard.b, c);
  cut = yard.cut({yard.a});
  ASSERT_EQ(cut.air_lines.size(), 1U);
  EXPECT_FALSE(cut.air_lines[0].only_air);
  // Not where `c` comes out too.
  cut = yard.cut({yard.a, c});
  ASSERT_EQ(cut.air_lines.size(), 2U);
  EXPECT_TRUE(cut.air_lines[0].only_air);
  EXPECT_TRUE(cut.air_lines[1].only_air);
}

TEST(IsolateCut, HasNothingToShutAtALoneTank) {
  SmallYard yard;
  const TankId alone = yard.box("alone", 1.0, 1.0, 0.0, 0.5);
  const IsolateCut cut = isolate_cut(*yard.array(), {alone});
  ASSERT_TRUE(cut.possible());
  EXPECT_THAT(cut.best().shut, IsEmpty());
}

}  // namespace isolate_cut_test
}  // namespace tankyard
