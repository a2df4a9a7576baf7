// SPDX-License-Identifier: MIT
// Rain records. Source of truth: sums by hand, RFC 4180, and what a person would point at.
#include "io/rain_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "io/rain_cells.h"
#include "io/trouble_text.h"
#include "near.h"

namespace tankyard {
namespace rain_file_test {

using ::testing::HasSubstr;

RainFile must_read(std::string_view text, const RainFileOptions& options = {}) {
  Result<RainFile> file = read_rain(text, "rain.csv", options);
  if (file) return std::move(*file);
  ADD_FAILURE() << in_words(file.error(), text);
  return {};
}

std::string told(std::string_view text, const RainFileOptions& options = {}) {
  const Result<RainFile> file = read_rain(text, "rain.csv", options);
  if (file) return "no mistake";
  return in_words(file.error(), text);
}

double sum_mm(const RainFile& file) {
  double sum_m = 0.0;
  for (const RainDay& day : file.rain.days) sum_m += day.depth_m;
  return 1e3 * sum_m;
}

TEST(RainFile, ReadsDaysByTheirHeadingsInAnyOrder) {
  const RainFile file = must_read(
      "\xEF\xBB\xBF# a school garden\r\nwind,Rain (mm),Date\r\n3,0.0,2014-02-27\r\n"
      "4,12.5,2014-02-28\r\n\r\n1,\"3\",2014-03-01\r\n");
  ASSERT_EQ(file.rain.days.size(), 3U);
  EXPECT_EQ(date_text(file.rain.first), "2014-02-27");
  EXPECT_TRUE(near(sum_mm(file), 15.5, {1e-12, 0.0}));
  EXPECT_EQ(file.unit, "mm");
  EXPECT_EQ(file.column, "Rain (mm)");
  EXPECT_EQ(file.rows_are, RainRows::days);
  EXPECT_TRUE(file.rain.days[1].showers.empty());
}

TEST(RainFile, KnowsUnitsSeparatorsAndWaysToWriteADate) {
  EXPECT_TRUE(
      near(sum_mm(must_read("date;precip_in\n2014/2/27;0,5\n2014/2/28;1\n")), 38.1, {1e-12, 0.0}));
  EXPECT_TRUE(near(sum_mm(must_read("day\train [cm]\n27.2.2014\t1,5\n28.2.2014\t0\n")), 15.0,
                   {1e-12, 0.0}));
  EXPECT_TRUE(
      near(sum_mm(must_read("timestamp,PRCP mm\n20140227,1\n20140228,2\n")), 3.0, {1e-12, 0.0}));
  RainFileOptions options;
  options.unit = "inches";
  options.column = "amount";
  EXPECT_TRUE(near(sum_mm(must_read("date,amount\n2014-02-27,1\n", options)), 25.4, {1e-12, 0.0}));
}

TEST(RainFile, SaysWhichDaysAreMissingAndTreatsThemAsAsked) {
  const std::string text =
      "date,rain_mm\n2014-04-01,10\n2014-04-02,NA\n2014-04-05,2\n2014-04-06,\n2014-04-07,T\n";
  const RainFile file = must_read(text);
  ASSERT_EQ(file.rain.days.size(), 7U);
  EXPECT_EQ(file.missing_days, 4U);
  ASSERT_EQ(file.missing.size(), 2U);
  EXPECT_EQ(date_text(file.missing[0].from), "2014-04-02");
  EXPECT_EQ(date_text(file.missing[0].until), "2014-04-04");
  EXPECT_EQ(date_text(file.missing[1].from), "2014-04-06");
  EXPECT_EQ(file.traces, 1U);
  EXPECT_FALSE(file.rain.days[1].measured);
  EXPECT_TRUE(near(sum_mm(file), 12.0, {1e-12, 0.0}));

  RainFileOptions average;
  average.missing = MissingDays::average;
  EXPECT_TRUE(near(sum_mm(must_read(text, average)), 12.0 + 4 * 4.0, {1e-12, 0.0}))
      << "three April days with 4 mm on average";

  RainFileOptions refuse;
  refuse.missing = MissingDays::refuse;
  EXPECT_THAT(told(text, refuse), HasSubstr("2014-04-02 to 2014-04-04 were not measured"));
  EXPECT_THAT(told(text, refuse), HasSubstr("2 mistakes; nothing was run"));
}

TEST(RainFile, HourlyRowsFallInTheHourThatBeginsThen) {
  std::string text = "time,rain_mm\n";
  for (int h = 0; h < 48; ++h) {
    if (h == 30) continue;  // a gap on the second day
    text += "2014-04-0" + std::to_string(1 + h / 24) + " " + std::to_string(h % 24) + ":00," +
            (h == 13   ? "6"
             : h == 25 ? "1.5"
                       : "0") +
            "\n";
  }
  const RainFile file = must_read(text);
  EXPECT_EQ(file.rows_are, RainRows::intervals);
  EXPECT_EQ(file.interval_s, 3600.0);
  ASSERT_EQ(file.rain.days.size(), 2U);
  ASSERT_EQ(file.rain.days[0].showers.size(), 1U);
  EXPECT_EQ(file.rain.days[0].showers[0].starts_s, 13.0 * 3600.0);
  EXPECT_EQ(file.rain.days[0].showers[0].lasts_s, 3600.0);
  EXPECT_TRUE(near(file.rain.days[0].depth_m, 0.006, {1e-12, 0.0}));
  EXPECT_EQ(file.rain.days[1].showers[0].starts_s, 3600.0);
}

TEST(RainFile, ADateAndATimeMayStandInTwoColumns) {
  const RainFile file =
      must_read("date,time,rain_mm\n2014-04-01,22:00,1\n2014-04-01,23:00,2\n2014-04-02,00:00,3\n");
  EXPECT_EQ(file.rows_are, RainRows::intervals);
  EXPECT_TRUE(near(file.rain.days[1].depth_m, 0.003, {1e-12, 0.0}));
}

TEST(RainFile, IrregularRowsFallSinceTheRowBefore) {
  const RainFile file = must_read(
      "time,rain_mm\n2014-04-01T08:00,0\n2014-04-01T20:30,5\n2014-04-02T01:15,3.6\n"
      "2014-04-09T01:00:07Z,2.4\n");
  EXPECT_EQ(file.rows_are, RainRows::events);
  ASSERT_EQ(file.rain.days.size(), 9U);
  EXPECT_TRUE(near(sum_mm(file), 11.0, {1e-9, 0.0}));
  // 3.6 mm in 4.75 h to 01:15, of which 3.5 h on the first day.
  EXPECT_TRUE(near(1e3 * file.rain.days[0].depth_m, 5.0 + 3.6 * 3.5 / 4.75, {1e-9, 0.0}));
  // 2.4 mm after a week: within a day at most.
  EXPECT_TRUE(
      near(1e3 * file.rain.days[7].depth_m, 2.4 * (24.0 - 1.0 - 7.0 / 3600.0) / 24.0, {1e-6, 0.0}));
  EXPECT_EQ(file.rain.days[4].depth_m, 0.0);
  EXPECT_EQ(file.missing_days, 0U);
}

TEST(RainFile, ReadingsAtOneTimeADayAreDays) {
  const RainFile file =
      must_read("time,rain_mm\n2014-04-01 09:00,1\n2014-04-02 09:00,2\n2014-04-04 09:00,3\n");
  EXPECT_EQ(file.rows_are, RainRows::days);
  EXPECT_EQ(file.missing_days, 1U);
}

TEST(RainFile, TellsEveryMistakeWithItsPlace) {
  const std::string text =
      "date,rain_mm\n2014-04-01,1.5\n2014-04-31,2\n2014-04-02,2 mm\n05/04/2014,1\n"
      "2014-04-04,-3\n2014-04-05\n2014-04-06,3,4\n";
  const std::string says = told(text);
  EXPECT_THAT(says, HasSubstr("rain.csv:3:1: error: `2014-04-31` is a day that its month does not "
                              "have\n    3 | 2014-04-31,2\n      | ^^^^^^^^^^\n"));
  EXPECT_THAT(says, HasSubstr("rain.csv:4:12: error: `2 mm` is no depth of rain\n    4 | "
                              "2014-04-02,2 mm\n      |            ^^^^\n"));
  EXPECT_THAT(says, HasSubstr("rain.csv:5:1: error: `05/04/2014` may be day and month either way"));
  EXPECT_THAT(says, HasSubstr("rain.csv:6:12: error: a depth of rain is -3 mm"));
  EXPECT_THAT(says, HasSubstr("rain.csv:7:1: error: this row has 1 values"));
  EXPECT_THAT(says, HasSubstr("rain.csv:8:1: error: this row has 3 values"));
  EXPECT_THAT(says, HasSubstr("6 mistakes; nothing was run"));
}

TEST(RainFile, TellsRowsThatAreTwiceOrOutOfOrder) {
  const std::string says =
      told("date,rain_mm\n2014-04-01,1\n2014-04-01,2\n2014-03-30,3\n2014-04-02,0\n");
  EXPECT_THAT(says, HasSubstr("rain.csv:3:1: error: `2014-04-01` is there twice"));
  EXPECT_THAT(says, HasSubstr("rain.csv:4:1: error: `2014-03-30` comes before the row above it"));
}

TEST(RainFile, CountsMistakesThatAreTooManyToTell) {
  std::string text = "date,rain_mm\n";
  for (int k = 0; k < 100; ++k) text += "x,y\n";
  EXPECT_THAT(told(text), HasSubstr("160 more mistakes in this file are not shown"));
}

TEST(RainFile, SaysWhatIsWrongWithTheHeadings) {
  EXPECT_THAT(told("date,precipitation\n2014-04-01,1\n"),
              HasSubstr("rain.csv:1:6: error: the heading `precipitation` does not say in which "
                        "unit its depths are"));
  EXPECT_THAT(told("when,rain_mm\n1,1\n"), HasSubstr("no column of this file is called `date`"));
  EXPECT_THAT(told("date,wet_mm\n2014-04-01,1\n"),
              HasSubstr("no column of this file is called `rain`"));
  EXPECT_THAT(told("date,rain_mm,rain_in\n2014-04-01,1,1\n"), HasSubstr("may both be the depths"));
  EXPECT_THAT(told("2014-04-01\n"), HasSubstr("one heading alone"));
  EXPECT_THAT(told(""), HasSubstr("the file is empty"));
  EXPECT_THAT(told("date,rain_mm\n"), HasSubstr("no row of rain"));
  RainFileOptions options;
  options.column = "wat_mm";
  EXPECT_THAT(told("date,wet_mm\n2014-04-01,1\n", options), HasSubstr("similar name: `wet_mm`"));
  options = {};
  options.unit = "in";
  EXPECT_THAT(told("date,rain_mm\n2014-04-01,1\n", options), HasSubstr("heading says mm"));
}

TEST(RainFile, RefusesWhatCannotBe) {
  EXPECT_THAT(told("date,rain_m\n2014-04-01,12.5\n"), HasSubstr("more than ever fell in a day"));
  EXPECT_THAT(told("time,rain_mm\n2014-04-01 01:00,900\n2014-04-01 01:10,0\n2014-04-01 01:20,1\n"
                   "2014-04-01 01:30,1\n"),
              HasSubstr("heavier than the 1000 mm/h"));
  EXPECT_THAT(told("date,rain_mm\n1700-04-01,1\n2014-04-01,1\n"), HasSubstr("over 314 years"));
  EXPECT_THAT(told("date,rain_mm\n2014-04-01,NA\n"),
              HasSubstr("no day of this record was measured"));
}

TEST(RainFile, NeverFallsOverTornText) {
  // Every prefix of a record, and every byte of it put wrong: an answer or mistakes, no more.
  const std::string text = "date,\"rain, mm\"\n2014-04-01 10:00,1.5\n\"2014-04-02\",\"2\"\n";
  for (std::size_t k = 0; k <= text.size(); ++k) {
    (void)read_rain(text.substr(0, k), "rain.csv");
    for (const char wrong : {'\0', '"', ',', '\xFF', '9', '-'}) {
      std::string torn = text;
      if (k < torn.size()) torn[k] = wrong;
      const Result<RainFile> file = read_rain(torn, "rain.csv");
      if (!file) {
        EXPECT_FALSE(in_words(file.error(), torn).empty());
      }
    }
  }
}

TEST(RainCells, TakesHeadingsApart) {
  EXPECT_EQ(heading_of_column("Rain (mm)").unit, "mm");
  EXPECT_EQ(heading_of_column("Rain (mm)").name, "rain");
  EXPECT_EQ(heading_of_column("precip_in").name, "precip");
  EXPECT_EQ(heading_of_column("rain").unit, "");
  EXPECT_EQ(heading_of_column("Precipitation [inches]").unit, "in");
  EXPECT_EQ(cells_of("a,\"b \"\"c\"\", d\",e", ',').size(), 3U);
  EXPECT_EQ(cells_of("a,\"b \"\"c\"\", d\",e", ',')[1].text, "b \"c\", d");
}

}  // namespace rain_file_test
}  // namespace tankyard
