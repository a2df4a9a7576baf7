// SPDX-License-Identifier: MIT
// Bars of how full a tank is. Sources of truth: the share itself, read back from the eighths of the
// cells (Unicode, Block Elements, U+2588 to U+258F); for ASCII the same bar in UTF-8.
#include "io/level_bar.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>

#include "io/command_line.h"
#include "io/program.h"
#include "io/tables.h"
#include "io/utf8.h"

namespace tankyard {
namespace level_bar_test {

using ::testing::HasSubstr;
using ::testing::Not;

constexpr char32_t full_block = 0x2588;   // the next seven are an eighth narrower each
constexpr char32_t light_shade = 0x2591;  // an empty cell

/// Eighths of a cell that a bar shows; -1 where its cells are not in order.
int eighths_in(const std::string& bar) {
  int eighths = 0;
  bool ended = false;
  for (std::size_t at = 0; at < bar.size();) {
    const char32_t cell = next_character(bar, at);
    const bool part = cell >= full_block && cell < full_block + 8;
    if (!part && cell != light_shade) return -1;
    if (part && ended) return -1;
    if (part) eighths += 8 - static_cast<int>(cell - full_block);
    ended = cell != full_block;
  }
  return eighths;
}

TEST(LevelBar, LooksLikeThis) {
  EXPECT_EQ(level_bar(0.0), "░░░░░░░░░░");
  EXPECT_EQ(level_bar(0.46), "████▋░░░░░");
  EXPECT_EQ(level_bar(0.5), "█████░░░░░");
  EXPECT_EQ(level_bar(1.0), "██████████");
}

TEST(LevelBar, IsEmptyAndFullAtTheEndsAlone) {
  EXPECT_EQ(eighths_in(level_bar(0.0)), 0);
  EXPECT_EQ(eighths_in(level_bar(1.0)), 80);
  for (const double drop : {1e-15, 1e-9, 1e-4, 0.006}) {
    EXPECT_EQ(eighths_in(level_bar(drop)), 1) << drop;
    EXPECT_EQ(eighths_in(level_bar(1.0 - drop)), 79) << drop;
  }
}

TEST(LevelBar, EndsAtTheEndsForWhatLiesOutside) {
  EXPECT_EQ(level_bar(-0.1), level_bar(0.0));
  EXPECT_EQ(level_bar(1.1), level_bar(1.0));
}

RC_GTEST_PROP(LevelBar, IsOffByLessThanAnEighthOfACell, ()) {
  const double part = *rc::gen::inRange(1, 1000000) / 1e6;
  const std::string bar = level_bar(part);
  RC_ASSERT(width_of(bar) == 10);
  const int shown = eighths_in(bar);
  RC_ASSERT(shown >= 1 && shown <= 79);
  RC_ASSERT(std::fabs(shown / 80.0 - part) < 1.0 / 80.0);
}

RC_GTEST_PROP(LevelBar, IsNoShorterForMoreWater, ()) {
  const double less = *rc::gen::inRange(0, 1000001) / 1e6;
  const double more = *rc::gen::inRange(static_cast<int>(less * 1e6), 1000001) / 1e6;
  RC_ASSERT(eighths_in(level_bar(less)) <= eighths_in(level_bar(more)));
}

TEST(PartFull, AgreesWithLitresToATenth) {
  EXPECT_EQ(part_full(0.5, 2.0), 0.25);
  EXPECT_EQ(part_full(0.00004, 1.0), 0.0) << "shown as 0 L";
  EXPECT_GT(part_full(0.00006, 1.0), 0.0) << "shown as 0.1 L";
  EXPECT_EQ(part_full(0.99996, 1.0), 1.0);
  EXPECT_LT(part_full(0.9999, 1.0), 1.0);
  EXPECT_GT(part_full(1.01, 1.0), 1.0) << "what stands over the rim is not hidden";
}

TEST(FullCell, SaysNoughtAndAHundredOfTheEndsAlone) {
  EXPECT_EQ(full_cell(0.0), "0");
  EXPECT_EQ(full_cell(0.0001), "<1");
  EXPECT_EQ(full_cell(0.009), "<1");
  EXPECT_EQ(full_cell(0.01), "1");
  EXPECT_EQ(full_cell(0.45), "45");
  EXPECT_EQ(full_cell(0.99), "99");
  EXPECT_EQ(full_cell(0.991), ">99");
  EXPECT_EQ(full_cell(1.0), "100");
  EXPECT_EQ(full_cell(1.02), "102");
}

/// A yard whose six tanks show all that matters; nothing moves in it.
constexpr const char* six_tanks = R"(
[run]
lasts = "1 h"
[[tank]]
name = "empty"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0 L"
[[tank]]
name = "drop"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0.1 L"
[[tank]]
name = "below-mouth"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "40 mm"
outlet_height = "50 mm"
[[tank]]
name = "half"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "500 L"
[[tank]]
name = "nearly"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "999.9 L"
[[tank]]
name = "brimful"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "1000 L"
[[outlet]]
name = "tap"
at = "below-mouth"
draw = "5 L/min"
open = true
)";

/// The line of the table with bars that begins with a name.
std::string line_of(const std::string& text, const std::string& name) {
  std::istringstream in(text.substr(std::min(text.find("full"), text.size())));
  for (std::string line; std::getline(in, line);) {
    if (line.rfind("  " + name + " ", 0) == 0) return line;
  }
  return {};
}

TEST(LevelBar, StandsInTheAnswersOfRunAndCheck) {
  const ScratchFolder folder;
  const std::string plan = folder / "yard.toml";
  std::ofstream(plan) << six_tanks;
  for (const char* command : {"run", "check"}) {
    std::ostringstream rich;
    std::ostringstream plain;
    std::ostringstream err;
    command_line({command, plan}, rich, err, 80);
    command_line({command, plan}, plain, err, 80, true);
    const std::string text = rich.str();
    EXPECT_THAT(line_of(text, "empty"), HasSubstr("   0  ░░░░░░░░░░")) << text;
    EXPECT_THAT(line_of(text, "drop"), HasSubstr("  <1  ▏░░░░░░░░░"));
    EXPECT_THAT(line_of(text, "below-mouth"), HasSubstr("   4  ▍░░░░░░░░░"));
    EXPECT_THAT(line_of(text, "half"), HasSubstr("  50  █████░░░░░"));
    EXPECT_THAT(line_of(text, "nearly"), HasSubstr(" >99  █████████▉"));
    EXPECT_THAT(line_of(text, "brimful"), HasSubstr(" 100  ██████████"));
    EXPECT_THAT(line_of(plain.str(), "empty"), HasSubstr("   0  .........."));
    EXPECT_THAT(line_of(plain.str(), "drop"), HasSubstr("  <1  -........."));
    EXPECT_THAT(line_of(plain.str(), "half"), HasSubstr("  50  #####....."));
    EXPECT_THAT(line_of(plain.str(), "nearly"), HasSubstr(" >99  #########="));
    EXPECT_THAT(line_of(plain.str(), "brimful"), HasSubstr(" 100  ##########"));
  }
}

TEST(LevelBar, StaysOutOfNarrowTerminalsOfJsonAndOfPages) {
  const ScratchFolder folder;
  const std::string plan = folder / "yard.toml";
  std::ofstream(plan) << six_tanks;
  std::ostringstream narrow;
  std::ostringstream json;
  std::ostringstream err;
  command_line({"run", plan, "--page", folder / "page.html", "--quiet"}, narrow, err, 40);
  command_line({"run", plan, "--json"}, json, err, 80);
  for (const std::string& text : {narrow.str(), json.str(), text_of_file(folder / "page.html")}) {
    ASSERT_GT(text.size(), 200U);
    EXPECT_THAT(text, Not(HasSubstr("█")));
    EXPECT_THAT(text, Not(HasSubstr("░")));
  }
  EXPECT_THAT(narrow.str(), HasSubstr("full")) << "the number stays";
  EXPECT_THAT(text_of_file(folder / "page.html"), HasSubstr("full %"));
}

}  // namespace level_bar_test
}  // namespace tankyard
