// SPDX-License-Identifier: MIT
#include "solver/studies/link_study.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>

#include "solver/small_yard.h"

namespace tankyard {
namespace link_study_test {

using testing::HasSubstr;

const std::vector<HoseOnOffer> some_hoses = {{0.013, 1.1}, {0.019, 1.9}, {0.032, 4.2}};

/// Two tanks on a rail with a tap, and one that is not joined.
struct RailYard : SmallYard {
  HeaderId rail = header("rail", -0.02);
  TankId a = box("a", 1.1, 0.95, 0.0, 0.4);
  TankId b = box("b", 1.1, 0.95, 0.0, 0.4);
  TankId fresh = box("fresh", 1.1, 0.95, 0.0, 0.0);

  RailYard() {
    for (const TankId id : {a, b, fresh}) overflow(id, 0.86);
    hose("a-rail", a, rail, 0.032, 4.0).valve = Valve{"V1"};
    hose("b-rail", b, rail, 0.032, 4.0).valve = Valve{"V2"};
    draw("tap", a, 0.0, 0.1);
    roof("roof", a, 60.0);
    rain(600.0, 3000.0, 20.0);
    at(a).position = Position{0.0, 0.0};
    at(b).position = Position{1.5, 0.0};
    at(fresh).position = Position{4.5, 0.0};
  }

  LinkStudy study(LinkOptions options = {}) const {
    if (options.hoses.empty()) options.hoses = some_hoses;
    const Result<LinkStudy> found = study_link(*array(), sheet, fresh, options);
    EXPECT_TRUE(found.has_value()) << (found ? "" : found.error().front().message);
    return found.value_or(LinkStudy{});
  }
};

bool same(const LinkOption& a, const LinkOption& b) {
  const auto places = [](const LinkOption& option) {
    std::vector<Place> all;
    for (const Spur& spur : option.way.spurs) all.push_back(spur.place);
    return all;
  };
  return places(a) == places(b) && a.way.hose == b.way.hose &&
         a.way.side_by_side == b.way.side_by_side && a.way.valved == b.way.valved &&
         a.way.base_m == b.way.base_m;
}

void expect_same(const LinkStudy& one, const LinkStudy& other) {
  ASSERT_EQ(one.options.size(), other.options.size());
  EXPECT_EQ(one.unbeaten, other.unbeaten);
  for (std::size_t i = 0; i < one.options.size(); ++i) {
    ASSERT_TRUE(same(one.options[i], other.options[i])) << i;
    EXPECT_EQ(one.options[i].figures.levels_in_s, other.options[i].figures.levels_in_s);
    EXPECT_EQ(one.options[i].saved_m3, other.options[i].saved_m3);
  }
}

TEST(LinkStudy, TriesEveryPlaceHoseAndValve) {
  const LinkStudy study = RailYard().study({.hoses = some_hoses, .stands = false});
  // Three places by one hose or two, three pairs of places; three bores; with and without valves.
  EXPECT_EQ(study.options.size(), (3U * 2U + 3U) * 3U * 2U);
  EXPECT_TRUE(study.failed.empty());
  EXPECT_EQ(study.unfit, 0U);
}

TEST(LinkStudy, MeasuresHosesBetweenPositionsAndAlongARail) {
  const LinkStudy study = RailYard().study({.hoses = some_hoses, .run_per_metre = 1.2});
  ASSERT_EQ(study.spurs.size(), 3U);
  for (const Spur& spur : study.spurs) {
    const std::string name = name_of(study.parts, spur.place);
    // To the rail: to b, then along b's hose, which has no length.
    EXPECT_NEAR(spur.length_m, name == "a" ? 5.4 : 3.6, 1e-9) << name;
    EXPECT_EQ(spur.length_from, name == "rail" ? LengthFrom::by_way_of : LengthFrom::positions);
  }
}

TEST(LinkStudy, AssumesALengthWhereNoPositionIsKnown) {
  RailYard yard;
  yard.at(yard.fresh).position.reset();
  for (const Spur& spur : yard.study().spurs) {
    EXPECT_EQ(spur.length_from, LengthFrom::assumed);
    EXPECT_EQ(spur.length_m, assumed_length_m);
  }
}

TEST(LinkStudy, RecommendsAWayThatNoneBeatsAndThatDoesAllItCan) {
  const LinkStudy study = RailYard().study();
  const LinkOption& top = study.options.front();
  EXPECT_EQ(top.rank, 1U);
  EXPECT_FALSE(top.beaten);
  EXPECT_TRUE(top.merits.all_used);
  EXPECT_TRUE(top.merits.can_be_shut_off);
  EXPECT_TRUE(top.merits.keeps_level);
  EXPECT_TRUE(top.merits.levels_soon);
  EXPECT_EQ(top.way.stand, Stand::as_planned);
  for (const LinkOption& option : study.options) {
    const LinkMerits& merits = option.merits;
    const bool does_all =
        merits.all_used && merits.can_be_shut_off && merits.keeps_level && merits.levels_soon;
    // Dearer by a quarter at most than the cheapest that does all.
    if (does_all && option.way.stand == Stand::as_planned) {
      EXPECT_LE(top.price, 1.25 * option.price + 1e-9);
    }
  }
}

TEST(LinkStudy, PutsEveryWayThatIsBeatenBehindThoseThatAreNot) {
  const LinkStudy study = RailYard().study();
  for (std::size_t i = 0; i < study.options.size(); ++i) {
    EXPECT_EQ(study.options[i].beaten, i >= study.unbeaten) << i;
    EXPECT_EQ(study.options[i].rank, i + 1);
  }
}

TEST(LinkStudy, IsTheSameWithOneThreadOrMany) {
  LinkOptions one;
  one.many.threads = 1;
  LinkOptions many;
  many.many.threads = 4;
  expect_same(RailYard().study(one), RailYard().study(many));
}

TEST(LinkStudy, DoesNotCareInWhichOrderTheStockIsListed) {
  LinkOptions turned;
  turned.hoses = some_hoses;
  std::reverse(turned.hoses.begin(), turned.hoses.end());
  expect_same(RailYard().study(), RailYard().study(turned));
}

TEST(LinkStudy, RanksTheSameAtHalfTheTolerance) {
  LinkOptions finer;
  finer.run.depth_tolerance_m = 5e-5;
  const LinkStudy plain = RailYard().study();
  const LinkStudy fine = RailYard().study(finer);
  ASSERT_EQ(plain.options.size(), fine.options.size());
  for (std::size_t i = 0; i < std::min<std::size_t>(plain.unbeaten, 5); ++i) {
    EXPECT_TRUE(same(plain.options[i], fine.options[i])) << i;
  }
}

//  The rim of the new tank stands 0.5 m below the others'. As it stands it caps them.
TEST(LinkStudy, ProposesAStandWhereTheTankStandsTooLow) {
  RailYard yard;
  for (const TankId id : {yard.a, yard.b}) yard.at(id).base_m = 0.5;
  part(yard.parts.headers, yard.rail).height_m = 0.45;
  const LinkStudy study = yard.study();
  const LinkOption& top = study.options.front();
  EXPECT_NE(top.way.stand, Stand::as_planned);
  EXPECT_NEAR(top.way.base_m, 0.5, 0.011);
  EXPECT_TRUE(top.merits.all_used);
  const auto planned =
      std::find_if(study.options.begin(), study.options.end(),
                   [](const LinkOption& option) { return option.way.stand == Stand::as_planned; });
  ASSERT_NE(planned, study.options.end());
  EXPECT_FALSE(planned->merits.all_used);
  // By hand: 0.5 m of 1.1 m2 stand below the tap.
  EXPECT_NEAR(planned->figures.stranded_m3, 0.55, 0.02);
}

TEST(LinkStudy, NamesAnOldHoseThatHoldsTheYardBackMore) {
  RailYard yard;
  part(yard.parts.hoses, id_at<HoseId>(1)).bore_m = 0.006;  // b on a straw
  yard.sheet.lasts_s = 7200.0;
  yard.rain(3000.0, 6000.0, 40.0);
  yard.at(yard.fresh).base_m = 3.0;  // the new tank stands where nothing reaches it
  yard.at(yard.b).water_m3 = 0.0;
  const LinkStudy study = yard.study({.hoses = some_hoses, .stands = false});
  ASSERT_TRUE(study.old_hose);
  EXPECT_EQ(study.old_hose->hose.index, 1U);
  EXPECT_TRUE(study.old_hose->helps_more);
  EXPECT_GT(study.old_hose->saves_m3, 0.1);
}

TEST(LinkStudy, RefusesATankThatIsJoined) {
  RailYard yard;
  const Result<LinkStudy> found = study_link(*yard.array(), yard.sheet, yard.a, {});
  ASSERT_FALSE(found);
  EXPECT_THAT(found.error().front().message, HasSubstr("joined already, by `a-rail`"));
}

TEST(LinkStudy, RefusesAYardWithNothingToJoinTo) {
  SmallYard yard;
  const TankId lone = yard.box("lone", 1.0, 1.0, 0.0, 0.0);
  const Result<LinkStudy> found = study_link(*yard.array(), yard.sheet, lone, {});
  ASSERT_FALSE(found);
  EXPECT_THAT(found.error().front().message, HasSubstr("nothing to join"));
}

TEST(LinkStudy, LeavesOutBoresThatDoNotGoIntoAWall) {
  RailYard yard;
  yard.at(yard.fresh).shape = Prism{1.1, 0.040};
  yard.at(yard.fresh).overflow.reset();
  const LinkStudy study = yard.study({.hoses = {{0.019, 1.0}, {0.050, 2.0}}, .stands = false});
  EXPECT_GT(study.unfit, 0U);
  ASSERT_FALSE(study.options.empty());
  for (const LinkOption& option : study.options) EXPECT_EQ(option.way.hose, 0U);
}

TEST(LinkStudy, KeepsWhatIsKnownWhenItIsStopped) {
  LinkOptions options;
  options.many.threads = 1;
  std::atomic<int> asked{0};
  options.many.stop = [&] { return ++asked > 12; };
  const LinkStudy study = RailYard().study(options);
  EXPECT_TRUE(study.stopped);
  EXPECT_FALSE(study.options.empty());
  EXPECT_LT(study.options.size(), RailYard().study().options.size());
  EXPECT_EQ(study.options.front().rank, 1U);
}

TEST(LinkStudy, AssumesTradeBoresWithoutAPriceWhereThereIsNoStock) {
  RailYard yard;
  const Result<LinkStudy> study =
      study_link(*yard.array(), yard.sheet, yard.fresh, {.stands = false});
  ASSERT_TRUE(study);
  EXPECT_TRUE(study->offered_assumed);
  EXPECT_FALSE(study->priced);
  EXPECT_EQ(study->offered.size(), assumed_bores_m().size());
}

TEST(LinkStudy, AsksForAHoleInAClosedLid) {
  RailYard yard;
  yard.at(yard.fresh).lid.kind = Lid::Kind::sealed;
  const LinkStudy study = yard.study({.hoses = some_hoses, .stands = false});
  EXPECT_TRUE(study.lid_assumed);
  for (const LinkOption& option : study.options) {
    ASSERT_TRUE(option.lid_hole_m);
    EXPECT_GT(*option.lid_hole_m, 0.0);
  }
}

// A ring leaves no hose that the new tank hangs on alone; one hose does.
TEST(LinkStudy, CountsHosesThatSomethingHangsOnAlone) {
  const LinkStudy study = RailYard().study({.hoses = some_hoses, .stands = false});
  for (const LinkOption& option : study.options) {
    const std::size_t before = study.keeping_without.sole_hoses;
    if (option.way.two_places()) {
      EXPECT_LE(option.keeping.sole_hoses, before);
    } else if (option.way.side_by_side == 1) {
      EXPECT_EQ(option.keeping.sole_hoses, before + 1);
    } else {
      EXPECT_EQ(option.keeping.sole_hoses, before);
    }
  }
}

}  // namespace link_study_test
}  // namespace tankyard
