// SPDX-License-Identifier: MIT
// The layout of the side view. Sources of truth: heights are a straight line from metres to px,
// checked against the plan's own figures; rooms of texts are measured anew from io/svg_text.h,
// whose widths are those of the fonts' tables.
#include "io/elevation.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "io/elevation_yards.h"
#include "io/plan_file.h"
#include "io/program.h"
#include "io/svg_text.h"

namespace tankyard {
namespace elevation_test {

using elevation::Box;
using elevation::Group;
using elevation::Picture;
using elevation::Point;
using elevation::Stroke;
using elevation::Writing;

constexpr double tenth_px = 0.1;

Picture picture_of(const Array& array) { return lay_out_elevation(array, state_at_start(array)); }

const Group* find(const Picture& picture, const std::string& id) {
  for (const Group& group : picture.groups) {
    if (group.id == id) return &group;
  }
  return nullptr;
}

std::vector<const Stroke*> strokes_of(const Group& group, const std::string& look) {
  std::vector<const Stroke*> found;
  for (const Stroke& stroke : group.strokes) {
    if (stroke.look == look) found.push_back(&stroke);
  }
  return found;
}

bool says(const Picture& picture, const std::string& text) {
  return std::any_of(picture.writings.begin(), picture.writings.end(), [&](const Writing& each) {
    return each.text.find(text) != std::string::npos;
  });
}

/// The room a text takes, from its own words and place.
Box measured(const Writing& writing) {
  const double wide =
      std::max(text_width_px(writing.text, writing.size_px, writing.bold), writing.reserve_px);
  const double left = writing.anchor == elevation::Anchor::start    ? writing.at.x
                      : writing.anchor == elevation::Anchor::middle ? writing.at.x - wide / 2.0
                                                                    : writing.at.x - wide;
  return {left, writing.at.y - 0.93 * writing.size_px, left + wide,
          writing.at.y + 0.24 * writing.size_px};
}

/// The first two texts that meet, or nothing.
std::string meeting(const Picture& picture) {
  for (std::size_t a = 0; a < picture.writings.size(); ++a) {
    const Box first = measured(picture.writings[a]);
    for (std::size_t b = a + 1; b < picture.writings.size(); ++b) {
      const Box second = measured(picture.writings[b]);
      if (elevation::overlap(first, second)) {
        return "`" + picture.writings[a].text + "` and `" + picture.writings[b].text + "`";
      }
    }
  }
  return {};
}

/// The first thing that lies outside of the picture, or nothing.
std::string outside(const Picture& picture) {
  const auto in = [&](double x, double y) {
    return x >= 0.0 && x <= picture.width_px && y >= 0.0 && y <= picture.height_px;
  };
  for (const Writing& writing : picture.writings) {
    const Box box = measured(writing);
    if (!in(box.left, box.top) || !in(box.right, box.bottom)) return "text " + writing.text;
  }
  for (const Group& group : picture.groups) {
    for (const Stroke& stroke : group.strokes) {
      for (const Point& point : stroke.points) {
        if (!in(point.x, point.y)) return group.kind + " " + group.id + ": " + stroke.look;
      }
    }
    for (const auto& disc : group.discs) {
      if (!in(disc.centre.x, disc.centre.y)) return group.kind + " " + group.id + ": " + disc.look;
    }
  }
  return {};
}

RC_GTEST_PROP(Elevation, LabelsNeverMeetNorLeaveThePicture, ()) {
  for (const int most_tanks : {3, 40}) {  // two yards a case: 200 in the quick tier
    const Array array = array_of(any_yard(most_tanks));
    const Picture picture = lay_out_elevation(array, any_state(array), any_rest(array),
                                              {.row_px = random_yard::chance(30) ? 360.0 : 1600.0});
    RC_ASSERT(meeting(picture) == "");
    RC_ASSERT(outside(picture) == "");
  }
}

RC_GTEST_PROP(Elevation, HeightsAreToScale, ()) {
  const Array array = array_of(any_yard(12));
  const ElevationState state = any_state(array);
  const Picture picture = lay_out_elevation(array, state);
  RC_ASSERT(std::fabs(picture.px_per_m * picture.one_to - 96.0 / 0.0254) < 1e-6);
  for (std::size_t t = 0; t < array.tanks().size(); ++t) {
    const Tank& tank = array.tanks()[t];
    const Group* group = find(picture, "tank-" + std::to_string(t));
    RC_ASSERT(group != nullptr);
    const auto y_of = [&](double above_bottom_m) {
      return group->water->floor_y - above_bottom_m * picture.px_per_m;
    };
    // Walls from bottom to rim.
    double top = 1e9;
    double bottom = -1e9;
    for (const Point& point : strokes_of(*group, "wall").front()->points) {
      top = std::min(top, point.y);
      bottom = std::max(bottom, point.y);
    }
    if (std::holds_alternative<Lying>(tank.shape)) {
      for (const Point& point : group->water->outline) {
        top = std::min(top, point.y);
        bottom = std::max(bottom, point.y);
      }
    }
    RC_ASSERT(std::fabs(bottom - y_of(0.0)) < tenth_px);
    RC_ASSERT(std::fabs(y_of(height_m(tank.shape)) - group->water->outline.front().y) < tenth_px);
    RC_ASSERT(std::fabs(group->water->surface_y - y_of(state.depth_m[t])) < tenth_px);
    // The mouths of its hoses.
    for (std::size_t h = 0; h < array.hoses().size(); ++h) {
      const Hose& hose = array.hoses()[h];
      for (const HoseEnd& end : {hose.from, hose.to}) {
        if (end.place != Place(id_at<TankId>(t))) continue;
        const double wanted = y_of(mouth_m(array.parts(), end) - tank.base_m);
        const Group* drawn = find(picture, "hose-" + std::to_string(h));
        RC_ASSERT(drawn != nullptr);
        RC_ASSERT(std::any_of(drawn->discs.begin(), drawn->discs.end(), [&](const auto& disc) {
          return disc.look == "mouth" && std::fabs(disc.centre.y - wanted) < tenth_px;
        }));
      }
    }
  }
}

RC_GTEST_PROP(Elevation, EverythingInARowIsAtItsHeightAboveOneDatum, ()) {
  const Array array = array_of(any_yard(6));
  const Picture picture = lay_out_elevation(array, state_at_start(array), {}, {.row_px = 1e6});
  double datum = NAN;
  for (std::size_t t = 0; t < array.tanks().size(); ++t) {
    const Group* group = find(picture, "tank-" + std::to_string(t));
    const double here = group->water->floor_y + array.tanks()[t].base_m * picture.px_per_m;
    if (t == 0) datum = here;
    RC_ASSERT(std::fabs(here - datum) < tenth_px);
  }
  const auto y_of = [&](double height_m) { return datum - height_m * picture.px_per_m; };
  const Parts& parts = array.parts();
  for (std::size_t h = 0; h < parts.headers.size(); ++h) {
    const Group* group = find(picture, "header-" + std::to_string(h));
    for (const Point& point : strokes_of(*group, "rail").front()->points) {
      RC_ASSERT(std::fabs(point.y - y_of(parts.headers[h].height_m)) < tenth_px);
    }
  }
  for (std::size_t o = 0; o < parts.outlets.size(); ++o) {
    const Group* group = find(picture, "outlet-" + std::to_string(o));
    const double spout = strokes_of(*group, "spout").front()->points.front().y;
    RC_ASSERT(std::fabs(spout - y_of(mouth_m(parts, parts.outlets[o]))) < tenth_px);
  }
  for (std::size_t h = 0; h < parts.hoses.size(); ++h) {
    if (!parts.hoses[h].crest_m) continue;
    double top = 1e9;
    for (const Stroke* run : strokes_of(*find(picture, "hose-" + std::to_string(h)),
                                        parts.hoses[h].open ? "run" : "run off")) {
      for (const Point& point : run->points) top = std::min(top, point.y);
    }
    RC_ASSERT(std::fabs(top - y_of(*parts.hoses[h].crest_m)) < tenth_px);
  }
}

RC_GTEST_PROP(Elevation, DrawsEveryPartOnce, ()) {
  const Array array = array_of(any_yard(40));
  const Picture picture = picture_of(array);
  std::multiset<std::string> ids;
  for (const Group& group : picture.groups) {
    if (!group.id.empty()) ids.insert(group.id);
  }
  const Parts& parts = array.parts();
  for (const auto& [kind, count] :
       std::map<std::string, std::size_t>{{"tank", parts.tanks.size()},
                                          {"level", parts.tanks.size()},
                                          {"header", parts.headers.size()},
                                          {"hose", parts.hoses.size()},
                                          {"pump", parts.pumps.size()},
                                          {"outlet", parts.outlets.size()},
                                          {"roof", parts.roofs.size()},
                                          {"top-up", parts.top_ups.size()},
                                          {"leak", parts.leaks.size()},
                                          {"air-line", parts.air_lines.size()}}) {
    for (std::size_t k = 0; k < count; ++k) {
      RC_ASSERT(ids.count(kind + "-" + std::to_string(k)) == 1U);
    }
    RC_ASSERT(ids.count(kind + "-" + std::to_string(count)) == 0U);
  }
}

RC_GTEST_PROP(Elevation, WritesEveryBoreAndValveDown, ()) {
  Parts parts = *random_yards(anything(20));
  const Array array = array_of(parts);
  const Picture picture = picture_of(array);
  for (std::size_t h = 0; h < array.hoses().size(); ++h) {
    const Hose& hose = array.hoses()[h];
    std::string words;
    for (const Writing& writing : picture.writings) {
      if (writing.of == "hose-" + std::to_string(h)) words += writing.text + "; ";
    }
    RC_ASSERT(words.find(" mm") != std::string::npos);
    if (!hose.valve) continue;
    const std::string state = hose.valve->name + (hose.valve->open ? " open" : " shut");
    RC_ASSERT(words.find(state) != std::string::npos);
  }
}

Parts boxes(std::size_t count) {
  Parts parts;
  for (std::size_t k = 0; k < count; ++k) {
    Tank tank;
    tank.name = "box-" + std::to_string(k + 1);
    tank.shape = Prism{1.1, 0.95};
    tank.base_m = 0.4;
    tank.water_m3 = 0.5;
    parts.tanks.push_back(tank);
  }
  return parts;
}

void join(Parts& parts, Place from, Place to) {
  Hose hose;
  hose.name = "hose-" + std::to_string(parts.hoses.size() + 1);
  hose.from.place = from;
  hose.to.place = to;
  hose.bore_m = 0.032;
  hose.length_m = 1.0;
  hose.valve = Valve{"V" + std::to_string(parts.hoses.size() + 1)};
  parts.hoses.push_back(hose);
}

TankId tank_id(std::size_t k) { return id_at<TankId>(k); }

double middle_x(const Picture& picture, const std::string& id) {
  double sum = 0.0;
  const auto& outline = find(picture, id)->water->outline;
  for (const Point& point : outline) sum += point.x;
  return sum / static_cast<double>(outline.size());
}

TEST(Elevation, PutsPartsWhereTheirPositionsSay) {
  Parts parts = boxes(4);
  const double x_m[] = {7.0, 1.0, 9.0, 3.0};
  for (std::size_t k = 0; k < 4; ++k) parts.tanks[k].position = Position{x_m[k], 0.0};
  join(parts, tank_id(0), tank_id(1));  // no reason to move anything
  const Picture picture = picture_of(array_of(parts));
  EXPECT_LT(middle_x(picture, "tank-1"), middle_x(picture, "tank-3"));
  EXPECT_LT(middle_x(picture, "tank-3"), middle_x(picture, "tank-0"));
  EXPECT_LT(middle_x(picture, "tank-0"), middle_x(picture, "tank-2"));
}

TEST(Elevation, WithoutPositionsPutsNeighboursBesideEachOther) {
  // A chain 0-2-4-1-3 told out of order.
  Parts parts = boxes(5);
  for (const auto& [a, b] :
       std::vector<std::pair<std::size_t, std::size_t>>{{0, 2}, {2, 4}, {4, 1}, {1, 3}}) {
    join(parts, tank_id(a), tank_id(b));
  }
  const Picture picture = picture_of(array_of(parts));
  std::vector<std::pair<double, int>> order;
  for (int k = 0; k < 5; ++k) {
    order.emplace_back(middle_x(picture, "tank-" + std::to_string(k)), k);
  }
  std::sort(order.begin(), order.end());
  std::vector<int> names;
  for (const auto& each : order) names.push_back(each.second);
  EXPECT_THAT(names, ::testing::AnyOf(::testing::ElementsAre(0, 2, 4, 1, 3),
                                      ::testing::ElementsAre(3, 1, 4, 2, 0)));
}

bool cross(Point a, Point b, Point c, Point d) {
  const auto side = [](Point p, Point q, Point r) {
    return (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
  };
  return side(a, b, c) * side(a, b, d) < -1e-6 && side(c, d, a) * side(c, d, b) < -1e-6;
}

/// How often two hoses cross.
int crossings(const Picture& picture) {
  struct Leg {
    std::size_t group;
    Point a, b;
  };
  std::vector<Leg> legs;
  for (std::size_t g = 0; g < picture.groups.size(); ++g) {
    for (const Stroke& stroke : picture.groups[g].strokes) {
      if (stroke.look.rfind("run", 0) != 0 || picture.groups[g].id.empty()) continue;
      for (std::size_t k = 0; k + 1 < stroke.points.size(); ++k) {
        legs.push_back({g, stroke.points[k], stroke.points[k + 1]});
      }
    }
  }
  int count = 0;
  for (std::size_t i = 0; i < legs.size(); ++i) {
    for (std::size_t j = i + 1; j < legs.size(); ++j) {
      if (legs[i].group != legs[j].group && cross(legs[i].a, legs[i].b, legs[j].a, legs[j].b)) {
        ++count;
      }
    }
  }
  return count;
}

TEST(Elevation, NoHosesCrossInAChainARowOnAHeaderOrAStar) {
  Parts chain = boxes(12);
  for (std::size_t k = 1; k < 12; ++k) join(chain, tank_id(k - 1), tank_id(k));
  EXPECT_EQ(crossings(picture_of(array_of(chain))), 0);

  Parts row = boxes(6);
  row.headers.push_back({"rail", 0.2, std::nullopt});
  for (std::size_t k = 0; k < 6; ++k) join(row, tank_id(k), id_at<HeaderId>(0));
  EXPECT_EQ(crossings(picture_of(array_of(row))), 0);

  Parts star = boxes(5);
  for (std::size_t k = 1; k < 5; ++k) join(star, tank_id(0), tank_id(k));
  EXPECT_EQ(crossings(picture_of(array_of(star))), 0);
}

TEST(Elevation, GoesOnInWordsWhereAHoseLeavesItsRow) {
  Parts parts = boxes(6);
  for (std::size_t k = 1; k < 6; ++k) join(parts, tank_id(k - 1), tank_id(k));
  const Array array = array_of(parts);
  const Picture picture = lay_out_elevation(array, state_at_start(array), {}, {.row_px = 700.0});
  EXPECT_TRUE(says(picture, "Row 2 of"));
  EXPECT_TRUE(says(picture, " in row 2"));
  EXPECT_TRUE(says(picture, "from box-"));
}

TEST(Elevation, DrawsAHeaderAgainInEachRow) {
  Parts parts = boxes(12);
  parts.headers.push_back({"rail", 0.2, std::nullopt});
  for (std::size_t k = 0; k < 12; ++k) join(parts, tank_id(k), id_at<HeaderId>(0));
  const Array array = array_of(parts);
  const Picture picture = lay_out_elevation(array, state_at_start(array), {}, {.row_px = 1200.0});
  EXPECT_TRUE(says(picture, "on from row"));
  EXPECT_EQ(strokes_of(*find(picture, "header-0"), "rail").size(), 2U);
}

TEST(Elevation, NeverDrawsTwoHeadersAsOne) {
  Parts parts = boxes(8);
  for (const char* name : {"first", "second"}) {
    parts.headers.push_back({name, 0.2, std::nullopt});
  }
  for (std::size_t k = 0; k < 8; ++k) join(parts, tank_id(k), id_at<HeaderId>(k % 2));
  for (std::size_t k = 0; k < 8; ++k)
    parts.tanks[k].position = Position{1.0 * static_cast<double>(k), 0.0};
  const Picture picture =
      lay_out_elevation(array_of(parts), state_at_start(array_of(parts)), {}, {.row_px = 1e5});
  ASSERT_NE(find(picture, "header-0"), nullptr);
  const auto first = strokes_of(*find(picture, "header-0"), "rail").front()->points;
  const auto second = strokes_of(*find(picture, "header-1"), "rail").front()->points;
  EXPECT_TRUE(first[1].x < second[0].x || second[1].x < first[0].x);
}

TEST(Elevation, ShowsOneLevelOrTheLevels) {
  Parts parts = boxes(2);
  join(parts, tank_id(0), tank_id(1));
  const Array array = array_of(parts);
  RestingGroup group{{tank_id(0), tank_id(1)}, 0.9, {0.5, 0.5}, 0.0, 0.0, 0.0, tank_id(0)};
  EXPECT_TRUE(says(lay_out_elevation(array, state_at_start(array), {group}), "one level"));
  group.level_m.reset();
  group.depth_m = {0.2, 0.7};
  const Picture apart = lay_out_elevation(array, state_at_start(array), {group});
  EXPECT_FALSE(says(apart, "one level"));
  EXPECT_TRUE(says(apart, "0.60 m"));
  EXPECT_TRUE(says(apart, "1.10 m"));
}

TEST(Elevation, ShowsAMomentWithFlowsAndHeadspaces) {
  Parts parts = boxes(2);
  join(parts, tank_id(0), tank_id(1));
  parts.tanks[0].lid.kind = Lid::Kind::sealed;
  const Array array = array_of(parts);
  ElevationState state = state_at_start(array);
  state.moment = "at 06:30";
  state.depth_m = {0.3, 0.4};
  state.flow_m3_per_s = {-10.0 / 60000.0};
  state.headspace_gauge_pa = {-1200.0, 0.0};
  const Picture picture = lay_out_elevation(array, state);
  EXPECT_TRUE(says(picture, "at 06:30"));
  EXPECT_TRUE(says(picture, "10.0 L/min"));
  EXPECT_TRUE(says(picture, "vacuum 1200 Pa"));
  EXPECT_EQ(find(picture, "tank-0")->kind, "tank vacuum");
  // The hose is drawn from `from` to `to`, and its arrow points the other way.
  const std::vector<Point>& arrow = strokes_of(*find(picture, "hose-0"), "flow").front()->points;
  const std::vector<Point>& way = strokes_of(*find(picture, "hose-0"), "run").front()->points;
  const Point back{(arrow[1].x + arrow[2].x) / 2.0, (arrow[1].y + arrow[2].y) / 2.0};
  int on_the_way = 0;
  for (std::size_t k = 0; k + 1 < way.size(); ++k) {
    const Point a = way[k];
    const Point b = way[k + 1];
    const double all = std::hypot(b.x - a.x, b.y - a.y);
    const double by_tip = std::hypot(arrow[0].x - a.x, arrow[0].y - a.y) +
                          std::hypot(b.x - arrow[0].x, b.y - arrow[0].y);
    if (by_tip > all + 0.01) continue;
    ++on_the_way;
    EXPECT_LT((b.x - a.x) * (arrow[0].x - back.x) + (b.y - a.y) * (arrow[0].y - back.y), 0.0);
  }
  EXPECT_EQ(on_the_way, 1);
}

TEST(Elevation, StandsStillWhileWaterAndFlowsChange) {
  // What a page animates: the same yard at two moments.
  Parts parts = boxes(4);
  for (std::size_t k = 1; k < 4; ++k) join(parts, tank_id(k - 1), tank_id(k));
  const Array array = array_of(parts);
  ElevationState early = state_at_start(array);
  early.flow_m3_per_s = {0.0, 0.0, 0.0};
  early.headspace_gauge_pa = {0.0, 0.0, 0.0, 0.0};
  ElevationState late = early;
  late.depth_m = {0.0, 0.95, 0.1, 0.2};
  late.flow_m3_per_s = {1e-3, -2e-3, 1.5e-5};
  late.headspace_gauge_pa = {-3000.0, 0.0, 20.0, 0.0};
  const Picture first = lay_out_elevation(array, early);
  const Picture second = lay_out_elevation(array, late);
  ASSERT_EQ(first.writings.size(), second.writings.size());
  for (std::size_t k = 0; k < first.writings.size(); ++k) {
    EXPECT_EQ(first.writings[k].of, second.writings[k].of);
    EXPECT_EQ(first.writings[k].at.x, second.writings[k].at.x) << first.writings[k].text;
    EXPECT_EQ(first.writings[k].at.y, second.writings[k].at.y) << first.writings[k].text;
  }
  for (int t = 0; t < 4; ++t) {
    const std::string id = "tank-" + std::to_string(t);
    EXPECT_EQ(find(first, id)->water->floor_y, find(second, id)->water->floor_y);
    EXPECT_EQ(middle_x(first, id), middle_x(second, id));
  }
}

TEST(Elevation, OfTheExampleHasNoMeetingLabelsAndNoCrossingHoses) {
  const auto plan = read_plan_file(TANKYARD_SOURCE_DIR "/examples/larch-hill.toml");
  ASSERT_TRUE(plan.has_value());
  const auto rest = at_rest(plan->array);
  ASSERT_TRUE(rest.has_value());
  for (const double row_px : {360.0, 900.0, 1600.0}) {
    const Picture picture = lay_out_elevation(plan->array, state_at_start(plan->array),
                                              rest->groups, {.row_px = row_px});
    EXPECT_EQ(meeting(picture), "");
    EXPECT_EQ(outside(picture), "");
    EXPECT_EQ(crossings(picture), 0);
  }
}

}  // namespace elevation_test
}  // namespace tankyard
