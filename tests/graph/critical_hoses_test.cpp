// SPDX-License-Identifier: MIT
#include "graph/critical_hoses.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <string>
#include <vector>

#include "cpu_time.h"
#include "graph/isolating_valves.h"
#include "graph/second_reading.h"

namespace tankyard {
namespace critical_hoses_test {

using testing::ElementsAre;
using testing::IsEmpty;

Array made(const Parts& parts) {
  const auto array = Array::make(parts);
  if (!array) ADD_FAILURE() << array.error().front().message;
  return array.value();
}

//   [a]==h0,h1==[b]--h2,V2--(rail)--h3,V3--[c]      [d]--h4--(stub)
//                              |
//                              +--booster-->(line)--h5-->spray
Parts line_of_tanks() {
  Parts parts;
  parts.tanks = {butt("a"), butt("b"), butt("c"), butt("d")};
  parts.headers = {{"rail", 0.0, {}}, {"stub", 0.0, {}}, {"line", 0.0, {}}};
  parts.outlets = {tap("spray")};
  parts.hoses = {
      between("h0", TankId{0}, TankId{1}),         between("h1", TankId{1}, TankId{0}),
      between("h2", TankId{1}, HeaderId{0}, "V2"), between("h3", HeaderId{0}, TankId{2}, "V3"),
      between("h4", TankId{3}, HeaderId{1}),       between("h5", HeaderId{2}, OutletId{0})};
  parts.pumps = {booster("booster", HeaderId{0}, HeaderId{2})};
  return parts;
}

const OpenHoses all_open(6, true);

TEST(CriticalHoses, AreThoseWithoutWhichSomethingIsCutOff) {
  const auto critical = critical_hoses(made(line_of_tanks()), all_open);
  // Not h0 and h1, each a way round the other; not h4, which leads nowhere.
  ASSERT_EQ(critical.size(), 3u);
  EXPECT_EQ(critical[0].hose, HoseId{2});
  EXPECT_THAT(critical[0].lost.tanks, ElementsAre(TankId{2}));  // a and b hold more together
  EXPECT_THAT(critical[0].lost.pumps, IsEmpty());               // c still feeds it
  EXPECT_EQ(critical[1].hose, HoseId{3});
  EXPECT_THAT(critical[1].lost.tanks, ElementsAre(TankId{2}));
  EXPECT_EQ(critical[2].hose, HoseId{5});
  EXPECT_THAT(critical[2].lost.tanks, IsEmpty());
  EXPECT_THAT(critical[2].lost.outlets, ElementsAre(OutletId{0}));
}

TEST(CriticalPlaces, AreThoseWithoutWhichOthersPart) {
  const Array array = made(line_of_tanks());
  EXPECT_THAT(critical_places(array, all_open), ElementsAre(Place{TankId{1}}, Place{HeaderId{0}}));
  EXPECT_THAT(
      pieces_without(array, all_open, HeaderId{0}),
      ElementsAre(ElementsAre(Place{TankId{0}}, Place{TankId{1}}), ElementsAre(Place{TankId{2}})));
  EXPECT_THAT(pieces_without(array, all_open, TankId{0}),
              ElementsAre(ElementsAre(Place{TankId{1}}, Place{TankId{2}}, Place{HeaderId{0}})));
  EXPECT_THAT(pieces_without(array, OpenHoses(6, false), TankId{0}), IsEmpty());
}

TEST(Burst, DrainsWhateverIsJoinedToEitherEnd) {
  const Array array = made(line_of_tanks());
  const Burst open = burst(array, all_open, HoseId{2});
  EXPECT_THAT(open.off_at_from.tanks, ElementsAre(TankId{0}, TankId{1}, TankId{2}));
  EXPECT_EQ(open.off_at_to.tanks, open.off_at_from.tanks);
  // Its valve shut: only what is joined to the bared mouth.
  OpenHoses shut = all_open;
  shut[2] = false;
  EXPECT_THAT(burst(array, shut, HoseId{2}).off_at_from.tanks, ElementsAre(TankId{0}, TankId{1}));
  EXPECT_THAT(burst(array, shut, HoseId{2}).off_at_to.tanks, ElementsAre(TankId{2}));
  // A hose beside another, every valve shut: both its tanks, whatever anybody shuts.
  const Burst twin = burst(array, with_every_valve_shut(array, all_open), HoseId{0});
  EXPECT_THAT(twin.off_at_from.tanks, ElementsAre(TankId{0}, TankId{1}));
  EXPECT_THAT(twin.off_at_to.tanks, ElementsAre(TankId{0}, TankId{1}));
}

// Behind a pump nothing drains by itself, but the pump drains what it takes from.
TEST(Burst, IsFedByPumpsThatRunOn) {
  Parts parts = line_of_tanks();
  // A second pump lifts from d to the rail: d can go the same way, through both.
  parts.pumps.push_back(booster("lift", TankId{3}, HeaderId{0}));
  const Array array = made(parts);
  const Burst spray = burst(array, all_open, HoseId{5});
  EXPECT_THAT(spray.off_at_to.tanks, IsEmpty());
  EXPECT_THAT(spray.off_at_to.if_pumped, ElementsAre(TankId{0}, TankId{1}, TankId{2}, TankId{3}));
  const Burst rail = burst(array, all_open, HoseId{2});
  EXPECT_THAT(rail.off_at_from.tanks, ElementsAre(TankId{0}, TankId{1}, TankId{2}));
  EXPECT_THAT(rail.off_at_from.if_pumped, ElementsAre(TankId{3}));
  // No pump delivers to d: against a pump nothing flows.
  EXPECT_THAT(burst(array, all_open, HoseId{4}).off_at_to.if_pumped, IsEmpty());
}

TEST(CriticalHosesDeathTest, StopAtAQuestionThatMakesNoSense) {
  const Array array = made(line_of_tanks());
  EXPECT_DEATH(critical_hoses(array, {true}), "breach: critical_hoses: 1 entries for 6 hoses");
  EXPECT_DEATH(critical_places(array, {true}), "breach: critical_places: 1 entries for 6 hoses");
  EXPECT_DEATH(pieces_without(array, {true}, TankId{0}), "breach: pieces_without: 1 entries");
  EXPECT_DEATH(pieces_without(array, all_open, TankId{4}), "breach: pieces_without: no such place");
  EXPECT_DEATH(burst(array, {true}, HoseId{0}), "breach: burst: 1 entries for 6 hoses");
  EXPECT_DEATH(burst(array, all_open, HoseId{6}), "breach: burst: no hose 6");
}

// 100 000 tanks in a row, by hand: all but the two at the ends are critical. No recursion.
TEST(CriticalPlaces, CrossALongChain) {
  Parts parts;
  const std::uint32_t count = 100000;
  for (std::uint32_t i = 0; i < count; ++i) {
    parts.tanks.push_back(butt("t" + std::to_string(i)));
    if (i > 0) parts.hoses.push_back(between("h" + std::to_string(i), TankId{i - 1}, TankId{i}));
  }
  const Array array = made(parts);
  const OpenHoses open(count - 1, true);
  const double start_s = cpu_s();
  EXPECT_EQ(critical_places(array, open).size(), count - 2);
  EXPECT_EQ(pieces_without(array, open, TankId{count / 2}).size(), 2u);
  EXPECT_EQ(burst(array, open, HoseId{count / 2}).off_at_to.tanks.size(), count);
  const double took_s = cpu_s() - start_s;
  EXPECT_LT(took_s, 10.0);
}

// ------------------------------------------------- random yards, against the second reading by
// name

struct Asked {
  Array array;
  OpenHoses open;
};

Asked random_question() {
  const auto array = Array::make(*random_yards({.pumps = true}));
  RC_ASSERT(array.has_value());
  Asked asked{*array, {}};
  for (std::size_t i = 0; i < array->hoses().size(); ++i) {
    asked.open.push_back(random_yard::chance(60));
  }
  return asked;
}

std::vector<Place> places_of(const Parts& parts) {
  std::vector<Place> places;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) places.push_back(id_at<TankId>(i));
  for (std::size_t i = 0; i < parts.headers.size(); ++i) places.push_back(id_at<HeaderId>(i));
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) places.push_back(id_at<OutletId>(i));
  return places;
}

RC_GTEST_PROP(RandomCriticalHoses, AreTheOnlyWaysThatCutSomethingOff, ()) {
  const auto [array, open] = random_question();
  std::vector<HoseId> want;
  for (std::size_t i = 0; i < open.size(); ++i) {
    if (!open[i]) continue;
    const CutOff lost = cut_off_by(array, open, {id_at<HoseId>(i)});
    if (!lost.tanks.empty() || !lost.outlets.empty() || !lost.pumps.empty()) {
      want.push_back(id_at<HoseId>(i));
    }
  }
  std::vector<HoseId> got;
  for (const CriticalHose& hose : critical_hoses(array, open)) got.push_back(hose.hose);
  RC_ASSERT(got == want);
}

// Pieces cover the group, keep apart without the place, and hang together each; critical are the
// places that leave two or more.
RC_GTEST_PROP(RandomCriticalPlaces, LeaveTwoPiecesOrMore, ()) {
  const auto [array, open] = random_question();
  const Parts& parts = array.parts();
  std::vector<Place> critical;
  for (const Place lost : places_of(parts)) {
    const std::string name = name_of(parts, lost);
    Parts without = parts;  // the hoses at the place go with it
    OpenHoses left = open;
    for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
      const Hose& hose = parts.hoses[i];
      if (hose.from.place == lost || hose.to.place == lost) left[i] = false;
    }
    for (Outlet& outlet : without.outlets) {
      if (outlet.name == name || (outlet.at && outlet.at->place == lost)) outlet.at.reset();
    }
    Names covered = {name};
    const auto pieces = pieces_without(array, open, lost);
    for (const auto& piece : pieces) {
      const Names names = names_of_places(parts, piece);
      RC_ASSERT(reached_from(without, left, {*names.begin()}) == names);
      for (const std::string& each : names) RC_ASSERT(covered.insert(each).second);
    }
    RC_ASSERT(covered == reached_from(parts, open, {name}));
    if (pieces.size() > 1) critical.push_back(lost);
  }
  RC_ASSERT(critical_places(array, open) == critical);
}

RC_GTEST_PROP(RandomBursts, DrainWhatSweepsReach, ()) {
  const auto [array, open] = random_question();
  const Parts& parts = array.parts();
  NamePairs against_pumps;
  for (const Pump& pump : parts.pumps) {
    against_pumps.emplace_back(name_of(parts, pump.to), name_of(parts, pump.from));
  }
  const auto tanks_among = [&](const Names& names) {
    Names tanks;
    for (const Tank& tank : parts.tanks) {
      if (names.count(tank.name) != 0) tanks.insert(tank.name);
    }
    return tanks;
  };
  for (std::size_t i = 0; i < open.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    OpenHoses others = open;
    others[i] = false;
    const Burst off = burst(array, open, id_at<HoseId>(i));
    const std::string ends[] = {name_of(parts, hose.from.place), name_of(parts, hose.to.place)};
    for (const int end : {0, 1}) {
      Names wet = {ends[end]};
      if (open[i]) wet.insert(ends[1 - end]);
      const Names tanks = tanks_among(reached_from(parts, others, wet));
      Names pumped = tanks_among(reached_from(parts, others, wet, against_pumps));
      for (const std::string& tank : tanks) pumped.erase(tank);
      const Draining& got = end == 0 ? off.off_at_from : off.off_at_to;
      RC_ASSERT(names_of(parts.tanks, got.tanks) == tanks);
      RC_ASSERT(names_of(parts.tanks, got.if_pumped) == pumped);
    }
  }
}

RC_GTEST_PROP(RandomCriticalHoses, DoNotDependOnTheOrderOfThePlan, ()) {
  const auto array = Array::make(*random_yards({.pumps = true}));
  RC_ASSERT(array.has_value());
  const auto turned = Array::make(told_in_another_order(array->parts()));
  RC_ASSERT(turned.has_value());
  const auto answers = [](const Array& of) {
    Names hoses;
    for (const CriticalHose& hose : critical_hoses(of, of.open_at_start())) {
      hoses.insert(part(of.hoses(), hose.hose).name);
    }
    return std::pair(hoses, names_of_places(of.parts(), critical_places(of, of.open_at_start())));
  };
  RC_ASSERT(answers(*array) == answers(*turned));
}

}  // namespace critical_hoses_test
}  // namespace tankyard
