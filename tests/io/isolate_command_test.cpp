// SPDX-License-Identifier: MIT
// `isolate` as people and programs meet it. Source of truth: yards small enough to know the answer,
// and the wording rules of a command line.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "io/isolate_sheet.h"
#include "io/program.h"
#include "io/said.h"

namespace tankyard {
namespace isolate_command_test {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

//  shed -> [a]--VA--(rail)--+-- no valve --[b]--loop, no valve--[c]
//           |               |
//          tap             VC--[c]          [lone]
constexpr const char* yard = R"([site]
name = "Thornfold"
[run]
lasts = "24 h"
[[tank]]
name = "a"
shape = { prism = { area = "1 m2", height = "1 m" } }
base = "0.5 m"
outlet_height = "0.1 m"
water = "0.6 m"
[[tank]]
name = "b"
shape = { prism = { area = "1 m2", height = "1 m" } }
base = "0.5 m"
water = "0.6 m"
[[tank]]
name = "c"
shape = { prism = { area = "1 m2", height = "1 m" } }
base = "0.5 m"
water = "0.6 m"
[[tank]]
name = "lone"
shape = { prism = { area = "1 m2", height = "1 m" } }
[[header]]
name = "rail"
height = "0.4 m"
[[hose]]
from = "a"
to = "rail"
bore = "32 mm"
length = "1 m"
valve = "VA"
[[hose]]
from = "b"
to = "rail"
bore = "32 mm"
length = "1 m"
[[hose]]
from = "c"
to = "rail"
bore = "32 mm"
length = "1 m"
valve = "VC"
[[hose]]
name = "loop"
from = "b"
to = "c"
bore = "19 mm"
length = "3 m"
[[outlet]]
name = "tap"
at = { at = "a", height = "0.3 m" }
bore = "20 mm"
[[roof]]
name = "shed"
area = "30 m2"
into = "a"
)";

class Yard {
 public:
  explicit Yard(const std::string& text = yard) : path_(folder_ / "yard.toml") {
    std::ofstream(path_) << text;
  }
  Said isolate(std::vector<std::string> words) const {
    words.insert(words.begin(), {"isolate", path_});
    return say(words);
  }
  std::string file(const std::string& name) const { return folder_ / name; }

 private:
  ScratchFolder folder_;
  std::string path_;
};

std::string on_one_line(const std::string& text) {
  std::string line;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank || (!line.empty() && line.back() != ' ')) line += blank ? ' ' : c;
  }
  return line;
}

TEST(IsolateCommand, AnswersFirstWhatToShutAndWhen) {
  const Said said = Yard().isolate({"a", "--at", "09:00"});
  EXPECT_EQ(said.status, 0) << said.err;
  const std::string text = on_one_line(said.out);
  EXPECT_THAT(text, StartsWith("Thornfold: `a` can be taken out: shut `VA`. Begin at 09:00:"));
  EXPECT_THAT(text, HasSubstr("100 kg stay below the drain."));
  EXPECT_THAT(text, HasSubstr("Turn the downpipe of `shed` away from `a`"));
  EXPECT_THAT(text, HasSubstr("a drain valve of 25 mm at the lowest mouth of `a`, 100 mm above its "
                              "bottom, is assumed"));
  EXPECT_THAT(text, HasSubstr("confined space"));
  EXPECT_THAT(text, HasSubstr("your local rules say"));
  EXPECT_THAT(text, HasSubstr("the time is the one that was asked for"));
}

TEST(IsolateCommand, SaysWhichHoseWantsAValve) {
  const Said said = Yard().isolate({"c"});
  EXPECT_EQ(said.status, 0);
  EXPECT_THAT(on_one_line(said.out),
              AllOf(StartsWith("Thornfold: `c` cannot be taken out: no valves cut it off. Fit a "
                               "valve on `loop`. Until then, drain it and `b` empties with it."),
                    HasSubstr("warning: cannot-isolate at `c`")));
}

TEST(IsolateCommand, TellsProgramsTheSame) {
  const Said said = Yard().isolate({"a", "--at", "09:00", "--json"});
  const auto json = nlohmann::json::parse(said.out);
  EXPECT_EQ(json["tanks"], nlohmann::json({"a"}));
  EXPECT_EQ(json["can_isolate"], true);
  EXPECT_EQ(json["close"], nlohmann::json({"VA"}));
  EXPECT_NEAR(json["left_kg"].get<double>(), 99.97, 0.01);  // 100 L at 10 degC, any table
  EXPECT_NEAR(json["drains_l"].get<double>(), 500.0, 6.0);
  EXPECT_NEAR(json["cost"]["drained_l"].get<double>() + json["cost"]["bailed_l"].get<double>(),
              600.0, 0.5);
  EXPECT_TRUE(json["still_supplied"].empty());  // the tap hangs on `a`
  EXPECT_EQ(json["starts_at_s"], 9 * 3600.0);
  ASSERT_FALSE(json["steps"].empty());
  EXPECT_EQ(json["steps"][0]["does"], "turn_away");
  EXPECT_EQ(json["steps"].back()["does"], "put_back");
  EXPECT_TRUE(json["findings"].empty());

  const auto cannot = nlohmann::json::parse(Yard().isolate({"c", "--json"}).out);
  EXPECT_EQ(cannot["can_isolate"], false);
  EXPECT_TRUE(cannot["close"].empty());
  EXPECT_TRUE(cannot["steps"].empty());
  EXPECT_TRUE(cannot["drains_l"].is_null());
  EXPECT_EQ(cannot["fit_valves_on"], nlohmann::json({{"loop"}}));
  EXPECT_EQ(cannot["emptied_with"], nlohmann::json({"b"}));
  EXPECT_EQ(cannot["findings"][0]["kind"], "cannot-isolate");
}

TEST(IsolateCommand, MakesATableForTheWall) {
  const Said said = Yard().isolate({"--all"});
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_THAT(on_one_line(said.out),
              StartsWith("Thornfold: 2 of 4 tanks can be taken out by themselves."));
  const auto json = nlohmann::json::parse(Yard().isolate({"--all", "--json"}).out);
  ASSERT_EQ(json["isolations"].size(), 4U);
  EXPECT_EQ(json["isolations"][3]["tanks"], nlohmann::json({"lone"}));
  EXPECT_EQ(json["findings"].size(), 2U);
}

TEST(IsolateCommand, RefusesWhatItCannotUse) {
  const Yard at;
  struct Refused {
    std::vector<std::string> words;
    const char* says;
    const char* help;
  };
  const std::vector<Refused> all = {
      {{}, "needs a TANK after the PLAN", "--all"},
      {{"lones"}, "has no tank `lones`", "similar name: `lone`"},
      {{"trough"}, "has no tank `trough`", "lists its tanks"},
      {{"a", "a"}, "tank `a` is named twice", "name it once"},
      {{"a", "--all"}, "`--all` asks for every tank, and `a` for one", "leave one"},
      {{"--all", "--sheet", at.file("x.html")},
       "`--sheet` writes the steps of one job",
       "name the"},
      {{"a", "--at", "25:00"}, "`--at`", "write a clock time"},
      {{"a", "--at", "30 h"}, "is not within the plan's run", "lasts 24 h"},
      {{"a", "--work", "a while"}, "`--work`", ""},
      {{"a", "--work", "40 d"}, "`--work` is `40 d`", "30 days"},
      {{"a", "--tolerance", "1 km"}, "`--tolerance` is `1 km`", "must lie"},
      {{"a", "--sheet", at.file("no/x.html")}, "there is no folder", "make the folder"},
      {{"a", "--sheet", at.file("yard.toml")}, "would take the place of the plan", "another name"}};
  for (const Refused& each : all) {
    const Said said = at.isolate(each.words);
    EXPECT_EQ(said.status, 2) << each.says;
    EXPECT_EQ(said.out, "") << each.says;
    EXPECT_THAT(said.err, AllOf(HasSubstr(each.says), HasSubstr(each.help)));
  }
}

TEST(IsolateCommand, WritesNoSheetWithoutSteps) {
  const Yard at;
  const Said said = at.isolate({"c", "--sheet", at.file("c.html")});
  EXPECT_EQ(said.status, 0);
  EXPECT_THAT(said.err, HasSubstr("was not written: there are no steps"));
  EXPECT_FALSE(std::filesystem::exists(at.file("c.html")));
}

TEST(IsolateSheet, HoldsEveryStepOnOneA4Page) {
  const Yard at;
  EXPECT_EQ(at.isolate({"a", "--sheet", at.file("a.html")}).status, 0);
  const std::string html = text_of_file(at.file("a.html"));
  EXPECT_THAT(html, StartsWith("<!DOCTYPE html>"));
  EXPECT_THAT(html, HasSubstr("@page{size:A4"));
  EXPECT_THAT(html, HasSubstr("Shut <b>VA</b>"));
  EXPECT_THAT(html, HasSubstr("confined space"));
  EXPECT_THAT(html, HasSubstr("<svg"));
  // Nothing is fetched from anywhere, and nothing runs.
  for (const char* no : {"<script", "src=", "href=", "@import", "url(http"}) {
    EXPECT_THAT(html, Not(HasSubstr(no)));
  }
}

TEST(IsolateSheet, EscapesWhateverANameHolds) {
  std::string hostile = yard;
  const std::string name = "</style><script>alert('`&`')</script>";
  for (std::size_t at = hostile.find("\"a\""); at != std::string::npos;
       at = hostile.find("\"a\"", at)) {
    hostile.replace(at, 3, "\"" + name + "\"");
  }
  const Yard at(hostile);
  const Said said = at.isolate({name, "--sheet", at.file("a.html")});
  EXPECT_EQ(said.status, 0) << said.err;
  const std::string html = text_of_file(at.file("a.html"));
  EXPECT_THAT(html, Not(HasSubstr("<script")));
  EXPECT_THAT(html, HasSubstr("&lt;/style&gt;&lt;script&gt;"));
}

TEST(IsolateSheet, UsesLargeTypeWhereThereIsRoom) {
  const auto plan = read_plan(yard, "yard.toml");
  ASSERT_TRUE(plan);
  IsolateOptions options;
  options.starts_at_s = 9 * 3600.0;
  const auto study = study_isolation(plan->array, plan->sheet, {TankId{3}}, options);
  ASSERT_TRUE(study);
  const IsolateSheet few = isolate_sheet(*plan, *study);
  EXPECT_EQ(few.type_pt, 13.0);
  EXPECT_TRUE(few.with_reasons);
  EXPECT_TRUE(few.one_page);
  IsolateStudy long_one = *study;
  for (int k = 0; k < 12; ++k) long_one.steps.push_back(study->steps[0]);
  const IsolateSheet many = isolate_sheet(*plan, long_one);
  EXPECT_LT(many.type_pt, few.type_pt);
  EXPECT_TRUE(many.one_page);
  for (int k = 0; k < 200; ++k) long_one.steps.push_back(study->steps[0]);
  EXPECT_FALSE(isolate_sheet(*plan, long_one).one_page);
}

}  // namespace isolate_command_test
}  // namespace tankyard
