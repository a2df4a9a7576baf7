// SPDX-License-Identifier: MIT
// Plans in. Sources of truth: the key tables of io/README.md, worked out by hand here; for what is
// wrong with a plan, tests/io/bad_plans, where beside each NAME.toml stands NAME.expected, the
// exact words. To renew those after a change of wording run the test once with RENEW_EXPECTED=1,
// read the difference, and commit it by itself with the reason.
#include "io/plan_file.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

#include "io/trouble_text.h"
#include "io/utf8.h"
#include "solver/fittings.h"
#include "solver/shell.h"

namespace tankyard {
namespace plan_file_test {

namespace fs = std::filesystem;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

std::string file_text(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::string in_words_or_ok(const std::string& text, const std::string& file = "plan.toml") {
  const Result<Plan> plan = read_plan(text, file);
  return plan ? "ok" : in_words(plan.error(), text);
}

/// The plan, which must read.
Plan good(const std::string& text) {
  Result<Plan> plan = read_plan(text, "plan.toml");
  if (!plan) throw std::runtime_error(in_words(plan.error(), text));  // ends this test alone
  return std::move(*plan);
}

/// The block in `language` number `count` of a document.
std::string block_of(const std::string& document, const std::string& language, int count = 0) {
  std::size_t at = 0;
  const std::string fence = "```" + language + "\n";
  for (int i = 0; i <= count; ++i) at = document.find(fence, at) + fence.size();
  return document.substr(at, document.find("```", at) - at);
}

const std::string tank = R"([[tank]]
name = "shed-1"
shape = { prism = { area = "1.1 m2", height = "1.0 m" } }
)";
const std::string butt = R"([[tank]]
name = "butt"
shape = { upright = { diameter = "0.6 m", height = "0.9 m" } }
)";
const std::string hose = R"([[hose]]
from = "shed-1"
to = "butt"
bore = "19 mm"
length = "1.5 m"
)";

// ---- what is wrong -------------------------------------------------------------------------

std::vector<std::string> bad_plans() {
  std::vector<std::string> names;
  for (const auto& entry :
       fs::directory_iterator(fs::path(TANKYARD_SOURCE_DIR) / "tests/io/bad_plans")) {
    if (entry.path().extension() == ".toml") names.push_back(entry.path().stem().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

class BadPlan : public ::testing::TestWithParam<std::string> {};

TEST_P(BadPlan, IsToldInTheseWords) {
  const fs::path folder = fs::path(TANKYARD_SOURCE_DIR) / "tests/io/bad_plans";
  const std::string text = file_text(folder / (GetParam() + ".toml"));
  const fs::path expected = folder / (GetParam() + ".expected");
  const std::string told = in_words_or_ok(text, GetParam() + ".toml");
  if (std::getenv("RENEW_EXPECTED") != nullptr) {
    std::ofstream(expected, std::ios::binary) << told;
    GTEST_SKIP() << "renewed " << expected;
  }
  ASSERT_TRUE(fs::exists(expected)) << expected;
  EXPECT_EQ(told, file_text(expected));
  EXPECT_NE(told, "ok");
}

INSTANTIATE_TEST_SUITE_P(Io, BadPlan, ::testing::ValuesIn(bad_plans()), [](const auto& plan) {
  std::string name = plan.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST(BadPlans, AreManyAndEachHasItsWords) {
  EXPECT_GE(bad_plans().size(), 150u);
  for (const auto& entry :
       fs::directory_iterator(fs::path(TANKYARD_SOURCE_DIR) / "tests/io/bad_plans")) {
    fs::path other = entry.path();
    other.replace_extension(entry.path().extension() == ".toml" ? ".expected" : ".toml");
    EXPECT_TRUE(fs::exists(other)) << entry.path() << " stands alone";
  }
}

TEST(PlanFile, SortsTroublesByPlace) {
  const std::string text =
      file_text(fs::path(TANKYARD_SOURCE_DIR) / "tests/io/bad_plans/many-mistakes-at-once.toml");
  const Result<Plan> plan = read_plan(text, "plan.toml");
  ASSERT_FALSE(plan.has_value());
  EXPECT_THAT(plan.error(), SizeIs(10));
  for (std::size_t i = 1; i < plan.error().size(); ++i) {
    EXPECT_LE(plan.error()[i - 1].spot->line, plan.error()[i].spot->line);
  }
}

// ---- what a good plan says -----------------------------------------------------------------

TEST(PlanFile, ReadsTheWorkedExampleOfItsDocument) {
  const std::string document = file_text(fs::path(TANKYARD_SOURCE_DIR) / "io/README.md");
  std::string text = block_of(document, "toml");
  const Plan plan = good(text);
  EXPECT_THAT(plan.array.tanks(), SizeIs(2));
  EXPECT_EQ(plan.array.hoses()[0].name, "long-tank-suction");
  EXPECT_EQ(plan.array.hoses()[1].name, "cage-suction");
  EXPECT_EQ(plan.array.hoses()[1].loss_k, 1.8);
  ASSERT_THAT(plan.sheet.steps, SizeIs(4));
  EXPECT_EQ(plan.sheet.steps[2].at_s, 4 * 3600.0);
  // ... and the mistake that the document shows.
  const std::string right = "to = \"trough\"";
  text.replace(text.find(right), right.size(), "to = \"through\"");
  EXPECT_EQ(in_words_or_ok(text, "dairy.toml"), block_of(document, "text"));
}

TEST(PlanFile, ReadsTheStarterPlan) {
  const Plan plan = good(starter_plan());
  EXPECT_THAT(plan.array.tanks(), SizeIs(3));
  EXPECT_THAT(plan.sheet.steps, SizeIs(4));
  // Its tap lies below the water of every tank, and the rims stand at one height.
  for (const Tank& each : plan.array.tanks()) {
    EXPECT_GT(each.base_m + depth_m(each.shape, each.water_m3), *plan.array.outlets()[0].height_m);
    EXPECT_DOUBLE_EQ(rim_m(each), 1.45);
  }
  const std::string text = starter_plan();
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    EXPECT_LE(characters_in(text.substr(at, end - at)), 100u) << text.substr(at, end - at);
    at = end + 1;
  }
}

TEST(PlanFile, FillsInWhatIsLeftOut) {
  const Plan plan = good(tank + butt + hose);
  const Tank& first = plan.array.tanks()[0];
  EXPECT_EQ(first.base_m, 0.0);
  EXPECT_EQ(first.water_m3, 0.0);
  EXPECT_EQ(first.lid.kind, Lid::Kind::open);
  EXPECT_FALSE(first.overflow.has_value());
  const Hose& only = plan.array.hoses()[0];
  EXPECT_EQ(only.name, "shed-1-butt");
  EXPECT_EQ(only.roughness_m, 1.5e-6);
  EXPECT_EQ(only.loss_k, 0.0);
  EXPECT_FALSE(only.valve.has_value());
  EXPECT_TRUE(only.open);
  EXPECT_EQ(plan.sheet.lasts_s, 86400.0);
  EXPECT_EQ(plan.sheet.starts_clock_s, 0.0);
  EXPECT_EQ(plan.array.parts().site.water_temperature_degc, 10.0);
  EXPECT_EQ(plan.stock.run_per_metre, 1.0);
  EXPECT_EQ(plan.file, "plan.toml");
}

TEST(PlanFile, TellsOnceForAllPartsWhatItAssumed) {
  EXPECT_THAT(
      good(tank + butt + hose + hose).assumed,
      ElementsAre(
          "both tanks: `water` left out, taken as empty at the start",
          "both tanks: `lid` left out, taken as open to the air, so that no vacuum can form",
          "both hoses: `roughness` left out, taken as smooth plastic, 0.0015 mm",
          "both hoses: neither `loss` nor `fittings` given, so nothing is lost between the "
          "ends but along the hose"));
  const std::string full_tank =
      tank + "water = \"0 L\"\nlid = \"sealed\"\nallowed_vacuum = \"2 kPa\"\n";
  EXPECT_THAT(good(full_tank).assumed, IsEmpty());
  EXPECT_THAT(good(tank + "water = \"0 L\"\nlid = \"sealed\"\n").assumed,
              ElementsAre(HasSubstr("tank `shed-1`: neither `allowed_vacuum` nor `wall` given")));
}

TEST(PlanFile, ReadsTheSite) {
  const Plan plan = good(R"([site]
name = "Larch Hill tree nursery"
altitude = 180
water_temperature = "14 degC"
air_temperature = 289.15
air_swing = "12 K"
warmest_hour = "15:30"
coldest_hour = 4
water_price = 2.5
)" + tank);
  const Site& site = plan.array.parts().site;
  EXPECT_EQ(site.name, "Larch Hill tree nursery");
  EXPECT_EQ(site.altitude_m, 180.0);
  EXPECT_EQ(site.water_temperature_degc, 14.0);
  EXPECT_DOUBLE_EQ(site.air_temperature_degc, 16.0);
  EXPECT_EQ(site.air_swing_k, 12.0);
  EXPECT_EQ(site.warmest_hour, 15.5);
  EXPECT_EQ(site.coldest_hour, 4.0);
  EXPECT_EQ(site.water_price_per_m3, 2.5);
}

double air_swing_of_site(const std::string& value) {
  return good("[site]\nair_swing = " + value + "\n" + tank).array.parts().site.air_swing_k;
}

// 14 K of swing are 14 degC of swing and 25.2 degF: differences have a scale and no zero.
TEST(PlanFile, ShiftsNoDifferenceOfTemperatures) {
  for (const char* same : {"\"14 K\"", "\"14 degC\"", "\"14 °C\"", "14", "14.0"}) {
    EXPECT_EQ(air_swing_of_site(same), 14.0) << same;
  }
  EXPECT_DOUBLE_EQ(air_swing_of_site("\"25.2 degF\""), 14.0);
  EXPECT_EQ(air_swing_of_site("\"0 degC\""), 0.0);
  const Plan plan = good(tank + "lid = \"sealed\"\nair_swing = \"20 degC\"\n");
  EXPECT_EQ(plan.array.tanks()[0].air_swing_k, 20.0);
}

// 15 and 5 stand in for hours that are left out (the table of io/README.md).
TEST(PlanFile, ReadsHoursOfTheClockInAnyForm) {
  const auto hours = [](const std::string& lines) {
    const Plan plan = good("[site]\nname = \"Larch Hill\"\n" + lines + tank);
    const Site& site = plan.array.parts().site;
    return std::pair(site.warmest_hour, site.coldest_hour);
  };
  EXPECT_EQ(hours(""), std::pair(15.0, 5.0));
  EXPECT_EQ(hours("warmest_hour = 15.5\n"), std::pair(15.5, 5.0));
  EXPECT_EQ(hours("warmest_hour = 15:30:00\ncoldest_hour = \"04:15\"\n"), std::pair(15.5, 4.25));
  EXPECT_EQ(hours("warmest_hour = 24\ncoldest_hour = 12\n"), std::pair(24.0, 12.0));
  EXPECT_EQ(hours("warmest_hour = 5\ncoldest_hour = 15\n"), std::pair(5.0, 15.0));
}

TEST(PlanFile, TakesAWallOfEveryMaterialTheSolverKnows) {
  ASSERT_THAT(known_materials(), ::testing::Not(IsEmpty()));
  for (const std::string& material : known_materials()) {
    const Plan plan =
        good(tank + "wall = { material = \"" + material + "\", thickness = \"4 mm\" }\n");
    EXPECT_EQ(plan.array.tanks()[0].wall->material, material);
    EXPECT_THAT(file_text(fs::path(TANKYARD_SOURCE_DIR) / "io/README.md"),
                HasSubstr("\"" + material + "\""));
  }
}

// No use, and no mistake: the headspace under an open lid has the outside air's pressure.
TEST(PlanFile, TakesASwingUnderAnOpenLid) {
  EXPECT_EQ(good(tank + "lid = \"open\"\nair_swing = \"20 K\"\n").array.tanks()[0].air_swing_k,
            20.0);
}

const std::string air_line = R"([[air_line]]
from = "shed-1"
to = "butt"
bore = "19 mm"
length = "1.5 m"
)";

TEST(PlanFile, ReadsEveryKeyOfAnAirLine) {
  const Plan plan = good(tank + "lid = \"sealed\"\n" + butt + air_line + R"([[air_line]]
name = "balance"
from = "butt"
to = "shed-1"
bore = "0.75 in"
length = 0
open = false
)");
  const auto& lines = plan.array.parts().air_lines;
  ASSERT_THAT(lines, SizeIs(2));
  EXPECT_EQ(lines[0].name, "shed-1-butt-air");
  EXPECT_EQ(lines[0].from, id_at<TankId>(0));
  EXPECT_EQ(lines[0].to, id_at<TankId>(1));
  EXPECT_EQ(lines[0].bore_m, 0.019);
  EXPECT_EQ(lines[0].length_m, 1.5);
  EXPECT_TRUE(lines[0].open);
  EXPECT_EQ(lines[1].name, "balance");
  EXPECT_EQ(lines[1].from, id_at<TankId>(1));
  EXPECT_EQ(lines[1].to, id_at<TankId>(0));
  EXPECT_EQ(lines[1].bore_m, 0.01905);
  EXPECT_EQ(lines[1].length_m, 0.0);
  EXPECT_FALSE(lines[1].open);
}

// A hose and an air line between one pair of tanks each have a name of their own, whichever comes
// first, and a step means the one it names.
TEST(PlanFile, TellsAnAirLineFromTheHoseBesideIt) {
  const std::string step = R"([[step]]
at = "1 h"
close = ["shed-1-butt-air", "shed-1-butt"]
open = ["shed-1-butt-air-2"]
)";
  for (const std::string& both : {hose + air_line + air_line, air_line + air_line + hose}) {
    const Plan plan = good(tank + butt + both + step);
    EXPECT_EQ(plan.array.hoses()[0].name, "shed-1-butt");
    EXPECT_EQ(plan.array.parts().air_lines[0].name, "shed-1-butt-air");
    EXPECT_EQ(plan.array.parts().air_lines[1].name, "shed-1-butt-air-2");
    const auto& actions = plan.sheet.steps[0].actions;
    ASSERT_THAT(actions, SizeIs(3));
    EXPECT_EQ(actions[0].does, Action::Does::close);
    EXPECT_EQ(std::get<AirLineId>(actions[0].part), id_at<AirLineId>(0));
    EXPECT_EQ(std::get<HoseId>(actions[1].part), id_at<HoseId>(0));
    EXPECT_EQ(actions[2].does, Action::Does::open);
    EXPECT_EQ(std::get<AirLineId>(actions[2].part), id_at<AirLineId>(1));
  }
}

TEST(PlanFile, ReadsEveryKeyOfATank) {
  const Plan plan = good(butt + R"([[tank]]
name = "long"
shape = { lying = { diameter = "1.2 m", length = "2 m" } }
base = "0.4 m"
water = "0.6 m"
outlet_height = "0.05 m"
lid = { hole = "12 mm", coefficient = 0.7, count = 2, screen = 0.5 }
overflow = { height = "1.0 m", bore = "50 mm", coefficient = 0.65, to = "butt" }
allowed_vacuum = "1.5 kPa"
allowed_pressure = "20 mbar"
wall = { material = "hdpe", thickness = "4 mm" }
air_swing = "20 K"
position = ["1 m", "-2.4 m"]
)");
  const Tank& long_tank = plan.array.tanks()[1];
  EXPECT_EQ(std::get<Lying>(long_tank.shape).diameter_m, 1.2);
  EXPECT_EQ(std::get<Lying>(long_tank.shape).length_m, 2.0);
  EXPECT_EQ(long_tank.base_m, 0.4);
  EXPECT_NEAR(long_tank.water_m3, 0.25 * 3.14159265358979 * 1.2 * 1.2 * 2.0 / 2.0, 1e-12);  // half
  EXPECT_EQ(long_tank.outlet_height_m, 0.05);
  EXPECT_EQ(long_tank.lid.kind, Lid::Kind::holed);
  EXPECT_EQ(long_tank.lid.hole_m, 0.012);
  EXPECT_EQ(long_tank.lid.coefficient, 0.7);
  EXPECT_EQ(long_tank.lid.count, 2);
  EXPECT_EQ(long_tank.lid.screen, 0.5);
  EXPECT_EQ(long_tank.overflow->height_m, 1.0);
  EXPECT_EQ(long_tank.overflow->bore_m, 0.05);
  EXPECT_EQ(long_tank.overflow->coefficient, 0.65);
  EXPECT_EQ(long_tank.overflow->to, id_at<TankId>(0));
  EXPECT_EQ(long_tank.allowed_vacuum_pa, 1500.0);
  EXPECT_EQ(long_tank.allowed_pressure_pa, 2000.0);
  EXPECT_EQ(long_tank.wall->material, "hdpe");
  EXPECT_EQ(long_tank.wall->thickness_m, 0.004);
  EXPECT_EQ(long_tank.air_swing_k, 20.0);
  EXPECT_EQ(long_tank.position->x_m, 1.0);
  EXPECT_EQ(long_tank.position->y_m, -2.4);
}

TEST(PlanFile, ReadsTheOtherShapesAndWaterAsAVolume) {
  const Plan plan = good(tank + "water = \"660 L\"\nlid = \"sealed\"\n" + butt + R"([[tank]]
name = "cage"
shape = { table = [["0 m", "0 L"], ["0.5 m", "480 L"], [1.0, 1.0]] }
water = 0
)");
  EXPECT_EQ(std::get<Prism>(plan.array.tanks()[0].shape).area_m2, 1.1);
  EXPECT_EQ(plan.array.tanks()[0].water_m3, 0.66);
  EXPECT_EQ(plan.array.tanks()[0].lid.kind, Lid::Kind::sealed);
  EXPECT_EQ(std::get<Upright>(plan.array.tanks()[1].shape).diameter_m, 0.6);
  const DepthTable& table = std::get<DepthTable>(plan.array.tanks()[2].shape);
  EXPECT_THAT(table.depth_m, ElementsAre(0.0, 0.5, 1.0));
  EXPECT_THAT(table.volume_m3, ElementsAre(0.0, 0.48, 1.0));
  EXPECT_EQ(plan.array.tanks()[2].water_m3, 0.0);
}

TEST(PlanFile, TakesWaterToTheRimButNotOver) {
  EXPECT_EQ(good(tank + "water = \"1.0 m\"\n").array.tanks()[0].water_m3, 1.1);
  EXPECT_EQ(good(tank + "water = \"1000 mm\"\n").array.tanks()[0].water_m3, 1.1);
  EXPECT_NE(in_words_or_ok(tank + "water = \"1.001 m\"\n"), "ok");
}

TEST(PlanFile, ReadsEveryKeyOfAHose) {
  const Plan plan = good(tank + butt + R"([[hose]]
name = "link"
from = { at = "shed-1", height = "0.2 m" }
to = { at = "butt" }
bore = "19 mm"
length = "1.5 m"
roughness = "0.01 mm"
loss = 1.2
fittings = ["elbow", "elbow", "push-coupling"]
crest = "1.3 m"
primed = true
valve = { name = "V1", open = false, loss = 0.1 }
one_way = true
cracking_head = "0.1 m"
open = false
)");
  const Hose& link = plan.array.hoses()[0];
  EXPECT_EQ(link.name, "link");
  EXPECT_EQ(std::get<TankId>(link.from.place), id_at<TankId>(0));
  EXPECT_EQ(link.from.height_m, 0.2);
  EXPECT_EQ(std::get<TankId>(link.to.place), id_at<TankId>(1));
  EXPECT_FALSE(link.to.height_m.has_value());
  EXPECT_EQ(link.bore_m, 0.019);
  EXPECT_EQ(link.length_m, 1.5);
  EXPECT_EQ(link.roughness_m, 1e-5);
  EXPECT_DOUBLE_EQ(link.loss_k,
                   1.2 + 2 * *fitting_loss_k("elbow") + *fitting_loss_k("push-coupling"));
  EXPECT_EQ(link.crest_m, 1.3);
  EXPECT_TRUE(link.primed);
  EXPECT_EQ(link.valve->name, "V1");
  EXPECT_FALSE(link.valve->open);
  EXPECT_EQ(link.valve->loss_k, 0.1);
  EXPECT_TRUE(link.one_way);
  EXPECT_EQ(link.cracking_head_m, 0.1);
  EXPECT_FALSE(link.open);
}

TEST(PlanFile, NamesHosesAfterTheirEndsAndKeepsNamesApart) {
  const std::string named = hose + "name = \"shed-1-butt-2\"\n";
  const Plan plan = good(tank + butt + hose + named + hose + hose);
  std::vector<std::string> names;
  for (const Hose& each : plan.array.hoses()) names.push_back(each.name);
  EXPECT_THAT(names, ElementsAre("shed-1-butt", "shed-1-butt-2", "shed-1-butt-3", "shed-1-butt-4"));
}

const std::string pump = R"([[header]]
name = "rail"
height = "0.2 m"
position = ["1 m", "2 m"]
[[hose]]
from = "shed-1"
to = "rail"
bore = "25 mm"
length = "1 m"
valve = "V1"
[[pump]]
name = "booster"
from = "rail"
to = "spray-bar"
curve = [["0 L/min", "38 m"], ["46 L/min", "5 m"]]
[[outlet]]
name = "spray-bar"
height = "2.5 m"
bore = "7 mm"
)";

TEST(PlanFile, ReadsEveryKeyOfAPump) {
  const Plan plan = good(tank + R"([[pump]]
name = "booster"
from = "shed-1"
to = "spray-bar"
curve = [["0 L/min", "38 m"], ["24 L/min", "27 m"], ["46 L/min", "5 m"]]
npsh_required = [["0 L/min", "2 m"], ["46 L/min", "3 m"]]
efficiency = 0.4
running = true
one_way = true
primed = true
stops_below = { tank = "shed-1", depth = "0.12 m", resumes = "0.30 m" }
pressure_switch = { cut_in = "1.5 bar", cut_out = "3 bar" }
runs_at_most = "30 min"
position = ["1 m", "2 m"]
[[outlet]]
name = "spray-bar"
height = "2.5 m"
draw = "900 L/h"
coefficient = 0.9
open = true
)");
  const Pump& booster = plan.array.pumps()[0];
  EXPECT_EQ(std::get<TankId>(booster.from), id_at<TankId>(0));
  EXPECT_EQ(std::get<OutletId>(booster.to), id_at<OutletId>(0));
  ASSERT_THAT(booster.curve, SizeIs(3));
  EXPECT_EQ(booster.curve[1].flow_m3_per_s, 0.0004);
  EXPECT_EQ(booster.curve[1].head_m, 27.0);
  ASSERT_THAT(booster.npsh_required, SizeIs(2));
  EXPECT_EQ(booster.npsh_required[1].head_m, 3.0);
  EXPECT_EQ(booster.efficiency, 0.4);
  EXPECT_TRUE(booster.running);
  EXPECT_TRUE(booster.one_way);
  EXPECT_TRUE(booster.primed);
  EXPECT_EQ(booster.pressure_switch->cut_in_pa, 1.5e5);
  EXPECT_EQ(booster.pressure_switch->cut_out_pa, 3e5);
  EXPECT_EQ(booster.runs_at_most_s, 1800.0);
  EXPECT_EQ(booster.stops_below->tank, id_at<TankId>(0));
  EXPECT_EQ(booster.stops_below->depth_m, 0.12);
  EXPECT_EQ(booster.stops_below->resumes_depth_m, 0.3);
  EXPECT_EQ(booster.position->y_m, 2.0);
  const Outlet& bar = plan.array.outlets()[0];
  EXPECT_FALSE(bar.at.has_value());
  EXPECT_EQ(bar.height_m, 2.5);
  EXPECT_EQ(bar.draw_m3_per_s, 0.00025);
  EXPECT_EQ(bar.coefficient, 0.9);
  EXPECT_TRUE(bar.open);
}

TEST(PlanFile, ReadsASingleSuctionFigureAndAnOutletAtATank) {
  std::string text = tank + pump + R"([[outlet]]
name = "can-tap"
at = { at = "shed-1", height = "0.1 m" }
bore = "13 mm"
)";
  text.replace(text.find("[[outlet]]"), 0,
               "npsh_required = \"2 m\"\nstops_below = { tank = "
               "\"shed-1\", depth = \"0.1 m\" }\n");
  const Plan plan = good(text);
  ASSERT_THAT(plan.array.pumps()[0].npsh_required, SizeIs(1));
  EXPECT_EQ(plan.array.pumps()[0].npsh_required[0].head_m, 2.0);
  EXPECT_DOUBLE_EQ(plan.array.pumps()[0].stops_below->resumes_depth_m, 0.15);
  EXPECT_THAT(plan.assumed, ::testing::Contains(HasSubstr("taken as 50 mm above")));
  const Outlet& tap = plan.array.outlets()[1];
  EXPECT_EQ(std::get<TankId>(tap.at->place), id_at<TankId>(0));
  EXPECT_EQ(tap.at->height_m, 0.1);
  EXPECT_FALSE(tap.height_m.has_value());
}

TEST(PlanFile, ReadsRoofsTopUpsAndLeaks) {
  const Plan plan = good(tank + R"([[roof]]
name = "packing-shed"
area = "64 m2"
runoff = 0.85
first_flush = "0.5 mm"
gutter_limit = "40 L/min"
into = "shed-1"
position = [0, 1]
[[roof]]
area = 10
into = "shed-1"
[[top_up]]
name = "mains"
into = "shed-1"
flow = "15 L/min"
starts_below = "0.2 m"
stops_above = "0.3 m"
air_gap = "40 mm"
[[leak]]
tank = "shed-1"
height = "0.1 m"
bore = "2 mm"
coefficient = 0.7
)");
  const Parts& parts = plan.array.parts();
  ASSERT_THAT(parts.roofs, SizeIs(2));
  EXPECT_EQ(parts.roofs[0].name, "packing-shed");
  EXPECT_EQ(parts.roofs[0].area_m2, 64.0);
  EXPECT_EQ(parts.roofs[0].runoff_fraction, 0.85);
  EXPECT_EQ(parts.roofs[0].first_flush_m, 0.0005);
  EXPECT_DOUBLE_EQ(*parts.roofs[0].gutter_limit_m3_per_s, 40.0 / 60000.0);
  EXPECT_EQ(parts.roofs[0].into, id_at<TankId>(0));
  EXPECT_EQ(parts.roofs[0].position->y_m, 1.0);
  EXPECT_EQ(parts.roofs[1].name, "shed-1-roof");
  EXPECT_EQ(parts.roofs[1].runoff_fraction, 0.9);
  ASSERT_THAT(parts.top_ups, SizeIs(1));
  EXPECT_EQ(parts.top_ups[0].flow_m3_per_s, 0.00025);
  EXPECT_EQ(parts.top_ups[0].starts_below_m, 0.2);
  EXPECT_EQ(parts.top_ups[0].stops_above_m, 0.3);
  EXPECT_EQ(parts.top_ups[0].air_gap_m, 0.04);
  ASSERT_THAT(parts.leaks, SizeIs(1));
  EXPECT_EQ(parts.leaks[0].name, "shed-1-leak");
  EXPECT_EQ(parts.leaks[0].height_m, 0.1);
  EXPECT_EQ(parts.leaks[0].bore_m, 0.002);
  EXPECT_EQ(parts.leaks[0].coefficient, 0.7);
}

TEST(PlanFile, ReadsTheDaySheetInTheOrderOfTime) {
  const Plan plan = good(R"([run]
lasts = "30 h"
starts = 05:00:00
)" + tank + pump + R"([[step]]
at = "04:30"                 # before the start: the next day
rain = "36 mm/h"
[[step]]
at = "06:30:15"
start = ["booster"]
open = ["spray-bar", "V1"]
close = ["shed-1-rail"]
[[step]]
at = 06:30:00
stop = ["booster"]
[[step]]
at = "90 min"
rain = "0 mm/h"
[[step]]
at = 0
close = []
)");
  EXPECT_EQ(plan.sheet.lasts_s, 108000.0);
  EXPECT_EQ(plan.sheet.starts_clock_s, 18000.0);
  std::vector<double> times;
  for (const TimedStep& step : plan.sheet.steps) times.push_back(step.at_s);
  EXPECT_THAT(times, ElementsAre(0.0, 5400.0, 5400.0, 5415.0, 84600.0));
  // Equal times keep the order of the file.
  EXPECT_THAT(plan.sheet.steps[1].actions, SizeIs(1));
  EXPECT_EQ(plan.sheet.steps[2].rain_m_per_s, 0.0);
  EXPECT_DOUBLE_EQ(*plan.sheet.steps[4].rain_m_per_s, 1e-5);
  // What a step does is done in the order in which its keys stand.
  const auto& actions = plan.sheet.steps[3].actions;
  ASSERT_THAT(actions, SizeIs(4));
  EXPECT_EQ(actions[0].does, Action::Does::start);
  EXPECT_EQ(std::get<PumpId>(actions[0].part), id_at<PumpId>(0));
  EXPECT_EQ(actions[1].does, Action::Does::open);
  EXPECT_EQ(std::get<OutletId>(actions[1].part), id_at<OutletId>(0));
  EXPECT_EQ(std::get<HoseId>(actions[2].part), id_at<HoseId>(0));  // by its valve
  EXPECT_EQ(actions[3].does, Action::Does::close);
  EXPECT_EQ(std::get<HoseId>(actions[3].part), id_at<HoseId>(0));  // by its own name
}

TEST(PlanFile, HoldsStepsToTheRunFromBothSides) {
  const auto told = [](const std::string& at) {
    return in_words_or_ok("[run]\nlasts = \"2 h\"\nstarts = \"05:00\"\n" + tank +
                          "[[step]]\nat = " + at + "\nrain = 0\n");
  };
  EXPECT_EQ(told("\"07:00\""), "ok");
  EXPECT_EQ(told("\"2 h\""), "ok");
  EXPECT_EQ(told("\"05:00\""), "ok");
  EXPECT_THAT(told("\"07:00:01\""), HasSubstr("outside the run of 2 h"));
  EXPECT_THAT(told("\"04:59\""), HasSubstr("outside the run of 2 h"));
  EXPECT_THAT(told("\"-1 s\""), HasSubstr("outside the run of 2 h"));
}

TEST(PlanFile, ReadsUsesAndStock) {
  const Plan plan = good(tank + pump + R"([[use]]
outlet = "spray-bar"
pump = "booster"
daily = "450 L"
at = "05:45"
from = "04-15"
until = "09-30"
skip_after_rain = "6 mm"
[stock]
hoses = [{ bore = "13 mm", price = 1.1 }, { bore = "32 mm", price = 4.2 }]
run_per_metre = 1.15
)");
  ASSERT_THAT(plan.uses, SizeIs(1));
  EXPECT_EQ(plan.uses[0].outlet, id_at<OutletId>(0));
  EXPECT_EQ(plan.uses[0].pump, id_at<PumpId>(0));
  EXPECT_EQ(plan.uses[0].daily_m3, 0.45);
  EXPECT_EQ(plan.uses[0].at_s, 5.75 * 3600.0);
  EXPECT_EQ(plan.uses[0].from_month_day, 415);
  EXPECT_EQ(plan.uses[0].until_month_day, 930);
  EXPECT_EQ(plan.uses[0].skip_after_rain_m, 0.006);
  ASSERT_THAT(plan.stock.hoses, SizeIs(2));
  EXPECT_EQ(plan.stock.hoses[1].bore_m, 0.032);
  EXPECT_EQ(plan.stock.hoses[1].price_per_m, 4.2);
  EXPECT_EQ(plan.stock.run_per_metre, 1.15);
}

TEST(PlanFile, ReadsAnyNameAnyLineEndAndAByteOrderMark) {
  std::string odd = tank;
  odd.replace(odd.find("shed-1"), 6, R"(خزان \"1\" `水` 樽)");
  EXPECT_EQ(good(odd).array.tanks()[0].name, "خزان \"1\" `水` 樽");
  std::string windows;
  for (const char c : tank + butt + hose)
    windows += c == '\n' ? std::string("\r\n") : std::string(1, c);
  EXPECT_THAT(good(windows).array.hoses(), SizeIs(1));
  EXPECT_THAT(good("\xEF\xBB\xBF" + tank).array.tanks(), SizeIs(1));
}

// ---- files ---------------------------------------------------------------------------------

std::string told_of_file(const fs::path& path) {
  const Result<Plan> plan = read_plan_file(path.string());
  return plan ? "ok" : in_words(plan.error(), "");
}

TEST(PlanFile, RefusesWhatIsNoPlanInOneTrouble) {
  const fs::path folder = fs::path(::testing::TempDir()) / "tankyard_plan_file_test";
  fs::create_directories(folder);
  EXPECT_THAT(told_of_file(folder), HasSubstr(": error: this is a folder and no plan\n"));
  EXPECT_THAT(told_of_file(folder / "none.toml"), HasSubstr(": error: there is no such file\n"));

  const fs::path long_file = folder / "long.toml";
  std::ofstream(long_file, std::ios::binary) << tank << std::string(10'000'000, '#');
  EXPECT_THAT(told_of_file(long_file), HasSubstr("larger than 10 MB"));
  fs::resize_file(long_file, 10'000'000);
  EXPECT_EQ(told_of_file(long_file), "ok");  // just within, and the other side of the limit

  const fs::path noise = folder / "noise.toml";
  std::string bytes;
  std::mt19937 random(7);
  for (int i = 0; i < 100000; ++i) bytes += static_cast<char>(random() & 0xFF);
  std::ofstream(noise, std::ios::binary) << bytes;
  const Result<Plan> plan = read_plan_file(noise.string());
  ASSERT_FALSE(plan.has_value());
  EXPECT_THAT(plan.error(), SizeIs(1));

  const fs::path fine = folder / "fine.toml";
  std::ofstream(fine, std::ios::binary) << tank;
  EXPECT_EQ(told_of_file(fine), "ok");
  fs::remove_all(folder);
}

TEST(PlanFile, SurvivesKeysNestedEndlessly) {
  const auto repeated = [](const std::string& text, int count) {
    std::string all;
    for (int i = 0; i < count; ++i) all += text;
    return all;
  };
  for (const std::string& deep :
       {"a" + repeated(".a", 500000) + " = 1\n", "[a" + repeated(".a", 500000) + "]\n",
        "a" + repeated(".'a'", 300000) + " = 1\n", "a = " + repeated("[", 500000),
        "a = " + repeated("{a=", 300000),
        "a = " + repeated("{" + repeated("a.", 45) + "a=", 5000)}) {
    const Result<Plan> plan = read_plan(deep, "plan.toml");
    ASSERT_FALSE(plan.has_value());
    EXPECT_THAT(plan.error(), SizeIs(1));
  }
  // Dots where they do no harm are no mistake.
  EXPECT_EQ(in_words_or_ok("# " + std::string(300, '.') + "\n[site]\nname = \"" +
                           std::string(150, '.') + "\"\n" + tank),
            "ok");
}

TEST(PlanFile, TellsThousandsOfMistakesInSeconds) {
  std::string text = tank;
  for (int i = 0; i < 20000; ++i) {
    text += "[[hose]]\nfrom = \"shed-1\"\nto = \"shad-" + std::to_string(i) +
            "\"\nbore = \"19 mmm\"\nlength = \"1 m\"\n";
  }
  const auto start = std::chrono::steady_clock::now();
  const Result<Plan> plan = read_plan(text, "plan.toml");
  ASSERT_FALSE(plan.has_value());
  EXPECT_THAT(plan.error(), SizeIs(40000));
  EXPECT_GT(in_words(plan.error(), text).size(), text.size());
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  EXPECT_LT(took.count(), 60.0);  // some 2 s here; a square of the count would take minutes
}

// ---- broken plans --------------------------------------------------------------------------

/// Whatever the text: a plan, or troubles with places in it, in words that are whole.
void survive(const std::string& text) {
  const Result<Plan> plan = read_plan(text, "plan.toml");
  if (plan) return;
  ASSERT_FALSE(plan.error().empty()) << text;
  const auto lines = 1 + std::count(text.begin(), text.end(), '\n');
  for (const Trouble& trouble : plan.error()) {
    ASSERT_TRUE(trouble.spot.has_value()) << trouble.message << "\n" << text;
    EXPECT_LE(trouble.spot->line, lines) << trouble.message;
    EXPECT_FALSE(trouble.message.empty());
    EXPECT_FALSE(trouble.help.empty()) << trouble.message;
    EXPECT_EQ(trouble.message.find("not a number"), std::string::npos)
        << "a stand-in came to light: " << trouble.message << "\n"
        << text;
  }
  const std::string told = in_words(plan.error(), text);
  EXPECT_THAT(told, ::testing::EndsWith("nothing was run\n"));
  EXPECT_EQ(first_wrong_byte(told), std::nullopt);
}

std::vector<std::string> whole_plans() {
  const std::string document = file_text(fs::path(TANKYARD_SOURCE_DIR) / "io/README.md");
  return {
      starter_plan(), block_of(document, "toml"),
      tank + butt + hose + pump +
          "[[use]]\noutlet = \"spray-bar\"\ndaily = \"450 L\"\n[stock]\nhoses = [{ bore = \"13 "
          "mm\", price = 1.1 }]\n[[leak]]\ntank = \"butt\"\nbore = \"2 mm\"\n[[top_up]]\ninto = "
          "\"butt\"\nflow = \"15 L/min\"\nstarts_below = \"0.2 m\"\nstops_above = \"0.3 m\"\n",
      "[site]\nair_temperature = \"18 degC\"\nair_swing = \"14 K\"\nwarmest_hour = \"15:30\"\n"
      "coldest_hour = 5\n" +
          tank +
          "lid = { hole = \"12 mm\", coefficient = 0.6, count = 2, screen = 0.5 }\n"
          "air_swing = \"20 K\"\nallowed_vacuum = \"1.5 kPa\"\nallowed_pressure = \"2 kPa\"\n" +
          butt + "lid = \"sealed\"\nwall = { material = \"hdpe\", thickness = \"4 mm\" }\n" + hose +
          air_line + "open = false\n[[step]]\nat = \"1 h\"\nopen = [\"shed-1-butt-air\"]\n"};
}

TEST(BrokenPlan, CutOffAnywhereNeverCrashes) {
  for (const std::string& whole : whole_plans()) {
    for (std::size_t length = 0; length < whole.size(); length += 11)
      survive(whole.substr(0, length));
  }
}

TEST(BrokenPlan, WithoutAnyOneOfItsLinesNeverCrashes) {
  for (const std::string& whole : whole_plans()) {
    for (std::size_t at = 0; at < whole.size();) {
      const std::size_t end = std::min(whole.find('\n', at), whole.size() - 1) + 1;
      survive(whole.substr(0, at) + whole.substr(end));
      at = end;
    }
  }
}

TEST(BrokenPlan, MutatedNeverCrashes) {
  std::mt19937 random(20260402);  // a fixed seed: a failure comes back at the next run
  const auto below = [&](std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
  };
  const std::vector<std::string> scraps = {"\"",          "'",
                                           "[",           "]",
                                           "{",           "}",
                                           "=",           ",",
                                           "\n",          ".",
                                           "#",           "-",
                                           "0",           "9e9",
                                           "nan",         "inf",
                                           "true",        "\"1 m\"",
                                           "\"1e300 m\"", "\"-1 L\"",
                                           "name",        "[[tank]]\n",
                                           "[[hose]]\n",  "[site]\n",
                                           "\\",          "\t",
                                           "05:00:00",    "1979-05-27",
                                           "[]",          "{}",
                                           "\"\"",        "\xF0\x9F\x92\xA7",
                                           "\xFF",        std::string(1, '\0'),
                                           "\"\"\"",      "99999999999999999999",
                                           "-0.0",        "[[step]]\nat = \"1 h\"\n"};
  for (const std::string& whole : whole_plans()) {
    for (int round = 0; round < 1500; ++round) {
      std::string text = whole;
      for (std::size_t change = below(4) + 1; change > 0; --change) {
        const std::size_t at = below(text.size());
        switch (below(4)) {
          case 0:
            text.erase(at, below(12) + 1);
            break;
          case 1:
            text.insert(at, scraps[below(scraps.size())]);
            break;
          case 2:
            text.replace(at, below(20) + 1, scraps[below(scraps.size())]);
            break;
          default:
            text.insert(at, whole.substr(below(whole.size()), below(60)));
            break;
        }
        if (text.empty()) text = whole;
      }
      survive(text);
      if (HasFatalFailure()) FAIL() << "round " << round;
    }
  }
}

/// Every value of a good plan in turn is given another type; nothing that leans on it may crash,
/// and no stand-in may come to light.
TEST(BrokenPlan, WithAnyValueOfAnotherTypeNeverCrashes) {
  for (const std::string& whole : whole_plans()) {
    for (std::size_t at = whole.find(" = "); at != std::string::npos;
         at = whole.find(" = ", at + 1)) {
      const std::size_t end = whole.find('\n', at);
      for (const char* other :
           {"7", "-7.5", "true", "\"7 kPa\"", "\"nobody\"", "[]", "[1, 2]", "{}", "05:00:00",
            "[[1, 2], [3, 4]]", "{ at = 3, height = \"7\" }", "nan"}) {
        survive(whole.substr(0, at) + " = " + other + whole.substr(end));
      }
    }
  }
}

}  // namespace plan_file_test
}  // namespace tankyard
