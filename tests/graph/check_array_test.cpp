// SPDX-License-Identifier: MIT
#include "graph/check_array.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cctype>
#include <chrono>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "graph/sound_yard.h"

// Every refusal, from both sides of its limit. The limits are the tables below; each was written
// down from the headers of graph/ and the plan language, not read off the code.

namespace tankyard {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();
constexpr double inf = std::numeric_limits<double>::infinity();

std::string told_in_full(const Troubles& troubles) {
  std::string text;
  for (const Trouble& each : troubles) {
    text += each.about.kind + " " + std::to_string(each.about.index) + " " + each.about.field +
            ": " + each.message + "; " + each.help + "\n";
  }
  return text;
}

// What every trouble owes its reader, whatever it is about.
void expect_well_worded(const Trouble& trouble) {
  ASSERT_FALSE(trouble.message.empty());
  ASSERT_FALSE(trouble.help.empty());
  EXPECT_FALSE(std::isupper(static_cast<unsigned char>(trouble.message.front())));
  EXPECT_NE(trouble.message.back(), '.');
  EXPECT_NE(trouble.help.back(), '.');
}

void expect_one(const Troubles& troubles, const PartField& about, const std::string& says) {
  ASSERT_EQ(troubles.size(), 1u) << told_in_full(troubles);
  EXPECT_EQ(troubles[0].about.kind, about.kind);
  EXPECT_EQ(troubles[0].about.index, about.index);
  EXPECT_EQ(troubles[0].about.field, about.field);
  EXPECT_THAT(troubles[0].message, testing::HasSubstr(says));
  expect_well_worded(troubles[0]);
}

TEST(CheckArray, HasNothingAgainstASoundYard) {
  EXPECT_EQ(told_in_full(check_array(sound_yard())), "");
}

// ------------------------------------------------------------------------------ single numbers

struct Limit {
  std::function<void(Parts&, double)> put;
  double passes;
  double fails;
  PartField about;
  std::string says;  ///< the message begins like this when the number fails
};

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

std::vector<Limit> limits_of_the_rest() {
  const auto at = [](const char* kind, std::size_t index, const char* field) {
    return PartField{kind, index, field};
  };
  const auto pump = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.pumps[0], value); };
  };
  const auto outlet = [](std::size_t index, auto change) {
    return [index, change](Parts& parts, double value) { change(parts.outlets[index], value); };
  };
  const auto roof = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.roofs[0], value); };
  };
  const auto top_up = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.top_ups[0], value); };
  };
  const auto leak = [](auto change) {
    return [change](Parts& parts, double value) { change(parts.leaks[0], value); };
  };
  const auto header_height = [](Parts& parts, double value) { parts.headers[0].height_m = value; };
  const auto header_x = [](Parts& parts, double value) { parts.headers[0].position->x_m = value; };
  return {
      {header_height, -10000.0, -10001.0, at("header", 0, "height"), "height of header `rail`"},
      {header_height, 1.3, 10001.0, at("header", 0, "height"), "height of header `rail`"},
      {header_x, 1e6, 1.1e6, at("header", 0, "position"), "position to the right of header"},

      {pump([](Pump& p, double v) { p.curve[0].flow_m3_per_s = v; }), 0.0, 1e-4,
       at("pump", 0, "curve"), "curve of pump `booster` begins at 6 L/min"},
      {pump([](Pump& p, double v) { p.curve[0].flow_m3_per_s = v; }), 0.0, -1e-4,
       at("pump", 0, "curve"), "flow of point 1 of the curve of pump `booster` is -6 L/min"},
      {pump([](Pump& p, double v) { p.curve[1].flow_m3_per_s = v; }), 1e-9, 0.0,
       at("pump", 0, "curve"), "curve of pump `booster` goes from 0 L/min to 0 L/min"},
      {pump([](Pump& p, double v) { p.curve[2].flow_m3_per_s = v; }), 10.0, 10.1,
       at("pump", 0, "curve"), "flow of point 3 of the curve"},
      {pump([](Pump& p, double v) { p.curve[1].head_m = v; }), 37.9, 38.0, at("pump", 0, "curve"),
       "curve of pump `booster` does not fall: 38 m at 0 L/min, then 38 m at 25 L/min"},
      {pump([](Pump& p, double v) { p.curve[2].head_m = v; }), 0.0, -0.1, at("pump", 0, "curve"),
       "head of point 3 of the curve"},
      {pump([](Pump& p, double v) { p.curve[0].head_m = v; }), 1000.0, 1001.0,
       at("pump", 0, "curve"), "head of point 1 of the curve"},
      {pump([](Pump& p, double v) { p.npsh_required[0].head_m = v; }), 0.0, -0.1,
       at("pump", 0, "npsh_required"), "head of point 1 of the required suction head"},
      {pump([](Pump& p, double v) { p.npsh_required[1].flow_m3_per_s = v; }), 1e-6, 0.0,
       at("pump", 0, "npsh_required"), "required suction head of pump `booster` goes from"},
      {pump([](Pump& p, double v) { p.efficiency = v; }), 0.01, 0.0, at("pump", 0, "efficiency"),
       "efficiency of pump"},
      {pump([](Pump& p, double v) { p.efficiency = v; }), 1.0, 1.01, at("pump", 0, "efficiency"),
       "efficiency of pump"},
      {pump([](Pump& p, double v) { p.stops_below->depth_m = v; }), 0.0, -0.01,
       at("pump", 0, "stops_below.depth"), "low-level stop of pump `booster` is -10 mm"},
      {pump([](Pump& p, double v) { p.stops_below->resumes_depth_m = v; }), 0.121, 0.12,
       at("pump", 0, "stops_below.resumes"), "depth to resume of pump `booster` is 120 mm"},
      {pump([](Pump& p, double v) { p.stops_below->resumes_depth_m = v; }), 1.0, 1.001,
       at("pump", 0, "stops_below.resumes"), "depth to resume of pump `booster` is 1001 mm"},
      {pump([](Pump& p, double v) { p.position->x_m = v; }), 1e6, 1.1e6, at("pump", 0, "position"),
       "position to the right of pump"},

      {outlet(0, [](Outlet& o, double v) { o.bore_m = v; }), 1e-5, 0.0, at("outlet", 0, "bore"),
       "bore of outlet `nozzle` is 0 mm"},
      {outlet(0, [](Outlet& o, double v) { o.bore_m = v; }), 2.0, 2.01, at("outlet", 0, "bore"),
       "bore of outlet `nozzle` is 2010 mm"},
      {outlet(1, [](Outlet& o, double v) { o.draw_m3_per_s = v; }), 1e-9, 0.0,
       at("outlet", 1, "draw"), "draw of outlet `spray` is 0 L/min"},
      {outlet(1, [](Outlet& o, double v) { o.draw_m3_per_s = v; }), 10.0, 10.1,
       at("outlet", 1, "draw"), "draw of outlet `spray`"},
      {outlet(0, [](Outlet& o, double v) { o.coefficient = v; }), 0.01, 0.0,
       at("outlet", 0, "coefficient"), "coefficient of outlet"},
      {outlet(0, [](Outlet& o, double v) { o.coefficient = v; }), 1.0, 1.01,
       at("outlet", 0, "coefficient"), "coefficient of outlet"},
      {outlet(0, [](Outlet& o, double v) { o.height_m = v; }), -10000.0, -10001.0,
       at("outlet", 0, "height"), "height of outlet `nozzle`"},
      {outlet(0, [](Outlet& o, double v) { o.height_m = v; }), 10000.0, 10001.0,
       at("outlet", 0, "height"), "height of outlet `nozzle`"},
      {outlet(2, [](Outlet& o, double v) { o.at->height_m = v; }), 0.0, -0.001,
       at("outlet", 2, "at.height"), "outlet `can-tap` meets tank `butt` 1 mm below"},
      {outlet(2, [](Outlet& o, double v) { o.at->height_m = v; }), 0.88, 0.881,
       at("outlet", 2, "at.height"), "outlet `can-tap` meets tank `butt` above its rim"},
      {outlet(1, [](Outlet& o, double v) { o.position->y_m = v; }), 1e6, 1.1e6,
       at("outlet", 1, "position"), "position to the back of outlet"},

      {roof([](Roof& r, double v) { r.area_m2 = v; }), 1e-4, 0.0, at("roof", 0, "area"),
       "plan area of roof `shed` is 0 m2"},
      {roof([](Roof& r, double v) { r.area_m2 = v; }), 1e6, 1.1e6, at("roof", 0, "area"),
       "plan area of roof"},
      {roof([](Roof& r, double v) { r.runoff_fraction = v; }), 0.0, -0.01, at("roof", 0, "runoff"),
       "runoff of roof `shed` is -0.01"},
      {roof([](Roof& r, double v) { r.runoff_fraction = v; }), 1.0, 1.01, at("roof", 0, "runoff"),
       "runoff of roof `shed` is 1.01"},
      {roof([](Roof& r, double v) { r.first_flush_m = v; }), 0.0, -0.001,
       at("roof", 0, "first_flush"), "first flush of roof `shed` is -1 mm"},
      {roof([](Roof& r, double v) { r.first_flush_m = v; }), 1.0, 1.001,
       at("roof", 0, "first_flush"), "first flush of roof"},
      {roof([](Roof& r, double v) { r.gutter_limit_m3_per_s = v; }), 1e-9, 0.0,
       at("roof", 0, "gutter_limit"), "gutter limit of roof"},
      {roof([](Roof& r, double v) { r.position->x_m = v; }), 1e6, 1.1e6, at("roof", 0, "position"),
       "position to the right of roof"},

      {top_up([](TopUp& t, double v) { t.flow_m3_per_s = v; }), 1e-9, 0.0, at("top_up", 0, "flow"),
       "flow of top-up `mains` is 0 L/min"},
      {top_up([](TopUp& t, double v) { t.flow_m3_per_s = v; }), 10.0, 10.1, at("top_up", 0, "flow"),
       "flow of top-up"},
      {top_up([](TopUp& t, double v) { t.starts_below_m = v; }), 0.0, -0.01,
       at("top_up", 0, "starts_below"), "depth to start of top-up `mains` is -10 mm"},
      {top_up([](TopUp& t, double v) { t.stops_above_m = v; }), 0.201, 0.2,
       at("top_up", 0, "stops_above"), "depth to stop of top-up `mains` is 200 mm"},
      {top_up([](TopUp& t, double v) { t.stops_above_m = v; }), 1.0, 1.001,
       at("top_up", 0, "stops_above"), "depth to stop of top-up `mains` is 1001 mm"},
      {top_up([](TopUp& t, double v) { t.air_gap_m = v; }), 0.0, -0.001, at("top_up", 0, "air_gap"),
       "air gap of top-up"},
      {top_up([](TopUp& t, double v) { t.air_gap_m = v; }), 10.0, 10.1, at("top_up", 0, "air_gap"),
       "air gap of top-up"},

      {leak([](Leak& l, double v) { l.bore_m = v; }), 1e-5, 0.0, at("leak", 0, "bore"),
       "bore of leak `seam` is 0 mm"},
      {leak([](Leak& l, double v) { l.bore_m = v; }), 0.7, 2.01, at("leak", 0, "bore"),
       "bore of leak `seam`"},
      {leak([](Leak& l, double v) { l.coefficient = v; }), 0.01, 0.0, at("leak", 0, "coefficient"),
       "coefficient of leak"},
      {leak([](Leak& l, double v) { l.coefficient = v; }), 1.0, 1.01, at("leak", 0, "coefficient"),
       "coefficient of leak"},
      {leak([](Leak& l, double v) { l.height_m = v; }), 0.0, -0.001, at("leak", 0, "height"),
       "leak `seam` meets tank `pond` 1 mm below its inside bottom"},
      {leak([](Leak& l, double v) { l.height_m = v; }), 0.798, 0.799, at("leak", 0, "height"),
       "leak `seam` meets tank `pond` above its rim"},
  };
}

void expect_limits(const std::vector<Limit>& limits) {
  for (const Limit& limit : limits) {
    SCOPED_TRACE(limit.about.kind + " " + limit.about.field + ": " + std::to_string(limit.passes) +
                 " against " + std::to_string(limit.fails));
    Parts good = sound_yard();
    limit.put(good, limit.passes);
    EXPECT_EQ(told_in_full(check_array(good)), "");
    Parts bad = sound_yard();
    limit.put(bad, limit.fails);
    expect_one(check_array(bad), limit.about, limit.says);
    for (const double none : {nan, inf, -inf}) {
      Parts no_number = sound_yard();
      limit.put(no_number, none);
      expect_one(check_array(no_number), limit.about, "");
    }
  }
}

TEST(CheckArray, HoldsTheSiteToItsLimits) { expect_limits(limits_of_site()); }
TEST(CheckArray, HoldsTanksToTheirLimits) { expect_limits(limits_of_tanks()); }
TEST(CheckArray, HoldsHosesToTheirLimits) { expect_limits(limits_of_hoses()); }
TEST(CheckArray, HoldsTheOtherPartsToTheirLimits) { expect_limits(limits_of_the_rest()); }

TEST(CheckArray, TellsANumberFromItsLimitHoweverCloseTheyAre) {
  Parts parts = sound_yard();
  parts.roofs[0].runoff_fraction = 1.0 + 1e-9;
  expect_one(check_array(parts), {"roof", 0, "runoff"}, "runoff of roof `shed` is 1.000000001");
}

TEST(CheckArray, SaysNotANumberInWords) {
  Parts parts = sound_yard();
  parts.hoses[0].bore_m = nan;
  expect_one(check_array(parts), {"hose", 0, "bore"}, "bore of hose `box-rail` is not a number");
}

TEST(CheckArray, CountsHolesInALid) {
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
TEST(CheckArray, AsksNoHoleOfAnOpenLid) {
  Parts parts = sound_yard();
  parts.tanks[0].lid = {Lid::Kind::sealed, 0.0, 0.0, 0, 0.0};
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

// --------------------------------------------------------------------------------- whole parts

struct Mistake {
  const char* what;
  std::function<void(Parts&)> make;
  PartField about;
  std::string says;
};

void expect_mistakes(const std::vector<Mistake>& mistakes) {
  for (const Mistake& mistake : mistakes) {
    SCOPED_TRACE(mistake.what);
    Parts parts = sound_yard();
    mistake.make(parts);
    expect_one(check_array(parts), mistake.about, mistake.says);
  }
}

TEST(CheckArray, AsksForATank) {
  expect_one(check_array(Parts{}), {"tank", 0, ""}, "there is no tank");
  Parts one;
  one.tanks.resize(1);
  one.tanks[0].name = "butt";
  one.tanks[0].shape = Upright{0.6, 0.9};
  EXPECT_EQ(told_in_full(check_array(one)), "");
}

TEST(CheckArray, ReadsDepthTablesWhole) {
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

// The default outlet height is sound in itself, but this hose is too wide for it.
TEST(CheckArray, PointsAtTheOutletHeightThatAHoseTookOver) {
  Parts parts = sound_yard();
  parts.tanks[0].outlet_height_m = 0.982;  // 0.981 passes: see the tables
  const Troubles troubles = check_array(parts);
  expect_one(troubles, {"hose", 0, "from"}, "hose `box-rail` meets tank `box` above its rim");
  ASSERT_TRUE(troubles[0].see_also.has_value());
  EXPECT_EQ(troubles[0].see_also->field, "outlet_height");
  EXPECT_EQ(troubles[0].help, "with a bore of 19 mm its height can be at most 981 mm");
}

TEST(CheckArray, AllowsDecimalsThatDoNotAddUpInBinary) {
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

TEST(CheckArray, AllowsWaterAboveTheOverflow) {
  Parts parts = sound_yard();
  parts.tanks[0].overflow->height_m = 0.1;  // the water stands at 0.6: it will spill at once
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

// ---------------------------------------------------------------------------------- who meets whom

TEST(CheckArray, KnowsWhereHosesAndPumpsMayEnd) {
  expect_mistakes({
      {"hose from an outlet",
       [](Parts& p) { p.hoses[0].from.place = OutletId{2}; },
       {"hose", 0, "from"},
       "begins at outlet `can-tap`, where water only leaves the yard"},
      {"pump from an outlet",
       [](Parts& p) { p.pumps[0].from = OutletId{2}; },
       {"pump", 0, "from"},
       "begins at outlet `can-tap`"},
      {"hose to itself",
       [](Parts& p) { p.hoses[0].to.place = TankId{0}; },
       {"hose", 0, "to"},
       "hose `box-rail` begins and ends at tank `box`"},
      {"pump to itself",
       [](Parts& p) {
         p.pumps[0].to = HeaderId{0};
         p.outlets.erase(p.outlets.begin() + 1);  // nothing would lead to it
       },
       {"pump", 0, "to"},
       "pump `booster` begins and ends at header `rail`"},
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
      {"pump from no tank",
       [](Parts& p) { p.pumps[0].from = TankId{4}; },
       {"pump", 0, "from"},
       "does not exist"},
      {"overflow into no tank",
       [](Parts& p) { p.tanks[0].overflow->to = TankId{4}; },
       {"tank", 0, "overflow.to"},
       "`overflow.to` of tank `box` points at a part that does not"},
      {"cut-out in no tank",
       [](Parts& p) { p.pumps[0].stops_below->tank = TankId{4}; },
       {"pump", 0, "stops_below.tank"},
       "does not exist"},
      {"roof into no tank",
       [](Parts& p) { p.roofs[0].into = TankId{4}; },
       {"roof", 0, "into"},
       "does not exist"},
      {"top-up into no tank",
       [](Parts& p) { p.top_ups[0].into = TankId{4}; },
       {"top_up", 0, "into"},
       "does not exist"},
      {"leak in no tank",
       [](Parts& p) { p.leaks[0].tank = TankId{4}; },
       {"leak", 0, "tank"},
       "does not exist"},
  });
}

TEST(CheckArray, LetsTwoHosesJoinOnePair) {
  Parts parts = sound_yard();
  Hose twin = parts.hoses[2];
  twin.name = "drum-pond-2";
  parts.hoses.push_back(twin);
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

TEST(CheckArray, AsksForOneWayToAnOutletAndOneMeasure) {
  expect_mistakes({
      {"no way",
       [](Parts& p) { p.outlets[2].at.reset(); },
       {"outlet", 2, ""},
       "nothing leads to outlet `can-tap`"},
      {"both ways",
       [](Parts& p) {
         p.outlets[0].at = HoseEnd{HeaderId{0}, std::nullopt};
       },
       {"outlet", 0, "at"},
       "sits straight on a place and is also the end of hose `rail-nozzle`"},
      {"both ways, pump",
       [](Parts& p) {
         p.outlets[1].at = HoseEnd{HeaderId{0}, std::nullopt};
       },
       {"outlet", 1, "at"},
       "is also the end of pump `booster`"},
      {"on an outlet",
       [](Parts& p) { p.outlets[2].at->place = OutletId{0}; },
       {"outlet", 2, "at"},
       "outlet `can-tap` sits on no tank or header"},
      {"on no tank",
       [](Parts& p) { p.outlets[2].at->place = TankId{4}; },
       {"outlet", 2, "at"},
       "outlet `can-tap` sits on no tank or header"},
      {"height on a header",
       [](Parts& p) {
         p.outlets[2].at = HoseEnd{HeaderId{0}, 0.1};
       },
       {"outlet", 2, "at.height"},
       "outlet `can-tap` gives a height at header `rail`"},
      {"bore and draw",
       [](Parts& p) { p.outlets[0].draw_m3_per_s = 1e-4; },
       {"outlet", 0, "draw"},
       "outlet `nozzle` has both a bore and a draw"},
      {"neither",
       [](Parts& p) { p.outlets[0].bore_m.reset(); },
       {"outlet", 0, ""},
       "outlet `nozzle` has neither a bore nor a draw"},
      {"no height at the end of a hose",
       [](Parts& p) { p.outlets[0].height_m.reset(); },
       {"outlet", 0, "height"},
       "outlet `nozzle` has no height"},
      {"no height at the end of a pump",
       [](Parts& p) { p.outlets[1].height_m.reset(); },
       {"outlet", 1, "height"},
       "outlet `spray` has no height"},
  });
  Parts parts = sound_yard();
  parts.outlets[2].at = HoseEnd{HeaderId{0}, std::nullopt};  // straight on a header
  EXPECT_EQ(told_in_full(check_array(parts)), "");
  parts.outlets[2].bore_m.reset();  // a draw in place of a bore
  parts.outlets[2].draw_m3_per_s = 1e-4;
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

TEST(CheckArray, AsksAPumpForTwoPoints) {
  expect_mistakes({
      {"none",
       [](Parts& p) { p.pumps[0].curve.clear(); },
       {"pump", 0, "curve"},
       "curve of pump `booster` has no point"},
      {"one",
       [](Parts& p) { p.pumps[0].curve.resize(1); },
       {"pump", 0, "curve"},
       "curve of pump `booster` has one point"},
  });
  Parts parts = sound_yard();
  parts.pumps[0].curve.resize(2);
  parts.pumps[0].npsh_required.clear();
  EXPECT_EQ(told_in_full(check_array(parts)), "");
}

// ---------------------------------------------------------------------------- overflows in a
// circle

TEST(CheckArray, NamesTheWholeCircleOfOverflows) {
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

TEST(CheckArray, FindsTwoCirclesApart) {
  Parts parts = sound_yard();
  for (std::uint32_t i = 0; i < 4; ++i) {
    parts.tanks[i].overflow = Overflow{0.1, 0.05, 0.6, TankId{i ^ 1u}};
  }
  const Troubles troubles = check_array(parts);
  ASSERT_EQ(troubles.size(), 2u) << told_in_full(troubles);
  EXPECT_EQ(troubles[0].about.index, 0u);
  EXPECT_EQ(troubles[1].about.index, 2u);
}

// ------------------------------------------------------------------------------------------- names

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
       "outlet are both called"},
      {"tank and roof", [](Parts& p) { p.roofs[0].name = "box"; }, {"roof", 0, "name"}, "a roof"},
      {"tank and top-up",
       [](Parts& p) { p.top_ups[0].name = "box"; },
       {"top_up", 0, "name"},
       "a tank and a top-up are both called `box`"},
      {"tank and leak", [](Parts& p) { p.leaks[0].name = "box"; }, {"leak", 0, "name"}, "a leak"},
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

// -------------------------------------------------------------------------------------------- cost

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
  const auto start = std::chrono::steady_clock::now();
  EXPECT_EQ(told_in_full(check_array(parts)), "");
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  EXPECT_LT(took.count(), 10.0);
}

}  // namespace
}  // namespace tankyard
