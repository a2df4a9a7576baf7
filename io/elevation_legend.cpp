// SPDX-License-Identifier: MIT
// What the signs mean: only those that occur.
#include <algorithm>
#include <functional>
#include <string>

#include "io/elevation_row.h"
#include "io/elevation_signs.h"
#include "io/svg_text.h"

namespace tankyard::elevation {
namespace {

struct Entry {
  std::string words;
  std::function<void(Group&, Point)> sign;  ///< drawn in 30 px to the right of the point
};

std::vector<Entry> entries_of(const Yard& yard, bool shows_rest) {
  const Parts& parts = yard.parts;
  std::vector<Entry> entries;
  const auto any_hose = [&](const auto& test) {
    return std::any_of(parts.hoses.begin(), parts.hoses.end(), test);
  };
  const auto in_line = [](const char* look) {
    return [look](Group& group, Point at) {
      group.strokes.push_back(line({{at.x, at.y}, {at.x + 28.0, at.y}}, look, 3.0));
    };
  };
  const bool any_shut = [&] {
    for (std::size_t k = 0; k < parts.hoses.size(); ++k) {
      if (parts.hoses[k].valve && !passes(parts, yard.state, id_at<HoseId>(k))) return true;
    }
    return false;
  }();
  const auto any_open = [&] {
    for (std::size_t k = 0; k < parts.hoses.size(); ++k) {
      if (parts.hoses[k].valve && passes(parts, yard.state, id_at<HoseId>(k))) return true;
    }
    return false;
  }();
  entries.push_back(
      {"water, and its level", [](Group& group, Point at) {
         group.strokes.push_back(area(
             {{at.x, at.y}, {at.x + 28.0, at.y}, {at.x + 28.0, at.y + 8.0}, {at.x, at.y + 8.0}},
             "water"));
         add_level_mark(group, {at.x + 20.0, at.y});
       }});
  if (!parts.hoses.empty()) {
    entries.push_back(
        {"hose, and its mouth in a tank", [](Group& group, Point at) {
           group.strokes.push_back(line({{at.x + 4.0, at.y}, {at.x + 28.0, at.y}}, "run", 3.0));
           group.discs.push_back({{at.x + 4.0, at.y}, 3.4, "mouth"});
         }});
  }
  const auto valve = [](Group& group, Point at) {
    group.strokes.push_back(line({{at.x, at.y}, {at.x + 28.0, at.y}}, "run", 3.0));
    add_valve(group, {at.x + 14.0, at.y}, {1.0, 0.0});
  };
  if (any_open) entries.push_back({"valve, open", valve});
  if (any_shut) {
    entries.push_back({"valve, shut", [valve](Group& group, Point at) {
                         group.kind = "hose shut";
                         valve(group, at);
                       }});
  }
  if (any_hose([](const Hose& hose) { return hose.one_way; })) {
    entries.push_back(
        {"valve that passes one way", [](Group& group, Point at) {
           group.strokes.push_back(line({{at.x, at.y}, {at.x + 28.0, at.y}}, "run", 3.0));
           add_flap(group, {at.x + 14.0, at.y}, {1.0, 0.0});
         }});
  }
  if (any_hose([](const Hose& hose) { return !hose.open; })) {
    entries.push_back({"hose taken off", in_line("run off")});
  }
  if (!parts.headers.empty()) {
    entries.push_back({"header", [](Group& group, Point at) {
                         group.strokes.push_back(line({{at.x, at.y}, {at.x + 28.0, at.y}}, "rail"));
                         group.discs.push_back({{at.x + 14.0, at.y}, 3.2, "joint"});
                       }});
  }
  if (!parts.outlets.empty()) {
    entries.push_back({"outlet", [](Group& group, Point at) {
                         add_outlet(group, {at.x + 6.0, at.y}, false);
                       }});
  }
  if (!parts.pumps.empty()) {
    entries.push_back({"pump", [](Group& group, Point at) {
                         add_pump(group, {at.x + 14.0, at.y - 4.0});
                       }});
  }
  if (std::any_of(parts.tanks.begin(), parts.tanks.end(),
                  [](const Tank& tank) { return tank.overflow.has_value(); })) {
    entries.push_back({"overflow", [](Group& group, Point at) {
                         group.strokes.push_back(line(
                             {{at.x + 6.0, at.y}, {at.x + 20.0, at.y}, {at.x + 20.0, at.y + 8.0}},
                             "overflow", 4.0));
                       }});
  }
  if (!parts.air_lines.empty()) entries.push_back({"air line", in_line("air")});
  if (!parts.leaks.empty()) {
    entries.push_back({"leak", [](Group& group, Point at) {
                         group.strokes.push_back(
                             line({{at.x + 9.0, at.y - 3.0}, {at.x + 15.0, at.y + 3.0}}, "sign"));
                         group.strokes.push_back(
                             line({{at.x + 9.0, at.y + 3.0}, {at.x + 15.0, at.y - 3.0}}, "sign"));
                         add_drips(group, {at.x + 18.0, at.y - 6.0});
                       }});
  }
  if (shows_rest) {
    entries.push_back({"level it comes to if left alone", in_line("rest")});
  }
  return entries;
}

}  // namespace

double draw_legend(const Yard& yard, double width_px, double y, bool shows_rest,
                   RowDrawing& drawing) {
  constexpr double margin = 20.0;
  constexpr double before_words_px = 36.0;
  constexpr double high = 28.0;
  double x = margin;
  double middle = y + 14.0;
  for (const Entry& entry : entries_of(yard, shows_rest)) {
    const double wide = before_words_px + text_width_px(entry.words, note_size_px, false) + 26.0;
    if (x > margin && x + wide > width_px) {
      x = margin;
      middle += high;
    }
    Group group;
    group.kind = "hose";
    group.layer = in_front;
    entry.sign(group, {x, middle});
    group.kind = group.kind == "hose shut" ? "legend shut" : "legend";
    drawing.groups.push_back(group);
    Writing writing = writing_of({entry.words, {}}, {x + before_words_px, middle - 6.4},
                                 note_size_px, false, "", "legend");
    drawing.writings.push_back(writing);
    x += wide;
  }
  return middle + 16.0;
}

}  // namespace tankyard::elevation
