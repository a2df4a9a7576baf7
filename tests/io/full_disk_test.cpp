// SPDX-License-Identifier: MIT
// Disks that are full and readers that go away. Sources of truth: full(4) of Linux, which refuses
// every byte; RLIMIT_FSIZE of POSIX, at which a file ends in the middle; the exit statuses that
// help tells of.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>

#include "io/program.h"

namespace tankyard {
namespace full_disk_test {

using ::testing::HasSubstr;

const std::string larch_hill = "'" TANKYARD_SOURCE_DIR "/examples/larch-hill.toml'";
const std::string closed_lids = "'" TANKYARD_SOURCE_DIR "/examples/closed-lids.toml'";

/// Every way in which a command puts out what it found.
std::vector<std::string> every_answer() {
  return {"check " + larch_hill,
          "run " + larch_hill,
          "run --json " + larch_hill,
          "vent " + closed_lids,
          "isolate " + larch_hill + " shed-1",
          "draw " + larch_hill,
          "explain",
          "completions bash",
          "manual",
          "help",
          "--version"};
}

TEST(FullDisk, IsSaidOfEveryAnswer) {
  const ScratchFolder folder;
  for (const std::string& words : every_answer()) {
    EXPECT_EQ(shell("tankyard " + words + " >/dev/full 2>err.txt", folder.path()).status, 3)
        << words;
    EXPECT_THAT(text_of_file(folder / "err.txt"), HasSubstr("make room on the disk")) << words;
  }
}

TEST(ClosedPipe, IsSaidOfEveryAnswer) {
  const ScratchFolder folder;
  for (const std::string& words : every_answer()) {
    // The reader is gone before the first word.
    const Ended ended =
        shell("{ sleep 0.1; tankyard " + words + " 2>err.txt; echo $? >status.txt; } | true",
              folder.path());
    EXPECT_EQ(text_of_file(folder / "status.txt"), "3\n") << words << ended.out;
    EXPECT_THAT(text_of_file(folder / "err.txt"), HasSubstr("Broken pipe")) << words;
  }
}

TEST(FullDisk, LeavesTheFileThatWasThere) {
  const ScratchFolder folder;
  const std::vector<std::string> written = {
      "run " + larch_hill + " --page out", "run " + larch_hill + " --series out",
      "vent " + closed_lids + " --page out", "draw " + larch_hill + " -o out"};
  for (const std::string& words : written) {
    std::ofstream(folder / "out") << "as it was";
    // 8 blocks of 1024 bytes: every file ends in the middle.
    const Ended ended =
        shell("ulimit -f 8; tankyard " + words + " 2>&1 >/dev/null; echo $?", folder.path());
    EXPECT_THAT(ended.out, HasSubstr("File too large")) << words;
    EXPECT_THAT(ended.out, ::testing::EndsWith("\n3\n")) << words;
    EXPECT_EQ(text_of_file(folder / "out"), "as it was") << words;
    EXPECT_EQ(shell("ls -A", folder.path()).out, "out\n") << words;
  }
}

TEST(Page, IsNeverWrittenOverThePlanOrTheSeries) {
  const ScratchFolder folder;
  ASSERT_EQ(shell("cp " + larch_hill + " yard.toml", folder.path()).status, 0);
  Ended ended = shell("tankyard run yard.toml --page ./yard.toml 2>&1", folder.path());
  EXPECT_EQ(ended.status, 2);
  EXPECT_THAT(ended.out, HasSubstr("would take the place of the plan itself"));
  ended = shell("tankyard vent yard.toml --page ./yard.toml 2>&1", folder.path());
  EXPECT_EQ(ended.status, 2);
  ended = shell("tankyard run yard.toml --page x --series x 2>&1", folder.path());
  EXPECT_EQ(ended.status, 2);
  EXPECT_THAT(ended.out, HasSubstr("name the same file"));
  ended = shell("tankyard run yard.toml --page nowhere/x.html 2>&1", folder.path());
  EXPECT_EQ(ended.status, 2);
  EXPECT_EQ(text_of_file(folder / "yard.toml"),
            text_of_file(TANKYARD_SOURCE_DIR "/examples/larch-hill.toml"));
}

}  // namespace full_disk_test
}  // namespace tankyard
