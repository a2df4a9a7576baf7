// SPDX-License-Identifier: MIT
// The command line. Source of truth: the exit statuses and streams that the design fixes.
#include "io/command_line.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "io/commands.h"
#include "io/program.h"
#include "io/said.h"

namespace tankyard {
namespace command_line_test {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

const char* const larch_hill = TANKYARD_SOURCE_DIR "/examples/larch-hill.toml";

/// What cannot be used: status 2, nothing on standard output, and the words on standard error.
void expect_refused(const std::vector<std::string>& words, const std::string& error,
                    const std::string& help) {
  const Said said = say(words);
  EXPECT_EQ(said.status, 2);
  EXPECT_THAT(said.out, IsEmpty());
  EXPECT_THAT(said.err, HasSubstr("tankyard: error: " + error));
  EXPECT_THAT(said.err, HasSubstr("help: " + help));
}

TEST(CommandLine, WithoutWordsShowsHelpAndIsNoSuccess) {
  const Said said = say({});
  EXPECT_EQ(said.status, 2);
  EXPECT_THAT(said.out, IsEmpty());
  EXPECT_THAT(said.err, HasSubstr("tankyard run yard.toml"));
}

TEST(CommandLine, ShowsExamplesFirstInHelp) {
  for (const auto& words :
       std::vector<std::vector<std::string>>{{"--help"},
                                             {"-h"},
                                             {"help"},
                                             {"run", "--help"},
                                             {"help", "run"},
                                             {"-h", "check"},
                                             {"explain", "--help"},
                                             {"run", "--no-such-option", "-h"}}) {
    const Said said = say(words);
    EXPECT_EQ(said.status, 0);
    EXPECT_THAT(said.err, IsEmpty());
    const std::size_t examples = said.out.find("\nExamples\n");
    const std::size_t options = said.out.find("\nOptions\n");
    ASSERT_NE(examples, std::string::npos);
    ASSERT_NE(options, std::string::npos);
    EXPECT_LT(examples, options);
  }
}

TEST(CommandLine, KnowsItsVersion) {
  const Said said = say({"--version"});
  EXPECT_EQ(said.status, 0);
  EXPECT_THAT(said.out, StartsWith("tankyard "));
}

TEST(CommandLine, OffersTheNearestName) {
  expect_refused({"chek", "x"}, "there is no command `chek`",
                 "there is a command with a similar name: `check`");
  expect_refused({"qqqq"}, "there is no command `qqqq`", "`tankyard help` lists the commands");
  expect_refused({"run", "--jsno", larch_hill}, "`tankyard run` has no option `--jsno`",
                 "there is an option with a similar name: `--json`");
  expect_refused({"run", "--serie=x.csv", larch_hill}, "`tankyard run` has no option `--serie`",
                 "there is an option with a similar name: `--series`");
  expect_refused({"explain", "slow-lnk"}, "this version knows no kind of finding `slow-lnk`",
                 "there is a kind with a similar name: `slow-link`");
  expect_refused({"--versio"}, "there is no option `--versio`",
                 "there is an option with a similar name: `--version`");
}

TEST(CommandLine, TakesNoAbbreviations) {
  expect_refused({"ru", larch_hill}, "there is no command `ru`", "there is a command");
  expect_refused({"run", larch_hill, "--event"}, "`tankyard run` has no option `--event`", "");
}

TEST(CommandLine, SaysThatLaterCommandsAreNotThere) {
  for (const char* later : {"readings"}) {
    expect_refused(
        {later, larch_hill}, std::string("this version of tankyard has no command `") + later + "`",
        "it has `new`, `check`, `run`, `vent`, `link`, `isolate`, `faults`, `season`, `draw` "
        "and `explain`");
    EXPECT_THAT(say({"help"}).out, Not(HasSubstr(std::string("\n  ") + later)));
  }
}

const char* const closed_lids = TANKYARD_SOURCE_DIR "/examples/closed-lids.toml";

TEST(CommandLine, VentsWithExitOneWhileATankCanFold) {
  const Said open = say({"vent", larch_hill});
  EXPECT_EQ(open.status, 0);
  EXPECT_THAT(open.out, HasSubstr("no lid is closed"));
  const Said closed = say({"vent", closed_lids});
  EXPECT_EQ(closed.status, 1);
  EXPECT_THAT(closed.out, HasSubstr("Drill today: "));
  const Said json = say({"vent", closed_lids, "--json"});
  EXPECT_EQ(json.status, 1);
  EXPECT_THAT(json.err, IsEmpty());
  EXPECT_EQ(nlohmann::json::parse(json.out)["lids"].size(), 4U);
  expect_refused({"vent"}, "`tankyard vent` needs a PLAN", "for example");
  expect_refused({"vent", closed_lids, "--tolerance", "9 m"}, "`--tolerance` is `9 m`",
                 "it must lie from");
  EXPECT_THAT(say({"vent", "--help"}).out, HasSubstr("tankyard vent yard.toml --json"));
}

// With the holes that it names drilled, it has nothing more to say.
TEST(CommandLine, VentsWithExitZeroOnceTheLidsAreDrilled) {
  const auto json = nlohmann::json::parse(say({"vent", closed_lids, "--json"}).out);
  std::string plan = text_of_file(closed_lids);
  for (const auto& lid : json["lids"]) {
    if (!lid["drill_today"].get<bool>()) continue;
    const std::size_t tank = plan.find("name = \"" + lid["tank"].get<std::string>() + "\"");
    ASSERT_NE(tank, std::string::npos);
    const std::size_t line = plan.find("\nlid = ", tank) + 1;
    const std::string screen = lid["screen"] == 1.0 ? "" : ", screen = " + lid["screen"].dump();
    plan.replace(line, plan.find('\n', line) - line,
                 "lid = { hole = \"" + lid["hole_needed_mm"].dump() + " mm\"" + screen + " }");
  }
  const ScratchFolder folder;
  std::ofstream(folder / "drilled.toml") << plan;
  const Said drilled = say({"vent", folder / "drilled.toml"});
  EXPECT_EQ(drilled.status, 0) << drilled.out;
  EXPECT_THAT(drilled.out, HasSubstr("No lid needs the drill"));
  EXPECT_EQ(say({"run", folder / "drilled.toml"}).status, 0);
}

TEST(CommandLine, WantsWhatItNeedsAndNoMore) {
  expect_refused({"run"}, "`tankyard run` needs a PLAN", "for example");
  expect_refused({"check", larch_hill, "more"},
                 "`tankyard check` takes one PLAN, and `more` is one too many", "");
  expect_refused({"run", larch_hill, "--series"}, "`--series` needs a value after it", "write");
  expect_refused({"run", larch_hill, "--series", "a.csv", "--series", "b.csv"},
                 "`--series` is given more than once", "");
  expect_refused({"run", larch_hill, "--every", "60s"}, "`--every` says how often",
                 "add `--series");
  expect_refused({"run", larch_hill, "--tolerance", "0.1"},
                 "`--tolerance` is `0.1`, without a unit", "a length");
  expect_refused({"run", larch_hill, "--tolerance", "9 m"}, "`--tolerance` is `9 m`",
                 "it must lie from");
  expect_refused({"run", larch_hill, "--tolerance", "0 mm"}, "`--tolerance` is `0 mm`",
                 "it must lie from");
}

TEST(CommandLine, TakesWhatFollowsTwoDashesAsAName) {
  const Said said = say({"check", "--", "--json"});
  EXPECT_EQ(said.status, 2);
  EXPECT_THAT(said.err, HasSubstr("--json: error: there is no such file"));
}

TEST(CommandLine, PointsAtMistakesInAPlan) {
  const ScratchFolder folder;
  std::ofstream(folder / "bad.toml") << "[[tank]]\nname = \"a\"\nshap = 3\n";
  for (const char* command : {"check", "run"}) {
    const Said said = say({command, folder / "bad.toml"});
    EXPECT_EQ(said.status, 2);
    EXPECT_THAT(said.out, IsEmpty());
    EXPECT_THAT(said.err, HasSubstr("bad.toml:3:1: error: "));
    EXPECT_THAT(said.err, HasSubstr("    3 | shap = 3"));
  }
}

TEST(New, WritesAPlanThatChecksAndRuns) {
  const ScratchFolder folder;
  const std::string plan = folder / "yard.toml";
  const Said made = say({"new", plan});
  EXPECT_EQ(made.status, 0);
  EXPECT_THAT(made.out, HasSubstr("Next: tankyard check " + plan));
  EXPECT_EQ(say({"check", plan}).status, 0);
  EXPECT_EQ(say({"run", plan}).status, 0);
}

TEST(New, NeverReplacesAFile) {
  const ScratchFolder folder;
  std::ofstream(folder / "mine") << "mine";
  const Said said = say({"new", folder / "mine"});
  EXPECT_EQ(said.status, 2);
  EXPECT_THAT(said.err, HasSubstr("is there already"));
  EXPECT_EQ(text_of_file(folder / "mine"), "mine");
}

TEST(Check, AnswersInWordsOrInOneObject) {
  const Said words = say({"check", larch_hill});
  EXPECT_EQ(words.status, 0);
  EXPECT_THAT(words.out, StartsWith("Larch Hill tree nursery: "));
  EXPECT_THAT(words.err, IsEmpty());
  const Said object = say({"check", larch_hill, "--json"});
  EXPECT_EQ(nlohmann::json::parse(object.out)["plan"], larch_hill);
}

TEST(Run, PrintsOneObjectAndNothingElse) {
  const ScratchFolder folder;
  const Said said = say({"run", larch_hill, "--json", "--events", "--series", folder / "day.csv"});
  EXPECT_EQ(said.status, 0);
  EXPECT_EQ(nlohmann::json::parse(said.out)["lasted_s"], 86400.0);
  EXPECT_THAT(said.err, HasSubstr("day.csv: 1441 rows, one every 1 min"));
}

TEST(Run, WritesASeriesAsOftenAsAsked) {
  const ScratchFolder folder;
  const Said said =
      say({"run", larch_hill, "--quiet", "--series", folder / "day.csv", "--every", "1 h"});
  EXPECT_EQ(said.status, 0);
  EXPECT_THAT(said.err, IsEmpty());
  const std::string text = text_of_file(folder / "day.csv");
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 26);  // a heading and 0 to 24 h
}

TEST(Run, NeverWritesOverThePlan) {
  const ScratchFolder folder;
  const std::string plan = folder / "yard.toml";
  say({"new", plan});
  const std::string before = text_of_file(plan);
  EXPECT_EQ(say({"run", plan, "--series", plan}).status, 2);
  EXPECT_EQ(text_of_file(plan), before);
}

TEST(Run, RefusesASeriesThatCannotBeMeant) {
  const ScratchFolder folder;
  expect_refused({"run", larch_hill, "--series", folder / "day.csv", "--every", "0.001 s"},
                 "the series would have", "write a longer `--every`");
  expect_refused({"run", larch_hill, "--series", folder / "no/day.csv"}, "`",
                 "make the folder first");
}

TEST(Run, TakesATolerance) {
  const auto steps = [](const std::string& tolerance) {
    const Said said = say({"run", larch_hill, "--json", "--tolerance", tolerance});
    return nlohmann::json::parse(said.out)["effort"]["steps"].get<int>();
  };
  EXPECT_GT(steps("0.001 mm"), 2 * steps("1 mm"));
}

TEST(Run, SaysMoreWithVerboseAndLessWithQuiet) {
  EXPECT_THAT(say({"run", larch_hill, "--verbose"}).err, HasSubstr("Newton turns"));
  EXPECT_THAT(say({"run", larch_hill}).err, IsEmpty());
  EXPECT_EQ(say({"run", larch_hill, "--quiet"}).out, say({"run", larch_hill, "-v"}).out);
}

TEST(Run, GivesTheSameAnswerTwice) {
  EXPECT_EQ(say({"run", larch_hill, "--json"}).out, say({"run", larch_hill, "--json"}).out);
}

TEST(Explain, NamesAllKindsOrTellsOfOne) {
  EXPECT_EQ(say({"explain"}).status, 0);
  for (const KindOfFinding& kind : kinds_of_finding()) {
    EXPECT_THAT(say({"explain"}).out, HasSubstr(kind.name));
    const Said said = say({"explain", kind.name});
    EXPECT_EQ(said.status, 0);
    EXPECT_THAT(said.out, HasSubstr("What to do"));
  }
}

TEST(ExitStatus, IsOneForADangerOnly) {
  Finding finding;
  EXPECT_EQ(exit_for({}), Exit::done);
  finding.severity = Severity::warning;
  EXPECT_EQ(exit_for({finding}), Exit::done);
  Finding danger;
  danger.severity = Severity::danger;
  EXPECT_EQ(exit_for({finding, danger}), Exit::danger);
}

TEST(ExitStatus, IsThreeWhenTheAnswerCannotBeWritten) {
  class Full : public std::streambuf {
    int overflow(int) override { return -1; }
  } full;
  std::ostream out(&full);
  std::ostringstream err;
  EXPECT_EQ(command_line({"run", larch_hill}, out, err, 80), 3);
  EXPECT_THAT(err.str(), HasSubstr("could not be written to the end"));
}

TEST(Program, EndsWithItsStatus) {
  const ScratchFolder folder;
  const std::string plan = std::string("'") + larch_hill + "'";
  EXPECT_EQ(shell("tankyard run " + plan + " >run.txt", folder.path()).status, 0);
  EXPECT_EQ(shell("tankyard run nowhere.toml 2>err.txt", folder.path()).status, 2);
  EXPECT_EQ(shell("tankyard run " + plan + " >/dev/full 2>err.txt", folder.path()).status, 3);
  EXPECT_THAT(text_of_file(folder / "err.txt"), HasSubstr("No space left on device"));
}

TEST(Program, MeetsAClosedPipeWithWords) {
  const ScratchFolder folder;
  // The reader is gone before anything is written.
  const Ended ended =
      shell("{ sleep 0.3; tankyard run '" + std::string(larch_hill) +
                "' --json --events 2>err.txt; echo $? >status.txt; } | true; sleep 0.6",
            folder.path());
  EXPECT_EQ(ended.status, 0);
  EXPECT_EQ(text_of_file(folder / "status.txt"), "3\n");
  EXPECT_THAT(text_of_file(folder / "err.txt"), HasSubstr("Broken pipe"));
}

TEST(Program, ReadsAPlanFromAPipe) {
  const ScratchFolder folder;
  const Ended ended =
      shell("tankyard new y.toml >/dev/null && tankyard check - <y.toml", folder.path());
  EXPECT_EQ(ended.status, 0);
  EXPECT_THAT(ended.out, HasSubstr("tanks share water"));
}

TEST(Program, FitsTheColumnsItIsToldOf) {
  const ScratchFolder folder;
  const std::string plan = std::string("'") + larch_hill + "'";
  const auto widest = [&](const std::string& columns) {
    return std::stoi(
        shell("COLUMNS=" + columns + " tankyard run " + plan + " | LC_ALL=C.UTF-8 wc -L",
              folder.path())
            .out);
  };
  EXPECT_LE(widest("72"), 72);
  EXPECT_GT(widest("120"), 80);
}

}  // namespace command_line_test
}  // namespace tankyard
