// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include <cmath>

#include "solver/small_yard.h"

namespace tankyard {
namespace find_slow_link_test {

//  Two boxes of 1 m2, 0.5 m apart, and a hose of which only the K counts. With a its area and d the
//  difference, Q = a sqrt(2 g d / K) and each level moves by Q / 1 m2, so
//      d(sqrt d)/dt = -a sqrt(2 g / K),
//  a straight line. K = 100, 25 mm: a = 4.9087e-4 m2, slope 2.1739e-4; after 600 s
//  sqrt d = 0.70711 - 0.13044 = 0.57667, d = 332.6 mm. It comes to 100 mm after 1798 s.
SmallYard levelling(double total_k = 100.0, double bore_m = 0.025) {
  SmallYard yard;
  const TankId high = yard.box("high", 1.0, 2.0, 0.0, 1.0);
  const TankId low = yard.box("low", 1.0, 2.0, 0.0, 0.5);
  yard.hose("link", high, low, bore_m, total_k);
  return yard;
}

TEST(SlowLink, KeepsWhatIsLeftAfterTenMinutes) {
  const Finding found = the_one(levelling().found_in_run(), FindingKind::slow_link);
  EXPECT_EQ(found.where, "link");
  EXPECT_NEAR(found.value, 332.6, 2.0);
  EXPECT_DOUBLE_EQ(found.limit.value_or(0.0), 100.0);
  EXPECT_EQ(found.unit, "mm");
  EXPECT_DOUBLE_EQ(found.at_s.value_or(-1.0), 0.0);
  EXPECT_THAT(found.says, testing::HasSubstr("`high` and `low`"));
}

// A tap at 0.7 m in `low` is opened from 700 to 1000 s. At 25 mm `low` stands at 0.60 m by then and
// at 0.68 m at the end: nothing comes. At 50 mm, four times the slope, it stands at 0.745 m and all
// 30 L come.
SmallYard levelling_for_a_high_tap() {
  SmallYard yard = levelling();
  const OutletId tap = yard.draw("tap", id_at<TankId>(1), 0.70, 0.1);
  yard.parts.outlets[0].open = false;
  yard.sheet.steps.push_back({700.0, {{Action::Does::open, tap}}, std::nullopt});
  yard.sheet.steps.push_back({1000.0, {{Action::Does::close, tap}}, std::nullopt});
  return yard;
}

// To fall from 500 to 100 mm within 600 s takes a slope of 0.39088 / 600 s = 6.515e-4, and so, at
// K = 100, an area of 1.471e-3 m2: 43.3 mm across. Of what is sold, 40 mm takes 702 s, 50 mm 450 s.
TEST(SlowLink, NamesTheBoreThatWouldDo) {
  const Finding found = the_one(levelling_for_a_high_tap().found_in_run(), FindingKind::slow_link);
  EXPECT_THAT(found.do_this, testing::HasSubstr("a bore of 50 mm in place of 25 mm would do: the "
                                                "outlets get 30 L more"));
}

// Without the tap nothing is lost by the slow hose, and nothing is to be bought.
TEST(SlowLink, OffersNoBoreThatSavesNothing) {
  const Finding found = the_one(levelling().found_in_run(), FindingKind::slow_link);
  EXPECT_THAT(found.do_this, testing::HasSubstr("not worth buying for this day"));
  EXPECT_THAT(found.do_this, testing::HasSubstr("nothing was lost by it that day"));
  EXPECT_THAT(found.do_this, testing::Not(testing::HasSubstr("would do")));
}

//  |a|-25 mm-|b|-16 mm-|c|=tap    `b` is narrow and stands nearly still, so both hoses carry Q with
//  1.9 m     1.75 m     0.2 m     1.7 m = Q^2 (100 / a1^2 + 200 / a2^2) / 2g: Q = 79 mL/s, and 131
//  mm of it are lost in a-b. Without those Q is 4 % more: 6 L in half an hour.
TEST(SlowLink, NamesTheHoseThatHoldsTheWaterUpInstead) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, 1.9);
  const TankId b = yard.box("b", 0.05, 2.0, 0.0, 0.0875);
  const TankId c = yard.box("c", 1.0, 2.0, 0.0, 0.2);
  yard.hose("a-b", a, b, 0.025, 100.0);
  yard.hose("b-c", b, c, 0.016, 200.0);
  yard.draw("tap", c, 0.0, 0.5);
  yard.sheet.lasts_s = 1800.0;
  const std::vector<Finding> found = of_kind(yard.found_in_run(), FindingKind::slow_link);
  ASSERT_EQ(found.size(), 2U);
  for (const Finding& each : found) {
    if (each.where != "a-b") continue;
    EXPECT_THAT(each.do_this, testing::HasSubstr("not worth buying for this day"));
    EXPECT_THAT(each.do_this, testing::HasSubstr("`b-c` then holds the water up"));
  }
}

TEST(SlowLink, SaysWhenNoStepsWereLeftToTry) {
  const SmallYard yard = levelling_for_a_high_tap();
  TryWatch watch;
  watch.most_steps = 0;
  const Finding found = the_one(yard.found_in_run(watch), FindingKind::slow_link);
  EXPECT_THAT(found.do_this, testing::HasSubstr("which bore would do was not tried: "));
  EXPECT_THAT(found.do_this, testing::Not(testing::HasSubstr(" mm ")));
}

// K = 11.1 at 25 mm: 600.5 s; K = 11.0: 597.8 s.   (0.39088 / (4.9087e-4 sqrt(19.6133 / K)))
TEST(SlowLink, BeginsAfterTenMinutes) {
  const auto seconds = [](double k) { return 0.39088 / (4.9087e-4 * std::sqrt(19.6133 / k)); };
  ASSERT_GT(seconds(11.6), 612.0);
  ASSERT_LT(seconds(10.6), 588.0);
  EXPECT_EQ(of_kind(levelling(11.6).found_in_run(), FindingKind::slow_link).size(), 1U);
  EXPECT_TRUE(of_kind(levelling(10.6).found_in_run(), FindingKind::slow_link).empty());
}

TEST(SlowLink, IsNotFoundInAHoseThatCarriesNothing) {
  SmallYard shut = levelling();
  shut.parts.hoses[0].open = false;
  EXPECT_TRUE(of_kind(shut.found_in_run(), FindingKind::slow_link).empty());
  SmallYard wrong_way = levelling();
  std::swap(wrong_way.parts.hoses[0].from, wrong_way.parts.hoses[0].to);
  wrong_way.parts.hoses[0].one_way = true;
  EXPECT_TRUE(of_kind(wrong_way.found_in_run(), FindingKind::slow_link).empty());
}

// What was kept up in the morning is not forgotten when more is lost for a moment later: two hours
// on, level by then, the pair is opened onto a third tank that stands 1 m higher, for five minutes.
TEST(SlowLink, IsRememberedBesideAGreaterLossLater) {
  SmallYard yard = levelling();
  const TankId third = yard.box("third", 1.0, 2.0, 0.0, 1.9);
  yard.hose("gate", third, id_at<TankId>(0), 0.110).valve = Valve{"V1", false, 0.0};
  yard.sheet.lasts_s = 9000.0;
  yard.sheet.steps.push_back({7200.0, {{Action::Does::open, HoseId{1}}}, std::nullopt});
  yard.sheet.steps.push_back(
      {7500.0, {{Action::Does::close, HoseId{1}}, {Action::Does::close, HoseId{0}}}, std::nullopt});
  const std::optional<RunRecord> record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_GT(record->lags[0].at_s, 7200.0);
  EXPECT_NEAR(record->lags[0].kept_up_m, 0.3326, 0.002);
}

// Ten minutes count from when the valve is opened, and shutting it in between begins them anew.
TEST(SlowLink, CountsOnlyWhileTheValveIsOpen) {
  SmallYard yard = levelling();
  yard.parts.hoses[0].valve = Valve{"V1", false, 0.0};
  const auto at = [&](double at_s, Action::Does does) {
    yard.sheet.steps.push_back({at_s, {{does, HoseId{0}}}, std::nullopt});
  };
  at(100.0, Action::Does::open);
  at(650.0, Action::Does::close);
  at(700.0, Action::Does::open);
  at(1250.0, Action::Does::close);
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::slow_link).empty());
  yard.sheet.steps.pop_back();
  // 550 s, and then 600 s from 700 s on: sqrt d = 0.70711 - 1150 x 2.1739e-4, d = 209.0 mm.
  const Finding found = the_one(yard.found_in_run(), FindingKind::slow_link);
  EXPECT_NEAR(found.value, 209.0, 2.0);
  EXPECT_NEAR(found.at_s.value_or(0.0), 700.0, 1e-6);
}

// K = 1e6: even 110 mm has a slope of 9.5033e-3 x sqrt(19.6133e-6) = 4.2e-5, far from 6.5e-4.
TEST(SlowLink, SaysWhenNoBoreWouldDo) {
  const Finding found = the_one(levelling(1e6, 0.1).found_in_run(), FindingKind::slow_link);
  EXPECT_THAT(found.do_this, testing::HasSubstr("no wider hose up to 110 mm"));
}

// A mouth of 50 mm does not fit under a rim 45 mm above it; then nothing that is sold will do.
TEST(SlowLink, LeavesOutBoresThatDoNotFit) {
  SmallYard yard = levelling();
  yard.at(id_at<TankId>(1)).shape = Prism{1.0, 0.545};
  yard.at(id_at<TankId>(1)).base_m = 0.0;
  yard.parts.hoses[0].to.height_m = 0.5;
  yard.at(id_at<TankId>(1)).water_m3 = 0.53;
  yard.at(id_at<TankId>(0)).water_m3 = 1.9;
  const Finding found = the_one(yard.found_in_run(), FindingKind::slow_link);
  EXPECT_THAT(found.do_this, testing::HasSubstr("that fits its ends"));
}

// Nothing is lost by it: a note. With an outlet that went short the same day: a warning.
TEST(SlowLink, IsAWarningWhereSomethingWentShort) {
  SmallYard yard = levelling();
  EXPECT_EQ(the_one(yard.found_in_run(), FindingKind::slow_link).severity, Severity::note);
  yard.draw("tap", id_at<TankId>(1), 0.0, 1.0);
  EXPECT_EQ(the_one(yard.found_in_run(), FindingKind::slow_link).severity, Severity::warning);
}

// tank - rail - tap: the thin hose from the tank keeps no tanks apart, however much head it uses
// up.
TEST(SlowLink, IsNotSaidOfAHoseThatOnlyLeadsToOutlets) {
  SmallYard yard;
  const TankId tank = yard.box("tank", 5.0, 2.0, 1.0, 8.0);
  const HeaderId rail = yard.header("rail", 0.5);
  const OutletId tap = yard.tap("tap", 0.4, 0.025);
  yard.hose("tank-rail", tank, rail, 0.019);
  yard.hose("rail-tap", rail, tap, 0.050);
  const std::optional<RunRecord> record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_GT(record->lags[0].head_lost_m, 0.5);
  EXPECT_TRUE(of_kind(yard.found_in_run(), FindingKind::slow_link).empty());
  // The same hose beside another tank on the rail does.
  const TankId other = yard.box("other", 5.0, 2.0, 1.0, 8.0);
  yard.hose("other-rail", other, rail, 0.050);
  const std::vector<Finding> found = of_kind(yard.found_in_run(), FindingKind::slow_link);
  EXPECT_THAT(found, testing::Contains(testing::Field(&Finding::where, "tank-rail")));
}

// Only the three worst are tried; the fourth says what to do first.
TEST(SlowLink, TriesTheThreeWorst) {
  SmallYard yard;
  for (int i = 0; i < 4; ++i) {
    const std::string n = std::to_string(i);
    const TankId high = yard.box("high-" + n, 1.0, 2.0, 0.0, 1.0 + 0.1 * i);
    const TankId low = yard.box("low-" + n, 1.0, 2.0, 0.0, 0.5);
    yard.hose("link-" + n, high, low, 0.025, 100.0);
  }
  const std::vector<Finding> found = of_kind(yard.found_in_run(), FindingKind::slow_link);
  ASSERT_EQ(found.size(), 4U);
  for (const Finding& each : found) {
    EXPECT_THAT(each.do_this, each.where == "link-0" ? testing::HasSubstr("3 worst hoses first")
                                                     : testing::HasSubstr("not worth buying"))
        << each.where;
  }
}

}  // namespace find_slow_link_test
}  // namespace tankyard
