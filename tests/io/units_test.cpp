// SPDX-License-Identifier: MIT
// Units both ways. Source of truth: the definitions of the units (SI; the inch of 1959), worked out
// by hand beside each row, and the demand that what is written reads back to the same bits.
#include "io/units.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <clocale>
#include <cmath>
#include <limits>
#include <random>
#include <string>

#include "io/nearest.h"
#include "io/utf8.h"

namespace tankyard {
namespace units_test {

using ::testing::HasSubstr;

struct Row {
  const char* text;
  Dimension dimension;
  double si;
};

class UnitsTable : public ::testing::TestWithParam<Row> {};

TEST_P(UnitsTable, ReadsToTheNearestDouble) {
  const Row& row = GetParam();
  const auto read = parse_quantity(row.text, row.dimension);
  ASSERT_TRUE(read.has_value()) << row.text << " " << read.error().message;
  EXPECT_EQ(*read, row.si) << row.text;
}

INSTANTIATE_TEST_SUITE_P(
    Io, UnitsTable,
    ::testing::Values(
        Row{"19 mm", Dimension::length, 0.019}, Row{"9mm", Dimension::length, 0.009},
        Row{"0.0015 mm", Dimension::length, 1.5e-6}, Row{"  12.5  mm  ", Dimension::length, 0.0125},
        Row{"3 cm", Dimension::length, 0.03}, Row{"1.2 km", Dimension::length, 1200.0},
        Row{"-0.35 m", Dimension::length, -0.35}, Row{"+2 m", Dimension::length, 2.0},
        Row{".5 m", Dimension::length, 0.5}, Row{"5. m", Dimension::length, 5.0},
        Row{"1e3 mm", Dimension::length, 1.0}, Row{"1.5E-3 m", Dimension::length, 0.0015},
        Row{"0.75 in", Dimension::length, 0.01905},  // 25.4 mm x 0.75
        Row{"1 ft", Dimension::length, 0.3048}, Row{"7 um", Dimension::length, 7e-6},
        Row{"7 µm", Dimension::length, 7e-6}, Row{"66 m2", Dimension::area, 66.0},
        Row{"66 m²", Dimension::area, 66.0}, Row{"2 cm2", Dimension::area, 2e-4},
        Row{"1 ft2", Dimension::area, 0.09290304},  // 0.3048 squared
        Row{"450 L", Dimension::volume, 0.45}, Row{"450 l", Dimension::volume, 0.45},
        Row{"3 mL", Dimension::volume, 3e-6}, Row{"1.25 m3", Dimension::volume, 1.25},
        Row{"15 L/min", Dimension::flow, 0.00025}, Row{"1000 L/h", Dimension::flow, 1.0 / 3600.0},
        Row{"900 L/h", Dimension::flow, 0.00025}, Row{"2 L/s", Dimension::flow, 0.002},
        Row{"3.6 m3/h", Dimension::flow, 0.001}, Row{"86.4 m3/d", Dimension::flow, 0.001},
        Row{"6 L / min", Dimension::flow, 0.0001}, Row{"1.5 kPa", Dimension::pressure, 1500.0},
        Row{"2 bar", Dimension::pressure, 2e5}, Row{"15 mbar", Dimension::pressure, 1500.0},
        Row{"1013.25 hPa", Dimension::pressure, 101325.0},
        Row{"1 psi", Dimension::pressure, 6894.757293168},  // 0.45359237 x 9.80665 / 0.0254^2
        Row{"36 mm/h", Dimension::rain, 1e-5}, Row{"86.4 mm/d", Dimension::rain, 1e-6},
        Row{"14 degC", Dimension::temperature, 14.0}, Row{"14 °C", Dimension::temperature, 14.0},
        Row{"287.15 K", Dimension::temperature, 14.0},
        Row{"50 degF", Dimension::temperature, 10.0},  // (50 - 32) x 5 / 9
        Row{"-40 degF", Dimension::temperature, -40.0},
        Row{"9 degF", Dimension::temperature_difference, 5.0},
        Row{"14 K", Dimension::temperature_difference, 14.0},
        Row{"14 degC", Dimension::temperature_difference, 14.0},
        Row{"24 h", Dimension::duration, 86400.0}, Row{"90 min", Dimension::duration, 5400.0},
        Row{"2 d", Dimension::duration, 172800.0}, Row{"40 s", Dimension::duration, 40.0}));

TEST(Units, ReadTheSameInALanguageThatWritesCommas) {
  const char* const before = std::setlocale(LC_ALL, nullptr);
  const std::string kept = before == nullptr ? "C" : before;
  std::setlocale(LC_ALL, "de_DE.UTF-8");  // where it is not installed, the test is merely weaker
  EXPECT_EQ(parse_quantity("1.5 m", Dimension::length).value(), 1.5);
  EXPECT_EQ(quantity_text(0.0125, "mm"), "12.5 mm");
  EXPECT_EQ(litres_text(0.0125), "12.5 L");
  std::setlocale(LC_ALL, kept.c_str());
}

TEST(Units, TellADepthFromAVolume) {
  const std::vector<Dimension> either = {Dimension::length, Dimension::volume};
  EXPECT_EQ(parse_quantity("0.6 m", either)->dimension, Dimension::length);
  EXPECT_EQ(parse_quantity("660 L", either)->dimension, Dimension::volume);
  EXPECT_FALSE(parse_quantity("660 m2", either).has_value());
}

struct Wrong {
  const char* text;
  Dimension dimension;
  const char* message;  ///< a part of it
  const char* help;     ///< a part of it
  std::size_t first;
  std::size_t length;
};

class UnitsRefusal : public ::testing::TestWithParam<Wrong> {};

TEST_P(UnitsRefusal, SaysWhatIsWrongAndWhere) {
  const Wrong& wrong = GetParam();
  const auto read = parse_quantity(wrong.text, wrong.dimension);
  ASSERT_FALSE(read.has_value()) << wrong.text;
  EXPECT_THAT(read.error().message, HasSubstr(wrong.message));
  EXPECT_THAT(read.error().help, HasSubstr(wrong.help));
  EXPECT_EQ(read.error().first, wrong.first);
  EXPECT_EQ(read.error().length, wrong.length);
}

INSTANTIATE_TEST_SUITE_P(
    Io, UnitsRefusal,
    ::testing::Values(
        Wrong{"19 mmm", Dimension::length, "`mmm` is no unit", "`mm`", 3, 3},
        Wrong{"19 kPa", Dimension::length, "a pressure where a length is needed", "`19 mm`", 3, 3},
        Wrong{"19 L/min", Dimension::volume, "a flow where a volume is needed", "`450 L`", 3, 5},
        Wrong{"19 m/m", Dimension::length, "`m/m` is no unit", "`m", 3, 3},
        Wrong{"19 L/", Dimension::flow, "`L/` is no unit", "`L/", 3, 2},
        Wrong{"19", Dimension::length, "without a unit", "`19 mm`", 0, 2},
        Wrong{"1,5 m", Dimension::length, "comma", "`1.5 m`", 1, 1},
        Wrong{"1,500 L", Dimension::volume, "comma", "`1500 L`", 1, 1},
        Wrong{"1/2 in", Dimension::length, "fraction", "`0.5 in`", 0, 3},
        Wrong{"1/0 in", Dimension::length, "fraction", "decimal", 0, 3},
        Wrong{"nan m", Dimension::length, "not a finite number", "`19 mm`", 0, 5},
        Wrong{"inf m", Dimension::length, "not a finite number", "`19 mm`", 0, 5},
        Wrong{"-inf m", Dimension::length, "not a finite number", "`19 mm`", 0, 6},
        Wrong{"1e999 m", Dimension::length, "too large or too small", "`19 mm`", 0, 5},
        Wrong{"1e-999 m", Dimension::length, "too large or too small", "`19 mm`", 0, 6},
        Wrong{"1e308 bar", Dimension::pressure, "too large or too small", "`1.5 kPa`", 0, 5},
        Wrong{"0x10 m", Dimension::length, "`x10 m` is no unit", "`19 mm`", 1, 5},
        Wrong{"m", Dimension::length, "does not start with a number", "`19 mm`", 0, 1},
        Wrong{"-", Dimension::length, "does not start with a number", "`19 mm`", 0, 1},
        Wrong{"", Dimension::length, "is empty", "`19 mm`", 0, 0},
        Wrong{"   ", Dimension::length, "is empty", "`19 mm`", 0, 3},
        Wrong{"5 gal", Dimension::volume, "`gal` is no unit", "3.785 L", 2, 3},
        Wrong{"14 C", Dimension::temperature, "`C` is no unit", "`degC`", 3, 1},
        Wrong{"3 mm h", Dimension::rain, "`mm h` is no unit", "`mm/h`", 2, 4},
        Wrong{"3 µL", Dimension::volume, "`µL` is no unit", "`mL`", 2, 2}));

RC_GTEST_PROP(Units, WriteWhatReadsBackToTheSameBits, (double si)) {
  RC_PRE(std::isfinite(si) && std::abs(si) < 1e290 && (si == 0.0 || std::abs(si) > 1e-290));
  struct Written {
    const char* unit;
    Dimension dimension;
  };
  const auto written =
      *rc::gen::element(Written{"mm", Dimension::length}, Written{"in", Dimension::length},
                        Written{"m", Dimension::length}, Written{"L", Dimension::volume},
                        Written{"L/min", Dimension::flow}, Written{"L/h", Dimension::flow},
                        Written{"m3/h", Dimension::flow}, Written{"kPa", Dimension::pressure},
                        Written{"psi", Dimension::pressure}, Written{"mm/h", Dimension::rain},
                        Written{"degC", Dimension::temperature}, Written{"h", Dimension::duration},
                        Written{"min", Dimension::duration}, Written{"cm2", Dimension::area});
  const std::string text = quantity_text(si, written.unit);
  const auto read = parse_quantity(text, written.dimension);
  RC_ASSERT(read.has_value());
  RC_ASSERT(*read == si);
}

TEST(Units, WriteWhatReadsBackAtEverySize) {
  std::mt19937_64 random(20260401);  // a fixed seed: the same numbers at every run
  std::uniform_real_distribution<double> mantissa(1.0, 2.0);
  std::uniform_int_distribution<int> exponent(-80, 60);
  for (int i = 0; i < 20000; ++i) {
    const double si = std::ldexp(mantissa(random), exponent(random));
    for (const char* unit : {"in", "psi", "mm"}) {
      const Dimension dimension = *unit == 'p' ? Dimension::pressure : Dimension::length;
      ASSERT_EQ(parse_quantity(quantity_text(si, unit), dimension).value(), si) << unit << i;
    }
  }
}

RC_GTEST_PROP(Units, NeverStumbleOverAnyText, (const std::string& text)) {
  const auto read = parse_quantity(text, Dimension::flow);
  if (read) {
    RC_ASSERT(std::isfinite(*read));
  } else {
    RC_ASSERT(!read.error().message.empty());
    RC_ASSERT(!read.error().help.empty());
    RC_ASSERT(read.error().first + read.error().length <= characters_in(text));
  }
}

TEST(Units, WriteTheShortestText) {
  EXPECT_EQ(quantity_text(0.019, "mm"), "19 mm");
  EXPECT_EQ(quantity_text(0.00025, "L/min"), "15 L/min");
  EXPECT_EQ(quantity_text(0.1 + 0.2, "m"), "0.30000000000000004 m");
  EXPECT_EQ(quantity_text(-5.5, "degC"), "-5.5 degC");
}

TEST(Units, RoundForPeople) {
  EXPECT_EQ(litres_text(1.0449), "1045 L");
  EXPECT_EQ(litres_text(0.01251), "12.5 L");
  EXPECT_EQ(litres_text(0.00042), "0.42 L");
  EXPECT_EQ(litres_text(-0.0000001), "0 L");
  EXPECT_EQ(millimetres_text(0.019), "19 mm");
  EXPECT_EQ(millimetres_text(0.00035), "0.35 mm");
  EXPECT_EQ(litres_per_minute_text(0.000305), "18.3 L/min");
  EXPECT_EQ(duration_text(0.0), "0 s");
  EXPECT_EQ(duration_text(40.0), "40 s");
  EXPECT_EQ(duration_text(60.0), "1 min");
  EXPECT_EQ(duration_text(5400.0), "90 min");
  EXPECT_EQ(duration_text(86400.0), "24 h");
  EXPECT_EQ(duration_text(4205.0), "1 h 10 min 5 s");
  EXPECT_EQ(duration_text(23.5 * 3600.0), "23 h 30 min");
  EXPECT_EQ(duration_text(-60.0), "-1 min");
  EXPECT_EQ(duration_text(std::numeric_limits<double>::infinity()), "inf s");
}

TEST(Clock, ReadsAndWritesTimesOfDay) {
  EXPECT_EQ(parse_clock("06:30"), 23400.0);
  EXPECT_EQ(parse_clock("6:30"), 23400.0);
  EXPECT_EQ(parse_clock("06:30:15"), 23415.0);
  EXPECT_EQ(parse_clock("00:00"), 0.0);
  EXPECT_EQ(parse_clock("23:59:59"), 86399.0);
  for (const char* wrong :
       {"", ":", "6", "6:3", "24:00", "12:60", "12:00:60", "12:00:", "12:00:00:", "12:00:00:00",
        "-1:00", " 6:30", "6:30 ", "006:30", "6.30", "ab:cd"}) {
    EXPECT_EQ(parse_clock(wrong), std::nullopt) << wrong;
  }
  EXPECT_EQ(clock_text(23400.0), "06:30");
  EXPECT_EQ(clock_text(23415.0), "06:30:15");
  EXPECT_EQ(clock_text(86400.0 + 60.0), "00:01 on day 2");
  EXPECT_EQ(clock_text(86399.7), "00:00 on day 2");
}

RC_GTEST_PROP(Clock, ReadsBackWhatItWrote, ()) {
  const int s = *rc::gen::inRange(0, 86400);
  RC_ASSERT(parse_clock(clock_text(s)) == static_cast<double>(s));
}

TEST(Nearest, FindsTheSlipOfThePen) {
  const std::vector<std::string> names = {"shed-1", "shed-2", "butt", "rail"};
  EXPECT_EQ(nearest_name("shde-2", names), "shed-2");  // two swapped
  EXPECT_EQ(nearest_name("Shed-2", names), "shed-2");
  EXPECT_EQ(nearest_name("but", names), "butt");
  EXPECT_EQ(nearest_name("raill", names), "rail");
  EXPECT_EQ(nearest_name("orchard", names), std::nullopt);
  EXPECT_EQ(nearest_name("x", names), std::nullopt);
  EXPECT_EQ(nearest_name("", names), std::nullopt);
  EXPECT_EQ(slips_between("kitten", "sitting"), 3u);
  EXPECT_EQ(slips_between("tëich", "teich"), 1u);
}

}  // namespace units_test
}  // namespace tankyard
