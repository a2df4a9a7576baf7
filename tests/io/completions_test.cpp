// SPDX-License-Identifier: MIT
// Completions and the man page. Sources of truth: the shells themselves, and groff, whose warnings
// are errors here; that each tells of every command and option that help tells of.
#include "io/completions.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "io/program.h"
#include "io/said.h"

namespace tankyard {
namespace completions_test {

using ::testing::HasSubstr;
using ::testing::Not;

/// What bash would offer for the last word of a line.
std::string offered_by_bash(const std::string& words, const ScratchFolder& folder) {
  const Ended ended = shell("source <(tankyard completions bash)\nset -- " + words +
                                "\nCOMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); _tankyard\nprintf "
                                "'%s\\n' \"${COMPREPLY[@]}\"",
                            folder.path());
  EXPECT_EQ(ended.status, 0) << ended.out;
  return ended.out;
}

TEST(Completions, AreOfferedByBashForCommandsOptionsFilesAndKinds) {
  const ScratchFolder folder;
  for (const char* name : {"yard.toml", "my yard.toml", "day.csv", "page.html"}) {
    std::ofstream(folder / name) << "x";
  }
  EXPECT_EQ(offered_by_bash("tankyard ve", folder), "vent\n");
  EXPECT_EQ(offered_by_bash("tankyard run --pa", folder), "--page\n");
  EXPECT_EQ(offered_by_bash("tankyard run -q ya", folder), "yard.toml\n");
  EXPECT_EQ(offered_by_bash("tankyard run my", folder), "my yard.toml\n");
  EXPECT_EQ(offered_by_bash("tankyard run yard.toml --page ''", folder), "page.html\n");
  EXPECT_EQ(offered_by_bash("tankyard run yard.toml --every ''", folder), "\n");
  EXPECT_EQ(offered_by_bash("tankyard explain slow", folder), "slow-link\n");
  EXPECT_EQ(offered_by_bash("tankyard completions z", folder), "zsh\n");
  EXPECT_EQ(offered_by_bash("tankyard help expl", folder), "explain\n");
}

TEST(Completions, AreOfferedByFish) {
  const ScratchFolder folder;
  const auto offered = [&](const std::string& line) {
    return shell(
        "tankyard completions fish > t.fish && HOME=$PWD fish --no-config -c \"source t.fish; "
        "complete -C '" +
            line + "'\"",
        folder.path());
  };
  EXPECT_THAT(offered("tankyard ve").out, HasSubstr("vent\tsays which lids to drill"));
  EXPECT_THAT(offered("tankyard run --ser").out, HasSubstr("--series\twrite levels and flows"));
  EXPECT_THAT(offered("tankyard run --ser").out, Not(HasSubstr("--page")));
  EXPECT_THAT(offered("tankyard explain slow").out, HasSubstr("slow-link"));
}

TEST(Completions, AreUnderstoodByZsh) {
  const ScratchFolder folder;
  const Ended ended = shell(
      "tankyard completions zsh > _tankyard && zsh -n _tankyard && zsh -f -c '"
      "autoload -Uz compinit; compinit -u -d dump; source ./_tankyard; "
      "print -r -- ${_comps[tankyard]}; functions _tankyard >/dev/null && echo known'",
      folder.path());
  EXPECT_EQ(ended.status, 0);
  EXPECT_EQ(ended.out, "_tankyard\nknown\n");
}

TEST(Completions, TellOfEveryCommandAndOption) {
  const std::vector<CommandWords> commands = command_words();
  ASSERT_GE(commands.size(), 8U);
  for (const std::string& shell : shells()) {
    const std::string script = completions(shell, commands);
    for (const CommandWords& command : commands) {
      EXPECT_THAT(script, HasSubstr(command.name)) << shell;
      for (const OptionWords& option : command.options) {
        const std::string flag =
            shell == "fish" ? "-l " + option.long_flag.substr(2) : option.long_flag;
        EXPECT_THAT(script, HasSubstr(flag)) << shell;
      }
    }
  }
}

TEST(Completions, OfAnUnknownShellAreRefused) {
  const Said said = say({"completions", "bahs"});
  EXPECT_EQ(said.status, 2);
  EXPECT_THAT(said.err, HasSubstr("there are no completions for `bahs`"));
  EXPECT_THAT(said.err, HasSubstr("`bash`"));
}

TEST(ManPage, IsCleanAndTellsOfEveryCommandAndOption) {
  const ScratchFolder folder;
  const Ended ended = shell(
      "tankyard manual > tankyard.1 && groff -man -Kutf8 -Tutf8 -ww -z tankyard.1 2>&1 && "
      "groff -man -Kutf8 -Tascii -P-cbou tankyard.1",
      folder.path());
  EXPECT_EQ(ended.status, 0) << ended.out;
  EXPECT_THAT(ended.out, Not(HasSubstr("warning")));
  for (const CommandWords& command : command_words()) {
    EXPECT_THAT(ended.out, HasSubstr("tankyard " + command.name));
    for (const OptionWords& option : command.options) {
      EXPECT_THAT(ended.out, HasSubstr(option.long_flag));
    }
  }
  EXPECT_THAT(ended.out, HasSubstr("EXAMPLES"));
  EXPECT_LT(ended.out.find("EXAMPLES"), ended.out.find("COMMANDS"));
}

TEST(ManPage, TakesNoWords) {
  const Said said = say({"manual", "run"});
  EXPECT_EQ(said.status, 2);
  EXPECT_THAT(said.err, HasSubstr("`tankyard manual` takes options alone, and not `run`"));
}

}  // namespace completions_test
}  // namespace tankyard
