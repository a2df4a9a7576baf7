// SPDX-License-Identifier: MIT
// The side view as a file. Sources of truth: XML 1.0 (5th ed., productions 2, 4, 10, 14, 39, 40,
// 67) for what is well formed; WCAG 2.1, relative luminance and success criteria 1.4.3 and 1.4.11,
// for contrast.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "io/elevation_yards.h"
#include "io/svg_elevation.h"
#include "io/svg_text.h"
#include "io/utf8.h"

namespace tankyard {
namespace elevation_svg_test {

using ::testing::HasSubstr;
using ::testing::Not;

std::string svg_of_parts(const Parts& parts) {
  const Array array = array_of(parts);
  return svg_of(lay_out_elevation(array, state_at_start(array)));
}

bool is_name(const std::string& text) {
  return std::regex_match(text, std::regex("[A-Za-z_:][-A-Za-z0-9_:.]*"));
}

/// Whether text holds only what XML allows, with every `&` beginning one of its five entities or
/// `&#39;`.
bool plain_text(const std::string& text) {
  if (first_wrong_byte(text)) return false;
  for (std::size_t at = 0; at < text.size();) {
    const char32_t character = next_character(text, at);
    if (character < 0x20 && character != 0x9 && character != 0xA && character != 0xD) return false;
    if (character == 0xFFFE || character == 0xFFFF || character == U'<') return false;
  }
  for (std::size_t at = text.find('&'); at != std::string::npos; at = text.find('&', at + 1)) {
    bool known = false;
    for (const char* entity : {"&lt;", "&gt;", "&amp;", "&quot;", "&#39;"}) {
      known = known || text.compare(at, std::string(entity).size(), entity) == 0;
    }
    if (!known) return false;
  }
  return true;
}

/// The first fault of a file of elements, attributes and text, or nothing; ids land in `ids`.
std::string fault_of(const std::string& xml, std::multiset<std::string>* ids = nullptr) {
  std::vector<std::string> open;
  std::size_t at = 0;
  bool ended = false;
  while (at < xml.size()) {
    const std::size_t tag = std::min(xml.find('<', at), xml.size());
    const std::string text = xml.substr(at, tag - at);
    if (!plain_text(text)) return "text: " + text.substr(0, 60);
    if (open.empty() && text.find_first_not_of("\n ") != std::string::npos) return "text outside";
    if (tag == xml.size()) break;
    const std::size_t end = xml.find('>', tag);
    if (end == std::string::npos) return "no end of a tag";
    std::string inside = xml.substr(tag + 1, end - tag - 1);
    at = end + 1;
    if (!inside.empty() && inside[0] == '/') {
      if (open.empty() || open.back() != inside.substr(1)) return "closes " + inside;
      open.pop_back();
      ended = open.empty();
      continue;
    }
    if (ended) return "a second root";
    const bool closed = !inside.empty() && inside.back() == '/';
    if (closed) inside.pop_back();
    const std::size_t space = std::min(inside.find(' '), inside.size());
    const std::string name = inside.substr(0, space);
    if (!is_name(name)) return "name " + name;
    std::set<std::string> seen;
    std::string rest = inside.substr(space);
    const std::regex attribute(R"(^ +([-A-Za-z0-9_:.]+)=\"([^\"]*)\")");
    std::smatch match;
    while (std::regex_search(rest, match, attribute)) {
      if (!seen.insert(match[1]).second) return "twice " + match[1].str();
      if (!plain_text(match[2])) return "value " + match[2].str();
      if (ids != nullptr && match[1] == "id") ids->insert(match[2]);
      rest = match.suffix();
    }
    if (rest.find_first_not_of(' ') != std::string::npos) return "in <" + name + ">: " + rest;
    if (!closed) open.push_back(name);
    ended = open.empty();
  }
  return open.empty() ? std::string() : "left open: " + open.back();
}

TEST(SvgElevation, TheReaderOfThisTestSeesFaults) {
  EXPECT_EQ(fault_of("<a b=\"c\"><d/>x &amp; y</a>"), "");
  for (const char* bad : {"<a>", "<a></b>", "<a b=c/>", "<a b=\"1\" b=\"2\"/>", "<a>&x;</a>",
                          "<a/><b/>", "<a>\x01</a>", "<a b=\"&\"/>", "<a>\xff</a>"}) {
    EXPECT_NE(fault_of(bad), "") << bad;
  }
}

const std::vector<std::string>& hostile_names() {
  static const std::vector<std::string> names = {
      "<script>alert(1)</script>",
      "\"quoted\" & 'single' ]]>",
      "</title></text></svg><svg onload=\"alert(1)\">",
      "\u05de\u05d9\u05db\u05dc \u05d2\u05d3\u05d5\u05dc 12",
      "\u062e\u0632\u0627\u0646 <b>",
      std::string(200, 'W'),
      "&lt;&#60;&amp;",
      "\u6c34\u69fd \U0001F4A7",
      "a\u0301\u0301\u0301e\u0301"};
  return names;
}

Parts hostile_yard() {
  Parts parts;
  parts.site.name = "<b>yard</b> & \"co\"";
  for (const std::string& name : hostile_names()) {
    Tank tank;
    tank.name = name;
    tank.shape = Prism{1.1, 0.95};
    tank.base_m = 0.4;
    parts.tanks.push_back(tank);
  }
  parts.headers.push_back({"--><!-- header", 0.2, std::nullopt});
  for (std::size_t k = 0; k < parts.tanks.size(); ++k) {
    Hose hose;
    hose.name = "h" + std::to_string(k) + parts.tanks[k].name.substr(0, 150);
    if (first_wrong_byte(hose.name)) hose.name = "h" + std::to_string(k);
    hose.from.place = id_at<TankId>(k);
    hose.to.place = id_at<HeaderId>(0);
    if (k % 2 == 1) hose.to.place = id_at<TankId>(k - 1);
    hose.bore_m = 0.025;
    hose.length_m = 1.0;
    hose.valve = Valve{"v" + std::to_string(k) + "<&\">"};
    parts.hoses.push_back(hose);
  }
  Roof roof;
  roof.name = "<roof onclick='x'>";
  roof.area_m2 = 10.0;
  roof.into = id_at<TankId>(0);
  parts.roofs.push_back(roof);
  Outlet outlet;
  outlet.name = "<outlet/>";
  outlet.at = HoseEnd{id_at<TankId>(1), 0.1};
  outlet.bore_m = 0.01;
  parts.outlets.push_back(outlet);
  return parts;
}

TEST(SvgElevation, HostileNamesStayText) {
  const Parts parts = hostile_yard();
  const std::string svg = svg_of_parts(parts);
  EXPECT_EQ(fault_of(svg), "");
  EXPECT_THAT(svg, Not(HasSubstr("<script")));
  EXPECT_THAT(svg, Not(HasSubstr("<svg onload")));
  EXPECT_THAT(svg, Not(HasSubstr("<outlet")));
  for (const std::string& name : hostile_names()) {
    EXPECT_THAT(svg, HasSubstr("data-name=\"" + xml_text(name) + "\""));  // in full
  }
  // Too long for the picture: cut in sight, whole in the title.
  EXPECT_THAT(svg, HasSubstr("W\u2026W"));
  EXPECT_THAT(svg, HasSubstr("<title>" + std::string(200, 'W') + "</title>"));
}

TEST(SvgElevation, ForbiddenCharactersBecomeReplacements) {
  EXPECT_EQ(xml_text(std::string("a\0b", 3)), "a\uFFFDb");
  EXPECT_EQ(xml_text("\x1b[31m \xff \u0085"), "\uFFFD[31m \uFFFD \uFFFD");
  EXPECT_EQ(xml_text("<&>\"'"), "&lt;&amp;&gt;&quot;&#39;");
}

RC_GTEST_PROP(SvgElevation, IsWellFormedAndTheSameEveryTime, ()) {
  const Parts parts = any_yard(40);
  const std::string svg = svg_of_parts(parts);
  std::multiset<std::string> ids;
  RC_ASSERT(fault_of(svg, &ids) == "");
  for (const std::string& id : ids) RC_ASSERT(ids.count(id) == 1U);
  RC_ASSERT(svg_of_parts(parts) == svg);
}

TEST(SvgElevation, SaysWhatItIsToWhoCannotSeeIt) {
  const std::string svg = svg_of_parts(hostile_yard());
  EXPECT_THAT(svg, HasSubstr("role=\"img\" aria-labelledby=\"elevation-title elevation-about\""));
  EXPECT_THAT(svg, HasSubstr("<title id=\"elevation-title\">Side view of &lt;b&gt;yard"));
  EXPECT_THAT(svg, HasSubstr("<desc id=\"elevation-about\">"));
}

TEST(SvgElevation, MarksWhatAScriptMoves) {
  Parts parts = hostile_yard();
  const Array array = array_of(parts);
  ElevationState state = state_at_start(array);
  state.flow_m3_per_s.emplace(parts.hoses.size(), 1e-4);
  const std::string svg = svg_of(lay_out_elevation(array, state));
  EXPECT_EQ(fault_of(svg), "");
  EXPECT_THAT(svg, HasSubstr("<tspan data-role=\"valve\">v0&lt;&amp;&quot;&gt; open</tspan>"));
  EXPECT_THAT(svg, HasSubstr("<tspan data-role=\"flow\">6.00 L/min</tspan>"));
  EXPECT_THAT(svg, HasSubstr("data-of=\"tank-0\" data-role=\"holds\""));
  const std::regex body(
      R"re(id="tank-0"[\s\S]*?class="body" data-floor-y="([0-9.]+)" data-surface-y="([0-9.]+)")re");
  std::smatch match;
  ASSERT_TRUE(std::regex_search(svg, match, body));
  EXPECT_EQ(match[1], match[2]);  // empty: its surface is its floor
}

TEST(SvgElevation, AsksForNothingFromElsewhere) {
  const std::string svg = svg_of_parts(hostile_yard());
  const std::regex reference(R"re((href|src|@import|url\((?!#)))re");
  EXPECT_FALSE(std::regex_search(svg, reference));
}

double luminance(const std::string& colour) {
  double sum = 0.0;
  const double weights[] = {0.2126, 0.7152, 0.0722};
  for (std::size_t k = 0; k < 3; ++k) {
    const double share = std::stoi(colour.substr(1 + 2 * k, 2), nullptr, 16) / 255.0;
    sum += weights[k] * (share <= 0.03928 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4));
  }
  return sum;
}

double contrast(const std::string& a, const std::string& b) {
  const double first = luminance(a);
  const double second = luminance(b);
  return (std::max(first, second) + 0.05) / (std::min(first, second) + 0.05);
}

/// "fill" or "stroke" of a style, from the rules of one scheme.
std::string colour_of(const std::string& rules, const std::string& name, const std::string& what) {
  const std::regex rule("\\.elevation " + name + "[^{}]*\\{[^}]*" + what + ":(#[0-9a-f]{6})");
  std::smatch match;
  if (!std::regex_search(rules, match, rule)) {
    ADD_FAILURE() << name << " has no " << what;
    return "#000000";
  }
  return match[1];
}

TEST(SvgElevation, CanBeReadInLightAndDark) {
  EXPECT_NEAR(contrast("#ffffff", "#000000"), 21.0, 1e-9);  // WCAG: the most there is
  const std::string svg = svg_of_parts(hostile_yard());
  const std::size_t dark = svg.find("@media screen and (prefers-color-scheme:dark)");
  ASSERT_NE(dark, std::string::npos);
  for (const std::string& rules : {svg.substr(0, dark), svg.substr(dark)}) {
    const std::string paper = colour_of(rules, "\\.paper", "fill");
    const std::string strip = colour_of(rules, "\\.strip", "fill");
    const std::string face = colour_of(rules, "\\.face", "fill");
    const std::string water = colour_of(rules, "\\.water", "fill");
    for (const char* text : {"text", "text\\.tick"}) {
      for (const std::string& behind : {paper, strip, face, water}) {
        EXPECT_GE(contrast(colour_of(rules, text, "fill"), behind), 4.5) << text << behind;
      }
    }
    for (const std::string& behind : {paper, strip, face, water}) {
      EXPECT_GE(contrast(colour_of(rules, "\\.run", "stroke"), behind), 3.0) << behind;
      EXPECT_GE(contrast(colour_of(rules, "\\.wall", "stroke"), behind), 3.0) << behind;
      EXPECT_GE(contrast(colour_of(rules, "\\.rest", "stroke"), behind), 3.0) << behind;
    }
  }
}

TEST(SvgText, CutsVisiblyAndNeverBeyondItsRoom) {
  for (const std::string& name : hostile_names()) {
    for (const double room : {20.0, 60.0, 130.0}) {
      const std::string cut = shortened(name, room, 11.0, true);
      EXPECT_LE(text_width_px(cut, 11.0, true), room);
      EXPECT_FALSE(first_wrong_byte(cut));
      if (cut != name) {
        EXPECT_THAT(cut, HasSubstr("\u2026"));
      }
    }
  }
  EXPECT_EQ(shortened("shed-1", 100.0, 11.0, false), "shed-1");
  EXPECT_NE(shortened("the long row of tanks 1", 90.0, 11.0, false),
            shortened("the long row of tanks 2", 90.0, 11.0, false));
}

}  // namespace elevation_svg_test
}  // namespace tankyard
