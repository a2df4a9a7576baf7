// SPDX-License-Identifier: MIT
// Answers for people. Source of truth: the record that is reported, and findings made by hand.
#include "io/report.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"
#include "solver/find.h"

namespace tankyard {
namespace report_test {

using ::testing::AnyOf;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

Plan plan_of(const std::string& text) {
  auto plan = read_plan(text, "test.toml");
  EXPECT_TRUE(plan.has_value());
  return std::move(*plan);
}

Plan larch_hill() {
  auto plan = read_plan_file(TANKYARD_SOURCE_DIR "/examples/larch-hill.toml");
  EXPECT_TRUE(plan.has_value());
  return std::move(*plan);
}

RunRecord record_of(const Plan& plan) {
  auto record = run(plan.array, plan.sheet);
  EXPECT_TRUE(record.has_value());
  return std::move(*record);
}

Finding finding_of(FindingKind kind, Severity severity, const std::string& where) {
  Finding finding;
  finding.kind = kind;
  finding.severity = severity;
  finding.where = where;
  finding.value = 85.4;
  finding.limit = 1.0;
  finding.unit = "L";
  finding.at_s = 3600.0;
  finding.says = "`" + where + "` is the matter";
  finding.do_this = "mend `" + where + "`";
  return finding;
}

int widest_line(const std::string& text) {
  int widest = 0;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) widest = std::max(widest, width_of(line));
  return widest;
}

// Two tanks, one of them over its lip while the other has room; an outlet that asks for more than
// there is; a sealed lid, a pump and a use, of which not everything is known or reckoned with.
const char* const busy_plan = R"([site]
name = "Test yard"
[run]
lasts = "4 h"
starts = "22:00"
[[tank]]
name = "high"
shape = { prism = { area = "1 m2", height = "1 m" } }
base = "1 m"
water = "1 m"
lid = "sealed"
[[tank]]
name = "low"
shape = { upright = { diameter = "1 m", height = "1 m" } }
water = "0.1 m"
[[hose]]
from = "high"
to = "low"
bore = "13 mm"
length = "4 m"
one_way = true
[[outlet]]
name = "tap"
at = "low"
draw = "60 L/min"
[[outlet]]
name = "field"
height = "3 m"
bore = "7 mm"
[[pump]]
name = "booster"
from = "low"
to = "field"
curve = [["0 L/min", "20 m"], ["40 L/min", "5 m"]]
[[roof]]
name = "shed"
area = "100 m2"
into = "high"
[[top_up]]
name = "mains"
into = "low"
flow = "5 L/min"
starts_below = "0.05 m"
stops_above = "0.1 m"
air_gap = "100 mm"
[[leak]]
tank = "low"
height = "0 m"
bore = "2 mm"
[[step]]
at = "22:30"
rain = "12 mm/h"
[[step]]
at = "23:30"
rain = "0 mm/h"
open = ["tap"]
[[step]]
at = "01:00"
close = ["tap"]
start = ["booster"]
[[use]]
outlet = "field"
pump = "booster"
daily = "100 L"
)";

TEST(RunReport, BeginsWithTheAnswer) {
  const Plan plan = plan_of(busy_plan);
  const RunRecord record = record_of(plan);
  const std::string text = run_text(plan, record, {}, false, 80);
  EXPECT_THAT(text, StartsWith("Test yard ran from 22:00 for 4 h, with no findings."));
  EXPECT_THAT(text, HasSubstr(litres_text(record.ledger.delivered_m3) + " were used"));
  EXPECT_GT(record.ledger.overflowed_m3, 0.1);
  const std::string answer = text.substr(0, text.find("\n\n"));
  std::string flat = answer;
  std::replace(flat.begin(), flat.end(), '\n', ' ');
  EXPECT_THAT(flat, HasSubstr(litres_text(record.ledger.overflowed_m3) + " ran to the ground"));
  EXPECT_THAT(flat, HasSubstr(litres_text(record.ledger.leaked_m3) + " leaked away"));
  EXPECT_THAT(flat,
              HasSubstr(litres_text(record.outlets[0].short_m3) + " short of what was asked"));
}

TEST(RunReport, ShowsEveryPartOnce) {
  const Plan plan = plan_of(busy_plan);
  const std::string text = run_text(plan, record_of(plan), {}, false, 100);
  for (const char* heading : {"\nTanks", "\nHoses", "\nPumps", "\nOutlets", "\nRoofs", "\nTop-ups",
                              "\nLeaks", "\nLedger", "\nTaken for granted", "\nFindings"}) {
    const std::size_t at = text.find(heading);
    ASSERT_NE(at, std::string::npos) << heading;
    EXPECT_EQ(text.find(heading, at + 1), std::string::npos) << heading;
  }
  EXPECT_THAT(text, Not(HasSubstr("\nEvents")));
}

TEST(RunReport, SaysWhatThisVersionLeavesOut) {
  const Plan plan = plan_of(busy_plan);
  const std::vector<std::string> assumed = assumed_in(plan);
  EXPECT_THAT(assumed, ::testing::Contains(HasSubstr("the walls of `high` count as rigid")));
  EXPECT_THAT(assumed, ::testing::Contains(HasSubstr("are for `tankyard season`")));
  EXPECT_THAT(assumed, ::testing::Contains(HasSubstr("`booster` needs 2.5 m at the inlet")));
  EXPECT_THAT(assumed, ::testing::Contains(HasSubstr("`booster` has no non-return valve")));
  for (const std::string& sentence : assumed_in(larch_hill())) {
    EXPECT_THAT(sentence, Not(HasSubstr("non-return"))) << "it has no pumps";
  }
}

TEST(RunReport, ListsEventsWhenAsked) {
  const Plan plan = plan_of(busy_plan);
  const RunRecord record = record_of(plan);
  const std::string text = run_text(plan, record, {}, true, 100);
  ASSERT_THAT(text, HasSubstr("\nEvents"));
  const std::string events = text.substr(text.find("\nEvents"));
  EXPECT_THAT(events, HasSubstr("22:30     rain of 12 mm/h"));
  EXPECT_THAT(events, HasSubstr("`tap` is opened"));
  EXPECT_THAT(events, HasSubstr("01:00 on day 2  `tap` is closed, `booster` is started"));
  EXPECT_THAT(events, HasSubstr("`low` runs over its rim"));
}

TEST(RunReport, NamesTheAirLineThatAStepShuts) {
  const Plan plan = plan_of(std::string(busy_plan) + R"([[air_line]]
from = "high"
to = "low"
bore = "19 mm"
length = "2 m"
[[step]]
at = "22:10"
close = ["high-low-air"]
)");
  const std::string text = run_text(plan, record_of(plan), {}, true, 100);
  EXPECT_THAT(text, HasSubstr("`high-low-air` is closed"));
}

TEST(RunReport, BalancesTheLedgerAsPrinted) {
  const Plan plan = plan_of(busy_plan);
  const RunRecord record = record_of(plan);
  const std::string text = run_text(plan, record, {}, false, 80);
  std::istringstream in(text.substr(text.find("\nLedger")));
  double left = -1.0;
  double right = -2.0;
  for (std::string line; std::getline(in, line);) {
    if (line.rfind("  sum", 0) != 0) continue;
    std::istringstream sums(line.substr(5));
    sums >> left >> right;
  }
  EXPECT_NEAR(left, record.ledger.passed_m3 * 1000.0, 0.051);
  EXPECT_EQ(left, right);
  EXPECT_THAT(text, HasSubstr("closing error: "));
}

TEST(RunReport, FitsTheTerminal) {
  for (const Plan& plan : {plan_of(busy_plan), larch_hill(), plan_of(starter_plan())}) {
    const RunRecord record = record_of(plan);
    const auto findings = find_in_run(plan.array, plan.sheet, {}, record);
    const auto resting = at_rest(plan.array);
    ASSERT_TRUE(resting.has_value());
    for (const int columns : {60, 80, 120, 200}) {
      EXPECT_LE(widest_line(run_text(plan, record, findings, true, columns)), columns);
      EXPECT_LE(widest_line(check_text(plan, *resting, findings, columns)), columns);
    }
  }
}

TEST(Findings, AreToldWithTimeValueLimitAndWhatToDo) {
  const Plan plan = plan_of(busy_plan);
  const std::string text = findings_text(
      plan, {finding_of(FindingKind::spill_with_room, Severity::warning, "high")}, 80);
  EXPECT_EQ(text,
            "\nFindings\n"
            "  warning: spill-with-room at `high`, from 23:00, 85.4 L, limit 1 L\n"
            "    `high` is the matter\n"
            "    do: mend `high`\n");
}

TEST(Findings, CountBySeverity) {
  const auto one = [](Severity severity) {
    return finding_of(FindingKind::dead_water, severity, "x");
  };
  EXPECT_EQ(count_of({}), "no findings");
  EXPECT_EQ(count_of({one(Severity::note)}), "1 note");
  EXPECT_EQ(count_of({one(Severity::danger), one(Severity::warning), one(Severity::warning),
                      one(Severity::note)}),
            "1 danger, 2 warnings and 1 note");
}

TEST(Findings, OfManyNotesAlikeAreToldTogetherAndNoWarningIs) {
  const Plan plan = plan_of(busy_plan);
  std::vector<Finding> findings;
  for (const char* where : {"a", "b", "c"}) {
    findings.push_back(finding_of(FindingKind::uneven_rims, Severity::warning, where));
  }
  for (const char* where : {"d", "e", "f"}) {
    findings.push_back(finding_of(FindingKind::dead_water, Severity::note, where));
  }
  const std::string text = findings_text(plan, findings, 80);
  for (const char* where : {"a", "b", "c", "d", "e", "f"}) {
    EXPECT_THAT(text, HasSubstr(fmt::format("`{}` is the matter", where)));
  }
  for (const char* where : {"a", "b", "c"})
    EXPECT_THAT(text, HasSubstr(fmt::format("mend `{}`", where)));
  EXPECT_THAT(text, HasSubstr("note: dead-water at 3 places"));
  EXPECT_THAT(text, HasSubstr("explain dead-water"));
  findings.pop_back();
  EXPECT_THAT(findings_text(plan, findings, 80), HasSubstr("mend `e`"));
}

TEST(CheckReport, AnswersWithLevelsAndLitres) {
  // Two equal boxes of 1 m2 on one level, 0.8 and 0.2 m full: both come to 0.5 m. Their lips at 0.9
  // and 1.0 m above the datum: 900 L each is all that fits before the first drop is spilt.
  const Plan plan = plan_of(R"([[tank]]
name = "a"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0.8 m"
overflow = { height = "0.9 m", bore = "50 mm" }
[[tank]]
name = "b"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0.2 m"
[[tank]]
name = "lone"
shape = { prism = { area = "1 m2", height = "1 m" } }
[[hose]]
from = "a"
to = "b"
bore = "25 mm"
length = "2 m"
[[outlet]]
name = "tap"
at = { at = "b", height = "0.1 m" }
draw = "6 L/min"
)");
  const auto resting = at_rest(plan.array);
  ASSERT_TRUE(resting.has_value());
  std::string text = check_text(plan, *resting, {}, 80);
  EXPECT_THAT(text, StartsWith("2 of 3 tanks share water; all 3 hold"));
  std::replace(text.begin(), text.end(), '\n', ' ');
  while (text.find("  ") != std::string::npos) text.replace(text.find("  "), 2, " ");
  EXPECT_THAT(text, HasSubstr("`a` and `b` come to one level, 0.50 m above the datum."));
  EXPECT_THAT(text, AnyOf(HasSubstr("they hold 1800 L of 2000 L (90 %)"),
                          HasSubstr("they hold 1799 L of 2000 L (90 %)")));
  EXPECT_THAT(text, HasSubstr("the overflow of `a`, 0.90 m above the datum, caps them all"));
  EXPECT_THAT(text, HasSubstr("`lone` stands alone"));
  EXPECT_THAT(text, HasSubstr("No hose joins it to a tank"));
  EXPECT_THAT(text, HasSubstr("left when `tap` runs dry"));
}

// `high` is emptied through the pump that stands and never reaches its overflow (solver/at_rest).
TEST(CheckReport, BlamesTheStandingPumpAndNotTheOverflow) {
  const Plan plan = plan_of(R"([[tank]]
name = "high"
shape = { prism = { area = "1 m2", height = "1 m" } }
base = "1 m"
water = "0.8 m"
overflow = { height = "0.9 m", bore = "50 mm" }
[[tank]]
name = "low"
shape = { prism = { area = "2 m2", height = "1.2 m" } }
overflow = { height = "1.1 m", bore = "50 mm" }
[[pump]]
name = "lift"
from = "high"
to = "low"
curve = [["0 L/min", "20 m"], ["20 L/min", "10 m"]]
)");
  const auto resting = at_rest(plan.array);
  ASSERT_TRUE(resting.has_value());
  std::string text = check_text(plan, *resting, {}, 80);
  std::replace(text.begin(), text.end(), '\n', ' ');
  while (text.find("  ") != std::string::npos) text.replace(text.find("  "), 2, " ");
  EXPECT_THAT(text, HasSubstr("`high` stands alone. Filled, it keeps 100 L of 1000 L (10 %): the "
                              "rest runs off through pump `lift`, which has no non-return valve "
                              "and lets water through while it stands."));
  EXPECT_THAT(text, Not(HasSubstr("the overflow of `high`")));
  EXPECT_THAT(text, HasSubstr("the overflow of `low`, 1.10 m above the datum, caps it"));
}

TEST(Explain, SaysAllThereIsOfEveryKind) {
  for (const KindOfFinding& kind : kinds_of_finding()) {
    std::string text = explain_text(kind, 80);
    EXPECT_LE(widest_line(text), 80);
    EXPECT_THAT(text, StartsWith(std::string(kind.name) + "\n"));
    std::string flat = explain_text(kind, 1000000);
    for (const char* said : {kind.means, kind.matters, kind.remedy}) {
      std::istringstream words(said);
      for (std::string word; words >> word;) EXPECT_THAT(flat, HasSubstr(word));
    }
    EXPECT_THAT(kinds_text(kinds_of_finding(), 80), HasSubstr(fmt::format("\n  {}\n", kind.name)));
  }
}

TEST(Words, RoundToWhatCanBeSeen) {
  EXPECT_EQ(litres_cell(0.0), "0");
  EXPECT_EQ(litres_cell(0.00004), "0");
  EXPECT_EQ(litres_cell(0.0004), "0.4");
  EXPECT_EQ(litres_cell(0.00996), "10");
  EXPECT_EQ(litres_cell(-0.0123), "-12");
  EXPECT_EQ(litres_cell(1.0454), "1045");
  EXPECT_EQ(metres_cell(-0.0001), "0.00");
  EXPECT_EQ(flow_cell(0.42 / 60000.0), "0.42");
  EXPECT_EQ(flow_cell(-18.34 / 60000.0), "-18.3");
  EXPECT_EQ(number_text(0.0123456), "0.0123");
  EXPECT_EQ(number_text(12.34), "12.3");
  EXPECT_EQ(number_text(1234.4), "1234");
  EXPECT_EQ(number_text(7.0), "7");
}

TEST(Words, ListNames) {
  EXPECT_EQ(list_of({"a"}), "`a`");
  EXPECT_EQ(list_of({"a", "b"}), "`a` and `b`");
  EXPECT_EQ(list_of({"a", "b", "c"}, 2), "`a`, `b` and `c`");
  EXPECT_EQ(list_of({"a", "b", "c", "d"}, 2), "`a`, `b` and 2 more");
}

}  // namespace report_test
}  // namespace tankyard
