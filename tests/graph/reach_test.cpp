// SPDX-License-Identifier: MIT
#include "graph/reach.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "cpu_time.h"
#include "random_arrays.h"

namespace tankyard {
namespace reach_test {

using testing::ElementsAre;
using testing::IsEmpty;

// ------------------------------------------------------------------------------- scenes, by hand

Tank butt(const std::string& name, double height = 1.0) {
  Tank tank;
  tank.name = name;
  tank.shape = Upright{0.6, height};
  return tank;
}

Hose joining(const std::string& name, Place from, Place to) {
  Hose hose;
  hose.name = name;
  hose.from.place = from;
  hose.to.place = to;
  hose.bore_m = 0.02;
  hose.length_m = 1.0;
  return hose;
}

Outlet tap_at(const std::string& name, std::optional<Place> at) {
  Outlet outlet;
  outlet.name = name;
  if (at) outlet.at = HoseEnd{*at, std::nullopt};
  if (!at) outlet.height_m = 0.0;
  outlet.bore_m = 0.01;
  return outlet;
}

Pump boosting(const std::string& name, Place from, Place to) {
  Pump pump;
  pump.name = name;
  pump.from = from;
  pump.to = to;
  pump.curve = {{0.0, 10.0}, {1e-3, 1.0}};
  return pump;
}

Array made(const Parts& parts) {
  const auto array = Array::make(parts);
  if (!array) ADD_FAILURE() << array.error().front().message;
  return array.value();
}

//   [a]==h0,h1==[b]--h2--(rail)--h3--[c]      [d]--h4--(stub)
//                          |                   |
//                        tap-rail            tap-d
//               (rail)--booster-->(line)--h5-->spray
Array line_of_tanks() {
  Parts parts;
  parts.tanks = {butt("a"), butt("b"), butt("c", 2.5), butt("d")};
  parts.headers = {{"rail", 0.0, {}}, {"stub", 0.0, {}}, {"line", 0.0, {}}};
  parts.outlets = {tap_at("tap-rail", HeaderId{0}), tap_at("tap-d", TankId{3}),
                   tap_at("spray", std::nullopt)};
  parts.hoses = {joining("h0", TankId{0}, TankId{1}),   joining("h1", TankId{1}, TankId{0}),
                 joining("h2", TankId{1}, HeaderId{0}), joining("h3", HeaderId{0}, TankId{2}),
                 joining("h4", TankId{3}, HeaderId{1}), joining("h5", HeaderId{2}, OutletId{2})};
  parts.pumps = {boosting("booster", HeaderId{0}, HeaderId{2})};
  return made(parts);
}

const OpenHoses all_open(6, true);

TEST(Reach, GroupsTanksThatShareWater) {
  const Array array = line_of_tanks();
  EXPECT_THAT(joined_tanks(array, all_open),
              ElementsAre(ElementsAre(TankId{0}, TankId{1}, TankId{2}), ElementsAre(TankId{3})));
  EXPECT_THAT(joined_tanks(array, {false, true, false, true, true, true}),
              ElementsAre(ElementsAre(TankId{0}, TankId{1}), ElementsAre(TankId{2}),
                          ElementsAre(TankId{3})));
  EXPECT_THAT(joined_tanks(array, OpenHoses(6, false)),
              ElementsAre(ElementsAre(TankId{0}), ElementsAre(TankId{1}), ElementsAre(TankId{2}),
                          ElementsAre(TankId{3})));
}

TEST(Reach, TakesANonReturnValveForOpenBothWays) {
  Parts parts = line_of_tanks().parts();
  for (Hose& hose : parts.hoses) hose.one_way = true;
  EXPECT_EQ(joined_tanks(made(parts), all_open), joined_tanks(line_of_tanks(), all_open));
}

TEST(Reach, SaysWhatIsCutOff) {
  const Array array = line_of_tanks();
  const auto cut = [&](std::vector<HoseId> shut) { return cut_off_by(array, all_open, shut); };
  // One of two hoses: nothing.
  EXPECT_THAT(cut({HoseId{0}}).tanks, IsEmpty());
  // Both: a is alone, b and c stay together.
  EXPECT_THAT(cut({HoseId{0}, HoseId{1}}).tanks, ElementsAre(TankId{0}));
  // c holds more than a and b together: they are the ones cut off. The rail keeps its water.
  EXPECT_THAT(cut({HoseId{2}}).tanks, ElementsAre(TankId{0}, TankId{1}));
  EXPECT_THAT(cut({HoseId{2}}).outlets, IsEmpty());
  EXPECT_THAT(cut({HoseId{2}}).pumps, IsEmpty());
  // No tank on the rail: its tap, the pump and what the pump feeds are lost.
  const CutOff dry = cut({HoseId{2}, HoseId{3}});
  EXPECT_THAT(dry.tanks, ElementsAre(TankId{0}, TankId{1}));
  EXPECT_THAT(dry.outlets, ElementsAre(OutletId{0}, OutletId{2}));
  EXPECT_THAT(dry.pumps, ElementsAre(PumpId{0}));
  // The hose behind the pump.
  EXPECT_THAT(cut({HoseId{5}}).outlets, ElementsAre(OutletId{2}));
  EXPECT_THAT(cut({HoseId{5}}).pumps, IsEmpty());
  // A tap straight on a tank stays with it.
  EXPECT_THAT(cut({HoseId{4}}).outlets, IsEmpty());
  EXPECT_THAT(cut({HoseId{4}}).tanks, IsEmpty());
}

TEST(Reach, CountsAsCutOffOnlyWhatWasJoinedBefore) {
  const Array array = line_of_tanks();
  const OpenHoses open{true, true, false, false, true, true};  // the rail is dry already
  const CutOff cut = cut_off_by(array, open, {HoseId{2}, HoseId{3}});
  EXPECT_THAT(cut.tanks, IsEmpty());
  EXPECT_THAT(cut.outlets, IsEmpty());
  EXPECT_THAT(cut.pumps, IsEmpty());
}

// Two equal halves: the one first in the plan stays.
TEST(Reach, KeepsTheFirstOfTwoEqualRemainders) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.hoses = {joining("h", TankId{1}, TankId{0})};
  EXPECT_THAT(cut_off_by(made(parts), {true}, {HoseId{0}}).tanks, ElementsAre(TankId{1}));
}

// Water is pushed on: a -> pump -> (m) -> pump -> (n) -> tap. Against the pumps nothing flows.
TEST(Reach, FollowsPumpsFromSuctionToDeliveryOnly) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.headers = {{"l", 0.0, {}}, {"m", 0.0, {}}, {"n", 0.0, {}}, {"dry", 0.0, {}}};
  parts.outlets = {tap_at("tap-n", HeaderId{2}), tap_at("tap-dry", HeaderId{3})};
  parts.hoses = {joining("h", TankId{0}, HeaderId{0})};
  parts.pumps = {boosting("second", HeaderId{1}, HeaderId{2}),
                 boosting("first", HeaderId{0}, HeaderId{1}),
                 boosting("wrong-way", HeaderId{3}, TankId{1})};
  const CutOff cut = cut_off_by(made(parts), {true}, {HoseId{0}});
  EXPECT_THAT(cut.tanks, IsEmpty());
  EXPECT_THAT(cut.outlets, ElementsAre(OutletId{0}));
  EXPECT_THAT(cut.pumps, ElementsAre(PumpId{0}, PumpId{1}));
}

TEST(Reach, FindsTheOnlyWays) {
  const Array array = line_of_tanks();
  EXPECT_THAT(only_ways(array, all_open), ElementsAre(HoseId{2}, HoseId{3}, HoseId{4}, HoseId{5}));
  // With its twin shut, a hose becomes the only way; a shut hose is no way at all.
  EXPECT_THAT(only_ways(array, {true, false, true, false, true, true}),
              ElementsAre(HoseId{0}, HoseId{2}, HoseId{4}, HoseId{5}));
  EXPECT_THAT(only_ways(array, OpenHoses(6, false)), IsEmpty());
}

//   [a]--h0--[b]        two rings that meet in c, and a tail
//    |        |
//    h3      h1                      every hose of a ring has a way round
//    |        |
//   [d]--h2--[c]--h4--[e]
//             | \______h5__/ (twin)
//             h6
//             |
//            [f]
TEST(Reach, FindsAWayRoundEveryRing) {
  Parts parts;
  for (const char* name : {"a", "b", "c", "d", "e", "f"}) parts.tanks.push_back(butt(name));
  parts.hoses = {joining("h0", TankId{0}, TankId{1}), joining("h1", TankId{1}, TankId{2}),
                 joining("h2", TankId{2}, TankId{3}), joining("h3", TankId{3}, TankId{0}),
                 joining("h4", TankId{2}, TankId{4}), joining("h5", TankId{4}, TankId{2}),
                 joining("h6", TankId{2}, TankId{5})};
  EXPECT_THAT(only_ways(made(parts), OpenHoses(7, true)), ElementsAre(HoseId{6}));
}

TEST(Reach, ListsPlacesWithoutStorage) {
  const Array array = line_of_tanks();
  EXPECT_THAT(without_storage(array, all_open),
              ElementsAre(Place{HeaderId{2}}, Place{OutletId{2}}));  // behind the pump
  EXPECT_THAT(without_storage(array, {true, true, false, false, false, true}),
              ElementsAre(Place{HeaderId{0}}, Place{HeaderId{1}}, Place{HeaderId{2}},
                          Place{OutletId{0}}, Place{OutletId{2}}));
}

TEST(ReachDeathTest, StopsAtTheWrongNumberOfHoses) {
  const Array array = line_of_tanks();
  EXPECT_DEATH(joined_tanks(array, {true}), "breach: joined_tanks: 1 entries for 6 hoses");
  EXPECT_DEATH(cut_off_by(array, all_open, {HoseId{6}}), "breach: cut_off_by: no hose 6");
}

// A chain of 100 000 tanks: no recursion, no square law. By hand: every hose is the only way, and
// shutting the middle one leaves the first half joined.
TEST(Reach, CrossesALongChain) {
  Parts parts;
  const std::uint32_t count = 100000;
  for (std::uint32_t i = 0; i < count; ++i) {
    parts.tanks.push_back(butt("t" + std::to_string(i)));
    if (i > 0) {
      parts.hoses.push_back(joining("h" + std::to_string(i), TankId{i - 1}, TankId{i}));
    }
  }
  const Array array = made(parts);
  const OpenHoses open(count - 1, true);
  const double start_s = cpu_s();
  EXPECT_EQ(only_ways(array, open).size(), count - 1);
  EXPECT_EQ(joined_tanks(array, open).size(), 1u);
  EXPECT_EQ(cut_off_by(array, open, {HoseId{count / 2 - 1}}).tanks.size(), count / 2);
  const double took_s = cpu_s() - start_s;
  EXPECT_LT(took_s, 10.0);
}

// ----------------------------------------------------------- random yards, against a second
// reading

// Labels spread along open hoses, the lower one winning, sweep after sweep until nothing changes.
// It shares no line with the code under test. Keys are names, so that the order of the plan cannot
// matter.
struct BySweeps {
  std::vector<std::pair<std::string, std::string>> ways;  // both directions
  std::set<std::string> names;

  BySweeps(const Parts& parts, const OpenHoses& open) {
    for (const Tank& tank : parts.tanks) names.insert(tank.name);
    for (const Header& header : parts.headers) names.insert(header.name);
    for (const Outlet& outlet : parts.outlets) {
      names.insert(outlet.name);
      if (outlet.at) add(outlet.name, name_of(parts, outlet.at->place));
    }
    for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
      const Hose& hose = parts.hoses[i];
      if (open[i]) add(name_of(parts, hose.from.place), name_of(parts, hose.to.place));
    }
  }

  void add(const std::string& a, const std::string& b) {
    ways.emplace_back(a, b);
    ways.emplace_back(b, a);
  }

  // Everything that water standing at `start` can get to; `extra` are one-way lines besides.
  std::set<std::string> from(
      const std::set<std::string>& start,
      const std::vector<std::pair<std::string, std::string>>& extra = {}) const {
    std::set<std::string> reached = start;
    for (bool grew = true; grew;) {
      const std::size_t before = reached.size();
      for (const auto* list : {&ways, &extra}) {
        for (const auto& [a, b] : *list) {
          if (reached.count(a) != 0) reached.insert(b);
        }
      }
      grew = reached.size() > before;
    }
    return reached;
  }

  std::size_t groups() const {
    std::set<std::string> left = names;
    std::size_t count = 0;
    for (; !left.empty(); ++count) {
      for (const std::string& name : from({*left.begin()})) left.erase(name);
    }
    return count;
  }
};

std::set<std::string> tank_names(const Parts& parts) {
  std::set<std::string> names;
  for (const Tank& tank : parts.tanks) names.insert(tank.name);
  return names;
}

Array random_array() {
  const auto array = Array::make(*random_yards({.pumps = true}));
  RC_ASSERT(array.has_value());
  return *array;
}

// Some hoses of the array, by a coin each.
OpenHoses random_open(const Array& array, int percent) {
  OpenHoses open;
  for (std::size_t i = 0; i < array.hoses().size(); ++i) {
    open.push_back(random_yard::chance(percent));
  }
  return open;
}

RC_GTEST_PROP(RandomReach, JoinsTanksAsSweepsDo, ()) {
  const Array array = random_array();
  const OpenHoses open = random_open(array, 60);
  const BySweeps sweeps(array.parts(), open);
  const auto groups = joined_tanks(array, open);
  std::size_t tanks = 0;
  std::uint32_t last_first = 0;
  for (const auto& group : groups) {
    RC_ASSERT(!group.empty());
    RC_ASSERT(group.front().index >= last_first);
    last_first = group.front().index;
    tanks += group.size();
    std::set<std::string> want;
    for (const std::string& name : sweeps.from({name_of(array.parts(), group.front())})) {
      if (tank_names(array.parts()).count(name) != 0) want.insert(name);
    }
    std::set<std::string> got;
    for (std::size_t i = 0; i < group.size(); ++i) {
      if (i > 0) RC_ASSERT(group[i - 1] < group[i]);
      got.insert(name_of(array.parts(), group[i]));
    }
    RC_ASSERT(got == want);
  }
  RC_ASSERT(tanks == array.tanks().size());
}

// A hose is the only way exactly if there is one more group without it.
RC_GTEST_PROP(RandomReach, FindsTheOnlyWaysAsTakingOffEachHoseDoes, ()) {
  const Array array = random_array();
  const OpenHoses open = random_open(array, 80);
  const std::size_t groups = BySweeps(array.parts(), open).groups();
  std::vector<HoseId> want;
  for (std::size_t i = 0; i < open.size(); ++i) {
    if (!open[i]) continue;
    OpenHoses without = open;
    without[i] = false;
    if (BySweeps(array.parts(), without).groups() > groups) want.push_back(id_at<HoseId>(i));
  }
  RC_ASSERT(only_ways(array, open) == want);
}

RC_GTEST_PROP(RandomReach, FindsPlacesWithoutStorageAsSweepsDo, ()) {
  const Array array = random_array();
  const Parts& parts = array.parts();
  const OpenHoses open = random_open(array, 40);
  const auto wet = BySweeps(parts, open).from(tank_names(parts));
  std::vector<Place> want;
  for (std::size_t i = 0; i < parts.headers.size(); ++i) {
    if (wet.count(parts.headers[i].name) == 0) want.push_back(id_at<HeaderId>(i));
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    if (wet.count(parts.outlets[i].name) == 0) want.push_back(id_at<OutletId>(i));
  }
  RC_ASSERT(without_storage(array, open) == want);
}

RC_GTEST_PROP(RandomReach, CutsOffWhatSweepsFindCutOff, ()) {
  const Array array = random_array();
  const Parts& parts = array.parts();
  const OpenHoses open = random_open(array, 80);
  OpenHoses left = open;
  std::vector<HoseId> shut;
  for (std::size_t i = 0; i < open.size(); ++i) {
    if (!random_yard::chance(40)) continue;
    shut.push_back(id_at<HoseId>(i));
    left[i] = false;
  }
  const CutOff cut = cut_off_by(array, open, shut);
  const BySweeps before(parts, open);
  const BySweeps after(parts, left);

  std::vector<std::pair<std::string, std::string>> pumps;
  for (const Pump& pump : parts.pumps) {
    pumps.emplace_back(name_of(parts, pump.from), name_of(parts, pump.to));
  }
  const auto had = before.from(tank_names(parts), pumps);
  const auto has = after.from(tank_names(parts), pumps);
  std::vector<OutletId> outlets;
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const std::string& name = parts.outlets[i].name;
    if (had.count(name) != 0 && has.count(name) == 0) outlets.push_back(id_at<OutletId>(i));
  }
  RC_ASSERT(cut.outlets == outlets);
  std::vector<PumpId> lost;
  for (std::size_t i = 0; i < pumps.size(); ++i) {
    if (had.count(pumps[i].first) != 0 && has.count(pumps[i].first) == 0) {
      lost.push_back(id_at<PumpId>(i));
    }
  }
  RC_ASSERT(cut.pumps == lost);

  // A tank stays exactly if no tank it was joined to now hangs with more capacity (or, of equals,
  // with an earlier first tank).
  const auto tanks_with = [&](const BySweeps& sweeps, std::size_t tank) {
    const auto reached = sweeps.from({parts.tanks[tank].name});
    std::vector<std::size_t> tanks;
    for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
      if (reached.count(parts.tanks[i].name) != 0) tanks.push_back(i);
    }
    return tanks;
  };
  const auto capacity_with = [&](std::size_t tank) {
    double capacity = 0.0;
    for (const std::size_t i : tanks_with(after, tank)) {
      capacity += capacity_m3(parts.tanks[i].shape);
    }
    return capacity;
  };
  std::vector<TankId> tanks;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const double own = capacity_with(i);
    const std::size_t first = tanks_with(after, i).front();
    bool stays = true;
    for (const std::size_t other : tanks_with(before, i)) {
      const double its = capacity_with(other);
      if (its > own || (its == own && tanks_with(after, other).front() < first)) stays = false;
    }
    if (!stays) tanks.push_back(id_at<TankId>(i));
  }
  RC_ASSERT(cut.tanks == tanks);
}

// The same yard with every list of the plan turned round.
Parts turned_round(Parts parts) {
  const auto turn = [&](Place place) -> Place {
    if (const auto* tank = std::get_if<TankId>(&place)) {
      return id_at<TankId>(parts.tanks.size() - 1 - tank->index);
    }
    if (const auto* header = std::get_if<HeaderId>(&place)) {
      return id_at<HeaderId>(parts.headers.size() - 1 - header->index);
    }
    return id_at<OutletId>(parts.outlets.size() - 1 - std::get_if<OutletId>(&place)->index);
  };
  const std::size_t last = parts.tanks.size() - 1;
  const auto turn_tank = [last](TankId& id) { id = id_at<TankId>(last - id.index); };
  for (Tank& tank : parts.tanks) {
    if (tank.overflow && tank.overflow->to) turn_tank(*tank.overflow->to);
  }
  for (Hose& hose : parts.hoses) {
    hose.from.place = turn(hose.from.place);
    hose.to.place = turn(hose.to.place);
  }
  for (Pump& pump : parts.pumps) {
    pump.from = turn(pump.from);
    pump.to = turn(pump.to);
    if (pump.stops_below) turn_tank(pump.stops_below->tank);
  }
  for (Outlet& outlet : parts.outlets) {
    if (outlet.at) outlet.at->place = turn(outlet.at->place);
  }
  for (Roof& roof : parts.roofs) turn_tank(roof.into);
  for (TopUp& top_up : parts.top_ups) turn_tank(top_up.into);
  for (Leak& leak : parts.leaks) turn_tank(leak.tank);
  std::reverse(parts.tanks.begin(), parts.tanks.end());
  std::reverse(parts.headers.begin(), parts.headers.end());
  std::reverse(parts.hoses.begin(), parts.hoses.end());
  std::reverse(parts.pumps.begin(), parts.pumps.end());
  std::reverse(parts.outlets.begin(), parts.outlets.end());
  return parts;
}

// Every answer as names, in no order.
struct Answers {
  std::set<std::set<std::string>> joined;
  std::set<std::string> only_ways;
  std::set<std::string> without_storage;
  std::set<std::string> outlets_lost;
  std::set<std::string> pumps_lost;

  bool operator==(const Answers& other) const {
    return joined == other.joined && only_ways == other.only_ways &&
           without_storage == other.without_storage && outlets_lost == other.outlets_lost &&
           pumps_lost == other.pumps_lost;
  }
};

Answers answers(const Array& array, const std::set<std::string>& shut_names) {
  const Parts& parts = array.parts();
  const OpenHoses open = array.open_at_start();
  Answers all;
  for (const auto& group : joined_tanks(array, open)) {
    std::set<std::string> names;
    for (const TankId tank : group) names.insert(name_of(parts, tank));
    all.joined.insert(names);
  }
  for (const HoseId hose : only_ways(array, open)) {
    all.only_ways.insert(part(parts.hoses, hose).name);
  }
  for (const Place place : without_storage(array, open)) {
    all.without_storage.insert(name_of(parts, place));
  }
  std::vector<HoseId> shut;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    if (shut_names.count(parts.hoses[i].name) != 0) shut.push_back(id_at<HoseId>(i));
  }
  const CutOff cut = cut_off_by(array, open, shut);
  for (const OutletId outlet : cut.outlets) all.outlets_lost.insert(name_of(parts, outlet));
  for (const PumpId pump : cut.pumps) all.pumps_lost.insert(part(parts.pumps, pump).name);
  return all;
}

RC_GTEST_PROP(RandomReach, DoesNotDependOnTheOrderOfThePlan, ()) {
  const Array array = random_array();
  const auto turned = Array::make(turned_round(array.parts()));
  RC_ASSERT(turned.has_value());
  std::set<std::string> shut;
  for (const Hose& hose : array.hoses()) {
    if (random_yard::chance(40)) shut.insert(hose.name);
  }
  RC_ASSERT(answers(array, shut) == answers(*turned, shut));
}

}  // namespace reach_test
}  // namespace tankyard
