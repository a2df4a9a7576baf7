// SPDX-License-Identifier: MIT
// `tankyard draw`. Source of truth: the exit statuses and streams that the design fixes.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "io/command_line.h"
#include "io/program.h"
#include "io/said.h"

namespace tankyard {
namespace elevation_command_test {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::StartsWith;

const char* const larch_hill = TANKYARD_SOURCE_DIR "/examples/larch-hill.toml";

TEST(Draw, AnswersOnStandardOutput) {
  for (const auto& words : std::vector<std::vector<std::string>>{{"draw", larch_hill},
                                                                 {"draw", larch_hill, "-o", "-"}}) {
    const Said said = say(words);
    EXPECT_EQ(said.status, 0);
    EXPECT_THAT(said.err, IsEmpty());
    EXPECT_THAT(said.out, StartsWith("<svg "));
    EXPECT_THAT(said.out, HasSubstr("Larch Hill tree nursery"));
    EXPECT_THAT(said.out, ::testing::EndsWith("</svg>\n"));
  }
}

TEST(Draw, WritesAFileAndReplacesItWhole) {
  const ScratchFolder folder;
  const std::string file = folder / "yard.svg";
  std::ofstream(file) << std::string(1000000, 'x');
  for (const char* option : {"-o", "--output"}) {
    const Said said = say({"draw", larch_hill, option, file});
    EXPECT_EQ(said.status, 0);
    EXPECT_THAT(said.out, IsEmpty());
    EXPECT_THAT(said.err, StartsWith("wrote " + file));
    EXPECT_EQ(text_of_file(file), say({"draw", larch_hill}).out);
  }
  EXPECT_THAT(say({"draw", larch_hill, "-o", file, "--quiet"}).err, IsEmpty());
}

TEST(Draw, NeverWritesOverThePlan) {
  const ScratchFolder folder;
  const std::string plan = folder / "yard.toml";
  say({"new", plan});
  const std::string before = text_of_file(plan);
  const Said said = say({"draw", plan, "-o", plan});
  EXPECT_EQ(said.status, 2);
  EXPECT_THAT(said.err, HasSubstr("take the place of the plan itself"));
  EXPECT_EQ(text_of_file(plan), before);
}

TEST(Draw, RefusesWhatCannotBeMeant) {
  const ScratchFolder folder;
  const std::vector<std::pair<std::vector<std::string>, std::string>> cases = {
      {{"draw"}, "`tankyard draw` needs a PLAN"},
      {{"draw", larch_hill, "-o"}, "`--output` needs a value after it"},
      {{"draw", larch_hill, "-o", "a.svg", "-o", "b.svg"}, "`--output` is given more than once"},
      {{"draw", larch_hill, "-o", folder / "no/yard.svg"}, "cannot be written"},
      {{"draw", larch_hill, "-o", folder.path().string()}, "cannot be written"},
      {{"draw", larch_hill, "--json"}, "`tankyard draw` has no option `--json`"},
      {{"draw", folder / "none.toml"}, "there is no such file"}};
  for (const auto& [words, error] : cases) {
    const Said said = say(words);
    EXPECT_EQ(said.status, 2) << error;
    EXPECT_THAT(said.out, IsEmpty());
    EXPECT_THAT(said.err, HasSubstr(error));
  }
}

TEST(Draw, LeavesNothingBehindWhenThePlanIsWrong) {
  const ScratchFolder folder;
  std::ofstream(folder / "bad.toml") << "[[tank]]\nname = 3\n";
  EXPECT_EQ(say({"draw", folder / "bad.toml", "-o", folder / "yard.svg"}).status, 2);
  EXPECT_FALSE(std::filesystem::exists(folder / "yard.svg"));
}

TEST(Draw, ShowsAnExampleInItsHelp) {
  EXPECT_THAT(say({"draw", "--help"}).out, HasSubstr("tankyard draw yard.toml -o yard.svg"));
  EXPECT_THAT(say({"help"}).out, HasSubstr("draw PLAN"));
}

TEST(Draw, TellsOfAFullDisk) {
  const ScratchFolder folder;
  const Ended ended =
      shell("tankyard draw '" + std::string(larch_hill) + "' >/dev/full 2>err.txt", folder.path());
  EXPECT_EQ(ended.status, 3);
  EXPECT_THAT(text_of_file(folder / "err.txt"), HasSubstr("No space left on device"));
}

}  // namespace elevation_command_test
}  // namespace tankyard
