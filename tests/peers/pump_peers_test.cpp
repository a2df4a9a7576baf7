// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "io/plan_file.h"
#include "plain_air.h"
#include "plain_pump.h"
#include "pump_yards.h"
#include "solver/link_law.h"
#include "solver/pump_curve.h"
#include "solver/pump_law.h"
#include "solver/run.h"
#include "solver/shell.h"
#include "solver/suction.h"
#include "solver/water.h"
#include "yards.h"

// Source of truth: the second reading with pumps (plain_air.h), which shares no line with solver/,
// on yards drawn at random and on the yards of examples/: where the water went, and when things
// happened.

namespace peers {
namespace pump_peers_test {

using namespace tankyard;
using Kind = Event::Kind;
using What = plain::What;

/// A tolerance a step, and what follows from it.
struct Asked {
  const char* name;
  double tolerance_m;
  double event_tolerance_s;
  double books_m3;
  double pressures_pa;  ///< both as in air_peers_test.cpp
  /// How far depths may be off over a run: `RunOptions` has it at about twice the tolerance of a
  /// step at the default and some twenty times at 1e-7 m; half as much again for "about".
  double depth_m;

  /// Pressures are held to three times as much, as metres of water.
  double pressure_pa() const { return 3.0 * depth_m * 998.207 * 9.80665; }
};
constexpr Asked by_default{"default", 1e-4, 1e-3, 1e-3, 30.0, 3e-4};
constexpr Asked finely{"fine", 1e-7, 1e-4, 2e-5, 1.0, 3e-6};
constexpr double hoses_agree_m3 = 5e-3;  // see peers_test.cpp

int yards_to_try(int many) {
  if (const char* wanted = std::getenv("PEERS_YARDS")) return std::atoi(wanted);
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
  return std::max(many / 8, std::min(many, 3));
#else
  return many;
#endif
}

/// The largest difference, and where.
struct Gap {
  double size = 0.0;
  std::string where = "nowhere";

  void hold(const std::string& what, std::size_t part, double ours, double theirs) {
    const double apart = std::fabs(ours - theirs);
    if (apart <= size) return;
    size = apart;
    char words[160];
    std::snprintf(words, sizeof words, "%s %zu: ours %.10g, plain %.10g", what.c_str(), part + 1,
                  ours, theirs);
    where = words;
  }
  void widen(const Gap& other, const std::string& yard) {
    if (other.size > size) *this = {other.size, yard + ", " + other.where};
  }
};

struct Gaps {
  Gap books;
  Gap hoses;
  Gap pressures;
};

Gaps compare_books(const RunRecord& ours, const plain::AirOutcome& theirs) {
  Gaps gaps;
  Gap& gap = gaps.books;
  for (std::size_t i = 0; i < ours.tanks.size(); ++i) {
    const TankRecord& tank = ours.tanks[i];
    gap.hold("m3 at the end in tank", i, tank.end_m3, theirs.books.volume_m3[i]);
    gap.hold("m3 by overflow of tank", i, tank.overflowed_out_m3, theirs.books.overflowed_m3[i]);
    gap.hold("m3 over the rim of tank", i, tank.over_rim_m3, theirs.books.over_rim_m3[i]);
    const HeadspaceRecord& air = tank.headspace;
    gaps.pressures.hold("lowest Pa in tank", i, air.lowest_pa, theirs.lowest_pa[i]);
    gaps.pressures.hold("highest Pa in tank", i, air.highest_pa, theirs.highest_pa[i]);
    gaps.pressures.hold("Pa at the end in tank", i, air.end_pa, theirs.end_pa[i]);
  }
  for (std::size_t k = 0; k < ours.hoses.size(); ++k) {
    gaps.hoses.hold("m3 by hose", k, ours.hoses[k].carried_m3, theirs.books.carried_m3[k]);
  }
  for (std::size_t k = 0; k < ours.outlets.size(); ++k) {
    gap.hold("m3 by outlet", k, ours.outlets[k].delivered_m3, theirs.books.delivered_m3[k]);
  }
  for (std::size_t k = 0; k < ours.leaks.size(); ++k) {
    gap.hold("m3 by leak", k, ours.leaks[k].lost_m3, theirs.books.leaked_m3[k]);
  }
  for (std::size_t k = 0; k < ours.roofs.size(); ++k) {
    gap.hold("m3 by roof", k, ours.roofs[k].caught_m3, theirs.books.caught_m3[k]);
  }
  for (std::size_t k = 0; k < ours.top_ups.size(); ++k) {
    gap.hold("m3 by top-up", k, ours.top_ups[k].let_in_m3, theirs.books.let_in_m3[k]);
  }
  for (std::size_t k = 0; k < ours.pumps.size(); ++k) {
    const PumpRecord& pump = ours.pumps[k];
    gap.hold("m3 by pump", k, pump.delivered_m3, theirs.pumps[k].delivered_m3);
    gap.hold("m3 back through pump", k, pump.ran_back_m3, theirs.pumps[k].ran_back_m3);
    gap.hold("m3 on through pump", k, pump.ran_on_m3, theirs.pumps[k].ran_on_m3);
  }
  return gaps;
}

/// One kind of happening at one part, in both tongues.
struct Told {
  std::string name;
  bool switched = false;  ///< the solver lands on it; else the record looks back for it
  std::vector<double> ours_s;
  std::vector<plain::Happening> theirs;
};

struct KindName {
  Kind ours;
  What theirs;
  const char* name;
  bool switched;
};
constexpr KindName kinds[] = {
    {Kind::port_uncovers, What::port_uncovers, "mouth bared", false},
    {Kind::port_covers, What::port_covers, "mouth covered", false},
    {Kind::overflow_starts, What::overflow_starts, "overflow starts", false},
    {Kind::overflow_ends, What::overflow_ends, "overflow ends", false},
    {Kind::rim_reached, What::rim_reached, "rim reached", false},
    {Kind::top_up_starts, What::top_up_starts, "top-up starts", true},
    {Kind::top_up_stops, What::top_up_stops, "top-up stops", true},
    {Kind::primed, What::primed, "fills", true},
    {Kind::prime_lost, What::prime_lost, "loses prime", true},
    {Kind::pump_starts, What::pump_starts, "pump starts", true},
    {Kind::pump_stops, What::pump_stops, "pump stops", true},
    {Kind::pump_starts_dry, What::pump_starts_dry, "pump starts dry", true},
    {Kind::pump_draws_air, What::pump_draws_air, "pump draws air", true},
    {Kind::pump_cut_out_low, What::pump_cut_out_low, "cut out low", true},
    {Kind::pump_cut_out_by_pressure, What::pump_cut_out_by_pressure, "cut out by pressure", true},
    {Kind::pump_cut_out_by_time, What::pump_cut_out_by_time, "cut out by time", true}};

std::vector<Told> tell(const Parts& parts, const RunRecord& ours, const plain::AirOutcome& theirs) {
  std::vector<Told> all;
  // Behind a pump that passes nothing the head is any, and so is whether air gets in there.
  const auto is_behind_a_pump = [&parts](std::size_t header) {
    const Place place = id_at<HeaderId>(header);
    return std::any_of(parts.pumps.begin(), parts.pumps.end(),
                       [&](const Pump& pump) { return pump.to == place; });
  };
  const auto entry = [&all, &is_behind_a_pump](const KindName& kind, std::size_t part,
                                               std::size_t hose, bool header) -> Told& {
    char words[96];
    std::snprintf(words, sizeof words, "%s, part %zu, hose %zu%s", kind.name, part + 1, hose,
                  header ? ", header" : "");
    for (Told& one : all) {
      if (one.name == words) return one;
    }
    all.push_back({words, kind.switched && !(header && is_behind_a_pump(part)), {}, {}});
    return all.back();
  };
  const auto is_prime = [](const KindName& kind) {
    return kind.ours == Kind::primed || kind.ours == Kind::prime_lost;
  };
  for (const Event& event : ours.events) {
    for (const KindName& kind : kinds) {
      if (kind.ours != event.kind) continue;
      const std::size_t hose = event.hose && !is_prime(kind) ? event.hose->index + 1u : 0u;
      entry(kind, event.part, hose, event.at_header).ours_s.push_back(event.at_s);
    }
  }
  for (const plain::Happening& one : theirs.happened) {
    for (const KindName& kind : kinds) {
      if (kind.theirs != one.what) continue;
      const std::size_t hose = one.hose && !is_prime(kind) ? *one.hose + 1u : 0u;
      entry(kind, one.part, hose, one.at_header).theirs.push_back(one);
    }
  }
  for (std::size_t i = 0; i < ours.tanks.size(); ++i) {
    const HeadspaceRecord& air = ours.tanks[i].headspace;
    Told& folds = entry({Kind::step, What::folds, "folds", false}, i, 0, false);
    if (air.folds) folds.ours_s.push_back(air.folds->at_s);
    for (const plain::Happening& one : theirs.happened) {
      // The record keeps the first.
      if (one.what == What::folds && one.part == i && folds.theirs.empty()) {
        folds.theirs.push_back(one);
      }
    }
  }
  return all;
}

/// How the moments compare.
struct Moments {
  int held = 0;
  int late = 0;     ///< only told of, and further off than a switch may be; see README.md
  int touched = 0;  ///< a level that only touched its mark: told of by one side, or by both anyhow
  std::vector<std::string> amiss;
  double furthest_share = 0.0;  ///< of what is allowed
  std::string furthest;
};

/// What a moment may be off by itself: the time its number takes over what levels may be off.
double own_s(const plain::Happening& one, const Asked& asked) {
  if (one.number_per_s == 0.0) return 0.0;                                       // by a hand
  if (std::fabs(one.number_per_s + 1.0) < 1e-6) return asked.event_tolerance_s;  // by the clock
  if (one.what == What::folds) {
    return asked.event_tolerance_s + asked.pressure_pa() / std::fabs(one.number_per_s);
  }
  // A head at a bared mouth falls much faster than the level that bares it, and is no better
  // known than that level.
  return asked.event_tolerance_s +
         asked.depth_m / std::min(std::fabs(one.number_per_s), one.fastest_m_per_s);
}

/// What switches turned late have carried on: the most that any before could be late by its level,
/// and for each the event tolerance.
double carried_s(const plain::Happening& until, const std::vector<plain::Happening>& happened,
                 const Asked& asked) {
  double most = 0.0;
  int turns = 0;
  for (const plain::Happening& one : happened) {
    if (one.at_s >= until.at_s || one.told_only) continue;
    most = std::max(most, own_s(one, asked));
    ++turns;
  }
  return most + turns * asked.event_tolerance_s;
}

void compare_moments(const Told& told, const std::vector<plain::Happening>& happened,
                     const Asked& asked, Moments& moments) {
  const bool is_pressure = told.name.rfind("folds", 0) == 0;
  const double band = is_pressure ? asked.pressure_pa() : asked.depth_m;
  std::vector<bool> used(told.ours_s.size(), false);
  char words[240];
  for (const plain::Happening& one : told.theirs) {
    // By a hand on the day sheet; or found so at the start, which the record tells a step later.
    if (one.number_per_s == 0.0 && one.told_only) {
      ++moments.touched;
      continue;
    }
    const double allowed_s =
        asked.event_tolerance_s + own_s(one, asked) + carried_s(one, happened, asked);
    std::size_t nearest = told.ours_s.size();
    for (std::size_t k = 0; k < told.ours_s.size(); ++k) {
      if (used[k]) continue;
      if (nearest == told.ours_s.size() ||
          std::fabs(told.ours_s[k] - one.at_s) < std::fabs(told.ours_s[nearest] - one.at_s)) {
        nearest = k;
      }
    }
    const bool sure = one.beyond > 2.0 * band;
    const bool none = nearest == told.ours_s.size();
    const double apart_s = none ? 1e9 : std::fabs(told.ours_s[nearest] - one.at_s);
    if (told.switched ? apart_s <= allowed_s : !none) {
      if (!told.switched && apart_s > allowed_s) ++moments.late;
      used[nearest] = true;
      ++moments.held;
      if (told.switched && apart_s > moments.furthest_share * allowed_s) {
        moments.furthest_share = apart_s / allowed_s;
        std::snprintf(words, sizeof words, "%s at %.3f s: %.2g s apart of %.2g s",
                      told.name.c_str(), one.at_s, apart_s, allowed_s);
        moments.furthest = words;
      }
      continue;
    }
    if (!sure || !told.switched) {
      ++(sure ? moments.late : moments.touched);
      if (!none && apart_s < 1.0) used[nearest] = true;
      continue;
    }
    std::snprintf(words, sizeof words, "%s: plain at %.6f s, ours %s %.6f s, allowed %.2g s",
                  told.name.c_str(), one.at_s, none ? "never" : "at",
                  none ? 0.0 : told.ours_s[nearest], allowed_s);
    moments.amiss.push_back(words);
    if (!none) used[nearest] = true;
  }
  for (std::size_t k = 0; k < used.size(); ++k) {
    if (used[k]) continue;
    if (!told.switched) {
      ++moments.touched;
      continue;
    }
    std::snprintf(words, sizeof words, "%s: ours at %.6f s, plain never", told.name.c_str(),
                  told.ours_s[k]);
    moments.amiss.push_back(words);
  }
}

plain::Bears bears_of(const Array& array) {
  plain::Bears bears;
  for (const Tank& tank : array.tanks()) {
    const bool shut = tank.lid.kind != Lid::Kind::open;
    bears.vacuum_pa.push_back(shut ? std::optional(allowed_vacuum(tank).pa) : std::nullopt);
  }
  return bears;
}

struct Tally {
  Gap books, hoses, pressures;
  int held = 0;
  int late = 0;
  int touched = 0;
  double furthest_share = 0.0;
  std::string furthest;
};

void hold(const Drawn& yard, const std::string& name, const plain::AirOutcome& theirs,
          const Asked& asked, Tally& tally) {
  const auto array = Array::make(yard.parts);
  ASSERT_TRUE(array) << array.error().front().message;
  RunOptions options;
  options.depth_tolerance_m = asked.tolerance_m;
  options.event_tolerance_s = asked.event_tolerance_s;
  const auto ours = run(*array, yard.sheet, options);
  ASSERT_TRUE(ours) << asked.name << ": " << ours.error().front().message;
  const Gaps gaps = compare_books(*ours, theirs);
  EXPECT_LE(gaps.books.size, asked.books_m3) << asked.name << ": " << gaps.books.where;
  EXPECT_LE(gaps.hoses.size, hoses_agree_m3) << asked.name << ": " << gaps.hoses.where;
  EXPECT_LE(gaps.pressures.size, asked.pressures_pa) << asked.name << ": " << gaps.pressures.where;
  Moments moments;
  for (const Told& told : tell(yard.parts, *ours, theirs)) {
    compare_moments(told, theirs.happened, asked, moments);
  }
  for (const std::string& one : moments.amiss) ADD_FAILURE() << asked.name << ": " << one;
  tally.books.widen(gaps.books, name);
  tally.hoses.widen(gaps.hoses, name);
  tally.pressures.widen(gaps.pressures, name);
  tally.held += moments.held;
  tally.late += moments.late;
  tally.touched += moments.touched;
  if (moments.furthest_share > tally.furthest_share) {
    tally.furthest_share = moments.furthest_share;
    tally.furthest = name + ", " + moments.furthest;
  }
}

void print(const Asked& asked, const Tally& tally) {
  std::printf("  %s: %.2g L (%s)\n    %.2g L in one hose (%s)\n    %.2g Pa (%s)\n", asked.name,
              1e3 * tally.books.size, tally.books.where.c_str(), 1e3 * tally.hoses.size,
              tally.hoses.where.c_str(), tally.pressures.size, tally.pressures.where.c_str());
  std::printf(
      "    %d moments held, %d told late, %d touched; furthest %.2g of what is allowed (%s)\n",
      tally.held, tally.late, tally.touched, tally.furthest_share, tally.furthest.c_str());
}

void hold_yards(std::uint64_t first, int many, bool lids) {
  many = yards_to_try(many);
  Tally coarse, fine;
  int held = 0;
  std::uint64_t number = first;
  for (; held < many; ++number) {
    const Drawn yard = draw_pump_yard(number, lids);
    SCOPED_TRACE("yard number " + std::to_string(number) + "\n" + in_words(yard));
    const auto array = Array::make(yard.parts);
    ASSERT_TRUE(array) << array.error().front().message;
    const auto theirs = plain::run_with_air(yard.parts, yard.sheet, 1e-8, bears_of(*array));
    ASSERT_FALSE(theirs.stuck) << theirs.stuck_at_s;
    if (!theirs.within_reach()) continue;
    ++held;
    const std::string name = "yard " + std::to_string(number);
    hold(yard, name, theirs, by_default, coarse);
    hold(yard, name, theirs, finely, fine);
  }
  std::printf("%d yards of %d drawn; furthest apart:\n", held, static_cast<int>(number - first));
  print(by_default, coarse);
  print(finely, fine);
}

TEST(PumpReading, AgreesOnYardsWithAPump) { hold_yards(20000, 16, false); }

TEST(PumpReading, AgreesOnYardsWithAPumpAndClosedLids) { hold_yards(30000, 6, true); }

// With their water at 20 degC, where this reading has its viscosity.
TEST(PumpReading, AgreesOnTheExamples) {
  Tally coarse, fine;
  int held = 0;
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(TANKYARD_SOURCE_DIR "/examples")) {
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  for (const auto& file : files) {
    SCOPED_TRACE(file.filename().string());
    const auto plan = read_plan_file(file.string());
    ASSERT_TRUE(plan);
    Drawn yard{plan->array.parts(), plan->sheet};
    yard.parts.site.water_temperature_degc = 20.0;
    const auto array = Array::make(yard.parts);
    ASSERT_TRUE(array);
    const auto theirs = plain::run_with_air(yard.parts, yard.sheet, 1e-8, bears_of(*array));
    ASSERT_FALSE(theirs.stuck) << theirs.stuck_at_s;
    EXPECT_TRUE(theirs.within_reach()) << theirs.fullest_share << " full";
    hold(yard, file.filename().string(), theirs, by_default, coarse);
    hold(yard, file.filename().string(), theirs, finely, fine);
    ++held;
  }
  EXPECT_GE(held, 4);
  std::printf("%d examples; furthest apart:\n", held);
  print(by_default, coarse);
  print(finely, fine);
}

// The laws by themselves, so that a yard on which the readings differ need not be searched for one.

TEST(PumpReading, HasTheSameCurvesAndFlows) {
  double furthest = 0.0;
  const Water water = water_at(20.0, 0.0);
  for (std::uint64_t number = 0; number < 200; ++number) {
    const Drawn yard = draw_pump_yard(number, false);
    const Pump& pump = yard.parts.pumps[0];
    const double boils_m = boils_at_head_m(water, 0.3);
    const plain::PlainPump theirs(pump, boils_m);
    const PumpLaw ours{PumpCurve(pump.curve), {boils_m, NpshRequired(pump.npsh_required)}};
    const double free = ours.curve.free_flow_m3_per_s();
    for (double share = 0.0; share < 1.3; share += 0.037) {
      const double flow = share * free;
      EXPECT_NEAR(ours.curve.loss_at(flow).head_m, theirs.lost_inside_m(flow),
                  1e-11 * theirs.shut_off_m());
      EXPECT_NEAR(ours.suction.required.at(flow).value, theirs.npsh_required_m(flow), 1e-12);
    }
    for (const double inlet : {-9.9, -8.0, -3.0, 0.5}) {
      for (const double outlet : {-2.0, 1.0, 7.0, 20.0}) {
        for (const double covered : {0.3, 1.0}) {
          const double want = theirs.running_m3_per_s(inlet, outlet, covered);
          const double got = pump_flow(ours, inlet, outlet, covered * covered);
          EXPECT_NEAR(got, want, 1e-9 * free) << number;
          furthest = std::max(furthest, std::fabs(got - want) / free);
        }
      }
    }
    for (double head = 1e-6; head < 100.0; head *= 7.0) {
      const double want = theirs.standing_m3_per_s(head);
      EXPECT_NEAR(flow_at(standing_pump_law(ours.curve), head), want, 1e-9 * want);
    }
  }
  std::printf("flows of 200 pumps at most %.1e of the free flow apart\n", furthest);
}

// Source of truth: a flow through a curve of one straight line against a level, by hand.
TEST(PlainPump, LiftsAsMuchAsItsLineSays) {
  Pump pump;
  pump.curve = {{0.0, 20.0}, {1e-3, 10.0}};
  const plain::PlainPump plain(pump, -10.0);
  EXPECT_NEAR(plain.running_m3_per_s(0.0, 15.0, 1.0), 0.5e-3, 1e-15);
  EXPECT_NEAR(plain.running_m3_per_s(1.0, 16.0, 1.0), 0.5e-3, 1e-15);
  EXPECT_EQ(plain.running_m3_per_s(0.0, 20.0, 1.0), 0.0);
  EXPECT_EQ(plain.running_m3_per_s(-10.5, 0.0, 1.0), 0.0);  // its water boils
  // Half of 2.5 m needed: three quarters of the drive.
  EXPECT_NEAR(plain.running_m3_per_s(-8.75, 3.25, 1.0), 0.6e-3, 1e-15);
  // From the last point on as the square: 20 m are gone at Q^2 = 1 + 2 (20 - 10) / 10.
  EXPECT_NEAR(plain.running_m3_per_s(0.0, 0.0, 1.0), 1e-3 * std::sqrt(3.0), 1e-15);
  EXPECT_NEAR(plain.standing_m3_per_s(-5.0), -0.5e-3 * std::sqrt(3.0), 1e-11);
}

}  // namespace pump_peers_test
}  // namespace peers
