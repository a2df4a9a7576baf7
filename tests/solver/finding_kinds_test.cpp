// SPDX-License-Identifier: MIT
#include <gmock/gmock.h>

#include <set>
#include <string>

#include "solver/findings.h"

namespace tankyard {
namespace finding_kinds_test {

// The names are typed by people and read by programs: they are those of the plan language, for
// good.
TEST(FindingKinds, KeepTheirNames) {
  std::vector<std::string> names;
  for (const KindOfFinding& kind : kinds_of_finding()) names.emplace_back(kind.name);
  for (const char* name :
       {"spill-with-room", "stranded-water", "uneven-rims", "slow-link", "air-lock", "no-overflow",
        "dead-water", "back-flow", "vacuum-collapse", "pressure-bulge", "vent-too-small", "no-vent",
        "burst-drains", "pump-starts-often"}) {
    EXPECT_THAT(names, testing::Contains(name));
  }
}

TEST(FindingKinds, EachHasOneTextOfItsOwn) {
  std::set<FindingKind> kinds;
  std::set<std::string> names;
  for (const KindOfFinding& kind : kinds_of_finding()) {
    EXPECT_TRUE(kinds.insert(kind.kind).second) << kind.name;
    EXPECT_TRUE(names.insert(kind.name).second) << kind.name;
    EXPECT_EQ(&about(kind.kind), &kind);
  }
  for (int k = 0; k <= static_cast<int>(FindingKind::pump_starts_often); ++k) {
    EXPECT_EQ(kinds.count(static_cast<FindingKind>(k)), 1U) << k;
  }
}

TEST(FindingKinds, SpeakInSentences) {
  for (const KindOfFinding& kind : kinds_of_finding()) {
    for (const std::string text : {kind.means, kind.matters, kind.remedy}) {
      ASSERT_GT(text.size(), 40U) << kind.name;
      EXPECT_TRUE(text.front() >= 'A' && text.front() <= 'Z') << kind.name;
      EXPECT_EQ(text.back(), '.') << kind.name;
      EXPECT_EQ(text.find("  "), std::string::npos) << kind.name << ": two blanks in a row";
    }
  }
}

// The limits that the tests of each finder hold from both sides are the ones people read.
TEST(FindingKinds, TellTheirLimits) {
  const auto means = [](FindingKind kind) { return std::string(about(kind).means); };
  EXPECT_THAT(means(FindingKind::spill_with_room), testing::HasSubstr("more than 1 L"));
  EXPECT_THAT(means(FindingKind::spill_with_room), testing::HasSubstr("more than 20 mm below"));
  EXPECT_THAT(means(FindingKind::stranded_water), testing::HasSubstr("a minute or more"));
  EXPECT_THAT(means(FindingKind::stranded_water), testing::HasSubstr("more than 1 L"));
  EXPECT_THAT(means(FindingKind::uneven_rims), testing::HasSubstr("more than 20 mm apart"));
  EXPECT_THAT(means(FindingKind::slow_link), testing::HasSubstr("more than 100 mm apart"));
  EXPECT_THAT(means(FindingKind::slow_link), testing::HasSubstr("more than ten minutes"));
  EXPECT_THAT(means(FindingKind::air_lock), testing::HasSubstr("ten minutes or more"));
  EXPECT_THAT(means(FindingKind::air_lock), testing::HasSubstr("more than 50 mm apart"));
  EXPECT_THAT(means(FindingKind::no_overflow), testing::HasSubstr("at least 20 mm lower"));
  EXPECT_THAT(means(FindingKind::dead_water), testing::HasSubstr("more than 5 L"));
  EXPECT_THAT(means(FindingKind::dead_water), testing::HasSubstr("a hundredth"));
  EXPECT_THAT(means(FindingKind::back_flow), testing::HasSubstr("less than 20 mm"));
  EXPECT_THAT(means(FindingKind::vacuum_collapse), testing::HasSubstr("250 Pa"));
  EXPECT_THAT(means(FindingKind::pressure_bulge), testing::HasSubstr("1000 Pa"));
  EXPECT_THAT(means(FindingKind::vent_too_small), testing::HasSubstr("more than half"));
  EXPECT_THAT(means(FindingKind::pump_starts_often), testing::HasSubstr("more than 30 times"));
}

// Where people can come to harm the tool shows the caution and steps back.
TEST(FindingKinds, LeaveTheMainsToThoseLicensed) {
  EXPECT_THAT(about(FindingKind::back_flow).remedy, testing::HasSubstr("local water rules"));
  EXPECT_THAT(about(FindingKind::back_flow).remedy, testing::HasSubstr("does not certify"));
}

TEST(FindingKinds, SayWhatToMindBeforeALidIsDrilled) {
  const std::string remedy = about(FindingKind::vacuum_collapse).remedy;
  for (const char* caution : {"stored fuel", "residue of chemicals", "what the tank held before",
                              "lid under vacuum", "insect screen takes half"}) {
    EXPECT_THAT(remedy, testing::HasSubstr(caution));
  }
}

Finding finding(Severity severity, std::optional<double> at_s, FindingKind kind,
                const std::string& where) {
  Finding finding;
  finding.severity = severity;
  finding.at_s = at_s;
  finding.kind = kind;
  finding.where = where;
  return finding;
}

TEST(FindingKinds, AreSortedWorstFirst) {
  std::vector<Finding> findings = {
      finding(Severity::note, std::nullopt, FindingKind::dead_water, "b"),
      finding(Severity::warning, 60.0, FindingKind::slow_link, "a"),
      finding(Severity::note, std::nullopt, FindingKind::dead_water, "a"),
      finding(Severity::warning, 30.0, FindingKind::slow_link, "z"),
      finding(Severity::danger, 90.0, FindingKind::air_lock, "z"),
      finding(Severity::warning, std::nullopt, FindingKind::uneven_rims, "z"),
      finding(Severity::warning, 30.0, FindingKind::spill_with_room, "z"),
  };
  sort_worst_first(findings);
  std::string order;
  for (const Finding& each : findings)
    order += std::string(about(each.kind).name) + " " + each.where + ", ";
  EXPECT_EQ(order,
            "air-lock z, uneven-rims z, spill-with-room z, slow-link z, slow-link a, dead-water a, "
            "dead-water b, ");
}

}  // namespace finding_kinds_test
}  // namespace tankyard
