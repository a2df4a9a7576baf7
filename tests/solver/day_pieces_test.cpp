// SPDX-License-Identifier: MIT
// A day run in pieces is the day run whole. Source of truth: the whole run.
#include "solver/studies/day_pieces.h"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/small_yard.h"

namespace tankyard {
namespace day_pieces_test {

// Runs a yard in pieces that end at these moments and at the end of its day.
std::vector<double> in_pieces(const SmallYard& yard, std::vector<double> ends_s) {
  ends_s.push_back(yard.sheet.lasts_s);
  const std::optional<Array> whole = yard.array();
  Between now = between_at_start(*whole);
  double from_s = 0.0;
  for (const double to_s : ends_s) {
    const Result<Array> array = Array::make(as_they_are(yard.parts, now));
    if (!array) {
      ADD_FAILURE() << array.error().front().message;
      return {};
    }
    const DaySheet piece = piece_of(yard.sheet, from_s, to_s, now.rain_m_per_s);
    const Result<RunRecord> record = run(*array, piece);
    if (!record) {
      ADD_FAILURE() << record.error().front().message;
      return {};
    }
    now = after_piece(now, *array, piece, *record);
    from_s = to_s;
  }
  return now.water_m3;
}

//  roof with first flush -> [a] --hose--> [b] --tap
SmallYard rainy() {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.5, 0.3);
  const TankId b = yard.box("b", 1.0, 1.0, 0.4, 0.1);
  yard.hose("a-b", a, b, 0.025).valve = Valve{"V", true, 0.05};
  yard.draw("tap", b, 0.0, 0.05);
  yard.roof("shed", a, 20.0);
  yard.parts.roofs[0].first_flush_m = 0.001;
  yard.rain(600.0, 2400.0, 6.0);
  yard.sheet.steps.push_back({3000.0, {{Action::Does::close, OutletId{0}}}, std::nullopt});
  return yard;
}

TEST(DayPieces, AreTheDayRunWhole) {
  const SmallYard yard = rainy();
  const std::optional<RunRecord> whole = yard.record();
  const std::vector<double> pieces = in_pieces(yard, {500.0, 700.0, 1500.0, 2400.0, 3100.0});
  ASSERT_EQ(pieces.size(), 2U);
  // The run's own tolerance is 0.1 mm a step: 0.1 L on a square metre.
  EXPECT_NEAR(pieces[0], whole->tanks[0].end_m3, 3e-4);
  EXPECT_NEAR(pieces[1], whole->tanks[1].end_m3, 3e-4);
}

// A sealed tank holds its water up by the vacuum over it; a piece that forgot the vacuum would let
// it run.
TEST(DayPieces, KeepTheVacuumUnderALid) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.5, 0.8);
  const TankId b = yard.box("b", 1.0, 1.0, 0.4, 0.1);
  yard.at(a).lid.kind = Lid::Kind::sealed;
  yard.hose("a-b", a, b, 0.025);
  const std::optional<RunRecord> whole = yard.record();
  EXPECT_LT(whole->tanks[0].headspace.end_pa, -1000.0);
  const std::vector<double> pieces = in_pieces(yard, {1800.0, 2700.0});
  ASSERT_EQ(pieces.size(), 2U);
  EXPECT_NEAR(pieces[0], whole->tanks[0].end_m3, 1e-3);
  EXPECT_GT(pieces[0], 0.7);
}

TEST(DayPieces, KeepAHumpFull) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.5, 0.8);
  const TankId b = yard.box("b", 1.0, 1.0, 0.0, 0.1);
  Hose& hose = yard.hose("a-b", a, b, 0.013);
  hose.crest_m = 2.0;
  hose.primed = true;
  const std::optional<RunRecord> whole = yard.record();
  EXPECT_LT(whole->tanks[0].end_m3, 0.75);
  const std::vector<double> pieces = in_pieces(yard, {600.0});
  ASSERT_EQ(pieces.size(), 2U);
  EXPECT_NEAR(pieces[0], whole->tanks[0].end_m3, 3e-4);
}

// A pump that drew air passes nothing more until it is started anew, though a piece begins.
TEST(DayPieces, DoNotPrimeAPumpThatDrewAir) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 1.0, 0.5, 0.2);
  const TankId b = yard.box("b", 1.0, 1.0, 0.5, 0.2);
  yard.hose("trickle", b, a, 0.006);
  yard.parts.outlets.push_back({"spray", std::nullopt, 1.0, 0.012, std::nullopt, 0.97, true, {}});
  Pump pump;
  pump.name = "booster";
  pump.from = a;
  pump.to = OutletId{0};
  pump.curve = {{0.0, 20.0}, {2e-3, 5.0}};
  pump.running = true;
  pump.one_way = true;
  yard.parts.pumps.push_back(pump);
  const std::optional<RunRecord> whole = yard.record();
  ASSERT_GT(whole->pumps[0].lost_prime, 0);
  const std::vector<double> pieces = in_pieces(yard, {60.0, 1000.0, 2000.0});
  ASSERT_EQ(pieces.size(), 2U);
  EXPECT_NEAR(pieces[0], whole->tanks[0].end_m3, 3e-4);
  EXPECT_NEAR(pieces[1], whole->tanks[1].end_m3, 3e-4);
}

TEST(DayPieces, LeaveOutWhatIsNotKept) {
  const SmallYard yard = rainy();
  const DaySheet piece =
      piece_of(yard.sheet, 2000.0, 3600.0, 1e-6, [](const Action&) { return false; });
  ASSERT_EQ(piece.steps.size(), 3U);
  EXPECT_EQ(piece.steps[0].rain_m_per_s, 1e-6);
  EXPECT_EQ(piece.steps[1].at_s, 400.0);
  EXPECT_EQ(piece.steps[1].rain_m_per_s, 0.0);
  EXPECT_EQ(piece.steps[2].at_s, 1000.0);
  EXPECT_TRUE(piece.steps[2].actions.empty());
  EXPECT_EQ(piece.lasts_s, 1600.0);
}

}  // namespace day_pieces_test
}  // namespace tankyard
