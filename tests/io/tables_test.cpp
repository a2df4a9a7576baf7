// SPDX-License-Identifier: MIT
// Tables and paragraphs. Source of truth: the demands themselves: no line is wider than the
// terminal unless a single word is, nothing that was put in is lost, and columns line up.
#include "io/tables.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace tankyard {
namespace tables_test {

using ::testing::HasSubstr;
using ::testing::Not;
using Holds = Table::Holds;

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::vector<std::string> words_in(const std::string& text) {
  std::istringstream in(text);
  std::vector<std::string> words;
  for (std::string word; in >> word;) words.push_back(word);
  return words;
}

TEST(Paragraph, BreaksBetweenWords) {
  EXPECT_EQ(wrapped("one two three four", 9, "- ", "  "), "- one two\n  three\n  four\n");
}

TEST(Paragraph, LeavesALongWordWhole) {
  EXPECT_EQ(wrapped("a enormously-long b", 8), "a\nenormously-long\nb\n");
}

TEST(Paragraph, KeepsANumberAndItsUnitTogether) {
  EXPECT_EQ(wrapped("it holds 1045 L, and", 15), "it holds\n1045 L, and\n");
  EXPECT_EQ(wrapped("take 3 Litres", 7), "take 3\nLitres\n");
}

TEST(Paragraph, CountsColumnsAndNotBytes) {
  EXPECT_EQ(width_of("Zürich"), 6);
  EXPECT_EQ(width_of("水槽"), 4);
  EXPECT_EQ(wrapped("äöü äöü", 7), "äöü äöü\n");
  EXPECT_EQ(wrapped("äöü äöü", 6), "äöü\näöü\n");
}

TEST(Table, LinesUpWordsOnTheLeftAndNumbersOnTheRight) {
  Table table({{"tank", Holds::words}, {"L"}, {"note", Holds::words}});
  table.add({"水槽", "7", "low"});
  table.add({"shed-1", "1045", "full"});
  EXPECT_EQ(table.in_text(80),
            "  tank       L  note\n"
            "  ──────  ────  ────\n"
            "  水槽       7  low\n"
            "  shed-1  1045  full\n");
}

TEST(Table, LeavesOutColumnsWithoutAnyCell) {
  Table table({{"tank", Holds::words}, {"asked L"}, {"given L"}});
  table.add({"tap", "", "3"});
  EXPECT_THAT(table.in_text(80), Not(HasSubstr("asked")));
  EXPECT_THAT(table.in_text(80), HasSubstr("given L"));
}

TEST(Table, BreaksHeadingsBeforeItSqueezesWords) {
  Table table({{"tank", Holds::words}, {"depth at rest m"}, {"why it stays", Holds::words}});
  table.add({"shed-1", "0.45", "below its lowest mouth"});
  const std::string text = table.in_text(40);
  EXPECT_THAT(text, HasSubstr("below its lowest mouth"));
  EXPECT_GT(lines_of(text).size(), 3U);
}

TEST(Table, BecomesAListWhereItDoesNotFit) {
  Table table({{"tank", Holds::words}, {"start L"}, {"end L"}, {"spilt L"}});
  table.add({"shed-1", "572", "663", "44"});
  EXPECT_EQ(table.in_text(20),
            "  shed-1\n"
            "    start L: 572\n"
            "    end L: 663\n"
            "    spilt L: 44\n");
}

Table with_bar() {
  Table table({{"tank", Holds::words}, {"at rest L"}, {"full %"}, {"", Holds::bars}, {"spilt L"}});
  table.add({"shed-1", "572", "45", "#####.....", "44"});
  return table;
}

TEST(Table, ShowsABarBesideItsNumber) {
  EXPECT_EQ(with_bar().in_text(80),
            "  tank    at rest L  full %              spilt L\n"
            "  ──────  ─────────  ──────  ──────────  ───────\n"
            "  shed-1        572      45  #####.....       44\n");
}

TEST(Table, LosesItsBarsBeforeAnythingElseHasToGiveWay) {
  // With its bar on headings of one line it is 48 wide, without it 36.
  EXPECT_THAT(with_bar().in_text(48), HasSubstr("#####....."));
  EXPECT_EQ(with_bar().in_text(47),
            "  tank    at rest L  full %  spilt L\n"
            "  ──────  ─────────  ──────  ───────\n"
            "  shed-1        572      45       44\n");
  // In a list it is left out as well.
  EXPECT_EQ(with_bar().in_text(10),
            "  shed-1\n"
            "    at\n"
            "      rest\n"
            "      L:\n"
            "      572\n"
            "    full\n"
            "      %:\n"
            "      45\n"
            "    spilt\n"
            "      L:\n"
            "      44\n");
}

TEST(Table, IsTheSameAsOneWithoutBarsWhereTheyAreLeftOut) {
  Table without({{"tank", Holds::words}, {"at rest L"}, {"full %"}, {"spilt L"}});
  without.add({"shed-1", "572", "45", "44"});
  int with = 0;
  for (int columns = 10; columns < 60; ++columns) {
    const std::string text = with_bar().in_text(columns);
    if (text.find('#') != std::string::npos) {
      ++with;
      EXPECT_GT(columns, 40);
    } else {
      EXPECT_EQ(text, without.in_text(columns)) << columns;
    }
  }
  EXPECT_GT(with, 0);
}

TEST(Table, IsNothingWithoutRows) { EXPECT_EQ(Table({{"tank", Holds::words}}).in_text(80), ""); }

std::string some_text() {
  const int count = *rc::gen::inRange(1, 6);
  std::string text;
  for (int k = 0; k < count; ++k) {
    text += (k > 0 ? " " : "") +
            *rc::gen::nonEmpty(rc::gen::container<std::string>(rc::gen::inRange('a', '{')));
  }
  return text;
}

RC_GTEST_PROP(Table, FitsTheTerminalAndLosesNothing, ()) {
  const int columns = *rc::gen::inRange(20, 160);
  const int count = *rc::gen::inRange(1, 7);
  std::vector<Table::Column> heads;
  for (int c = 0; c < count; ++c) {
    heads.push_back({some_text(), *rc::gen::arbitrary<bool>() ? Holds::words : Holds::numbers});
  }
  Table table(heads);
  std::vector<std::string> put_in;
  int longest_word = 0;
  for (const auto& head : heads) {
    for (const auto& word : words_in(head.heading)) {
      longest_word = std::max(longest_word, width_of(word));
    }
  }
  const int rows = *rc::gen::inRange(1, 5);
  for (int r = 0; r < rows; ++r) {
    std::vector<std::string> cells;
    for (int c = 0; c < count; ++c) {
      cells.push_back(heads[static_cast<std::size_t>(c)].holds == Holds::words ? some_text()
                                                                               : std::to_string(r));
      for (const auto& word : words_in(cells.back())) {
        put_in.push_back(word);
        longest_word = std::max(longest_word, width_of(word));
      }
    }
    table.add(cells);
  }
  const std::string text = table.in_text(columns);
  constexpr int indent_of_lists = 6;
  for (const std::string& line : lines_of(text)) {
    RC_ASSERT(width_of(line) <= std::max(columns, longest_word + 1 + indent_of_lists));
    RC_ASSERT(line.empty() || line.back() != ' ');
  }
  std::multiset<std::string> shown;
  for (const std::string& word : words_in(text)) shown.insert(word);
  for (const std::string& word : put_in) {
    const auto found = shown.find(word);
    RC_ASSERT(found != shown.end());
    shown.erase(found);
  }
}

}  // namespace tables_test
}  // namespace tankyard
