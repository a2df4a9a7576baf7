// SPDX-License-Identifier: MIT
// Terminals that know no UTF-8. Sources of truth: the answer in UTF-8, column for column; script(1)
// for what a terminal is.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "io/command_line.h"
#include "io/program.h"
#include "io/tables.h"

namespace tankyard {
namespace ascii_test {

using ::testing::HasSubstr;
using ::testing::Not;

const std::vector<std::string> larch_hill = {"run",
                                             TANKYARD_SOURCE_DIR "/examples/larch-hill.toml"};

bool is_ascii(const std::string& text) {
  return std::all_of(text.begin(), text.end(),
                     [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

TEST(Ascii, TablesKeepTheirColumns) {
  std::ostringstream rich;
  std::ostringstream plain;
  std::ostringstream err;
  command_line(larch_hill, rich, err, 80);
  command_line(larch_hill, plain, err, 80, true);
  EXPECT_FALSE(is_ascii(rich.str()));
  EXPECT_TRUE(is_ascii(plain.str()));
  std::istringstream a(rich.str());
  std::istringstream b(plain.str());
  for (std::string left, right; std::getline(a, left) && std::getline(b, right);) {
    EXPECT_EQ(width_of(left), width_of(right)) << left;
  }
}

TEST(Ascii, IsForTerminalsThatSaySo) {
  const ScratchFolder folder;
  const std::string ask = "run " + larch_hill[1];
  const auto on_terminal = [&](const std::string& locale) {
    return shell("export LC_ALL=" + locale + "; script -qec \"'" TANKYARD_PROGRAM "' " + ask +
                     "\" /dev/null </dev/null",
                 folder.path())
        .out;
  };
  EXPECT_TRUE(is_ascii(on_terminal("C")));
  EXPECT_THAT(on_terminal("C"), HasSubstr("------"));
  EXPECT_THAT(on_terminal("C.UTF-8"), HasSubstr("\u2500\u2500\u2500"));
  EXPECT_THAT(shell("LC_ALL=C tankyard " + ask, folder.path()).out, HasSubstr("\u2500\u2500"));
}

}  // namespace ascii_test
}  // namespace tankyard
