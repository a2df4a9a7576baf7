// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include "graph/check_array.h"
#include "graph/check_limits.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_tanks_test {

std::vector<Limit> limits_of_tanks() {
  const auto about = [](std::size_t index, const char* field) {
    return PartField{"tank", index, field};
  };
  // The tanks are emptied, so that a smaller shape is not too full as well.
  const auto prism = [](double Prism::*field) {
    return [field](Parts& parts, double value) {
      parts.tanks[0].water_m3 = 0.0;
      std::get<Prism>(parts.tanks[0].shape).*field = value;
    };
  };
  const auto upright = [](double Upright::*field) {
    return [field](Parts& parts, double value) {
      std::get<Upright>(parts.tanks[1].shape).*field = value;
    };
  };
  const auto lying = [](double Lying::*field) {
    return [field](Parts& parts, double value) {
      std::get<Lying>(parts.tanks[2].shape).*field = value;
    };
  };
  const auto row = [](std::vector<double> DepthTable::*list, std::size_t index) {
    return [list, index](Parts& parts, double value) {
      parts.tanks[3].overflow.reset();
      (std::get<DepthTable>(parts.tanks[3].shape).*list)[index] = value;
    };
  };
  const auto box = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.tanks[0], value); };
  };
  return {
      {prism(&Prism::area_m2), 1e-4, 0.9e-4, about(0, "shape.prism.area"), "floor area of tank"},
      {prism(&Prism::area_m2), 1e-4, 0.0, about(0, "shape.prism.area"), "floor area of tank"},
      {prism(&Prism::area_m2), 1e6, 1.1e6, about(0, "shape.prism.area"), "floor area of tank"},
      {prism(&Prism::height_m), 100.0, 100.1, about(0, "shape.prism.height"), "height of tank"},
      {prism(&Prism::height_m), 1.0, 0.0, about(0, "shape.prism.height"), "height of tank"},
      {upright(&Upright::diameter_m), 0.001, 0.0009, about(1, "shape.upright.diameter"), "diam"},
      {upright(&Upright::diameter_m), 100.0, 100.1, about(1, "shape.upright.diameter"), "diam"},
      {upright(&Upright::height_m), 0.5, -0.5, about(1, "shape.upright.height"), "height of"},
      {upright(&Upright::height_m), 100.0, 100.1, about(1, "shape.upright.height"), "height of"},
      {lying(&Lying::diameter_m), 0.5, 0.0, about(2, "shape.lying.diameter"), "diameter of"},
      {lying(&Lying::diameter_m), 100.0, 100.1, about(2, "shape.lying.diameter"), "diameter of"},
      {lying(&Lying::length_m), 0.001, 0.0009, about(2, "shape.lying.length"), "length of tank"},
      {lying(&Lying::length_m), 1000.0, 1000.1, about(2, "shape.lying.length"), "length of tank"},
      {row(&DepthTable::depth_m, 0), 0.0, 0.01, about(3, "shape.table"), "begins at 0.01 m"},
      {row(&DepthTable::volume_m3, 0), 0.0, 0.01, about(3, "shape.table"), "begins at 0 m and 10"},
      {row(&DepthTable::depth_m, 1), 0.79, 0.8, about(3, "shape.table"), "depth in row 3"},
      {row(&DepthTable::depth_m, 1), 0.01, 0.0, about(3, "shape.table"), "depth in row 2"},
      {row(&DepthTable::depth_m, 2), 100.0, 100.1, about(3, "shape.table"), "depth in row 3"},
      {row(&DepthTable::volume_m3, 1), 2.3, 2.4, about(3, "shape.table"), "volume in row 3"},
      {row(&DepthTable::volume_m3, 1), 0.01, 0.0, about(3, "shape.table"), "volume in row 2"},
      {row(&DepthTable::volume_m3, 1), 2e-5, 1.9e-5, about(3, "shape.table"), "volume in row 2"},
      {box([](Tank& t, double v) { t.base_m = v; }), -1e4, -10001.0, about(0, "base"), "base of"},
      {box([](Tank& t, double v) { t.base_m = v; }), 1.2, 10001.0, about(0, "base"), "base of"},
      {box([](Tank& t, double v) { t.water_m3 = v; }), 0.0, -1e-6, about(0, "water"), "water of"},
      {box([](Tank& t, double v) { t.water_m3 = v; }), 1.1, 1.1000001, about(0, "water"),
       "water of tank `box` is 1100.0001 L"},
      {box([](Tank& t, double v) { t.outlet_height_m = v; }), 0.0, -0.001,
       about(0, "outlet_height"), "outlet height of tank `box` is -1 mm"},
      {box([](Tank& t, double v) { t.outlet_height_m = v; }), 0.981, 1.0, about(0, "outlet_height"),
       "outlet height of tank `box` is 1000 mm"},
      {box([](Tank& t, double v) { t.lid.hole_m = v; }), 1e-5, 0.9e-5, about(0, "lid.hole"),
       "hole in the lid"},
      {box([](Tank& t, double v) { t.lid.hole_m = v; }), 2.0, 2.01, about(0, "lid.hole"),
       "hole in the lid"},
      {box([](Tank& t, double v) { t.lid.coefficient = v; }), 0.01, 0.0,
       about(0, "lid.coefficient"), "coefficient of the hole"},
      {box([](Tank& t, double v) { t.lid.coefficient = v; }), 1.0, 1.01,
       about(0, "lid.coefficient"), "coefficient of the hole"},
      {box([](Tank& t, double v) { t.lid.screen = v; }), 0.01, 0.0, about(0, "lid.screen"),
       "open part of the screen"},
      {box([](Tank& t, double v) { t.lid.screen = v; }), 1.0, 1.01, about(0, "lid.screen"),
       "open part of the screen"},
      {box([](Tank& t, double v) { t.overflow->height_m = v; }), 0.0, -0.001,
       about(0, "overflow.height"), "height of the overflow of tank `box` is -1 mm"},
      {box([](Tank& t, double v) { t.overflow->height_m = v; }), 0.95, 0.951,
       about(0, "overflow.height"),
       "overflow of tank `box` stands out above the rim: its top is at 1001 mm, the rim at 1000"},
      {box([](Tank& t, double v) { t.overflow->bore_m = v; }), 1e-5, 0.0, about(0, "overflow.bore"),
       "bore of the overflow"},
      {box([](Tank& t, double v) { t.overflow->bore_m = v; }), 0.1, 2.01, about(0, "overflow.bore"),
       "bore of the overflow"},
      {box([](Tank& t, double v) { t.overflow->coefficient = v; }), 0.01, 0.0,
       about(0, "overflow.coefficient"), "coefficient of the overflow"},
      {box([](Tank& t, double v) { t.overflow->coefficient = v; }), 1.0, 1.01,
       about(0, "overflow.coefficient"), "coefficient of the overflow"},
      {box([](Tank& t, double v) { t.allowed_vacuum_pa = v; }), 1.0, 0.0,
       about(0, "allowed_vacuum"), "allowed vacuum"},
      {box([](Tank& t, double v) { t.allowed_vacuum_pa = v; }), 1e6, 1.1e6,
       about(0, "allowed_vacuum"), "allowed vacuum"},
      {box([](Tank& t, double v) { t.allowed_pressure_pa = v; }), 1.0, 0.0,
       about(0, "allowed_pressure"), "allowed pressure"},
      {box([](Tank& t, double v) { t.allowed_pressure_pa = v; }), 1e7, 1.1e7,
       about(0, "allowed_pressure"), "allowed pressure"},
      {box([](Tank& t, double v) { t.wall->thickness_m = v; }), 1e-4, 0.9e-4,
       about(0, "wall.thickness"), "thickness of the wall"},
      {box([](Tank& t, double v) { t.wall->thickness_m = v; }), 1.0, 1.1,
       about(0, "wall.thickness"), "thickness of the wall"},
      {box([](Tank& t, double v) { t.air_swing_k = v; }), 0.0, -0.1, about(0, "air_swing"),
       "air swing"},
      {box([](Tank& t, double v) { t.air_swing_k = v; }), 100.0, 100.1, about(0, "air_swing"),
       "air swing"},
      {box([](Tank& t, double v) { t.position->x_m = v; }), 1e6, 1.1e6, about(0, "position"),
       "position to the right"},
      {box([](Tank& t, double v) { t.position->y_m = v; }), -1e6, -1.1e6, about(0, "position"),
       "position to the back"},
  };
}

TEST(CheckTanks, HoldsThemToTheirLimits) { expect_limits(limits_of_tanks()); }

TEST(CheckTanks, CountsHolesInALid) {
  Parts parts = sound_yard();
  for (const int good : {1, 1000}) {
    parts.tanks[0].lid.count = good;
    EXPECT_EQ(told_in_full(check_array(parts)), "");
  }
  for (const int bad : {0, -3, 1001}) {
    parts.tanks[0].lid.count = bad;
    expect_one(check_array(parts), {"tank", 0, "lid.count"}, "count of holes in the lid");
  }
}

// An open or sealed lid has no hole to ask about.
TEST(CheckTanks, AsksNoHoleOfAnOpenLid) {
  Parts parts = sound_yard();
  parts.tanks[0].lid = {Lid::Kind::sealed, 0.0, 0.0, 0, 0.0};
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

TEST(CheckTanks, AsksForATank) {
  expect_one(check_array(Parts{}), {"tank", 0, ""}, "there is no tank");
  Parts one;
  one.tanks.resize(1);
  one.tanks[0].name = "butt";
  one.tanks[0].shape = Upright{0.6, 0.9};
  EXPECT_EQ(told_in_full(check_array(one)), "");
}

TEST(CheckTanks, ReadsDepthTablesWhole) {
  const auto table = [](std::vector<double> depths, std::vector<double> volumes) {
    return [depths, volumes](Parts& parts) {
      parts.tanks[3].shape = DepthTable{depths, volumes};
      parts.tanks[3].overflow.reset();
    };
  };
  const PartField about{"tank", 3, "shape.table"};
  expect_mistakes({
      {"no rows", table({}, {}), about, "has fewer than two rows"},
      {"one row", table({0.0}, {0.0}), about, "has fewer than two rows"},
      {"uneven", table({0.0, 0.8, 0.9}, {0.0, 2.0}), about, "has 3 depths and 2 volumes"},
      {"too flat", table({0.0, 0.0005}, {0.0, 0.002}), about, "height of tank `pond` is 0.0005 m"},
      {"too wide", table({0.0, 0.8}, {0.0, 0.9e6}), about, "volume in row 2"},
  });
  Parts good = sound_yard();
  table({0.0, 0.8}, {0.0, 0.7e6})(good);
  EXPECT_EQ(told_in_full(check_array(good)), "");
}

TEST(CheckTanks, AllowsDecimalsThatDoNotAddUpInBinary) {
  Parts parts = sound_yard();
  std::get<Prism>(parts.tanks[0].shape).height_m = 0.8;
  parts.tanks[0].overflow = Overflow{0.7, 0.1, 0.6, std::nullopt};  // 0.7 + 0.1 is 0.79999...
  EXPECT_EQ(told_in_full(check_array(parts)), "");
  std::get<Prism>(parts.tanks[0].shape).height_m = 0.3;
  parts.tanks[0].water_m3 = 0.0;
  parts.pumps[0].stops_below.reset();
  parts.tanks[0].overflow = Overflow{0.2, 0.1, 0.6, std::nullopt};  // 0.30000000000000004
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

TEST(CheckTanks, AllowsWaterAboveTheOverflow) {
  Parts parts = sound_yard();
  parts.tanks[0].overflow->height_m = 0.1;  // the water stands at 0.6: it will spill at once
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

TEST(CheckTanks, AsksForATankToOverflowInto) {
  expect_mistakes({
      {"overflow into no tank",
       [](Parts& p) { p.tanks[0].overflow->to = TankId{4}; },
       {"tank", 0, "overflow.to"},
       "`overflow.to` of tank `box` points at a part that does not"},
  });
}

TEST(CheckTanks, NamesTheWholeCircleOfOverflows) {
  const auto run_into = [](Parts& parts, std::uint32_t from, std::uint32_t to) {
    parts.tanks[from].overflow = Overflow{0.1, 0.05, 0.6, TankId{to}};
  };
  Parts parts = sound_yard();
  run_into(parts, 1, 2);
  run_into(parts, 2, 3);
  EXPECT_EQ(told_in_full(check_array(parts)), "");  // a cascade of four ends
  run_into(parts, 3, 1);
  expect_one(check_array(parts), {"tank", 1, "overflow.to"},
             "overflows run in a circle: `butt` into `drum` into `pond` and back into `butt`");
  run_into(parts, 2, 0);
  run_into(parts, 3, 3);
  const Troubles troubles = check_array(parts);
  ASSERT_EQ(troubles.size(), 2u) << told_in_full(troubles);
  EXPECT_EQ(troubles[0].message,
            "overflows run in a circle: `box` into `butt` into `drum` and back into `box`");
  EXPECT_EQ(troubles[1].message, "overflow of tank `pond` runs into itself");
}

TEST(CheckTanks, FindsTwoCirclesApart) {
  Parts parts = sound_yard();
  for (std::uint32_t i = 0; i < 4; ++i) {
    parts.tanks[i].overflow = Overflow{0.1, 0.05, 0.6, TankId{i ^ 1u}};
  }
  const Troubles troubles = check_array(parts);
  ASSERT_EQ(troubles.size(), 2u) << told_in_full(troubles);
  EXPECT_EQ(troubles[0].about.index, 0u);
  EXPECT_EQ(troubles[1].about.index, 2u);
}
}  // namespace check_tanks_test
}  // namespace tankyard
