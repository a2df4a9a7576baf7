// SPDX-License-Identifier: MIT
// The rehearsal, in yards small enough to know the answer.
#include "solver/studies/isolate_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "solver/small_yard.h"

namespace tankyard {
namespace isolate_study_test {

using testing::ElementsAre;
using testing::HasSubstr;
using Does = IsolateStep::Does;
using Kind = IsolateEffect::Kind;

constexpr double hour_s = 3600.0;

//   [a]--V1--+
//   [b]--V2--+==(rail)     all boxes of 1 m2 with 0.6 m in them, half a metre up
//   [c]--V3--+
struct ThreeCages : SmallYard {
  TankId a = box("a", 1.0, 1.0, 0.5, 0.6);
  TankId b = box("b", 1.0, 1.0, 0.5, 0.6);
  TankId c = box("c", 1.0, 1.0, 0.5, 0.6);
  HeaderId rail = header("rail", 0.4);

  ThreeCages() {
    for (const TankId tank : {a, b, c}) {
      hose(at(tank).name + "-rail", tank, rail, 0.032).valve =
          Valve{"V" + std::to_string(tank.index + 1), true, 0.05};
    }
    sheet.lasts_s = 24.0 * hour_s;
  }

  IsolateStudy study(const std::vector<TankId>& tanks, const IsolateOptions& options = {}) const {
    const Result<IsolateStudy> made = study_isolation(*array(), sheet, tanks, options);
    if (!made) ADD_FAILURE() << made.error().front().message;
    return made ? *made : IsolateStudy{};
  }

  void step(double at_s, Action action) { sheet.steps.push_back({at_s, {action}, std::nullopt}); }
};

std::vector<Does> all_of(const IsolateStudy& study) {
  std::vector<Does> does;
  for (const IsolateStep& step : study.steps) does.push_back(step.does);
  return does;
}

const IsolateStep* the_step(const IsolateStudy& study, Does does) {
  for (const IsolateStep& step : study.steps) {
    if (step.does == does) return &step;
  }
  return nullptr;
}

TEST(IsolateStudy, TakesOneCageOutAndGivesItBack) {
  const ThreeCages yard;
  const IsolateStudy study = yard.study({yard.a});
  ASSERT_TRUE(study.cut.possible());
  EXPECT_THAT(all_of(study),
              ElementsAre(Does::shut_valve, Does::lower, Does::watch, Does::drain, Does::clean,
                          Does::shut_drain, Does::open_slowly, Does::put_back));
  // 600 L drained, but for the film that the cleaning rinses out.
  EXPECT_NEAR(study.cost.drained_m3 + study.cost.bailed_m3, 0.6, 1e-3);
  EXPECT_NEAR(study.cost.stands_less_m3, 0.6, 1e-3);
  EXPECT_EQ(study.cost.short_m3, 0.0);
  EXPECT_TRUE(study.effects().empty());
  // What is left levels out: 1200 L in three.
  ASSERT_EQ(study.refills.size(), 1U);
  EXPECT_EQ(*study.refills[0].first, HoseId{0});
  EXPECT_NEAR(study.refills[0].comes_to_m3, 0.4, 2e-3);
  EXPECT_NEAR(study.refills[0].lost_m3[1], 0.2, 2e-3);
  EXPECT_NEAR(study.refills[0].lost_m3[2], 0.2, 2e-3);
  // 1 L/min for ten minutes on a square metre.
  EXPECT_THAT(the_step(study, Does::watch)->because, HasSubstr("moves the level 10 mm"));
  EXPECT_EQ(study.times_tried, 10);
  EXPECT_TRUE(find_in_isolation(*yard.array(), study).empty());
}

// At noon `b` has been drawn down, and with it the others: less is given up in the afternoon.
TEST(IsolateStudy, BeginsWhenTheTankIsLow) {
  ThreeCages yard;
  yard.draw("tap", yard.b, 0.0, 0.5);
  yard.parts.outlets[0].open = false;
  yard.step(11.0 * hour_s, {Action::Does::open, OutletId{0}});
  yard.step(11.5 * hour_s, {Action::Does::close, OutletId{0}});
  const IsolateStudy study = yard.study({yard.a});
  EXPECT_EQ(study.starts_at_s, 12.0 * hour_s);
  EXPECT_NEAR(study.cost.drained_m3 + study.cost.bailed_m3, 0.3, 2e-3);
  EXPECT_EQ(study.cost.short_m3, 0.0);
}

TEST(IsolateStudy, PutsWhoGoesWithoutBesideItsStep) {
  ThreeCages yard;
  yard.draw("tap-a", yard.a, 0.0, 0.1);
  yard.parts.outlets[0].open = false;
  IsolateOptions options;
  options.starts_at_s = 9.0 * hour_s;
  // While it is being scrubbed, somebody wants 60 L.
  yard.step(10.0 * hour_s, {Action::Does::open, OutletId{0}});
  yard.step(10.0 * hour_s + 600.0, {Action::Does::close, OutletId{0}});
  const IsolateStudy study = yard.study({yard.a}, options);
  // The tap is the drain as well: it is the lowest mouth.
  EXPECT_TRUE(study.drains[0].point.outlet);
  const std::vector<IsolateEffect> effects = study.effects();
  ASSERT_EQ(effects.size(), 1U);
  EXPECT_EQ(effects[0].kind, Kind::loses_supply);
  EXPECT_EQ(effects[0].where, "tap-a");
  EXPECT_NEAR(effects[0].value, 0.06, 1e-4);
  EXPECT_NEAR(effects[0].at_s, 10.0 * hour_s, 150.0);
  EXPECT_NEAR(study.cost.short_m3, 0.06, 1e-4);
  const IsolateStep* during = nullptr;
  for (const IsolateStep& step : study.steps) {
    if (!step.meanwhile.empty()) during = &step;
  }
  ASSERT_NE(during, nullptr);
  EXPECT_LE(during->at_s, effects[0].at_s);
  EXPECT_GT(during->at_s + during->takes_s, effects[0].at_s);
}

// The day's own steps would open the valve in the middle of the work.
TEST(IsolateStudy, LeavesOutStepsThatWouldJoinTheTankAgain) {
  ThreeCages yard;
  yard.step(10.0 * hour_s, {Action::Does::open, HoseId{0}});
  IsolateOptions options;
  options.starts_at_s = 9.0 * hour_s;
  const IsolateStudy study = yard.study({yard.a}, options);
  EXPECT_NEAR(study.cost.drained_m3 + study.cost.bailed_m3, 0.6, 1e-3);
}

TEST(IsolateStudy, TurnsRainAwayAndCountsIt) {
  ThreeCages yard;
  yard.roof("shed", yard.a, 10.0);
  IsolateOptions options;
  options.starts_at_s = 9.0 * hour_s;
  // 6 mm in an hour on 10 m2, all of it while the tank is out: 60 L.
  yard.rain(9.2 * hour_s, 10.2 * hour_s, 6.0);
  const IsolateStudy study = yard.study({yard.a}, options);
  ASSERT_FALSE(study.steps.empty());
  EXPECT_EQ(study.steps[0].does, Does::turn_away);
  EXPECT_NEAR(study.cost.turned_away_m3, 0.06, 1e-4);
  EXPECT_NEAR(study.cost.drained_m3 + study.cost.bailed_m3, 0.6, 1e-3);
  EXPECT_NEAR(study.cost.stands_less_m3, 0.66, 1e-3);
}

TEST(IsolateStudy, TurnsInflowsAwayThenPumpsThenValvesThenLids) {
  ThreeCages yard;
  yard.roof("shed", yard.a, 10.0);
  yard.at(yard.a).lid.kind = Lid::Kind::sealed;
  yard.parts.outlets.push_back({"spray", std::nullopt, 1.0, 0.008, std::nullopt, 0.97, false, {}});
  Pump pump;
  pump.name = "booster";
  pump.from = yard.a;
  pump.to = OutletId{0};
  pump.curve = {{0.0, 30.0}, {1e-3, 5.0}};
  yard.parts.pumps.push_back(pump);
  const IsolateStudy study = yard.study({yard.a});
  ASSERT_GE(study.steps.size(), 4U);
  EXPECT_EQ(study.steps[0].does, Does::turn_away);
  EXPECT_EQ(study.steps[1].does, Does::stop_pump);
  EXPECT_EQ(study.steps[2].does, Does::shut_valve);
  EXPECT_EQ(study.steps[3].does, Does::open_lid);
  EXPECT_THAT(study.steps[3].because, HasSubstr("would suck it in"));
  // Drained with its lid on it is in danger, and the finding says so.
  const std::vector<Finding> findings = find_in_isolation(*yard.array(), study);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings[0].kind, FindingKind::vacuum_collapse);
  EXPECT_EQ(findings[0].where, "a");
}

// A sealed neighbour cannot give water without being sucked in: its lid is loosened before.
TEST(IsolateStudy, LoosensANeighboursLidBeforeItGives) {
  ThreeCages yard;
  yard.at(yard.b).lid.kind = Lid::Kind::sealed;
  yard.at(yard.c).water_m3 = 0.0;
  yard.parts.hoses[2].valve->open = false;
  const IsolateStudy study = yard.study({yard.a});
  ASSERT_EQ(study.refills.size(), 1U);
  EXPECT_THAT(study.refills[0].loosened, ElementsAre(yard.b));
  EXPECT_NE(the_step(study, Does::loosen_lid), nullptr);
  EXPECT_NEAR(study.refills[0].comes_to_m3, 0.3, 5e-3);
  for (const IsolateEffect& effect : study.effects()) EXPECT_NE(effect.kind, Kind::sucked_in);
}

// A small hole lets it give, if it is not asked for too much at a time.
TEST(IsolateStudy, OpensAValveNoFurtherThanANeighboursLidBears) {
  ThreeCages yard;
  yard.at(yard.b).lid = {Lid::Kind::holed, 0.006, 0.6, 1, 1.0};
  yard.parts.hoses[2].valve->open = false;
  const IsolateStudy study = yard.study({yard.a});
  ASSERT_EQ(study.refills.size(), 1U);
  EXPECT_TRUE(study.refills[0].held_back);
  EXPECT_TRUE(study.refills[0].loosened.empty());
  EXPECT_LT(study.refills[0].first_m3_per_s, study.refills[0].full_m3_per_s);
  EXPECT_THAT(the_step(study, Does::open_slowly)->say, HasSubstr("no further than"));
  for (const IsolateEffect& effect : study.effects()) EXPECT_NE(effect.kind, Kind::sucked_in);
}

// Two tanks feed a pump; with one of them out, the other runs dry before the watering is over.
TEST(IsolateStudy, SaysWhenAPumpLosesItsPrime) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.5, 0.3);
  const TankId b = yard.box("b", 1.0, 1.0, 0.5, 0.3);
  const HeaderId rail = yard.header("rail", 0.4);
  yard.hose("a-rail", a, rail, 0.05).valve = Valve{"V1", true, 0.05};
  yard.hose("b-rail", b, rail, 0.05).valve = Valve{"V2", true, 0.05};
  yard.parts.outlets.push_back({"spray", std::nullopt, 1.0, 0.012, std::nullopt, 0.97, true, {}});
  Pump pump;
  pump.name = "booster";
  pump.from = rail;
  pump.to = OutletId{0};
  pump.curve = {{0.0, 20.0}, {2e-3, 5.0}};
  yard.parts.pumps.push_back(pump);
  yard.sheet.lasts_s = 12.0 * hour_s;
  // Some 90 L/min for five minutes: more than one tank holds, less than two.
  yard.sheet.steps.push_back({2.0 * hour_s, {{Action::Does::start, PumpId{0}}}, std::nullopt});
  yard.sheet.steps.push_back(
      {2.0 * hour_s + 300.0, {{Action::Does::stop, PumpId{0}}}, std::nullopt});
  IsolateOptions options;
  options.starts_at_s = 1.5 * hour_s;
  const Result<IsolateStudy> study = study_isolation(*yard.array(), yard.sheet, {a}, options);
  ASSERT_TRUE(study);
  bool air = false;
  for (const IsolateEffect& effect : study->effects()) {
    if (effect.kind != Kind::draws_air) continue;
    air = true;
    EXPECT_EQ(effect.where, "booster");
    EXPECT_GT(effect.at_s, 2.0 * hour_s);
    EXPECT_LT(effect.at_s, 2.0 * hour_s + 300.0);
  }
  EXPECT_TRUE(air);
  // At a time when nobody waters it costs nothing of the kind.
  options.starts_at_s = 4.0 * hour_s;
  const Result<IsolateStudy> later = study_isolation(*yard.array(), yard.sheet, {a}, options);
  ASSERT_TRUE(later);
  for (const IsolateEffect& effect : later->effects()) EXPECT_NE(effect.kind, Kind::draws_air);
}

TEST(IsolateStudy, TakesSeveralOutTogether) {
  const ThreeCages yard;
  const IsolateStudy study = yard.study({yard.b, yard.a, yard.b});
  EXPECT_THAT(study.tanks, ElementsAre(yard.a, yard.b));
  // One valve does: the rail goes along with the two.
  EXPECT_THAT(study.cut.best().shut, ElementsAre(HoseId{2}));
  EXPECT_EQ(study.drains.size(), 2U);
  EXPECT_NEAR(study.cost.drained_m3 + study.cost.bailed_m3, 1.2, 2e-3);
  ASSERT_EQ(study.refills.size(), 1U);
  EXPECT_NEAR(study.refills[0].comes_to_m3, 0.4, 5e-3);
}

TEST(IsolateStudy, NamesTheValveToFit) {
  ThreeCages yard;
  yard.hose("loop", yard.a, yard.b, 0.019);
  const IsolateStudy study = yard.study({yard.a});
  EXPECT_FALSE(study.cut.possible());
  const Finding finding =
      the_one(find_in_isolation(*yard.array(), study), FindingKind::cannot_isolate);
  EXPECT_EQ(finding.severity, Severity::warning);
  EXPECT_EQ(finding.where, "a");
  EXPECT_EQ(finding.value, 1.0);
  EXPECT_THAT(finding.says, HasSubstr("joined to `b`, with 600 L in it"));
  EXPECT_EQ(finding.do_this, "put a valve on `loop`");
}

TEST(IsolateStudy, HasAnAnswerForALoneTank) {
  SmallYard yard;
  const TankId alone = yard.box("alone", 1.0, 1.0, 0.0, 0.5);
  const Result<IsolateStudy> study = study_isolation(*yard.array(), yard.sheet, {alone});
  ASSERT_TRUE(study);
  EXPECT_THAT(all_of(*study), ElementsAre(Does::drain, Does::clean, Does::shut_drain,
                                          Does::open_slowly, Does::put_back));
  EXPECT_FALSE(study->refills[0].first);
}

TEST(IsolateStudy, IsTheSameEveryTime) {
  const ThreeCages yard;
  const IsolateStudy once = yard.study({yard.a});
  const IsolateStudy again = yard.study({yard.a});
  EXPECT_EQ(once.cost.drained_m3, again.cost.drained_m3);
  EXPECT_EQ(once.back_at_s, again.back_at_s);
}

}  // namespace isolate_study_test
}  // namespace tankyard
