// SPDX-License-Identifier: MIT
// How troubles are told. Source of truth: the form promised in io/trouble_text.h, written out here.
// More of it stands in tests/io/bad_plans, whole messages as they come out of the plan reader.
#include "io/trouble_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <string>

#include "io/utf8.h"

namespace tankyard {
namespace trouble_text_test {

using ::testing::HasSubstr;
using ::testing::Not;

Trouble trouble(int line, int column, int length) {
  Trouble made;
  made.message = "tank `T9` is not there";
  made.help = "add it";
  made.spot = Spot{"farm.toml", line, column, length};
  return made;
}

TEST(TroubleText, ShowsTheLineAndACaretUnderTheSpan) {
  EXPECT_EQ(in_words({trouble(2, 6, 4)}, "[[hose]]\nto = \"T9\"\n"),
            "farm.toml:2:6: error: tank `T9` is not there\n"
            "    2 | to = \"T9\"\n"
            "      |      ^^^^\n"
            "help: add it\n"
            "\n"
            "1 mistake; nothing was run\n");
}

TEST(TroubleText, TellsNotesAndTheSecondPlaceBeforeTheHelp) {
  Trouble two = trouble(3, 1, 1);
  two.see_also = PartField{"tank", 0, "name"};
  two.see_also_spot = Spot{"farm.toml", 1, 2, 1};
  two.notes = {"there are three tanks"};
  EXPECT_EQ(in_words({two}, "ab\ncd\nef\n"),
            "farm.toml:3:1: error: tank `T9` is not there\n"
            "    3 | ef\n"
            "      | ^\n"
            "farm.toml:1:2: note: the name is used first here\n"
            "    1 | ab\n"
            "      |  ^\n"
            "note: there are three tanks\n"
            "help: add it\n"
            "\n"
            "1 mistake; nothing was run\n");
}

TEST(TroubleText, CountsTheMistakesInTheLastLine) {
  EXPECT_EQ(in_words({}, "text"), "");
  EXPECT_THAT(in_words({trouble(1, 1, 1), trouble(1, 2, 1)}, "ab"),
              HasSubstr("\n2 mistakes; nothing was run\n"));
}

TEST(TroubleText, TellsTroublesWithoutAPlace) {
  Trouble nowhere = trouble(0, 0, 0);
  EXPECT_EQ(
      in_words({nowhere}, ""),
      "farm.toml: error: tank `T9` is not there\nhelp: add it\n\n1 mistake; nothing was run\n");
  nowhere.spot.reset();
  nowhere.help.clear();
  EXPECT_EQ(in_words({nowhere}, ""),
            "error: tank `T9` is not there\n\n1 mistake; nothing was run\n");
}

TEST(TroubleText, ShowsNoLineForAPlaceOutsideTheText) {
  const std::string told = in_words({trouble(9, 1, 1)}, "one line");
  EXPECT_THAT(told, HasSubstr("farm.toml:9:1: error"));
  EXPECT_THAT(told, Not(HasSubstr("|")));
}

TEST(TroubleText, PutsTheCaretPastTheEndOfAShortLine) {
  EXPECT_THAT(in_words({trouble(1, 40, 5)}, "ab"), HasSubstr("    1 | ab\n      |   ^\n"));
}

TEST(TroubleText, KeepsTheCaretUnderItsCharacterAfterTabsAndWideOnes) {
  EXPECT_THAT(in_words({trouble(1, 3, 2)}, "a\tbc"), HasSubstr("1 | a   bc\n      |     ^^\n"));
  EXPECT_THAT(in_words({trouble(1, 3, 1)}, "水水x"), HasSubstr("1 | 水水x\n      |     ^\n"));
  EXPECT_THAT(in_words({trouble(1, 2, 1)}, "水水x"), HasSubstr("1 | 水水x\n      |   ^^\n"));
  // e and a combining acute: two characters, one column
  EXPECT_THAT(in_words({trouble(1, 3, 1)}, "e\xCC\x81x"), HasSubstr("x\n      |  ^\n"));
}

TEST(TroubleText, LetsNothingActOnTheTerminal) {
  Trouble nasty = trouble(1, 1, 1);
  nasty.message = "name `\x1b[31m` has\na line end";
  nasty.help = "\x07";
  nasty.notes = {"\xE2\x80\xAE reversed"};  // U+202E
  const std::string told = in_words({nasty}, "a\x1b[2Jb\x08\xE2\x80\xAE\xFF");
  EXPECT_THAT(told, Not(HasSubstr("\x1b")));
  EXPECT_THAT(told, Not(HasSubstr("\x07")));
  EXPECT_THAT(told, Not(HasSubstr("\xE2\x80\xAE")));
  EXPECT_THAT(told, HasSubstr("error: name `\uFFFD[31m` has\uFFFDa line end\n"));
  EXPECT_EQ(first_wrong_byte(told), std::nullopt);
}

TEST(TroubleText, CutsLongLinesAroundTheCaret) {
  std::string line(400, 'x');
  line[200] = 'Y';
  const std::string told = in_words({trouble(1, 201, 1)}, line);
  EXPECT_THAT(told, HasSubstr("    1 | ..." + std::string(40, 'x') + "Y" + std::string(53, 'x') +
                              "...\n      | " + std::string(43, ' ') + "^\n"));
}

TEST(TroubleText, CutsALongSpanAtTheEndOfWhatIsShown) {
  const std::string told = in_words({trouble(1, 11, 300)}, std::string(400, 'x'));
  EXPECT_THAT(told, HasSubstr("      |    " + std::string(3, ' ')));
  for (std::size_t at = 0; at < told.size();) {
    const std::size_t end = told.find('\n', at);
    EXPECT_LE(end - at, 8u + 100u);
    at = end + 1;
  }
}

RC_GTEST_PROP(TroubleText, DrawsTwoLinesWhateverTheTextAndTheSpot, ()) {
  const auto text = *rc::gen::container<std::string>(
      rc::gen::element('a', '\t', ' ', '\xE6', '\xB0', '\xB4', '\n', '\r', '\x1b', '"', '\0'));
  const int line = *rc::gen::inRange(-1, 5);
  const int column = *rc::gen::inRange(-1, 200);
  const int length = *rc::gen::inRange(-1, 300);
  const std::string told = in_words({trouble(line, column, length)}, text);
  RC_ASSERT(!first_wrong_byte(told).has_value());
  RC_ASSERT(told.find("error: tank `T9` is not there\n") != std::string::npos);
  for (std::size_t at = 0; at < told.size();) {
    const char32_t character = next_character(told, at);
    RC_ASSERT(character == U'\n' || !is_control(character));
  }
}

}  // namespace trouble_text_test
}  // namespace tankyard
