// SPDX-License-Identifier: MIT
// What can fail in a yard, when, and what becomes of it. Sources of truth stand beside each test.
#include "solver/studies/faults_yard.h"

#include <gmock/gmock.h>

#include <cmath>

#include "near.h"
#include "small_yard.h"
#include "solver/studies/faults_outcome.h"
#include "solver/studies/faults_study.h"
#include "solver/water.h"

namespace tankyard {
namespace faults_yard_test {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using Kind = Fault::Kind;

constexpr double hour_s = 3600.0;

std::vector<std::string> said(const Array& array, const DaySheet& sheet) {
  std::vector<std::string> words;
  for (const Fault& fault : single_faults(array, sheet)) {
    words.push_back(in_words(array.parts(), fault));
  }
  return words;
}

/// A tank, a hose with a closed tap at its end.
///
///     upper =====+ tap
struct OneTank : SmallYard {
  TankId upper;
  explicit OneTank(double bore_m) {
    sheet = {};
    upper = box("upper", 1.1, 1.0, 0.5, 0.99);
    const OutletId end = tap("tap", 0.0, 0.010);
    at_outlet(end).open = false;
    hose("line", upper, end, bore_m);
  }
  Outlet& at_outlet(OutletId id) { return part(parts.outlets, id); }
};

/// Two like tanks joined at the bottom: what is lost by one is lost by both.
struct TwoTanks : SmallYard {
  TankId left;
  TankId right;
  TwoTanks() {
    sheet = {};
    left = box("left", 1.0, 1.0, 0.0, 0.5);
    right = box("right", 1.0, 1.0, 0.0, 0.5);
    hose("link", left, right, 0.025);
  }
};

TEST(SingleFaults, AreThoseThatTheYardHas) {
  OneTank yard(0.025);
  yard.overflow(yard.upper, 0.9);
  yard.roof("shed", yard.upper, 20.0);
  yard.at(yard.upper).lid = {Lid::Kind::holed, 0.01, 0.6, 1, 1.0};
  yard.parts.hoses[0].valve = Valve{"V1", true, 0.05};
  yard.parts.hoses[0].one_way = true;
  EXPECT_THAT(said(*yard.array(), yard.sheet),
              ElementsAre("hole in the lid of `upper` blocked", "`line` throttled to a tenth",
                          "`V1` left shut", "overflow of `upper` blocked",
                          "non-return valve of `line` stuck open", "gutter of `shed` blocked",
                          "`line` off at `upper`", "`line` off at `tap`"));
}

TEST(SingleFaults, KnowAValveThatTheDaySheetShuts) {
  OneTank yard(0.025);
  yard.parts.hoses[0].valve = Valve{"V1", true, 0.05};
  EXPECT_THAT(said(*yard.array(), yard.sheet), testing::Not(Contains("`V1` never shut")));
  yard.sheet.steps.push_back({10.0, {{Action::Does::close, id_at<HoseId>(0)}}, {}});
  EXPECT_THAT(said(*yard.array(), yard.sheet), Contains("`V1` never shut"));
  yard.parts.hoses[0].valve->open = false;
  EXPECT_THAT(said(*yard.array(), yard.sheet), testing::Not(Contains("`V1` left shut")));
}

TEST(SingleFaults, GoTogetherUnlessTheyContradict) {
  EXPECT_FALSE(can_go_together({Kind::valve_left_open, 1}, {Kind::valve_left_shut, 1}));
  EXPECT_TRUE(can_go_together({Kind::valve_left_open, 1}, {Kind::valve_left_shut, 2}));
  EXPECT_FALSE(can_go_together({Kind::hose_off_at_to, 1}, {Kind::hose_off_at_from, 1}));
  EXPECT_TRUE(can_go_together({Kind::hose_off_at_to, 1}, {Kind::hose_throttled, 1}));
}

TEST(FaultDay, TakesAQuietNightWhereThereIsNoDaySheet) {
  const FaultDay day = fault_day(DaySheet{});
  EXPECT_TRUE(day.quiet);
  EXPECT_EQ(day.sheet.starts_clock_s, 22.0 * hour_s);
  EXPECT_EQ(day.sheet.lasts_s, 8.0 * hour_s);
  EXPECT_EQ(day.night_s, 0.0);
}

TEST(FaultDay, RunsOnToTheMorningAfterTheLastWatering) {
  DaySheet sheet;
  sheet.starts_clock_s = 5.0 * hour_s;
  const auto watering_ends = [&](double clock_h) {
    sheet.steps = {{(clock_h - 5.0) * hour_s, {{Action::Does::close, id_at<OutletId>(0)}}, {}}};
    return fault_day(sheet);
  };
  FaultDay day = watering_ends(19.5);
  EXPECT_FALSE(day.quiet);
  EXPECT_DOUBLE_EQ(day.night_s, 17.0 * hour_s);    // 22:00
  EXPECT_DOUBLE_EQ(day.morning_s, 25.0 * hour_s);  // 06:00
  EXPECT_DOUBLE_EQ(day.sheet.lasts_s, 25.0 * hour_s);
  day = watering_ends(23.5);  // later than ten: then
  EXPECT_DOUBLE_EQ(day.night_s, 18.5 * hour_s);
  EXPECT_DOUBLE_EQ(day.morning_s, 25.0 * hour_s);
  sheet.lasts_s = 72.0 * hour_s;
  day = watering_ends(24.0 + 8.0);  // in the second morning
  EXPECT_DOUBLE_EQ(day.night_s, 41.0 * hour_s);
  EXPECT_DOUBLE_EQ(day.sheet.lasts_s, 72.0 * hour_s);
}

// Closed form: a box of area A drains by a hole a under head h as sqrt(h) = sqrt(h0) - (c a / A)
// sqrt(g/2) t (any textbook of hydraulics: Torricelli, integrated).
TEST(AHoseThatComesOff, DrainsItsTankAsAnOrificeDoes) {
  const double bore_m = 0.004;
  const OneTank yard(bore_m);
  const auto study = study_faults(*yard.array(), yard.sheet);
  ASSERT_TRUE(study.has_value());
  const double area_m2 = 3.141592653589793 * bore_m * bore_m / 4.0;
  const double root = std::sqrt(0.9) - nipple_coefficient * area_m2 / 1.1 *
                                           std::sqrt(gravity_m_per_s2 / 2.0) * 8.0 * hour_s;
  ASSERT_GT(root, 0.3);
  const double lost = 1.1 * (0.9 - root * root);
  for (const FaultOutcome& each : study->singles) {
    if (each.faults.front().kind != Kind::hose_off_at_from) continue;
    EXPECT_NEAR(each.lost_m3, lost, 0.003 * lost);
    EXPECT_EQ(each.sign.kind, FirstSign::Kind::water_runs);
    EXPECT_EQ(each.sign.at_s, 0.0);
    return;
  }
  FAIL() << "no hose came off";
}

TEST(AHoseThatComesOff, TakesTheWaterOfAllThatShare) {
  const TwoTanks yard;
  const auto study = study_faults(*yard.array(), yard.sheet);
  ASSERT_TRUE(study.has_value());
  const FaultOutcome& worst = study->singles.front();
  EXPECT_TRUE(is_burst(worst.faults.front()));
  EXPECT_NEAR(worst.lost_m3, 1.0, 0.03);  // all there is, less a film below the mouth's rim
  EXPECT_THAT(worst.emptied, ElementsAre(yard.left, yard.right));
  const auto findings = find_in_faults(*yard.array(), *study);
  const Finding drains = the_one(findings, FindingKind::burst_drains);
  EXPECT_EQ(drains.where, "link");
  EXPECT_THAT(drains.do_this, HasSubstr("fit a valve right at"));
}

// By symmetry: a hose whose valve is shut loses by the bared mouth what that tank holds, no more.
TEST(AHoseThatComesOff, LosesNothingByItsLooseEndWhileItsValveIsShut) {
  TwoTanks yard;
  yard.parts.hoses[0].valve = Valve{"V1", true, 0.05};
  yard.sheet.steps.push_back({0.0, {{Action::Does::close, id_at<HoseId>(0)}}, {}});
  const auto study = study_faults(*yard.array(), yard.sheet);
  ASSERT_TRUE(study.has_value());
  for (const FaultOutcome& each : study->singles) {
    if (!is_burst(each.faults.front())) continue;
    EXPECT_NEAR(each.lost_m3, 0.5, 0.015);
  }
  EXPECT_TRUE(of_kind(find_in_faults(*yard.array(), *study), FindingKind::burst_drains).empty());
}

TEST(AHoseThatComesOff, IsHeldBackByAValveAtItsMouth) {
  const TwoTanks yard;
  const FaultYard plain{yard.parts, fault_day(yard.sheet), {}};
  const FaultYard fitted = with_change(plain, {Change::Kind::valve_at_from, 0});
  const auto lost = [&](const FaultYard& it, Kind kind) {
    const auto array = Array::make(it.parts);
    const auto healthy = run(*array, it.day.sheet, {.record_every_s = fault_row_s});
    return outcome_of(it, {{kind, 0}}, *healthy, {}).lost_m3;
  };
  EXPECT_GT(lost(plain, Kind::hose_off_at_from), 0.95);
  // At the valve's end the far tank's half runs out of the loose hose; at the other end likewise
  // out of the bared mouth.
  EXPECT_NEAR(lost(fitted, Kind::hose_off_at_from), 0.5, 0.02);
  EXPECT_NEAR(lost(fitted, Kind::hose_off_at_to), 0.5, 0.02);
}

// A non-return valve holds the far tank; stuck open as well, it does not: a pair worse than its
// parts.
TEST(PairsOfFaults, ShowANonReturnValveThatFailsWhenItIsNeeded) {
  TwoTanks yard;
  yard.parts.hoses[0].one_way = true;
  const auto study = study_faults(*yard.array(), yard.sheet);
  ASSERT_TRUE(study.has_value());
  EXPECT_FALSE(study->stopped);
  EXPECT_EQ(study->pairs_tried, study->pairs_in_all);
  ASSERT_FALSE(study->pairs.empty());
  const FaultOutcome& worst = study->pairs.front();
  EXPECT_THAT(worst.faults,
              ElementsAre(Fault{Kind::non_return_stuck_open, 0}, Fault{Kind::hose_off_at_from, 0}));
  EXPECT_NEAR(worst.lost_m3, 1.0, 0.03);
}

// Closed form: what a stuck float lets in beyond the room there is runs to the ground.
TEST(AStuckFloat, LetsWaterRunAllNight) {
  SmallYard yard;
  yard.sheet = {};
  const TankId butt = yard.box("butt", 1.0, 1.0, 0.0, 0.7);
  yard.overflow(butt, 0.9);
  yard.parts.top_ups.push_back({"mains", butt, 1e-4, 0.2, 0.4, std::nullopt});
  const auto study = study_faults(*yard.array(), yard.sheet);
  ASSERT_TRUE(study.has_value());
  const FaultOutcome& worst = study->singles.front();
  EXPECT_EQ(worst.faults.front().kind, Kind::float_stuck_open);
  EXPECT_NEAR(worst.lost_m3, 8.0 * hour_s * 1e-4 - 0.2, 0.02);  // a film stands over the overflow
  EXPECT_EQ(worst.sign.kind, FirstSign::Kind::higher);
  EXPECT_NEAR(worst.sign.at_s, 1000.0, 300.0);  // 100 mm at 0.1 mm a second
}

TEST(ABlockedLid, IsADangerThatASecondHoleTakesAway) {
  SmallYard yard;
  yard.sheet = {};
  const TankId cage = yard.box("cage", 1.0, 1.0, 0.0, 0.9);
  yard.at(cage).lid = {Lid::Kind::holed, 0.020, 0.6, 1, 1.0};
  yard.at(cage).allowed_vacuum_pa = 500.0;
  const OutletId draw = yard.draw("tap", cage, 0.1, 0.2);
  part(yard.parts.outlets, draw).open = false;
  yard.sheet.steps = {{600.0, {{Action::Does::open, draw}}, {}},
                      {1800.0, {{Action::Does::close, draw}}, {}}};
  const auto study = study_faults(*yard.array(), yard.sheet);
  ASSERT_TRUE(study.has_value());
  const FaultOutcome& worst = study->singles.front();
  EXPECT_EQ(worst.faults.front().kind, Kind::lid_blocked);
  ASSERT_EQ(worst.dangers.size(), 1u);
  EXPECT_EQ(worst.dangers.front().part, cage.index);
  EXPECT_GE(worst.dangers.front().at_s, 600.0);
  EXPECT_EQ(study->toll.harmed, 1u);
  ASSERT_FALSE(study->best.empty());
  EXPECT_EQ(study->best.front().change.kind, Change::Kind::second_hole);
  EXPECT_EQ(study->best.front().toll.harmed, 0u);
  const Finding danger =
      the_one(find_in_faults(*yard.array(), *study), FindingKind::vacuum_collapse);
  EXPECT_EQ(danger.severity, Severity::danger);
  EXPECT_THAT(danger.do_this, HasSubstr("second hole"));
}

TEST(TheStudyOfFaults, KeepsWhatIsKnownWhenItIsStopped) {
  const TwoTanks yard;
  FaultOptions options;
  int asked = 0;
  options.many.threads = 1;
  options.many.stop = [&] { return ++asked > 2; };
  const auto study = study_faults(*yard.array(), yard.sheet, options);
  ASSERT_TRUE(study.has_value());
  EXPECT_TRUE(study->stopped);
  EXPECT_EQ(study->singles.size(), 2u);
  EXPECT_EQ(study->singles_in_all, 3u);
  EXPECT_EQ(study->pairs_tried, 0u);
}

// Borda-Carnot for a plain contraction to a tenth: the jet is 0.63 of it.
TEST(AThrottledHose, LosesWhatANarrowPlaceLoses) {
  EXPECT_EQ(loss_k_of_narrowing(1.0), 0.0);
  EXPECT_NEAR(loss_k_of_narrowing(0.1), (1.0 / 0.063 - 1.0) * (1.0 / 0.063 - 1.0), 0.5);
}

}  // namespace faults_yard_test
}  // namespace tankyard
