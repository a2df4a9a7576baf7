// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <random>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "graph/critical_hoses.h"
#include "graph/isolating_valves.h"
#include "graph/reach.h"
#include "graph/second_reading.h"
#include "random_arrays.h"

// Minimum cuts, bridges and articulation points against NetworkX (python3-networkx of Debian 12,
// 2.8.8), asked once for all yards: tests/graph/networkx_says.py.

namespace tankyard {
namespace networkx_test {

struct Case {
  Array array;
  std::vector<TankId> take;
  OpenHoses open;
  IsolatingOptions options;
};

std::vector<Case> random_cases(int count) {
  rc::Random random(2026);
  std::mt19937_64 picks(2026);  // its numbers are the same everywhere
  std::vector<Case> cases;
  for (int i = 0; i < count; ++i) {
    const auto next = [&picks](std::uint64_t below) { return picks() % below; };
    Parts parts = random_yards({.pumps = true})(random.split(), rc::kNominalSize).value();
    // Every other yard has few hoses without a valve, else hardly any cut is larger than two.
    for (std::size_t h = 0; i % 2 == 0 && h < parts.hoses.size(); ++h) {
      Hose& hose = parts.hoses[h];
      if (!hose.valve && next(10) != 0) hose.valve = Valve{"W" + std::to_string(h + 1), true, 0.0};
    }
    for (std::size_t h = parts.hoses.size(); i % 3 == 0 && h > 0; --h) {
      if (next(2) == 0) put_header_into(parts, h - 1);
    }
    const Array array = Array::make(parts).value();
    std::vector<TankId> take = {id_at<TankId>(next(parts.tanks.size()))};
    for (const Hose& hose : parts.hoses) {  // rather a tank that has a hose
      if (const auto* id = std::get_if<TankId>(&hose.from.place); id && next(3) == 0) take[0] = *id;
    }
    while (next(4) == 0) take.push_back(id_at<TankId>(next(parts.tanks.size())));
    IsolatingOptions options;
    options.shut_hoses_count = next(3) != 0;
    options.pumps_count = next(3) != 0;
    options.most_sets = 5000;
    cases.push_back({array, take, array.open_at_start(), options});
  }
  return cases;
}

void write(const Case& each, std::ostream& out) {
  const Parts& parts = each.array.parts();
  for (const Tank& tank : parts.tanks) out << "tank " << tank.name << "\n";
  for (const Header& header : parts.headers) out << "place " << header.name << "\n";
  for (const Outlet& outlet : parts.outlets) {
    out << "place " << outlet.name << "\n";
    if (outlet.at) {
      out << "straight " << outlet.name << " " << name_of(parts, outlet.at->place) << "\n";
    }
  }
  for (const Hose& hose : parts.hoses) {
    out << "hose " << hose.name << " " << name_of(parts, hose.from.place) << " "
        << name_of(parts, hose.to.place) << (hose.valve ? " valve" : " bare") << "\n";
  }
  for (const Pump& pump : parts.pumps) {
    out << "pump " << name_of(parts, pump.from) << " " << name_of(parts, pump.to) << "\n";
  }
  out << "take";
  for (const TankId tank : each.take) out << " " << name_of(parts, tank);
  out << "\njoined";
  for (const Hose& hose : parts.hoses) {
    if (each.options.shut_hoses_count || starts_open(hose)) out << " " << hose.name;
  }
  out << "\nopen";
  for (const Hose& hose : parts.hoses) {
    if (starts_open(hose)) out << " " << hose.name;
  }
  out << "\npumps_count " << (each.options.pumps_count ? "yes" : "no") << "\nend\n";
}

// "kind size number" and that many lines "set ..."; or "kind none". Without a number where there
// were too many sets to try.
struct Cuts {
  bool possible = false;
  bool listed = false;
  std::size_t size = 0;
  std::set<Names> sets;
};

// The answers, word by word.
class Reader {
 public:
  explicit Reader(const std::string& path) : file_(path) {}

  std::vector<std::string> line(const std::string& kind) {
    std::string text;
    std::getline(file_, text);
    std::istringstream stream(text);
    std::vector<std::string> words;
    for (std::string word; stream >> word;) words.push_back(word);
    if (words.empty() || words[0] != kind) {
      ADD_FAILURE() << "no line of `" << kind << "` but `" << text << "`";
      return {};
    }
    words.erase(words.begin());
    return words;
  }

  Names names(const std::string& kind) {
    const auto words = line(kind);
    return {words.begin(), words.end()};
  }

  Cuts cuts(const std::string& kind) {
    const auto words = line(kind);
    Cuts cuts;
    if (words.size() != 2) return cuts;
    cuts.possible = true;
    cuts.size = std::stoul(words[0]);
    cuts.listed = words[1] != "unlisted";
    if (!cuts.listed) return cuts;
    for (std::size_t i = std::stoul(words[1]); i > 0; --i) cuts.sets.insert(names("set"));
    return cuts;
  }

 private:
  std::ifstream file_;
};

// How much the yards asked about; a generator gone blind would agree on nothing at all.
struct Seen {
  int of_size[6] = {};
  int several = 0, impossible = 0, listed = 0, unlisted = 0, fits = 0;
  int bridges = 0, parting = 0, places = 0, draining = 0;
};

void compare(const Case& each, Reader& says, Seen& seen) {
  const Array& array = each.array;
  const Parts& parts = array.parts();
  const Isolation ours = isolating_valves(array, each.open, each.take, each.options);

  const Cuts shut = says.cuts("shut");
  ASSERT_EQ(!ours.smallest.empty(), shut.possible);
  std::set<Names> sets;
  for (const ValveSet& set : ours.smallest) {
    EXPECT_EQ(set.shut.size(), shut.size);
    sets.insert(names_of(parts.hoses, set.shut));
  }
  EXPECT_TRUE(ours.all_listed);
  EXPECT_EQ(sets.size(), ours.smallest.size());
  if (shut.listed) {
    EXPECT_EQ(sets, shut.sets);
  }
  const Cuts fit = says.cuts("fit");
  ASSERT_TRUE(fit.possible);
  if (!shut.possible) {
    ++seen.impossible;
    std::set<Names> to_fit;
    for (const ValvesToFit& valves : ours.to_fit) {
      EXPECT_EQ(valves.hoses.size(), fit.size);
      to_fit.insert(names_of(parts.hoses, valves.hoses));
    }
    if (fit.listed) {
      EXPECT_EQ(to_fit, fit.sets);
    }
    seen.fits += fit.size > 1 || fit.sets.size() > 1 ? 1 : 0;
  } else {
    EXPECT_EQ(fit.size, 0u);
    EXPECT_TRUE(ours.to_fit.empty());
    ++seen.of_size[std::min<std::size_t>(shut.size, 5)];
    seen.several += sets.size() > 1 ? 1 : 0;
    ++(shut.listed ? seen.listed : seen.unlisted);
  }

  const Names bridges = says.names("bridges");
  EXPECT_EQ(names_of(parts.hoses, only_ways(array, each.open)), bridges);
  seen.bridges += static_cast<int>(bridges.size());
  Names parting;
  for (const CriticalHose& hose : critical_hoses(array, each.open)) {
    EXPECT_EQ(bridges.count(part(parts.hoses, hose.hose).name), 1u);
    if (!hose.lost.tanks.empty()) parting.insert(part(parts.hoses, hose.hose).name);
  }
  EXPECT_EQ(parting, says.names("parting"));
  seen.parting += static_cast<int>(parting.size());
  const Names places = names_of_places(parts, critical_places(array, each.open));
  EXPECT_EQ(places, says.names("places"));
  seen.places += static_cast<int>(places.size());

  std::vector<HoseId> by_name;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) by_name.push_back(id_at<HoseId>(i));
  std::sort(by_name.begin(), by_name.end(), [&](HoseId a, HoseId b) {
    return part(parts.hoses, a).name < part(parts.hoses, b).name;
  });
  for (const HoseId hose : by_name) {
    const Burst off = burst(array, each.open, hose);
    for (const char* end : {"from", "to"}) {
      Names tanks = {part(parts.hoses, hose).name, end};
      const Draining& drained = std::string(end) == "from" ? off.off_at_from : off.off_at_to;
      for (const TankId tank : drained.tanks) tanks.insert(name_of(parts, tank));
      EXPECT_EQ(tanks, says.names("off"));
      seen.draining += drained.tanks.size() > 1 ? 1 : 0;
    }
  }
  says.line("end");
}

TEST(Networkx, FindsTheSameCutsAndCriticalParts) {
  const auto start = std::chrono::steady_clock::now();
  const std::vector<Case> cases = random_cases(400);
  const std::string yards = testing::TempDir() + "tankyard-yards-" + std::to_string(getpid());
  const std::string answers = yards + "-answers";
  {
    std::ofstream out(yards);
    for (const Case& each : cases) write(each, out);
  }
  // Debian's own Python, for which the package is installed, whatever else stands on the path.
  const std::string asked = "/usr/bin/python3 '" TANKYARD_SOURCE_DIR
                            "/tests/graph/networkx_says.py' '" +
                            yards + "' '" + answers + "'";
  ASSERT_EQ(std::system(asked.c_str()), 0)
      << "python3-networkx is missing? tests/setup.sh installs it";
  Reader says(answers);
  Seen seen;
  for (std::size_t i = 0; i < cases.size(); ++i) {
    SCOPED_TRACE("yard " + std::to_string(i + 1) + " of " + yards);
    compare(cases[i], says, seen);
    if (HasFailure()) return;
  }
  std::remove(yards.c_str());
  std::remove(answers.c_str());

  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  std::cout << cases.size() << " yards in " << took.count() << " s; by size of the cut:";
  for (const int number : seen.of_size) std::cout << " " << number;
  std::cout << "; several " << seen.several << ", all sets tried " << seen.listed << ", not "
            << seen.unlisted << ", impossible " << seen.impossible << ", choice of valves to fit "
            << seen.fits << ", bridges " << seen.bridges << ", parting tanks " << seen.parting
            << ", places " << seen.places << ", drains " << seen.draining << "\n";
  for (int size = 0; size <= 3; ++size) EXPECT_GT(seen.of_size[size], 10) << size;
  for (const int number : {seen.several, seen.impossible, seen.fits, seen.bridges, seen.parting,
                           seen.places, seen.draining}) {
    EXPECT_GT(number, 20);
  }
}

}  // namespace networkx_test
}  // namespace tankyard
