// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "graph/array.h"
#include "plain_yard.h"
#include "solver/friction.h"
#include "solver/link_law.h"
#include "solver/mouth.h"
#include "solver/run.h"
#include "solver/spill.h"
#include "solver/water.h"
#include "yards.h"

// Source of truth: a second reading of the same physics that shares no line with solver/
// (plain_yard.h), on yards drawn at random. Where the two differ, one of them is wrong.

namespace peers {
namespace peers_test {

using namespace tankyard;

constexpr double plain_tolerance_m3 = 1e-9;

/// The largest difference between two columns of a books' page, in m3, and where.
struct Gap {
  double m3 = 0.0;
  std::string where = "nowhere";

  void hold(const std::string& what, std::size_t part, double ours, double theirs) {
    const double apart = std::fabs(ours - theirs);
    if (!(apart <= m3)) {
      m3 = apart;
      where = what + " " + std::to_string(part + 1) + ": ours " + std::to_string(ours) +
              " m3, plain " + std::to_string(theirs) + " m3";
    }
  }
};

/// What a hose carried is held by itself: see `hoses_agree_m3`.
struct Gaps {
  Gap books;
  Gap hoses;
};

Gaps compare(const RunRecord& ours, const plain::Outcome& theirs) {
  Gaps gaps;
  Gap& gap = gaps.books;
  for (std::size_t i = 0; i < ours.tanks.size(); ++i) {
    gap.hold("end of tank", i, ours.tanks[i].end_m3, theirs.volume_m3[i]);
    gap.hold("overflow of tank", i, ours.tanks[i].overflowed_out_m3, theirs.overflowed_m3[i]);
    gap.hold("over the rim of tank", i, ours.tanks[i].over_rim_m3, theirs.over_rim_m3[i]);
  }
  for (std::size_t k = 0; k < ours.hoses.size(); ++k) {
    gaps.hoses.hold("carried by hose", k, ours.hoses[k].carried_m3, theirs.carried_m3[k]);
  }
  for (std::size_t k = 0; k < ours.outlets.size(); ++k) {
    gap.hold("delivered by outlet", k, ours.outlets[k].delivered_m3, theirs.delivered_m3[k]);
  }
  for (std::size_t k = 0; k < ours.leaks.size(); ++k) {
    gap.hold("lost by leak", k, ours.leaks[k].lost_m3, theirs.leaked_m3[k]);
  }
  for (std::size_t k = 0; k < ours.roofs.size(); ++k) {
    gap.hold("caught by roof", k, ours.roofs[k].caught_m3, theirs.caught_m3[k]);
  }
  for (std::size_t k = 0; k < ours.top_ups.size(); ++k) {
    gap.hold("let in by top-up", k, ours.top_ups[k].let_in_m3, theirs.let_in_m3[k]);
  }
  return gaps;
}

/// Two tolerances: a fine one, where both must agree as far as constants of nature are given, and
/// the one a user gets without asking, where what is promised is a fraction of a litre.
constexpr double fine_m = 1e-7;
constexpr double agrees_at_fine_m3 = 1e-5;
constexpr double agrees_at_default_m3 = 1e-3;

/// A run holds its steps to the error they make in depths. How two hoses that join the same places
/// share what passes changes no depth, so a step may pass over the moment at which a mouth of one
/// of them comes out of the water, at any tolerance. What they carry together is right; the share
/// of one is not to the same degree.
constexpr double hoses_agree_m3 = 5e-3;

/// How many yards to try where a test asks for `many`. PEERS_YARDS=N in the environment asks for N;
/// under a sanitizer a few do.
int yards_to_try(int many) {
  if (const char* wanted = std::getenv("PEERS_YARDS")) return std::atoi(wanted);
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
  return many / 8;
#else
  return many;
#endif
}

void hold_yards(std::uint64_t first, int many, const MayHold& may) {
  Gap widest_at_default;
  Gap widest_at_fine;
  Gap widest_of_hoses;
  const auto widen = [](Gap& widest, const Gap& gap) {
    if (gap.m3 > widest.m3) widest = gap;
  };
  many = yards_to_try(many);
  for (int k = 0; k < many; ++k) {
    const std::uint64_t number = first + static_cast<std::uint64_t>(k);
    const Drawn yard = draw_yard(number, may);
    SCOPED_TRACE("yard number " + std::to_string(number) + "\n" + in_words(yard));
    const auto array = Array::make(yard.parts);
    ASSERT_TRUE(array) << array.error().front().message;
    const plain::Outcome theirs = plain::run(yard.parts, yard.sheet, plain_tolerance_m3);

    RunOptions options;
    auto ours = run(*array, yard.sheet, options);
    ASSERT_TRUE(ours) << ours.error().front().message;
    const Gaps at_default = compare(*ours, theirs);
    EXPECT_LE(at_default.books.m3, agrees_at_default_m3) << at_default.books.where;
    EXPECT_LE(at_default.hoses.m3, hoses_agree_m3) << at_default.hoses.where;

    options.depth_tolerance_m = fine_m;
    options.event_tolerance_s = 1e-4;
    ours = run(*array, yard.sheet, options);
    ASSERT_TRUE(ours) << ours.error().front().message;
    const Gaps at_fine = compare(*ours, theirs);
    EXPECT_LE(at_fine.books.m3, agrees_at_fine_m3) << at_fine.books.where;
    EXPECT_LE(at_fine.hoses.m3, hoses_agree_m3) << at_fine.hoses.where;

    widen(widest_at_default, at_default.books);
    widen(widest_at_fine, at_fine.books);
    widen(widest_of_hoses, at_fine.hoses);
  }
  std::printf("%d yards; furthest apart: %.2g L at the default tolerance (%s)\n", many,
              1e3 * widest_at_default.m3, widest_at_default.where.c_str());
  std::printf("  %.2g L at a fine one (%s)\n", 1e3 * widest_at_fine.m3,
              widest_at_fine.where.c_str());
  std::printf("  %.2g L in one hose at a fine one (%s)\n", 1e3 * widest_of_hoses.m3,
              widest_of_hoses.where.c_str());
}

TEST(PlainReading, AgreesOnOpenTanksJoinedByHoses) { hold_yards(1000, 60, {}); }

TEST(PlainReading, AgreesOnSpillsAndRain) { hold_yards(2000, 60, {.spills = true}); }

TEST(PlainReading, AgreesOnOutletsAndLeaks) { hold_yards(3000, 40, {.outlets = true}); }

TEST(PlainReading, AgreesOnWhatTurnsItselfOver) { hold_yards(4000, 60, {.switches = true}); }

TEST(PlainReading, AgreesOnYardsWithAHeader) { hold_yards(5000, 25, {.header = true}); }

TEST(PlainReading, AgreesOnYardsWithEverything) {
  hold_yards(6000, 20, {.spills = true, .outlets = true, .switches = true, .header = true});
}

// The laws by themselves, so that a yard on which the readings differ need not be searched for a
// law.

TEST(PlainReading, HasTheSameFrictionFactor) {
  for (double reynolds = 1.0; reynolds < 1e8; reynolds *= 1.3) {
    for (const double rough : {0.0, 1e-5, 1e-3, 0.05}) {
      const double theirs = plain::friction_factor(reynolds, rough);
      EXPECT_NEAR(friction_factor(reynolds, rough), theirs, 1e-11 * theirs)
          << "at Re " << reynolds << ", roughness over bore " << rough;
    }
  }
}

TEST(PlainReading, HasTheSameFlowsThroughHosesAndHoles) {
  const double viscosity = water_at(20.0, 0.0).kinematic_viscosity_m2_per_s;
  for (const double bore : {0.004, 0.019, 0.1}) {
    for (double head = 1e-7; head < 100.0; head *= 3.0) {
      const double hose = plain::flow_m3_per_s({bore, 3.0, 2e-5, 4.0}, head);
      // The two viscosities are printed to five figures.
      EXPECT_NEAR(flow_at(hose_law(bore, 3.0, 2e-5, 4.0, viscosity), head), hose, 5e-5 * hose);
      EXPECT_NEAR(flow_at(hose_law(bore, 3.0, 2e-5, 4.0, viscosity), -head), -hose, 5e-5 * hose);
      const double hole = plain::flow_m3_per_s({bore, 0.0, 0.0, 1.0 / 0.36}, head);
      EXPECT_NEAR(flow_at(hole_law(bore, 0.6, viscosity), head), hole, 5e-5 * hole);
    }
  }
}

TEST(PlainReading, HasTheSameMouthsOverflowsAndDepths) {
  for (double height = -0.01; height < 0.2; height += 0.00137) {
    EXPECT_NEAR(covered(height, 0.0, 0.05).share, plain::share_covered(height, 0.05), 1e-12);
    const double over = plain::overflow_m3_per_s(height, 0.05, 0.6);
    EXPECT_NEAR(through_overflow(height, 0.05, 0.6).m3_per_s, over, 1e-4 * over);
  }
  const Shape shapes[] = {Prism{0.7, 1.0}, Upright{0.9, 1.2}, Lying{0.8, 1.5}};
  for (const Shape& shape : shapes) {
    for (double share = 0.0; share < 1.1; share += 0.013) {
      const double volume = share * capacity_m3(shape);
      EXPECT_NEAR(depth_m(shape, volume), plain::depth_of(shape, volume), 1e-12) << share;
    }
  }
}

}  // namespace peers_test
}  // namespace peers
