// SPDX-License-Identifier: MIT
// `tankyard season` and the dry spell of `check`. Source of truth: the exit statuses and streams
// that the design fixes, and sums by hand.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <string>

#include "io/program.h"
#include "io/said.h"

namespace tankyard {
namespace season_command_test {

using ::testing::HasSubstr;
using Json = nlohmann::json;

constexpr const char* butt_plan = R"([site]
name = "Bramble End"
water_price = 3.0
[[tank]]
name = "butt"
shape = { prism = { area = "0.3 m2", height = "1 m" } }
water = "300 L"
[[outlet]]
name = "tap"
at = "butt"
draw = "10 L/min"
[[roof]]
name = "shed"
area = "10 m2"
runoff = 1.0
into = "butt"
)";
constexpr const char* use = R"(
[[use]]
outlet = "tap"
daily = "30 L"
at = "07:30"
)";

class SeasonCommand : public ::testing::Test {
 protected:
  SeasonCommand() {
    write("butt.toml", std::string(butt_plan) + use);
    write("bare.toml", butt_plan);
    // 20 dry days, then 10 mm.
    std::string rain = "date,rain_mm\n";
    for (int d = 1; d <= 21; ++d) {
      rain += "2021-06-" + std::string(d < 10 ? "0" : "") + std::to_string(d) +
              (d == 21 ? ",10\n" : ",0\n");
    }
    write("rain.csv", rain);
  }
  void write(const std::string& name, const std::string& text) {
    std::ofstream(folder_ / name, std::ios::binary) << text;
  }
  Said season(std::vector<std::string> words, const std::string& plan = "butt.toml") {
    words.insert(words.begin(), {"season", folder_ / plan});
    return say(words);
  }
  ScratchFolder folder_;
};

TEST_F(SeasonCommand, AnswersFirstAndTellsWhereEveryLitreWent) {
  const Said said = season({"--rain", folder_ / "rain.csv"});
  EXPECT_EQ(said.status, 0) << said.err;
  EXPECT_EQ(said.err, "");
  EXPECT_THAT(said.out,
              HasSubstr("Bramble End over 21 days of rain, 2021-06-01 to 2021-06-21: its own "
                        "water\ncovered 48 % of what was asked; 11 of 21 days of use were "
                        "short"));
  EXPECT_THAT(said.out, HasSubstr("One more tank like `butt`"));
  EXPECT_THAT(said.out, HasSubstr("fewer than two whole years"));
  EXPECT_THAT(said.out, HasSubstr("12:00 to 18:00, evenly (as reckoned)"));
  EXPECT_THAT(said.out, HasSubstr("rainwater is not drinking water"));
}

TEST_F(SeasonCommand, JsonHoldsMonthsAndTheirSums) {
  const Said said = season({"--rain", folder_ / "rain.csv", "--json", "--sizes", "--cover", "80%"});
  ASSERT_EQ(said.status, 0) << said.err;
  const Json json = Json::parse(said.out);
  ASSERT_EQ(json["months"].size(), 1U);
  EXPECT_EQ(json["months"][0]["month"], 6);
  EXPECT_NEAR(json["months"][0]["asked_l"].get<double>(), 630.0, 1e-9);
  EXPECT_NEAR(json["total"]["caught_l"].get<double>(), 100.0, 1e-6);
  EXPECT_NEAR(json["total"]["used_l"].get<double>(), 300.0, 2.0);
  EXPECT_EQ(json["total"]["mains_l"], 0.0);
  EXPECT_EQ(json["longest_survived"]["days"], 10);
  EXPECT_EQ(json["uses"][0]["first_short"], "2021-06-11");
  EXPECT_EQ(json["tanks"][0]["name"], "butt");
  EXPECT_EQ(json["rain"]["rows_are"], "days");
  EXPECT_EQ(json["sizes"]["cover"].size(), 6U);
  EXPECT_EQ(json["more_tanks"]["like"], "butt");
  EXPECT_TRUE(json["more_tanks"]["enough"].is_null())
      << "an empty tank brings nothing in three weeks";
}

TEST_F(SeasonCommand, RefusesWhatItCannotUseBeforeAnythingIsRun) {
  EXPECT_EQ(season({}).status, 2);
  EXPECT_THAT(season({}).err, HasSubstr("needs a rain record"));
  EXPECT_EQ(season({"--rain", folder_ / "none.csv"}).status, 2);
  EXPECT_THAT(season({"--rain", folder_ / "none.csv"}).err, HasSubstr("there is no such file"));
  const Said bare = season({"--rain", folder_ / "rain.csv"}, "bare.toml");
  EXPECT_EQ(bare.status, 2);
  EXPECT_THAT(bare.err, HasSubstr("it has no `[[use]]`"));
  for (const std::vector<std::string>& wrong :
       std::vector<std::vector<std::string>>{{"--unit", "furlong"},
                                             {"--missing", "maybe"},
                                             {"--pour", "3"},
                                             {"--pour", "30h"},
                                             {"--pour-at", "noon"},
                                             {"--pour-at", "22:00"},
                                             {"--cover", "0"},
                                             {"--cover", "120%"},
                                             {"--tolerance", "9 L"}}) {
    std::vector<std::string> words = {"--rain", folder_ / "rain.csv"};
    words.insert(words.end(), wrong.begin(), wrong.end());
    const Said said = season(words);
    EXPECT_EQ(said.status, 2) << wrong[0] << " " << wrong[1];
    EXPECT_EQ(said.out, "");
    EXPECT_THAT(said.err, HasSubstr("help: ")) << wrong[0];
  }
}

TEST_F(SeasonCommand, MistakesInTheRainFileStandWithLineAndColumn) {
  write("bad.csv", "date,rain_mm\n2021-06-01,1\n2021-06-02,wet\n2021-06-32,1\n");
  const Said said = season({"--rain", folder_ / "bad.csv"});
  EXPECT_EQ(said.status, 2);
  EXPECT_EQ(said.out, "");
  EXPECT_THAT(said.err, HasSubstr("bad.csv:3:12: error: `wet` is no depth of rain"));
  EXPECT_THAT(said.err, HasSubstr("bad.csv:4:1: error: `2021-06-32`"));
  EXPECT_THAT(said.err, HasSubstr("2 mistakes; nothing was run"));
}

TEST_F(SeasonCommand, HeavierPoursAndOtherHoursChangeTheAnswerAsTold) {
  const Said said =
      season({"--rain", folder_ / "rain.csv", "--json", "--pour", "90min", "--pour-at", "01:00"});
  ASSERT_EQ(said.status, 0) << said.err;
  const Json json = Json::parse(said.out);
  EXPECT_EQ(json["rain"]["poured"]["starts_clock_s"], 3600.0);
  EXPECT_EQ(json["rain"]["poured"]["lasts_s"], 5400.0);
  EXPECT_NEAR(json["total"]["used_l"].get<double>(), 330.0, 2.0) << "rain before the last watering";
}

TEST_F(SeasonCommand, CheckTellsHowLongTheWaterLasts) {
  const Said said = say({"check", folder_ / "butt.toml"});
  EXPECT_THAT(said.out, HasSubstr("lasts 10 days without rain"));
  const Said dry = say({"check", folder_ / "butt.toml", "--dry", "40d"});
  EXPECT_THAT(dry.out, HasSubstr("in 40 days it is"));
  EXPECT_THAT(dry.out, HasSubstr("short of 1200 L"));
  EXPECT_THAT(say({"check", folder_ / "butt.toml", "--dry", "5d"}).out,
              HasSubstr("lasts all of 5 days without rain"));
  EXPECT_EQ(say({"check", folder_ / "butt.toml", "--dry", "36h"}).status, 2);
  EXPECT_EQ(say({"check", folder_ / "bare.toml", "--dry", "5d"}).status, 2);
  EXPECT_THAT(say({"check", folder_ / "bare.toml"}).out, ::testing::Not(HasSubstr("Without rain")));
}

}  // namespace season_command_test
}  // namespace tankyard
