// SPDX-License-Identifier: MIT
#include "graph/isolating_valves.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <string>
#include <tuple>
#include <vector>

#include "cpu_time.h"
#include "graph/second_reading.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace isolating_valves_test {

using testing::ElementsAre;
using testing::IsEmpty;

Array made(const Parts& parts) {
  const auto array = Array::make(parts);
  if (!array) ADD_FAILURE() << array.error().front().message;
  return array.value();
}

Isolation isolation(const Parts& parts, const std::vector<TankId>& tanks,
                    const IsolatingOptions& options = {}) {
  const Array array = made(parts);
  return isolating_valves(array, array.open_at_start(), tanks, options);
}

// Valves by name, set by set, in the order given.
std::vector<Names> valves(const Parts& parts, const Isolation& answer) {
  std::vector<Names> sets;
  for (const ValveSet& set : answer.smallest) {
    sets.emplace_back();
    for (const HoseId hose : set.shut) sets.back().insert(part(parts.hoses, hose).valve->name);
  }
  return sets;
}

std::vector<Names> to_fit(const Parts& parts, const Isolation& answer) {
  std::vector<Names> sets;
  for (const ValvesToFit& fit : answer.to_fit) sets.push_back(names_of(parts.hoses, fit.hoses));
  return sets;
}

//   [a]--V1--+          +--V4--> bed
//   [b]--V2--+==(rail)==+--booster--> spray
//   [c]--V3--+              can-tap straight on [a]
Parts rail_yard() {
  Parts parts;
  parts.tanks = {butt("a"), butt("b"), butt("c")};
  parts.headers = {{"rail", 0.0, {}}};
  parts.outlets = {tap("bed"), tap("spray"), tap("can-tap", TankId{0})};
  parts.hoses = {between("a-rail", TankId{0}, HeaderId{0}, "V1"),
                 between("b-rail", TankId{1}, HeaderId{0}, "V2"),
                 between("c-rail", TankId{2}, HeaderId{0}, "V3"),
                 between("rail-bed", HeaderId{0}, OutletId{0}, "V4")};
  parts.pumps = {booster("booster", HeaderId{0}, OutletId{1})};
  return parts;
}

TEST(IsolatingValves, ShutOneTankOffARail) {
  const Parts parts = rail_yard();
  const Isolation answer = isolation(parts, {TankId{0}});
  EXPECT_THAT(answer.tanks, ElementsAre(TankId{0}));
  EXPECT_THAT(valves(parts, answer), ElementsAre(Names{"V1"}));
  EXPECT_TRUE(answer.all_listed);
  const ValveSet& set = answer.smallest.front();
  EXPECT_THAT(set.goes_along, ElementsAre(Place{OutletId{2}}));  // its own tap
  EXPECT_THAT(set.outlets_supplied, ElementsAre(OutletId{0}, OutletId{1}));
  EXPECT_THAT(set.outlets_lost, ElementsAre(OutletId{2}));
  EXPECT_THAT(set.pumps_supplied, ElementsAre(PumpId{0}));
  EXPECT_THAT(set.pumps_stopped, IsEmpty());
  EXPECT_THAT(set.pumps_lost, IsEmpty());
  EXPECT_THAT(set.tanks_sharing, ElementsAre(ElementsAre(TankId{1}, TankId{2})));
  EXPECT_THAT(answer.to_fit, IsEmpty());
  EXPECT_THAT(answer.emptied_with, IsEmpty());
}

TEST(IsolatingValves, ShutSeveralTanksOffTogether) {
  const Parts parts = rail_yard();
  // Named twice and out of order: the same question.
  const Isolation answer = isolation(parts, {TankId{1}, TankId{0}, TankId{1}});
  EXPECT_THAT(answer.tanks, ElementsAre(TankId{0}, TankId{1}));
  EXPECT_THAT(valves(parts, answer), ElementsAre(Names{"V1", "V2"}));
  // All of them: the pump on the rail is other water still.
  const Isolation all = isolation(parts, {TankId{0}, TankId{1}, TankId{2}});
  EXPECT_THAT(valves(parts, all), ElementsAre(Names{"V1", "V2", "V3"}));
  EXPECT_THAT(all.smallest.front().outlets_lost,
              ElementsAre(OutletId{0}, OutletId{1}, OutletId{2}));
  EXPECT_THAT(all.smallest.front().pumps_lost, ElementsAre(PumpId{0}));
}

// If the pump may be stopped instead, the rail can go along with two tanks, and one valve will do.
TEST(IsolatingValves, LetAPumpBeStoppedWhereThatIsAllowed) {
  const Parts parts = rail_yard();
  const Isolation answer = isolation(parts, {TankId{0}, TankId{1}}, {.pumps_count = false});
  EXPECT_THAT(valves(parts, answer), ElementsAre(Names{"V3"}));
  const ValveSet& set = answer.smallest.front();
  EXPECT_THAT(set.goes_along,
              ElementsAre(Place{HeaderId{0}}, Place{OutletId{0}}, Place{OutletId{2}}));
  EXPECT_THAT(set.pumps_stopped, ElementsAre(PumpId{0}));
  EXPECT_THAT(set.pumps_lost, ElementsAre(PumpId{0}));
  EXPECT_THAT(set.outlets_supplied, IsEmpty());
}

//   [a]--V9--(joint)--V1--[b]      tap straight on (joint)
TEST(IsolatingValves, PreferWhatLeavesMoreSupplied) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.headers = {{"joint", 0.0, {}}};
  parts.outlets = {tap("tap", HeaderId{0})};
  parts.hoses = {between("a-joint", TankId{0}, HeaderId{0}, "V9"),
                 between("joint-b", HeaderId{0}, TankId{1}, "V1")};
  const Isolation answer = isolation(parts, {TankId{0}});
  EXPECT_THAT(valves(parts, answer), ElementsAre(Names{"V9"}, Names{"V1"}));
  EXPECT_THAT(answer.smallest[0].outlets_supplied, ElementsAre(OutletId{0}));
  EXPECT_THAT(answer.smallest[1].outlets_lost, ElementsAre(OutletId{0}));
}

//   [a]--V1--(p)--V4--[b]    four ways to shut both hoses; taps nowhere. Nearest the tank is best,
//    +---V3--(q)--V2--[b]    then by name where as much goes along, furthest last.
TEST(IsolatingValves, OrderEqualSetsByName) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.headers = {{"p", 0.0, {}}, {"q", 0.0, {}}};
  parts.hoses = {
      between("h1", TankId{0}, HeaderId{0}, "V1"), between("h2", HeaderId{0}, TankId{1}, "V4"),
      between("h3", TankId{0}, HeaderId{1}, "V3"), between("h4", HeaderId{1}, TankId{1}, "V2")};
  const Isolation answer = isolation(parts, {TankId{0}});
  EXPECT_THAT(valves(parts, answer), ElementsAre(Names{"V1", "V3"}, Names{"V1", "V2"},
                                                 Names{"V3", "V4"}, Names{"V2", "V4"}));
  // Cut short, the best is among them, and it says that there are more.
  const Isolation two = isolation(parts, {TankId{0}}, {.most_sets = 2});
  EXPECT_EQ(two.smallest.size(), 2u);
  EXPECT_THAT(valves(parts, two).front(), (Names{"V1", "V3"}));
  EXPECT_FALSE(two.all_listed);
  EXPECT_TRUE(isolation(parts, {TankId{0}}, {.most_sets = 4}).all_listed);
}

//        +==V1,V2==(p)--V3--[b]     Cut at (p), b and c part; further along the other line, only
//        more
//   [a]--+           +---V4--[c]    goes along.
//        +--W1--(q)--W2--(r)--W3--[d]
TEST(IsolatingValves, RatherKeepTanksTogetherThanEmptyLess) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b"), butt("c"), butt("d")};
  parts.headers = {{"p", 0.0, {}}, {"q", 0.0, {}}, {"r", 0.0, {}}};
  parts.hoses = {
      between("h1", TankId{0}, HeaderId{0}, "V1"), between("h2", TankId{0}, HeaderId{0}, "V2"),
      between("h3", HeaderId{0}, TankId{1}, "V3"), between("h4", HeaderId{0}, TankId{2}, "V4"),
      between("h5", TankId{0}, HeaderId{1}, "W1"), between("h6", HeaderId{1}, HeaderId{2}, "W2"),
      between("h7", HeaderId{2}, TankId{3}, "W3")};
  EXPECT_THAT(
      valves(parts, isolation(parts, {TankId{0}})),
      ElementsAre(Names{"V1", "V2", "W1"}, Names{"V1", "V2", "W2"}, Names{"V1", "V2", "W3"},
                  Names{"V3", "V4", "W1"}, Names{"V3", "V4", "W2"}, Names{"V3", "V4", "W3"}));
}

//   [a]--V1--[b]--V2--[c], beside V2 a hose that is off: [b] has two ways to [c], or one.
TEST(IsolatingValves, CountHosesThatAreShutOrOffUnlessToldNotTo) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b"), butt("c")};
  parts.hoses = {between("h1", TankId{0}, TankId{1}, "V1"),
                 between("h2", TankId{1}, TankId{2}, "V2"), between("h3", TankId{1}, TankId{2})};
  parts.hoses[0].valve->open = false;
  parts.hoses[2].open = false;
  EXPECT_THAT(valves(parts, isolation(parts, {TankId{0}})), ElementsAre(Names{"V1"}));
  EXPECT_THAT(isolation(parts, {TankId{1}}).smallest, IsEmpty());
  EXPECT_THAT(isolation(parts, {TankId{1}}).emptied_with, ElementsAre(TankId{2}));
  const IsolatingOptions not_shut{.shut_hoses_count = false};
  EXPECT_THAT(valves(parts, isolation(parts, {TankId{0}}, not_shut)), ElementsAre(Names{}));
  EXPECT_THAT(valves(parts, isolation(parts, {TankId{1}}, not_shut)), ElementsAre(Names{"V2"}));
}

TEST(IsolatingValves, DoNotTrustANonReturnValve) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.hoses = {between("h", TankId{0}, TankId{1})};
  parts.hoses[0].one_way = true;
  for (std::uint32_t tank = 0; tank < 2; ++tank) {
    const Isolation answer = isolation(parts, {TankId{tank}});
    EXPECT_THAT(answer.smallest, IsEmpty());
    EXPECT_THAT(to_fit(parts, answer), ElementsAre(Names{"h"}));
  }
}

// A tank with a hose to its own tap and no other water stands apart already.
TEST(IsolatingValves, NeedNoneWhereNothingIsJoined) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.outlets = {tap("tap")};
  parts.hoses = {between("h", TankId{0}, OutletId{0})};
  const Isolation answer = isolation(parts, {TankId{0}});
  EXPECT_THAT(valves(parts, answer), ElementsAre(Names{}));
  EXPECT_THAT(answer.smallest[0].goes_along, ElementsAre(Place{OutletId{0}}));
  EXPECT_THAT(answer.smallest[0].outlets_lost, ElementsAre(OutletId{0}));
}

// A pump straight on the tank cannot be cut off by any valve, only stopped; one behind a bare hose
// asks for a valve.
//   [a]--booster-->(line)-->spray      [b]--h--(suction)--second-->(line)
TEST(IsolatingValves, StopAPumpStraightOnTheTank) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.headers = {{"line", 0.0, {}}, {"suction", 0.0, {}}};
  parts.outlets = {tap("spray", HeaderId{0})};
  parts.hoses = {between("h", TankId{1}, HeaderId{1})};
  parts.pumps = {booster("booster", TankId{0}, HeaderId{0}),
                 booster("second", HeaderId{1}, HeaderId{0})};
  const Isolation a = isolation(parts, {TankId{0}});
  EXPECT_THAT(valves(parts, a), ElementsAre(Names{}));
  EXPECT_THAT(a.smallest[0].pumps_stopped, ElementsAre(PumpId{0}));
  EXPECT_THAT(a.smallest[0].pumps_lost, ElementsAre(PumpId{0}));
  EXPECT_THAT(a.smallest[0].pumps_supplied, ElementsAre(PumpId{1}));
  EXPECT_THAT(a.smallest[0].outlets_supplied, ElementsAre(OutletId{0}));  // by the second pump
  EXPECT_THAT(a.inflows.pumps, IsEmpty());                                // it only takes
  const Isolation b = isolation(parts, {TankId{1}});
  EXPECT_THAT(b.smallest, IsEmpty());
  EXPECT_THAT(b.emptied_with, IsEmpty());
  EXPECT_THAT(b.pumps_joined, ElementsAre(PumpId{1}));
  EXPECT_THAT(to_fit(parts, b), ElementsAre(Names{"h"}));
  EXPECT_THAT(b.to_fit[0].then.pumps_lost, ElementsAre(PumpId{1}));
  EXPECT_THAT(b.to_fit[0].then.outlets_supplied, ElementsAre(OutletId{0}));
}

TEST(IsolatingValves, ListWhatRunsInBesides) {
  Parts parts = sound_yard();  // box overflows into butt; shed roof and mains into box
  parts.pumps.push_back(booster("lift", TankId{2}, TankId{0}));
  const Isolation box = isolation(parts, {TankId{0}});
  EXPECT_THAT(box.inflows.roofs, ElementsAre(RoofId{0}));
  EXPECT_THAT(box.inflows.top_ups, ElementsAre(TopUpId{0}));
  EXPECT_THAT(box.inflows.overflows, IsEmpty());
  EXPECT_THAT(box.inflows.pumps, ElementsAre(PumpId{1}));
  EXPECT_THAT(box.leaks, IsEmpty());
  const Isolation butt = isolation(parts, {TankId{1}});
  EXPECT_THAT(butt.inflows.overflows, ElementsAre(TankId{0}));
  EXPECT_THAT(butt.inflows.roofs, IsEmpty());
  EXPECT_THAT(butt.inflows.top_ups, IsEmpty());
  // Both out: what overflows from one into the other comes from no other water.
  EXPECT_THAT(isolation(parts, {TankId{0}, TankId{1}}).inflows.overflows, IsEmpty());
  EXPECT_THAT(isolation(parts, {TankId{3}}).leaks, ElementsAre(LeakId{0}));
}

//   [a]--h1--(joint)--h2--[b]--V3--[c]    no valve between a and b
TEST(IsolatingValves, SayWhereAValveIsMissing) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b"), butt("c")};
  parts.headers = {{"joint", 0.0, {}}};
  parts.hoses = {between("h1", TankId{0}, HeaderId{0}), between("h2", HeaderId{0}, TankId{1}),
                 between("h3", TankId{1}, TankId{2}, "V3")};
  const auto cheapest_first = [&](const IsolatingOptions& options = {}) {
    return to_fit(parts, isolation(parts, {TankId{0}}, options));
  };
  const Isolation answer = isolation(parts, {TankId{0}});
  EXPECT_THAT(answer.smallest, IsEmpty());
  EXPECT_THAT(answer.emptied_with, ElementsAre(TankId{1}));  // not c: V3 keeps it
  EXPECT_THAT(answer.pumps_joined, IsEmpty());
  EXPECT_THAT(answer.to_fit[0].then.shut, ElementsAre(HoseId{0}));
  EXPECT_FALSE(answer.to_fit[0].price.has_value());
  EXPECT_THAT(cheapest_first(), ElementsAre(Names{"h1"}, Names{"h2"}));  // by name
  parts.hoses[0].length_m = 1.5;  // the shorter of equal bores
  EXPECT_THAT(cheapest_first(), ElementsAre(Names{"h2"}, Names{"h1"}));
  parts.hoses[1].bore_m = 0.025;  // the narrower
  EXPECT_THAT(cheapest_first(), ElementsAre(Names{"h1"}, Names{"h2"}));
  const IsolatingOptions prices{.valve_prices = {9.5, 7.0, 1.0}};
  EXPECT_THAT(cheapest_first(prices), ElementsAre(Names{"h2"}, Names{"h1"}));
  EXPECT_EQ(isolation(parts, {TankId{0}}, prices).to_fit[0].price, 7.0);
  // b: one valve to fit, and then V3 as well.
  const Isolation b = isolation(parts, {TankId{1}});
  EXPECT_THAT(to_fit(parts, b), ElementsAre(Names{"h1"}, Names{"h2"}));
  EXPECT_THAT(b.to_fit[0].then.shut, ElementsAre(HoseId{0}, HoseId{2}));
}

// One dear valve before two cheap ones: fewest comes first.
//   [a]==h1,h2==(joint)--h3--[b]
TEST(IsolatingValves, FitFewestValvesFirst) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.headers = {{"joint", 0.0, {}}};
  parts.hoses = {between("h1", TankId{0}, HeaderId{0}), between("h2", TankId{0}, HeaderId{0}),
                 between("h3", HeaderId{0}, TankId{1})};
  const Isolation answer = isolation(parts, {TankId{0}}, {.valve_prices = {1.0, 1.0, 100.0}});
  EXPECT_THAT(to_fit(parts, answer), ElementsAre(Names{"h3"}));
}

// Sums of 0.1, 0.2 and 0.3 differ in the last digit by the order they are added in; the sets are as
// dear as each other all the same, and the name decides.
//   [a]==h1,h2,h3==(joint)==h4,h5,h6==[b]
TEST(IsolatingValves, AddUpBoresInAnyOrderOfThePlan) {
  Parts parts;
  parts.tanks = {butt("a"), butt("b")};
  parts.headers = {{"joint", 0.0, {}}};
  for (const double bore_m : {0.1, 0.2, 0.3, 0.3, 0.2, 0.1}) {
    const std::size_t number = parts.hoses.size() + 1;
    const Place end = number <= 3 ? TankId{0} : TankId{1};
    parts.hoses.push_back(between("h" + std::to_string(number), end, HeaderId{0}));
    parts.hoses.back().bore_m = bore_m;
  }
  EXPECT_THAT(to_fit(parts, isolation(parts, {TankId{0}})),
              ElementsAre(Names{"h1", "h2", "h3"}, Names{"h4", "h5", "h6"}));
}

// A chain of 100 000 headers with a valve in every hose between two tanks: each valve is a smallest
// set. No recursion, no square law; the one by the tank is the best.
TEST(IsolatingValves, CrossALongChain) {
  Parts parts;
  const std::uint32_t count = 100000;
  parts.tanks = {butt("a"), butt("b")};
  for (std::uint32_t i = 0; i < count; ++i) {
    const std::string number = std::to_string(i);
    parts.headers.push_back({"j" + number, 0.0, {}});
    const Place before = i == 0 ? Place{TankId{0}} : Place{HeaderId{i - 1}};
    parts.hoses.push_back(between("h" + number, before, HeaderId{i}, "V" + number));
  }
  parts.hoses.push_back(between("last", HeaderId{count - 1}, TankId{1}, "last-valve"));
  const Array array = made(parts);
  const double start_s = cpu_s();
  const Isolation answer =
      isolating_valves(array, array.open_at_start(), {TankId{0}}, {.most_sets = 5});
  const double took_s = cpu_s() - start_s;
  EXPECT_EQ(answer.smallest.size(), 5u);
  EXPECT_FALSE(answer.all_listed);
  EXPECT_THAT(answer.smallest.front().shut, ElementsAre(HoseId{0}));
  EXPECT_LT(took_s, 10.0);
}

TEST(IsolatingValvesDeathTest, StopAtAQuestionThatMakesNoSense) {
  const Array array = made(rail_yard());
  const OpenHoses open = array.open_at_start();
  EXPECT_DEATH(isolating_valves(array, {true}, {TankId{0}}),
               "breach: isolating_valves: 1 entries for 4 hoses");
  EXPECT_DEATH(isolating_valves(array, open, {}), "breach: isolating_valves: no tank");
  EXPECT_DEATH(isolating_valves(array, open, {TankId{3}}), "breach: isolating_valves: no tank 3");
  EXPECT_DEATH(isolating_valves(array, open, {TankId{0}}, {.most_sets = 0}),
               "breach: isolating_valves: no set may be listed");
  EXPECT_DEATH(isolating_valves(array, open, {TankId{0}}, {.valve_prices = {1.0}}),
               "breach: isolating_valves: prices: 1 entries for 4 hoses");
  EXPECT_DEATH(with_every_valve_shut(array, {true}),
               "breach: with_every_valve_shut: 1 entries for 4 hoses");
}

// ------------------------------------------------- random yards, against the second reading by
// name

struct Asked {
  Array array;
  OpenHoses open;
  std::vector<TankId> tanks;
  IsolatingOptions options;
};

// Half the hoses have a valve, or nearly all; some are two in a row.
Asked random_question() {
  Parts parts = *rc::gen::resize(rc::kNominalSize, random_yards({.pumps = true}));
  const bool most_have = random_yard::chance(60);
  const bool in_a_row = random_yard::chance(40);
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    Hose& hose = parts.hoses[i];
    if (most_have && !hose.valve && random_yard::chance(85)) {
      hose.valve = Valve{"W" + std::to_string(i + 1), random_yard::chance(80), 0.0};
    }
  }
  for (std::size_t i = parts.hoses.size(); in_a_row && i > 0; --i) {
    if (random_yard::chance(40)) put_header_into(parts, i - 1);
  }
  const auto array = Array::make(parts);
  RC_ASSERT(array.has_value());
  Asked asked{*array, array->open_at_start(), {}, {}};
  const int last = static_cast<int>(parts.tanks.size()) - 1;
  if (!parts.hoses.empty() && random_yard::chance(70)) {  // a tank that has a hose
    const Hose hose = random_yard::one_of(parts.hoses);
    if (const auto* id = std::get_if<TankId>(&hose.from.place)) asked.tanks.push_back(*id);
  }
  while (asked.tanks.empty() || random_yard::chance(30)) {
    const int tank = random_yard::whole(0, last);
    asked.tanks.push_back(id_at<TankId>(static_cast<std::size_t>(tank)));
  }
  asked.options.shut_hoses_count = random_yard::chance(60);
  asked.options.pumps_count = random_yard::chance(60);
  asked.options.most_sets = 1000;
  return asked;
}

// What the question means, in names.
struct ByName {
  const Parts& parts;
  OpenHoses open;
  OpenHoses joined;
  Names taken;
  Names staying;
  Names other_water;

  explicit ByName(const Asked& asked)
      : parts(asked.array.parts()),
        open(asked.open),
        joined(asked.options.shut_hoses_count ? OpenHoses(open.size(), true) : open),
        taken(names_of(parts.tanks, asked.tanks)) {
    for (const Tank& tank : parts.tanks) {
      if (taken.count(tank.name) == 0) staying.insert(tank.name);
    }
    other_water = staying;
    for (const Pump& pump : parts.pumps) {
      const Names ends = {name_of(parts, pump.from), name_of(parts, pump.to)};
      if (asked.options.pumps_count && !meet(ends, taken)) {
        other_water.insert(ends.begin(), ends.end());
      }
    }
  }

  Names joined_to_taken(const std::vector<HoseId>& shut) const {
    OpenHoses left = joined;
    for (const HoseId hose : shut) left[hose.index] = false;
    return reached_from(parts, left, taken);
  }

  bool apart(const std::vector<HoseId>& shut) const {
    return !meet(joined_to_taken(shut), other_water);
  }

  bool apart_only_with_all(const std::vector<HoseId>& shut) const {
    if (!apart(shut)) return false;
    for (std::size_t i = 0; i < shut.size(); ++i) {
      std::vector<HoseId> fewer = shut;
      fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
      if (apart(fewer)) return false;
    }
    return true;
  }
};

RC_GTEST_PROP(RandomIsolation, KeepsAllOtherWaterAwayAndLeavesNoValveOut, ()) {
  const Asked asked = random_question();
  const ByName yard(asked);
  const Isolation answer = isolating_valves(asked.array, asked.open, asked.tanks, asked.options);
  RC_TAG(answer.smallest.empty() ? std::string("none")
                                 : std::to_string(answer.smallest[0].shut.size()) + " valves");
  for (const ValveSet& set : answer.smallest) {
    for (const HoseId hose : set.shut) RC_ASSERT(part(yard.parts.hoses, hose).valve.has_value());
    RC_ASSERT(set.shut.size() == answer.smallest[0].shut.size());
    RC_ASSERT(yard.apart_only_with_all(set.shut));
  }
  // None at all: not even every valve together would do.
  std::vector<HoseId> every_valve;
  for (std::size_t i = 0; i < yard.parts.hoses.size(); ++i) {
    if (yard.parts.hoses[i].valve) every_valve.push_back(id_at<HoseId>(i));
  }
  RC_ASSERT(yard.apart(every_valve) == !answer.smallest.empty());
  if (!answer.smallest.empty()) return;
  const Names piece = yard.joined_to_taken(every_valve);
  Names emptied;
  for (const std::string& tank : yard.staying) {
    if (piece.count(tank) != 0) emptied.insert(tank);
  }
  RC_ASSERT(names_of(yard.parts.tanks, answer.emptied_with) == emptied);
  RC_ASSERT(!emptied.empty() || !answer.pumps_joined.empty());
}

RC_GTEST_PROP(RandomIsolation, TellsTruthfullyWhatEachSetCosts, ()) {
  const Asked asked = random_question();
  const ByName yard(asked);
  const Parts& parts = yard.parts;
  const Isolation answer = isolating_valves(asked.array, asked.open, asked.tanks, asked.options);
  NamePairs all_pumps;
  for (const Pump& pump : parts.pumps) {
    all_pumps.emplace_back(name_of(parts, pump.from), name_of(parts, pump.to));
  }
  const Names before = reached_from(parts, yard.open, names_in(parts.tanks), all_pumps);
  using Key = std::tuple<std::size_t, std::size_t, std::size_t, std::vector<std::string>>;
  std::vector<Key> keys;
  for (const ValveSet& set : answer.smallest) {
    const Names along = yard.joined_to_taken(set.shut);
    Names want_along;
    for (const std::string& name : along) {
      if (yard.taken.count(name) == 0) want_along.insert(name);
    }
    RC_ASSERT(names_of_places(parts, set.goes_along) == want_along);

    NamePairs runs;
    Names stopped;
    for (std::size_t i = 0; i < parts.pumps.size(); ++i) {
      const bool at = meet({all_pumps[i].first, all_pumps[i].second}, along);
      if (at) stopped.insert(parts.pumps[i].name);
      if (!at) runs.push_back(all_pumps[i]);
    }
    RC_ASSERT(names_of(parts.pumps, set.pumps_stopped) == stopped);
    OpenHoses left = yard.open;
    for (const HoseId hose : set.shut) left[hose.index] = false;
    const Names after = reached_from(parts, left, yard.staying, runs);
    Names supplied, lost;
    const auto sort_out = [&](const std::string& name, const std::string& place, bool can) {
      if (can && after.count(place) != 0) {
        supplied.insert(name);
      } else if (before.count(place) != 0) {
        lost.insert(name);
      }
    };
    for (const Outlet& outlet : parts.outlets) sort_out(outlet.name, outlet.name, true);
    for (const Pump& pump : parts.pumps) {
      sort_out(pump.name, name_of(parts, pump.from), stopped.count(pump.name) == 0);
    }
    Names told = names_of(parts.outlets, set.outlets_supplied);
    told.merge(names_of(parts.pumps, set.pumps_supplied));
    RC_ASSERT(told == supplied);
    Names told_lost = names_of(parts.outlets, set.outlets_lost);
    told_lost.merge(names_of(parts.pumps, set.pumps_lost));
    RC_ASSERT(told_lost == lost);

    Names shared;
    for (const auto& group : set.tanks_sharing) {
      const Names names = names_of(parts.tanks, group);
      const Names reached = reached_from(parts, left, {*names.begin()});
      for (const std::string& tank : yard.staying) {
        RC_ASSERT((reached.count(tank) != 0) == (names.count(tank) != 0));
      }
      shared.insert(names.begin(), names.end());
    }
    RC_ASSERT(shared == yard.staying);
    std::vector<std::string> valve_names;
    for (const HoseId hose : set.shut) valve_names.push_back(part(parts.hoses, hose).valve->name);
    std::sort(valve_names.begin(), valve_names.end());
    const std::size_t all = parts.outlets.size() + parts.pumps.size();
    keys.emplace_back(all - supplied.size(), set.tanks_sharing.size(), want_along.size(),
                      valve_names);
  }
  RC_ASSERT(std::is_sorted(keys.begin(), keys.end()));
  // The best is listed even when nothing else is.
  if (keys.empty()) return;
  IsolatingOptions one = asked.options;
  one.most_sets = 1;
  const Isolation best = isolating_valves(asked.array, asked.open, asked.tanks, one);
  RC_ASSERT(best.smallest.size() == 1u);
  RC_ASSERT(best.smallest[0].shut == answer.smallest[0].shut);
  RC_ASSERT(best.all_listed == (answer.smallest.size() == 1u));
}

RC_GTEST_PROP(RandomIsolation, IsPossibleWithTheValvesItAsksForAndNoFewer, ()) {
  const Asked asked = random_question();
  const Isolation answer = isolating_valves(asked.array, asked.open, asked.tanks, asked.options);
  RC_ASSERT(answer.smallest.empty() == !answer.to_fit.empty());
  for (const ValvesToFit& fit : answer.to_fit) {
    RC_ASSERT(fit.hoses.size() == answer.to_fit[0].hoses.size());
    const auto with = [&](std::optional<std::size_t> left_out) {
      Parts parts = asked.array.parts();
      for (std::size_t i = 0; i < fit.hoses.size(); ++i) {
        Hose& hose = part(parts.hoses, fit.hoses[i]);
        RC_ASSERT(!hose.valve);
        if (i != left_out) hose.valve = Valve{"new on " + hose.name, true, 0.0};
      }
      const auto array = Array::make(parts);
      RC_ASSERT(array.has_value());
      return isolating_valves(*array, asked.open, asked.tanks, asked.options);
    };
    const Isolation then = with(std::nullopt);
    RC_ASSERT(!then.smallest.empty());
    RC_ASSERT(then.smallest[0].shut.size() == fit.then.shut.size());
    RC_ASSERT(then.smallest[0].goes_along == fit.then.goes_along);
    RC_ASSERT(then.smallest[0].outlets_supplied == fit.then.outlets_supplied);
    for (std::size_t i = 0; i < fit.hoses.size(); ++i) RC_ASSERT(with(i).smallest.empty());
  }
}

// Everything that is told, in names and in the order told.
using Told = std::vector<std::pair<std::string, Names>>;

Told told(const Array& array, const Isolation& answer) {
  const Parts& parts = array.parts();
  Told all;
  const auto tell_set = [&](const ValveSet& set) {
    all.emplace_back("shut", names_of(parts.hoses, set.shut));
    all.emplace_back("along", names_of_places(parts, set.goes_along));
    all.emplace_back("stopped", names_of(parts.pumps, set.pumps_stopped));
    all.emplace_back("outlets", names_of(parts.outlets, set.outlets_supplied));
    all.emplace_back("no outlets", names_of(parts.outlets, set.outlets_lost));
    all.emplace_back("pumps", names_of(parts.pumps, set.pumps_supplied));
    all.emplace_back("no pumps", names_of(parts.pumps, set.pumps_lost));
    std::set<Names> groups;
    for (const auto& group : set.tanks_sharing) groups.insert(names_of(parts.tanks, group));
    for (const Names& group : groups) all.emplace_back("group", group);
  };
  for (const ValveSet& set : answer.smallest) tell_set(set);
  for (const ValvesToFit& fit : answer.to_fit) {
    all.emplace_back("fit", names_of(parts.hoses, fit.hoses));
    tell_set(fit.then);
  }
  all.emplace_back("emptied", names_of(parts.tanks, answer.emptied_with));
  all.emplace_back("joined", names_of(parts.pumps, answer.pumps_joined));
  all.emplace_back("overflows", names_of(parts.tanks, answer.inflows.overflows));
  all.emplace_back("roofs", names_of(parts.roofs, answer.inflows.roofs));
  all.emplace_back("top-ups", names_of(parts.top_ups, answer.inflows.top_ups));
  all.emplace_back("pumps in", names_of(parts.pumps, answer.inflows.pumps));
  all.emplace_back("leaks", names_of(parts.leaks, answer.leaks));
  all.emplace_back(answer.all_listed && answer.all_to_fit_listed ? "all" : "some", Names{});
  return all;
}

// Also where not all sets are listed: which are kept hangs on names alone.
RC_GTEST_PROP(RandomIsolation, DoesNotDependOnTheOrderOfThePlan, ()) {
  Asked asked = random_question();
  if (random_yard::chance(50)) {
    asked.options.most_sets = static_cast<std::size_t>(random_yard::whole(1, 4));
  }
  const auto turned = Array::make(told_in_another_order(asked.array.parts()));
  RC_ASSERT(turned.has_value());
  std::vector<TankId> tanks;
  for (const std::string& name : names_of(asked.array.tanks(), asked.tanks)) {
    for (std::size_t i = 0; i < turned->tanks().size(); ++i) {
      if (turned->tanks()[i].name == name) tanks.push_back(id_at<TankId>(i));
    }
  }
  const auto here = isolating_valves(asked.array, asked.open, asked.tanks, asked.options);
  const auto there = isolating_valves(*turned, turned->open_at_start(), tanks, asked.options);
  RC_ASSERT(told(asked.array, here) == told(*turned, there));
}

}  // namespace isolating_valves_test
}  // namespace tankyard
