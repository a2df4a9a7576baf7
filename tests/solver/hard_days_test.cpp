// SPDX-License-Identifier: MIT
// Days on which no answer was found until something in the solver was mended. They were met as
// random days (tests/properties/days_test.cpp), a few in ten thousand, and are what is left of
// those when everything is taken away that does not matter. Source of truth: a stage has one
// answer, always (solver/README.md).
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "solver/small_yard.h"
#include "solver/water.h"

namespace tankyard {
namespace hard_days_test {

/// Runs to its end, and keeps every litre.
void has_an_answer(const SmallYard& yard) {
  const std::optional<RunRecord> record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_DOUBLE_EQ(record->lasted_s, yard.sheet.lasts_s);
  const Ledger& ledger = record->ledger;
  EXPECT_NEAR(ledger.closing_error_m3(), 0.0, 1e-9 * ledger.passed_m3 + 1e-12);
}

/// An open outlet at the end of a hose that names it.
void drip(SmallYard& yard, double height_m, double draw_m3_per_s) {
  Outlet drip;
  drip.name = "drip";
  drip.height_m = height_m;
  drip.draw_m3_per_s = draw_m3_per_s;
  drip.open = true;
  yard.parts.outlets.push_back(drip);
}

//  2.2 |~|         ______       `full` gives what it has through `rail` to `empty`, whose lid is
//      |f|        |      |      sealed and whose mouth lies 0.6 m under the water of `full`.
//  1.6 |u|   .----|      |      `rail` then stands a little over that mouth. A turn that left it
//  1.5 |l|---+    |empty |      under the mouth set its flow to nought, and the next began anew.
//  0.6      rail  |______|
//  0.0      sump
TEST(HardDays, AHeaderGivesALittleOverTheMouthOfAnEmptyTank) {
  SmallYard yard;
  const TankId full = yard.box("full", 0.01022, 1.23, 1.0, 0.01256);
  const TankId empty = yard.box("empty", 2.0, 2.0, 0.0, 0.0);
  yard.at(full).outlet_height_m = 0.5;
  yard.at(empty).outlet_height_m = 1.6;
  yard.at(empty).lid.kind = Lid::Kind::sealed;
  const HeaderId sump = yard.header("sump", 0.0);
  const HeaderId rail = yard.header("rail", 0.6);
  yard.hose("empty-rail", empty, rail, 0.060);
  yard.hose("full-rail", full, rail, 0.010).valve = Valve{"V1", true, 2.0};
  yard.hose("sump-rail", sump, rail, 0.200);
  for (const std::size_t k : {1U, 2U}) yard.parts.hoses[k].roughness_m = 2e-6;
  yard.sheet.lasts_s = 600.0;
  has_an_answer(yard);
}

// The same under open lids, with a drip on the rail: `full` stands 67 mm over the mouth of `empty`.
TEST(HardDays, AHeaderGivesALittleOverAMouthAndADrip) {
  SmallYard yard;
  const TankId empty = yard.box("empty", 0.9, 0.922, 1.7, 0.0);
  const TankId full = yard.box("full", 0.08, 0.83, 1.84, 0.065);
  yard.box("apart", 0.01, 1.5, 2.0, 0.0);
  const HeaderId rail = yard.header("rail", 0.0);
  drip(yard, 1.5, 9e-7);
  yard.hose("rail-empty", rail, empty, 0.036).to.height_m = 0.886;
  yard.hose("rail-full", rail, full, 0.004).length_m = 0.2;
  yard.hose("rail-drip", rail, OutletId{0}, 0.100);
  for (Hose& hose : yard.parts.hoses) hose.roughness_m = 2e-6;
  yard.sheet.lasts_s = 700.0;
  has_an_answer(yard);
}

// A film over the crest of `high-rail` brings a little less than the drip asks for. The drip's head
// was put on its sill, but for the last digit, where it had no slope, and flew off again.
TEST(HardDays, AFilmOverACrestBringsLessThanADripAsksFor) {
  SmallYard yard;
  const TankId low = yard.box("low", 0.9, 1.0, 0.0, 0.0);
  const TankId high = yard.box("high", 2.0, 1.2, 0.5, 1.0);
  yard.at(high).outlet_height_m = 0.2;
  const HeaderId rail = yard.header("rail", 0.5);
  drip(yard, 0.218, 2e-7);
  yard.hose("high-rail", high, rail, 0.100, 1.5).crest_m = 0.7;
  yard.hose("low-high", low, high, 0.050, 61.5).length_m = 0.2;
  yard.hose("rail-drip", rail, OutletId{0}, 0.100, 21.5).length_m = 7.0;
  for (Hose& hose : yard.parts.hoses) hose.roughness_m = 2e-6;
  yard.sheet.lasts_s = 86'400.0;
  for (const double drawn_m3_per_s : {1e-7, 2e-7, 4e-7}) {
    yard.parts.outlets.back().draw_m3_per_s = drawn_m3_per_s;
    has_an_answer(yard);
  }
}

// A tank stands at its mouth, but for a rounding, below what it should feed. That rounding ran on
// into the hose end, whose head crept up to it a hair at a turn, and every step was cut to nothing.
TEST(HardDays, ATankLevelWithItsMouthFeedsNothingHigherUp) {
  SmallYard yard;
  const TankId wide = yard.box("wide", 87.480993227727311, 0.26125, 0.118, 4.5868799827852733);
  yard.at(wide).outlet_height_m = 0.052432875;
  yard.box("apart", 0.034, 1.8, 0.65, 0.027);
  yard.box("low", 0.2, 0.5, 0.0, 0.0);
  yard.header("rail", 1.596);
  drip(yard, 0.28, 1.67e-4);
  yard.hose("wide-drip", wide, OutletId{0}, 0.0235, 5.8).length_m = 5.236;
  yard.parts.hoses.back().roughness_m = 1.5e-6;
  yard.sheet.lasts_s = 346.0;
  RunOptions in_few_steps;
  in_few_steps.most_steps = 1000;
  EXPECT_TRUE(run(*yard.array(), yard.sheet, in_few_steps));
}

// A drip over an empty tank, beside a tank so large that turns leave more than it asks for: it
// gave it a fifth of a millilitre, out of nothing.
TEST(HardDays, ADripAboveAnEmptyTankGivesNoWater) {
  SmallYard yard;
  const TankId empty = yard.box("empty", 0.5676, 0.25, 0.4395, 0.0);
  const TankId below = yard.box("below", 0.157, 0.25, 0.0, 0.0);
  yard.at(empty).shape = DepthTable{{0.0, 0.25}, {0.0, 0.1419}};
  yard.at(below).shape = DepthTable{{0.0, 0.125, 0.25}, {0.0, 0.0083, 0.0394}};
  yard.overflow(empty, 0.0, 0.005, below);
  yard.box("apart", 0.15829, 1.7845, 0.44, 0.183887);
  drip(yard, 0.5, 1e-7);
  yard.hose("empty-drip", empty, OutletId{0}, 0.002, 1.6).length_m = 16.943378;
  yard.parts.hoses.back().roughness_m = 0.0;
  yard.sheet.lasts_s = 60.0;
  const std::optional<RunRecord> record = yard.record();
  ASSERT_TRUE(record);
  EXPECT_NEAR(record->outlets[0].delivered_m3, 0.0, 1e-9);
  EXPECT_NEAR(record->tanks[0].end_m3, 0.0, 1e-9);
}

// `high` is empty and stands 2 mm over the water of `low`, so nothing should move. What rounding
// takes out of it at the start has to come back out of `low`, along both hoses: neither of them
// took so much alone.
TEST(HardDays, WaterTakenByRoundingComesBackAlongSeveralStreams) {
  SmallYard yard;
  const TankId high = yard.box("high", 10.0, 2.0, 1.856, 0.0);
  const TankId low = yard.box("low", 16.8, 2.0, 0.467, 23.3);
  yard.at(low).outlet_height_m = 0.9;
  yard.box("apart", 0.03, 1.0, 0.0, 0.0);
  const HeaderId rail = yard.header("rail", 0.5);
  yard.hose("thin", low, rail, 0.004).length_m = 0.2;
  yard.hose("long", low, rail, 0.010).length_m = 49.0;
  yard.hose("wide", high, rail, 0.030);
  for (Hose& hose : yard.parts.hoses) hose.roughness_m = 2e-6;
  yard.sheet.lasts_s = 4000.0;
  has_an_answer(yard);
}

// A wide hose fills `small` under its lid with a hole of 1 mm, until it runs over into `lying`.
// Turns believed to have ended left a pressure that did not fit the water of the step's end; made
// to fit, it leapt, and no step after it could be taken. Such a step is too coarse.
TEST(HardDays, AStepWhoseAirDoesNotFitItsEndIsTakenAgain) {
  SmallYard yard;
  const TankId large = yard.box("large", 6.2478827900540637, 2.0, 1.296, 12.330196686171695);
  const TankId small = yard.box("small", 0.210757, 0.376, 0.0, 0.0);
  const TankId lying = yard.box("lying", 1.0, 1.0, 0.0, 0.0);
  yard.at(large).outlet_height_m = 1.0;
  yard.at(small).outlet_height_m = 0.1;
  yard.at(small).lid = {Lid::Kind::holed, 0.001, 0.6, 1, 0.8};
  yard.overflow(small, 0.2229, 0.04675, lying);
  yard.at(lying).shape = Lying{0.94935, 1.07903};
  yard.at(lying).outlet_height_m = 0.8;
  yard.hose("fill", large, small, 0.180).valve = Valve{"V1", true, 0.64};
  yard.sheet.lasts_s = 10'000.0;
  has_an_answer(yard);
}

//        ______
//  1.18 |empty |    `rail` hears of `full` through a thin hose, 3.5 mm over its own mouth, and is
//  rail-+      |    open to a spout that could take hundreds of times as much. Coming down from
//   |   |______|    where `empty` last gave, its head neared the mouth of `empty` by small even
//   |               turns that kept that flow, and was believed: an empty tank fed the spout, or
//   '--spout        all stood still for good. In truth what comes is what the thin hose brings.
// Source: laminar flow after Hagen and Poiseuille, in any text.
TEST(HardDays, AnEmptyTankFeedsNoSpoutWhileAThinHoseDoes) {
  constexpr double thin_m = 0.004;
  constexpr double thin_length_m = 1.53;
  constexpr double over_rail_m = 0.0035;
  SmallYard yard;
  const TankId empty = yard.box("empty", 0.2, 0.3, 1.178, 0.0);
  const TankId full = yard.box("full", 1.0, 2.0, 0.0, 1.178 + over_rail_m);
  const HeaderId rail = yard.header("rail", 1.178);
  const HeaderId sump = yard.header("sump", 0.0);
  yard.at(empty).outlet_height_m = 0.0146;
  yard.hose("wide", rail, empty, 0.200);
  yard.hose("rail-sump", rail, sump, 0.072).length_m = 5.73;
  yard.hose("thin", sump, full, thin_m).length_m = thin_length_m;
  const OutletId spout = yard.tap("spout", 0.0, 0.00267);
  yard.hose("fall", rail, spout, 0.010).length_m = 0.646;
  for (Hose& hose : yard.parts.hoses) hose.roughness_m = 2e-6;
  yard.parts.hoses.back().crest_m = 1.178;
  yard.parts.hoses.back().primed = true;
  yard.sheet.lasts_s = 600.0;
  const std::optional<RunRecord> record = yard.record();
  ASSERT_TRUE(record);
  const Site& site = yard.parts.site;
  const Water water = water_at(site.water_temperature_degc, site.altitude_m);
  const double most_m3_per_s = std::numbers::pi * gravity_m_per_s2 * over_rail_m *
                               std::pow(thin_m, 4) /
                               (128.0 * water.kinematic_viscosity_m2_per_s * thin_length_m);
  // Less by the 0.3 mm that `rail` has to stand over its mouth to let so little out.
  const double delivered_m3 = record->outlets[0].delivered_m3;
  EXPECT_LT(delivered_m3, most_m3_per_s * yard.sheet.lasts_s);
  EXPECT_GT(delivered_m3, 0.85 * most_m3_per_s * yard.sheet.lasts_s);
  EXPECT_NEAR(record->tanks[empty.index].end_m3, 0.0, 1e-9);
}

}  // namespace hard_days_test
}  // namespace tankyard
