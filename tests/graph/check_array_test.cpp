// SPDX-License-Identifier: MIT
#include "graph/check_array.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "cpu_time.h"
#include "graph/check_limits.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_array_test {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

TEST(CheckArray, HasNothingAgainstASoundYard) {
  EXPECT_EQ(told_in_full(check_array(sound_yard())), "");
}

std::vector<Limit> limits_of_site() {
  const auto site = [](double Site::*field) {
    return [field](Parts& parts, double value) { parts.site.*field = value; };
  };
  const auto about = [](const char* field) { return PartField{"site", 0, field}; };
  return {
      {site(&Site::altitude_m), -100.0, -100.1, about("altitude"), "altitude of the site is"},
      {site(&Site::altitude_m), 5000.0, 5000.1, about("altitude"), "altitude of the site is"},
      {site(&Site::water_temperature_degc), 0.1, 0.0, about("water_temperature"), "water temp"},
      {site(&Site::water_temperature_degc), 40.0, 40.1, about("water_temperature"), "water temp"},
      {site(&Site::air_temperature_degc), -30.0, -30.1, about("air_temperature"), "air temp"},
      {site(&Site::air_temperature_degc), 60.0, 60.1, about("air_temperature"), "air temp"},
      {site(&Site::air_swing_k), 0.0, -0.1, about("air_swing"), "air swing of the site is"},
      {site(&Site::air_swing_k), 100.0, 100.1, about("air_swing"), "air swing of the site is"},
      {site(&Site::warmest_hour), 0.0, -0.1, about("warmest_hour"), "warmest hour"},
      {site(&Site::warmest_hour), 24.0, 24.1, about("warmest_hour"), "warmest hour"},
      {site(&Site::coldest_hour), 0.0, -0.1, about("coldest_hour"), "coldest hour"},
      {site(&Site::coldest_hour), 24.0, 24.1, about("coldest_hour"), "coldest hour"},
      {site(&Site::coldest_hour), 14.9, 15.0, about("coldest_hour"), "are the same"},
      {site(&Site::water_price_per_m3), 0.0, -0.1, about("water_price"), "water price"},
  };
}

TEST(CheckArray, HoldsTheSiteToItsLimits) { expect_limits(limits_of_site()); }

TEST(CheckArray, SaysNotANumberInWords) {
  Parts parts = sound_yard();
  parts.hoses[0].bore_m = nan;
  expect_one(check_array(parts), {"hose", 0, "bore"}, "bore of hose `box-rail` is not a number");
}

// A shape that is wrong makes nothing else wrong: what leans on it waits until it is mended.
TEST(CheckArray, TellsOneMistakeOnce) {
  expect_mistakes({
      {"no floor",
       [](Parts& p) { std::get<Prism>(p.tanks[0].shape).area_m2 = 0.0; },
       {"tank", 0, "shape.prism.area"},
       "floor area"},
      {"no height",
       [](Parts& p) { std::get<Prism>(p.tanks[0].shape).height_m = nan; },
       {"tank", 0, "shape.prism.height"},
       "height"},
      {"base", [](Parts& p) { p.tanks[1].base_m = nan; }, {"tank", 1, "base"}, "base"},
      {"outlet height below, hose leans on it",
       [](Parts& p) { p.tanks[0].outlet_height_m = -1.0; },
       {"tank", 0, "outlet_height"},
       "outlet"},
      {"bore over both tanks",
       [](Parts& p) { p.hoses[2].bore_m = 1.9; },
       {"hose", 2, "bore"},
       "bore of hose `drum-pond` is 1900 mm, and tank `pond` only 800 mm high"},
      {"mouth far above the rim, and so above the crest",
       [](Parts& p) { p.hoses[1].from.height_m = 5.0; },
       {"hose", 1, "from.height"},
       "above its rim"},
      {"tank far up, and so above the crest",
       [](Parts& p) { p.tanks[1].base_m = 20000.0; },
       {"tank", 1, "base"},
       "base"},
      {"cracking head below nothing, and no non-return valve",
       [](Parts& p) { p.hoses[0].cracking_head_m = -1.0; },
       {"hose", 0, "cracking_head"},
       "cracking head of hose `box-rail` is -1 m"},
      {"overflow bore over the tank",
       [](Parts& p) { p.tanks[0].overflow->bore_m = 1.9; },
       {"tank", 0, "overflow.bore"},
       "overflow bore of tank `box` is 1900 mm, and tank `box` only 1000 mm high"},
      {"tap over the tank",
       [](Parts& p) { p.outlets[2].bore_m = 1.9; },
       {"outlet", 2, "bore"},
       "bore of outlet `can-tap` is 1900 mm, and tank `butt` only 900 mm high"},
      {"leak over the tank",
       [](Parts& p) { p.leaks[0].bore_m = 1.9; },
       {"leak", 0, "bore"},
       "bore of leak `seam` is 1900 mm, and tank `pond` only 800 mm high"},
  });
}

// None of these tables says how high the pond is; its overflow, hose and leak wait until one does.
TEST(CheckArray, LeansOnNoDepthTableThatIsWrong) {
  for (const DepthTable& table :
       {DepthTable{{}, {}}, DepthTable{{0.0}, {0.0}}, DepthTable{{0.0, 0.2}, {0.0}},
        DepthTable{{0.1, 0.2}, {0.0, 0.3}}, DepthTable{{0.0, 0.8, 0.2}, {0.0, 0.3, 2.4}},
        DepthTable{{0.0, 0.1, 0.2}, {0.0, 2.4, 0.3}}, DepthTable{{0.0, 0.0005}, {0.0, 0.002}}}) {
    Parts parts = sound_yard();
    parts.tanks[3].shape = table;
    expect_one(check_array(parts), {"tank", 3, "shape.table"}, "tank `pond`");
  }
}

TEST(CheckArray, KnowsMidnightFromBothSides) {
  Parts parts = sound_yard();
  parts.site.warmest_hour = 0.0;
  parts.site.coldest_hour = 24.0;
  expect_one(check_array(parts), {"site", 0, "coldest_hour"}, "are the same");
  std::swap(parts.site.warmest_hour, parts.site.coldest_hour);
  expect_one(check_array(parts), {"site", 0, "coldest_hour"}, "are the same");
  parts.site.coldest_hour = 12.0;
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

TEST(CheckArray, SaysTwoMistakesTwiceInPlanOrder) {
  Parts parts = sound_yard();
  parts.leaks[0].bore_m = 0.0;
  parts.hoses[1].bore_m = 0.0;
  parts.hoses[0].length_m = -1.0;
  parts.tanks[1].base_m = nan;
  parts.tanks[0].name = "";
  parts.site.altitude_m = 1e5;
  const Troubles troubles = check_array(parts);
  std::vector<std::string> where;
  for (const Trouble& each : troubles) {
    where.push_back(each.about.kind + std::to_string(each.about.index) + each.about.field);
  }
  EXPECT_THAT(where, testing::ElementsAre("site0altitude", "tank0name", "tank1base", "hose0length",
                                          "hose1bore", "leak0bore"));
}

TEST(CheckArray, GivesEachNameToOnePart) {
  expect_mistakes({
      {"two tanks",
       [](Parts& p) { p.tanks[2].name = "box"; },
       {"tank", 2, "name"},
       "two tanks are called `box`"},
      {"tank and header",
       [](Parts& p) { p.headers[0].name = "box"; },
       {"header", 0, "name"},
       "a tank and a header are both called `box`"},
      {"tank and hose", [](Parts& p) { p.hoses[0].name = "box"; }, {"hose", 0, "name"}, "a hose"},
      {"tank and pump", [](Parts& p) { p.pumps[0].name = "box"; }, {"pump", 0, "name"}, "a pump"},
      {"tank and outlet",
       [](Parts& p) { p.outlets[0].name = "box"; },
       {"outlet", 0, "name"},
       "a tank and an outlet are both called `box`"},
      {"tank and roof", [](Parts& p) { p.roofs[0].name = "box"; }, {"roof", 0, "name"}, "a roof"},
      {"tank and top-up",
       [](Parts& p) { p.top_ups[0].name = "box"; },
       {"top_up", 0, "name"},
       "a tank and a top-up are both called `box`"},
      {"tank and leak", [](Parts& p) { p.leaks[0].name = "box"; }, {"leak", 0, "name"}, "a leak"},
      {"tank and air line",
       [](Parts& p) { p.air_lines[0].name = "box"; },
       {"air_line", 0, "name"},
       "a tank and an air line are both called `box`"},
      {"air line and valve",
       [](Parts& p) { p.hoses[0].valve->name = "box-drum-air"; },
       {"hose", 0, "valve.name"},
       "an air line and a valve are both called `box-drum-air`"},
      {"tank and valve",
       [](Parts& p) { p.hoses[0].valve->name = "box"; },
       {"hose", 0, "valve.name"},
       "a tank and a valve are both called `box`"},
      {"valve on two hoses",
       [](Parts& p) { p.hoses[1].valve->name = "V1"; },
       {"hose", 1, "valve.name"},
       "valve `V1` is on two hoses: hose `box-rail` and hose `butt-rail`"},
  });
  Parts parts = sound_yard();
  parts.headers[0].name = "Box";  // another name
  EXPECT_EQ(told_in_full(check_array(parts)), "");
  parts.headers[0].name = "box";
  const Troubles troubles = check_array(parts);
  ASSERT_EQ(troubles.size(), 1u);
  ASSERT_TRUE(troubles[0].see_also.has_value());
  EXPECT_EQ(troubles[0].see_also->kind, "tank");
  EXPECT_EQ(troubles[0].see_also->index, 0u);
  EXPECT_EQ(troubles[0].see_also->field, "name");
}

TEST(CheckArray, TakesOnlyNamesThatCanBeShown) {
  const std::string longest(200, 'x');
  std::string longest_umlauts;
  for (int i = 0; i < 200; ++i) longest_umlauts += "\xc3\xbc";  // 200 characters of two bytes
  for (const std::string& good :
       {std::string("a"), std::string("north butt, 2"), longest, longest_umlauts}) {
    Parts parts = sound_yard();
    parts.tanks[1].name = good;
    parts.site.name = good;
    EXPECT_EQ(told_in_full(check_array(parts)), "");
  }
  for (const std::string& bad :
       {std::string("   "), std::string("a\nb"), std::string("a\x1b[1m"), std::string("a\x7f"),
        std::string("a\0b", 3), longest + "x", longest_umlauts + "\xc3\xbc"}) {
    Parts parts = sound_yard();
    parts.tanks[1].name = bad;
    expect_one(check_array(parts), {"tank", 1, "name"}, "name of tank 2 cannot be shown");
    parts = sound_yard();
    parts.site.name = bad;
    expect_one(check_array(parts), {"site", 0, "name"}, "name of the site cannot be shown");
  }
  Parts parts = sound_yard();
  parts.hoses[1].valve->name = "";
  expect_one(check_array(parts), {"hose", 1, "valve.name"}, "valve of hose 2 has no name");
  parts = sound_yard();
  parts.leaks[0].name = "";
  expect_one(check_array(parts), {"leak", 0, "name"}, "leak 1 has no name");
  parts = sound_yard();
  parts.air_lines[0].name = "";
  expect_one(check_array(parts), {"air_line", 0, "name"}, "air line 1 has no name");
  parts = sound_yard();
  parts.site.name = "";  // a site may go without
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

// A part without a name is told by its place, so that the message still leads there.
TEST(CheckArray, CallsANamelessPartByItsPlace) {
  Parts parts = sound_yard();
  parts.hoses[1].name = "";
  parts.hoses[1].bore_m = 0.0;
  const Troubles troubles = check_array(parts);
  ASSERT_EQ(troubles.size(), 2u) << told_in_full(troubles);
  EXPECT_EQ(troubles[1].message, "bore of hose 2 is 0 mm");
}

// n log n: a hundred times the yard in well under ten thousand times the time. 100 000 tanks in a
// chain, each overflowing into the next, take a fraction of a second; a square law would take
// hours.
TEST(CheckArray, ReadsALargeYardInNoTime) {
  Parts parts;
  const std::size_t count = 100000;
  for (std::size_t i = 0; i < count; ++i) {
    Tank butt;
    butt.name = "butt-" + std::to_string(i);
    butt.shape = Upright{0.6, 0.9};
    if (i + 1 < count) butt.overflow = Overflow{0.8, 0.05, 0.6, id_at<TankId>(i + 1)};
    parts.tanks.push_back(butt);
    if (i == 0) continue;
    Hose hose;
    hose.name = "hose-" + std::to_string(i);
    hose.from.place = id_at<TankId>(i - 1);
    hose.to.place = id_at<TankId>(i);
    hose.bore_m = 0.02;
    parts.hoses.push_back(hose);
  }
  const double start_s = cpu_s();
  EXPECT_EQ(told_in_full(check_array(parts)), "");
  const double took_s = cpu_s() - start_s;
  EXPECT_LT(took_s, 10.0);
}
}  // namespace check_array_test
}  // namespace tankyard
