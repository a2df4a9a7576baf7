// SPDX-License-Identifier: MIT
// Where the program runs must not change what it says: locales, time zones, very narrow terminals,
// folders that may not be written to, small disks. Sources of truth: the same answer without any of
// that; access rights and file systems of Linux. What a machine does not let a test make is
// skipped.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <fstream>

#include "io/program.h"

namespace tankyard {
namespace surroundings_test {

using ::testing::HasSubstr;
using ::testing::Not;

const std::string larch_hill = "'" TANKYARD_SOURCE_DIR "/examples/larch-hill.toml'";

/// Numbers go in as text and come out in every form.
const std::string every_form =
    "tankyard check " + larch_hill + "; tankyard run --json " + larch_hill + "; tankyard run " +
    larch_hill + " --series day.csv --every '0.5 h' --page page.html --quiet; tankyard draw " +
    larch_hill + "; cat day.csv page.html";

TEST(Surroundings, ALocaleWithDecimalCommasChangesNothing) {
  const ScratchFolder folder;
  const std::string locale = "export LOCPATH='" + folder.path().string() +
                             "' LC_ALL=de_DE.UTF-8 LANG=de_DE.UTF-8 2>/dev/null; ";
  const Ended made = shell("localedef -f UTF-8 -i de_DE ./de_DE.UTF-8 2>&1", folder.path());
  if (made.status != 0) GTEST_SKIP() << "no locale with decimal commas can be made: " << made.out;
  ASSERT_EQ(shell(locale + "/usr/bin/printf '%.1f' 1,5", folder.path()).out, "1,5")
      << "the locale must be in force, or nothing is tested";
  const std::string plain = shell("export LC_ALL=C.UTF-8; " + every_form, folder.path()).out;
  ASSERT_GT(plain.size(), 100'000U);
  EXPECT_EQ(shell(locale + every_form, folder.path()).out, plain);
  EXPECT_EQ(shell("export LC_ALL=C; " + every_form, folder.path()).out, plain);
}

TEST(Surroundings, ATimeZoneChangesNothing) {
  const ScratchFolder folder;
  const std::string season =
      "; printf 'date,rain_mm\\n2021-03-27,4\\n2021-03-28,9\\n2021-03-29,0\\n"
      "2021-10-30,3\\n2021-10-31,8\\n2021-11-01,0\\n' >rain.csv; "
      "tankyard season " +
      larch_hill + " --rain rain.csv";
  const std::string plain = shell("export TZ=UTC; " + every_form + season, folder.path()).out;
  ASSERT_THAT(plain, HasSubstr("2021"));
  // Clocks go forward and back in the first on days of that record; the others are far from UTC.
  for (const char* zone : {"CET-1CEST,M3.5.0,M10.5.0/3", "<+14>-14", "<-0930>9:30"}) {
    EXPECT_EQ(
        shell("export TZ='" + std::string(zone) + "'; " + every_form + season, folder.path()).out,
        plain)
        << zone;
  }
}

TEST(Surroundings, ARunOfMoreThanADaySaysWhichClockItGoesBy) {
  const ScratchFolder folder;
  for (const char* hours : {"24 h", "25 h"}) {
    std::ofstream(folder / "yard.toml")
        << "[run]\nlasts = \"" << hours
        << "\"\n[[tank]]\nname = \"butt\"\nshape = { prism = { area "
        << "= \"1 m2\", height = \"1 m\" } }\n[[roof]]\nname = \"shed\"\narea = \"9 m2\"\ninto = "
        << "\"butt\"\n[[step]]\nat = \"02:30\"\nrain = \"5 mm/h\"\n";
    const Ended ended = shell("tankyard run yard.toml --json", folder.path());
    const auto says = HasSubstr("of one clock, which is put neither forward nor back");
    if (hours[1] == '5') {
      EXPECT_THAT(ended.out, says);
    } else {
      EXPECT_THAT(ended.out, Not(says));
    }
  }
}

TEST(Surroundings, ANarrowTerminalStopsNoCommand) {
  const ScratchFolder folder;
  ASSERT_EQ(shell("tankyard new yard.toml", folder.path()).status, 0);
  std::ofstream(folder / "more.toml")
      << text_of_file(folder / "yard.toml")
      << "[[tank]]\nname = \"extra\"\nshape = { prism = { area = \"1 m2\", height = \"1 m\" } }\n"
         "base = \"0.4 m\"\n";
  std::ofstream(folder / "rain.csv") << "date,rain_mm\n2021-03-27,4\n2021-03-28,9\n";
  for (const std::string words :
       {"check yard.toml", "check yard.toml --dry 5d", "run yard.toml --events", "vent yard.toml",
        "isolate yard.toml cage-1", "isolate yard.toml --all", "faults yard.toml --no-pairs",
        "link more.toml extra", "season yard.toml --rain rain.csv", "draw yard.toml", "explain",
        "explain slow-link", "help", "help run", "completions bash", "manual", "--version"}) {
    const Ended wide = shell("tankyard " + words, folder.path());
    EXPECT_LT(wide.status, 2) << words;
    const Ended narrow = shell("export COLUMNS=1; tankyard " + words, folder.path());
    EXPECT_EQ(narrow.status, wide.status) << words;
    EXPECT_GE(narrow.out.size() + 100, wide.out.size() / 2) << words;
  }
  const Ended on_terminal = shell("script -qec \"stty cols 1; '" TANKYARD_PROGRAM
                                  "' check yard.toml\" /dev/null </dev/null",
                                  folder.path());
  EXPECT_EQ(on_terminal.status, 0);
  EXPECT_THAT(on_terminal.out, HasSubstr("Bramble End"));
}

/// Words before a command that take away root's right to write everywhere.
std::string as_nobody() {
  return ::geteuid() == 0 ? "setpriv --reuid=65534 --regid=65534 --clear-groups " : "";
}

TEST(Surroundings, AFolderThatMayNotBeWrittenToIsSaidBeforeTheWork) {
  const ScratchFolder folder;
  namespace fs = std::filesystem;
  fs::permissions(folder.path(), fs::perms(0755));
  fs::create_directory(folder / "closed");
  std::ofstream(folder / "closed/old.html") << "as it was";
  fs::permissions(folder / "closed", fs::perms(0555));
  const std::string program = as_nobody() + "'" TANKYARD_PROGRAM "' ";
  if (shell(program + "--version", folder.path()).status != 0) {
    GTEST_SKIP() << "nobody but root may run this program here";
  }
  for (const std::string target : {"closed/page.html", "closed/old.html"}) {
    for (const std::string& words :
         {"run " + larch_hill + " --page " + target, "run " + larch_hill + " --series " + target,
          "vent " + larch_hill + " --page " + target, "faults " + larch_hill + " --page " + target,
          "isolate " + larch_hill + " shed-1 --sheet " + target}) {
      const Ended ended = shell(program + words + " 2>&1 >out", folder.path());
      EXPECT_EQ(ended.status, 2) << words;
      EXPECT_THAT(ended.out, HasSubstr("Permission denied")) << words;
      EXPECT_THAT(ended.out, HasSubstr("write to another folder")) << words;
      EXPECT_EQ(text_of_file(folder / "out"), "") << words;
    }
  }
  for (const std::string& words :
       {std::string("new closed/yard.toml"), "draw " + larch_hill + " -o closed/yard.svg"}) {
    const Ended ended = shell(program + words + " 2>&1", folder.path());
    EXPECT_EQ(ended.status, 2) << words;
    EXPECT_THAT(ended.out, HasSubstr("Permission denied")) << words;
  }
  EXPECT_EQ(shell("ls -A closed", folder.path()).out, "old.html\n");
  EXPECT_EQ(text_of_file(folder / "closed/old.html"), "as it was");
  fs::permissions(folder / "closed", fs::perms(0755));
}

TEST(Surroundings, ASmallDiskKeepsTheFileThatWasThere) {
  const ScratchFolder folder;
  const std::string mount =
      "mkdir small && mount -t tmpfs -o size=64k none small && echo 'as it was' >small/out && ";
  if (shell("unshare -m bash -c \"" + mount + "true\" 2>&1; rm -rf small", folder.path()).status !=
          0 ||
      shell("unshare -m bash -c \"" + mount + "rm small/out\"; rmdir small", folder.path())
              .status != 0) {
    GTEST_SKIP() << "no small disk can be mounted here";
  }
  const Ended ended = shell(
      "unshare -m bash -c \"" + mount + "{ '" TANKYARD_PROGRAM "' run " + larch_hill +
          " --page small/out 2>&1 >/dev/null; echo status \\$?; ls -A small; cat small/out; }\"",
      folder.path());
  EXPECT_THAT(ended.out, HasSubstr("No space left on device"));
  EXPECT_THAT(ended.out, HasSubstr("make room on the disk"));
  EXPECT_THAT(ended.out, HasSubstr("status 3\nout\nas it was\n"));
}

}  // namespace surroundings_test
}  // namespace tankyard
