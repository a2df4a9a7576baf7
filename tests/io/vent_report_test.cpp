// SPDX-License-Identifier: MIT
// What `vent` says to people and programs. Source of truth: a study made by hand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "io/json.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"

namespace tankyard {
namespace vent_report_test {

using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

constexpr const char* three_cages = R"([site]
name = "Larch Hill"
[[tank]]
name = "open"
shape = { prism = { area = "1 m2", height = "1 m" } }
[[tank]]
name = "sealed"
shape = { prism = { area = "1 m2", height = "1 m" } }
lid = "sealed"
[[tank]]
name = "screened"
shape = { prism = { area = "1 m2", height = "1 m" } }
lid = { hole = "4 mm", screen = 0.5 }
allowed_vacuum = "1 kPa"
)";

/// A plan with two closed lids, and what a study might have found: `sealed` folds, `screened`
/// keeps half in hand.
struct Found {
  Plan plan;
  VentStudy study;

  Found() : plan(std::move(*read_plan(three_cages, "cages.toml"))) {
    Trial tap;
    tap.pull = Trial::Pull::outlet;
    tap.says = "`tap` drawing 50 L/min";
    Trial rain;
    rain.pull = Trial::Pull::rain;
    rain.says = "rain of 150 mm/h";
    for (Trial* trial : {&tap, &rain}) trial->parts = plan.array.parts();
    study.trials = {tap, rain};
    for (const std::size_t tank : {1U, 2U}) {
      LidNeeds lid;
      lid.tank = id_at<TankId>(tank);
      lid.vacuum = allowed_vacuum(plan.array.tanks()[tank]);
      lid.pressure = allowed_pressure(plan.array.tanks()[tank]);
      const bool folds = tank == 1;
      LidTrial pulled;
      pulled.trial = 0;
      pulled.lowest_pa = folds ? -9264.2 : -400.0;
      if (folds) pulled.folds_after_s = 3.2;
      LidTrial pushed;
      pushed.trial = 1;
      pushed.highest_pa = 80.0;
      lid.as_it_is = {pulled, pushed};
      lid.worst_pressure = 1;
      if (folds) lid.first_to_fold = 0;
      lid.for_vacuum.tried = lid.for_pressure.tried = true;
      lid.for_vacuum.bore_m = folds ? 0.012 : 0.0035;
      lid.for_vacuum.decided_by = 0;
      lid.hole_m = lid.for_vacuum.bore_m;
      lid.drill_now = folds;
      lid.lowest_alone_pa = -100.0;
      lid.lowest_together_pa = -60.0;
      lid.highest_together_pa = 20.0;
      lid.hole_feeding_alone_m = 0.014;
      lid.pull_alone_m3_per_s = 50.0 / 60000.0;
      lid.iso_28300 = {50.0 / 60000.0, 0.0113};
      lid.api_2000_5th = {47.0 / 60000.0, 0.0110};
      lid.blocked_tried = true;
      lid.blocked = pulled;
      if (!folds) lid.blocked.reset();
      study.lids.push_back(lid);
    }
    study.runs = 17;
  }

  std::string text(int columns = 80) const {
    return vent_text(plan, study, find_in_vents(plan.array, study), columns);
  }
  nlohmann::json json() const {
    return nlohmann::json::parse(vent_json(plan, study, find_in_vents(plan.array, study)));
  }
};

std::string on_one_line(std::string text) {
  std::string line;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank || (!line.empty() && line.back() != ' ')) line += blank ? ' ' : c;
  }
  return line;
}

TEST(VentText, AnswersFirstWhichLidsToDrillToday) {
  EXPECT_THAT(
      on_one_line(Found().text()),
      StartsWith("Larch Hill: `sealed` can be sucked in. Drill today: 12 mm in `sealed`. "));
}

TEST(VentText, SaysSoWhenNoTankCanFold) {
  Found found;
  found.study.lids[0].as_it_is[0].folds_after_s.reset();
  found.study.lids[0].as_it_is[0].lowest_pa = -10.0;
  found.study.lids[0].first_to_fold.reset();
  found.study.lids[0].drill_now = false;
  EXPECT_THAT(on_one_line(found.text()),
              StartsWith("Larch Hill: no tank can be sucked in or blown up by what was tried. No "
                         "lid needs the drill: each keeps half"));
  found.study.lids.clear();
  EXPECT_THAT(on_one_line(found.text()), StartsWith("Larch Hill: no lid is closed"));
}

TEST(VentText, PutsTanksOfOneHoleTogether) {
  Found found;
  found.study.lids[1].drill_now = true;
  found.study.lids[1].hole_m = 0.012;
  EXPECT_THAT(on_one_line(found.text()),
              HasSubstr("Drill today: 12 mm in `sealed` and `screened`."));
}

TEST(VentText, HasItsPartsInOrder) {
  const std::string text = Found().text();
  std::size_t at = 0;
  for (const char* part : {"Lids as they are", "Holes that keep half", "Findings", "What was tried",
                           "How it was found", "Before you drill"}) {
    const std::size_t next = text.find(part, at);
    ASSERT_NE(next, std::string::npos) << part;
    at = next;
  }
}

TEST(VentText, ShowsHolesScreensAndRules) {
  const std::string text = on_one_line(Found().text(160));
  // 12 mm plain, 12 x sqrt 2 = 16.97 under a screen: 19 mm; a lid with a screen has it counted in.
  EXPECT_THAT(text, HasSubstr("sealed 0 12 19 -100 14 3.2 s"));
  EXPECT_THAT(text, HasSubstr("screened 4 3.5 counted in -100 14 never"));
  EXPECT_THAT(text, HasSubstr("sealed 50.0 47.0 11.0 50.0 11.3 12"));
  EXPECT_THAT(text, HasSubstr("sealed sealed -250 assumed -9264 3.2 s `tap` drawing 50 L/min"));
  EXPECT_THAT(text, HasSubstr("-1000 maker -400 never"));
}

TEST(VentText, CautionsWhoeverIsAboutToDrill) {
  const std::string text = on_one_line(Found().text());
  for (const char* caution :
       {"never over stored fuel or the residue of chemicals", "what the tank held before",
        "before you open a lid that is under vacuum", "count the screen as taking half of it",
        "local rules"}) {
    EXPECT_THAT(text, HasSubstr(caution));
  }
}

TEST(VentText, SaysWhatWasNotTried) {
  Found found;
  found.study.all_tried = false;
  found.study.holds_together = false;
  found.study.lids[0].hole_m.reset();
  found.study.lids[0].for_vacuum.tried = false;
  found.study.lids[0].blocked.reset();
  found.study.lids[0].blocked_tried = false;
  found.study.not_reckoned.push_back({1, "the run stopped"});
  const std::string text = on_one_line(found.text());
  EXPECT_THAT(text, HasSubstr("not tried"));
  EXPECT_THAT(text, HasSubstr("the yard is too large to try everything"));
  EXPECT_THAT(text, HasSubstr("could not be reckoned: rain of 150 mm/h (the run stopped)"));
}

TEST(VentText, FitsTheTerminal) {
  for (const int columns : {40, 80, 120}) {
    std::istringstream in(Found().text(columns));
    for (std::string line; std::getline(in, line);) EXPECT_LE(width_of(line), columns) << line;
  }
}

TEST(VentJson, HoldsEveryKeyThatWasPromised) {
  const auto json = Found().json();
  ASSERT_EQ(json["lids"].size(), 2U);
  const auto& lid = json["lids"][0];
  EXPECT_EQ(lid["tank"], "sealed");
  EXPECT_EQ(lid["hole_needed_mm"], 12.0);
  EXPECT_EQ(lid["lowest_headspace_pa"], -9264.2);
  EXPECT_EQ(lid["hole_feeding_alone_mm"], 14.0);
  EXPECT_EQ(lid["lowest_by"], "`tap` drawing 50 L/min");
  EXPECT_EQ(lid["collapses_after_s"], 3.2);
  EXPECT_EQ(lid["blocked_collapses_after_s"], 3.2);
  EXPECT_EQ(lid["allowed_vacuum_pa"], 250.0);
  EXPECT_EQ(lid["allowed_vacuum_from"], "assumed");
  EXPECT_EQ(lid["drill_today"], true);
  EXPECT_EQ(lid["in_breathing"].size(), 2U);
  EXPECT_EQ(lid["in_breathing"][0]["air_per_water"], 0.94);
  EXPECT_EQ(lid["pulls"].size(), 2U);
  const auto& other = json["lids"][1];
  EXPECT_TRUE(other["blocked_collapses_after_s"].is_null());
  EXPECT_TRUE(other["collapses_after_s"].is_null());
  EXPECT_EQ(other["hole_now_mm"], 4.0);
  EXPECT_EQ(other["screen"], 0.5);
  EXPECT_EQ(json["runs"], 17);
  ASSERT_EQ(json["findings"].size(), 1U);
  EXPECT_EQ(json["findings"][0]["kind"], "vacuum-collapse");
  EXPECT_EQ(json["findings"][0]["severity"], "danger");
  EXPECT_TRUE(json["findings"][0]["at_s"].is_null());
}

TEST(VentJson, IsNullWhereNothingIsKnown) {
  Found found;
  found.study.lids[0].hole_m.reset();
  found.study.lids[0].for_vacuum.beyond_drills = true;
  found.study.lids[0].lowest_alone_pa.reset();
  const auto lid = found.json()["lids"][0];
  EXPECT_TRUE(lid["hole_needed_mm"].is_null());
  EXPECT_TRUE(lid["hole_for_vacuum_mm"].is_null());
  EXPECT_TRUE(lid["lowest_with_hole_pa"].is_null());
}

}  // namespace vent_report_test
}  // namespace tankyard
