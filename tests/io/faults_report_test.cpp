// SPDX-License-Identifier: MIT
// What `faults` says to people and programs, and how it is stopped.
#include <gmock/gmock.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "program.h"
#include "said.h"

namespace tankyard {
namespace faults_report_test {

using testing::HasSubstr;
using testing::Not;

constexpr const char* two_tanks = R"([site]
name = "Bramble End"
[[tank]]
name = "upper"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0.6 m"
[[tank]]
name = "lower"
shape = { prism = { area = "1 m2", height = "1 m" } }
water = "0.6 m"
[[hose]]
name = "link"
from = "upper"
to = "lower"
bore = "25 mm"
length = "2 m"
)";

std::string plan_in(const ScratchFolder& folder, const std::string& text) {
  const std::string path = folder / "yard.toml";
  std::ofstream(path) << text;
  return path;
}

TEST(FaultsReport, GivesTheAnswerFirstAndWhatToFit) {
  const ScratchFolder folder;
  const Said said = say({"faults", plan_in(folder, two_tanks)});
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_THAT(said.out,
              testing::StartsWith("Bramble End: none of 3 single failures harms a tank."));
  EXPECT_THAT(said.out, HasSubstr("warning: burst-drains at `link`"));
  EXPECT_THAT(said.out, HasSubstr("fit a valve right at"));
  EXPECT_THAT(said.out, HasSubstr("`link` off at either end"));
  EXPECT_THAT(said.out, HasSubstr("the plan has no day sheet, so a quiet night was taken"));
  EXPECT_EQ(said.err, "");
}

TEST(FaultsReport, IsOneObjectForPrograms) {
  const ScratchFolder folder;
  const Said said = say({"faults", plan_in(folder, two_tanks), "--json", "--threads", "2"});
  const auto json = nlohmann::json::parse(said.out);
  EXPECT_EQ(json["failures_in_all"], 3);
  EXPECT_EQ(json["quiet_night_assumed"], true);
  EXPECT_EQ(json["stopped"], false);
  const auto& worst = json["failures"][0];
  EXPECT_EQ(worst["failed"][0]["part"], "link");
  EXPECT_NEAR(worst["lost_l"].get<double>(), 1200.0, 30.0);
  EXPECT_EQ(worst["emptied"], (nlohmann::json{"upper", "lower"}));
  EXPECT_EQ(worst["first_sign"]["kind"], "water_runs");
  EXPECT_EQ(worst["first_sign"]["at_s"], 0.0);
}

TEST(FaultsReport, SaysTheSameWithOneThreadOrMany) {
  const ScratchFolder folder;
  const std::string demo = std::string(TANKYARD_SOURCE_DIR) + "/examples/larch-hill.toml";
  for (const std::vector<std::string>& asked :
       {std::vector<std::string>{"faults", demo, "--no-pairs", "--json", "--threads"},
        {"faults", plan_in(folder, two_tanks), "--json", "--threads"}}) {
    std::vector<std::string> on_one = asked;
    std::vector<std::string> on_four = asked;
    on_one.emplace_back("1");
    on_four.emplace_back("4");
    const Said one = say(on_one);
    EXPECT_EQ(one.status, 0);
    EXPECT_EQ(one.out, say(on_four).out);
  }
}

TEST(FaultsReport, LeavesPairsOutWhenAskedTo) {
  const ScratchFolder folder;
  const Said said = say({"faults", plan_in(folder, two_tanks), "--no-pairs", "--json"});
  EXPECT_EQ(nlohmann::json::parse(said.out)["pairs_in_all"], 0);
}

TEST(FaultsReport, HasNothingToSayOfALoneTank) {
  const ScratchFolder folder;
  const Said said = say({"faults", plan_in(folder, R"([[tank]]
name = "butt"
shape = { prism = { area = "1 m2", height = "1 m" } }
)")});
  EXPECT_EQ(said.status, 0);
  EXPECT_THAT(said.out, HasSubstr("nothing in this plan that could fail"));
}

TEST(FaultsReport, RefusesThreadsThatAreNone) {
  for (const char* wrong : {"0", "two", "-1", "1.5", "100000", ""}) {
    const Said said = say({"faults", "no-such-plan.toml", "--threads", wrong});
    EXPECT_EQ(said.status, 2) << wrong;
    EXPECT_THAT(said.err, HasSubstr("write a whole number from 1 to")) << wrong;
    EXPECT_EQ(said.out, "");
  }
}

// A row of closed tanks takes far longer than the half second it is given.
TEST(FaultsReport, PrintsWhatIsKnownWhenCtrlCIsPressed) {
  const ScratchFolder folder;
  std::string text = "[run]\nlasts = \"24 h\"\n";
  for (int k = 1; k <= 10; ++k) {
    const std::string name = "cage-" + std::to_string(k);
    text += "[[tank]]\nname = \"" + name +
            "\"\nshape = { prism = { area = \"1.1 m2\", height = \"1 m\" } }\n"
            "water = \"0." +
            std::to_string(9 - k % 5) +
            " m\"\nlid = { hole = \"4 mm\" }\n"
            "overflow = { height = \"0.95 m\", bore = \"50 mm\" }\n";
    if (k > 1) {
      text += "[[hose]]\nname = \"link-" + std::to_string(k) + "\"\nfrom = \"cage-" +
              std::to_string(k - 1) + "\"\nto = \"" + name +
              "\"\nbore = \"25 mm\"\nlength = \"2 m\"\n";
    }
  }
  text +=
      "[[outlet]]\nname = \"tap\"\nat = { at = \"cage-10\", height = \"0.1 m\" }\ndraw = \"5 "
      "L/min\"\n"
      "[[step]]\nat = \"06:00\"\nopen = [\"tap\"]\n[[step]]\nat = \"08:00\"\nclose = [\"tap\"]\n";
  plan_in(folder, text);
  // Late enough to have begun on a crowded machine; the whole takes some 4 s on an idle one.
  const Ended ended = shell("timeout -s INT 1.5 '" TANKYARD_PROGRAM
                            "' faults yard.toml 2> err.txt; "
                            "status=$?; cat err.txt; exit $status",
                            folder.path());
  // `timeout` itself says 124 when it had to act; the program's own ending is 130.
  EXPECT_EQ(ended.status, 124);
  EXPECT_THAT(ended.out, HasSubstr("stopped by Ctrl-C; what was known by then is printed"));
  EXPECT_THAT(ended.out, HasSubstr("How it was found"));
}

}  // namespace faults_report_test
}  // namespace tankyard
