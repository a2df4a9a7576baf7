// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include "graph/check_array.h"
#include "graph/check_limits.h"
#include "graph/sound_yard.h"

namespace tankyard {
namespace check_hoses_test {

std::vector<Limit> limits_of_hoses() {
  const auto about = [](std::size_t index, const char* field) {
    return PartField{"hose", index, field};
  };
  const auto hose = [](std::size_t index, auto change) {
    return [index, change](Parts& parts, double value) { change(parts.hoses[index], value); };
  };
  const auto bore = [](Hose& h, double v) { h.bore_m = v; };
  const auto length = [](Hose& h, double v) { h.length_m = v; };
  const auto roughness = [](Hose& h, double v) { h.roughness_m = v; };
  const auto loss = [](Hose& h, double v) { h.loss_k = v; };
  const auto from_height = [](Hose& h, double v) { h.from.height_m = v; };
  const auto to_height = [](Hose& h, double v) { h.to.height_m = v; };
  const auto crest = [](Hose& h, double v) { h.crest_m = v; };
  const auto cracking = [](Hose& h, double v) { h.cracking_head_m = v; };
  const auto valve_loss = [](Hose& h, double v) { h.valve->loss_k = v; };
  return {
      {hose(0, bore), 1e-5, 0.0, about(0, "bore"), "bore of hose `box-rail` is 0 mm"},
      {hose(3, bore), 2.0, 2.001, about(3, "bore"), "bore of hose `rail-nozzle` is 2001 mm"},
      {hose(0, length), 0.0, -0.001, about(0, "length"), "length of hose `box-rail` is -0.001 m"},
      {hose(0, length), 1e5, 1.1e5, about(0, "length"), "length of hose `box-rail`"},
      {hose(0, roughness), 0.0, -1e-6, about(0, "roughness"), "roughness of hose"},
      {hose(0, roughness), 0.00949, 0.0095, about(0, "roughness"), "roughness of hose"},
      {hose(0, loss), 0.0, -0.1, about(0, "loss"), "loss of hose `box-rail` is -0.1"},
      {hose(0, loss), 1e9, 1.1e9, about(0, "loss"), "loss of hose `box-rail`"},
      {hose(0, valve_loss), 0.0, -0.1, about(0, "valve.loss"), "loss of the valve of hose"},
      {hose(0, valve_loss), 1e9, 1.1e9, about(0, "valve.loss"), "loss of the valve of hose"},
      {hose(2, cracking), 0.0, -0.1, about(2, "cracking_head"), "cracking head of hose"},
      {hose(2, cracking), 1000.0, 1001.0, about(2, "cracking_head"), "cracking head of hose"},
      {hose(0, cracking), 0.0, 0.1, about(0, "cracking_head"), "but no non-return valve"},
      {hose(1, from_height), 0.0, -0.002, about(1, "from.height"),
       "hose `butt-rail` meets tank `butt` 2 mm below its inside bottom"},
      {hose(1, from_height), 0.881, 0.882, about(1, "from.height"),
       "meets tank `butt` above its rim: the top of the mouth is at 901 mm, the rim at 900 mm"},
      {hose(2, to_height), 0.0, -0.002, about(2, "to.height"), "below its inside bottom"},
      {hose(2, to_height), 0.781, 0.782, about(2, "to.height"), "above its rim"},
      {hose(1, crest), 0.5, 0.499, about(1, "crest"),
       "crest of hose `butt-rail` is at 0.499 m, below its own `from` end at 0.5 m"},
      {hose(3, crest), 0.4, 0.399, about(3, "crest"), "below its own `from` end at 0.4 m"},
      {hose(1, crest), 10000.0, 10001.0, about(1, "crest"), "crest of hose"},
  };
}

std::vector<Limit> limits_of_headers() {
  const auto header_height = [](Parts& parts, double value) { parts.headers[0].height_m = value; };
  const auto header_x = [](Parts& parts, double value) { parts.headers[0].position->x_m = value; };
  const auto at = [](const char* kind, std::size_t index, const char* field) {
    return PartField{kind, index, field};
  };
  return {
      {header_height, -10000.0, -10001.0, at("header", 0, "height"), "height of header `rail`"},
      {header_height, 1.3, 10001.0, at("header", 0, "height"), "height of header `rail`"},
      {header_x, 1e6, 1.1e6, at("header", 0, "position"), "position to the right of header"},
  };
}

TEST(CheckHoses, HoldsThemToTheirLimits) { expect_limits(limits_of_hoses()); }

TEST(CheckHoses, HoldsHeadersToTheirLimits) { expect_limits(limits_of_headers()); }

TEST(CheckHoses, KnowsWhereTheyMayEnd) {
  expect_mistakes({
      {"hose from an outlet",
       [](Parts& p) { p.hoses[0].from.place = OutletId{2}; },
       {"hose", 0, "from"},
       "begins at outlet `can-tap`, where water only leaves the yard"},
      {"hose to itself",
       [](Parts& p) { p.hoses[0].to.place = TankId{0}; },
       {"hose", 0, "to"},
       "hose `box-rail` begins and ends at tank `box`"},
      {"height at a header",
       [](Parts& p) { p.hoses[0].to.height_m = 0.1; },
       {"hose", 0, "to.height"},
       "gives a height at header `rail`"},
      {"height at an outlet",
       [](Parts& p) { p.hoses[3].to.height_m = 0.1; },
       {"hose", 3, "to.height"},
       "gives a height at outlet `nozzle`"},
      {"no such tank",
       [](Parts& p) { p.hoses[0].from.place = TankId{4}; },
       {"hose", 0, "from"},
       "hose `box-rail` begins at a place that does not exist"},
      {"no such header",
       [](Parts& p) { p.hoses[0].to.place = HeaderId{1}; },
       {"hose", 0, "to"},
       "hose `box-rail` ends at a place that does not exist"},
      {"no such outlet",
       [](Parts& p) { p.hoses[0].to.place = OutletId{3}; },
       {"hose", 0, "to"},
       "does not exist"},
  });
}

TEST(CheckHoses, LetsTwoHosesJoinOnePair) {
  Parts parts = sound_yard();
  Hose twin = parts.hoses[2];
  twin.name = "drum-pond-2";
  parts.hoses.push_back(twin);
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

// The default outlet height is sound in itself, but this hose is too wide for it.
TEST(CheckHoses, PointsAtTheOutletHeightThatAHoseTookOver) {
  Parts parts = sound_yard();
  parts.tanks[0].outlet_height_m = 0.982;  // 0.981 passes: see the tables
  const Troubles troubles = check_array(parts);
  expect_one(troubles, {"hose", 0, "from"}, "hose `box-rail` meets tank `box` above its rim");
  ASSERT_TRUE(troubles[0].see_also.has_value());
  EXPECT_EQ(troubles[0].see_also->field, "outlet_height");
  EXPECT_EQ(troubles[0].help, "with a bore of 19 mm its height can be at most 981 mm");
}
}  // namespace check_hoses_test
}  // namespace tankyard
