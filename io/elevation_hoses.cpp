// SPDX-License-Identifier: MIT
// Hoses, headers, and the pipes to and from pumps: each drops on to a header, or runs in a lane of
// the floor, or ends in words where it goes on in another row.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "io/elevation_lanes.h"
#include "io/elevation_row.h"
#include "io/elevation_signs.h"
#include "io/svg_text.h"

namespace tankyard::elevation {
namespace {

constexpr double tail_px = 34.0;  ///< of a hose that goes on in another row

double hose_px(double bore_m) {
  return bore_m > 0.0 ? std::clamp(1.6 + bore_m * 1000.0 / 16.0, 1.9, 6.5) : 3.0;
}

/// What hangs on a header, from its leftmost to its rightmost point.
struct Reach {
  double left = 1e9;
  double right = -1e9;

  void meet(double x) {
    left = std::min(left, x);
    right = std::max(right, x);
  }
};

class Hoses {
 public:
  Hoses(const Yard& yard, std::size_t row_index, RowDrawing& drawing)
      : yard_(yard), row_index_(row_index), row_(yard.rows[row_index]), drawing_(drawing) {
    reach_.resize(yard.parts.headers.size());
  }

  void draw() {
    for (std::size_t c = 0; c < row_.columns.size(); ++c) {
      for (const Slot& slot : row_.columns[c].slots) {
        if (slot.goes == Slot::Goes::outlet) continue;
        const Link& link = yard_.items.links[slot.link];
        if (slot.goes == Slot::Goes::header) {
          drop(c, slot);
        } else if (const Column* other = lane_partner(link, slot.end)) {
          if (slot.end == 0) run(c, slot, *other);
        } else {
          tail(c, slot);
        }
      }
    }
    lay_lanes();
    draw_headers();
  }

 private:
  struct LaneUse {
    std::size_t link;
    std::vector<Point> before;  ///< from the mouth to the lane, or empty where a tail comes in
    std::vector<Point> after;
    int tail_end = -1;
    double tip_x = 0.0;
    Phrase label;
    std::size_t column;
  };

  /// The column at the other end if it is reached by a lane of this row.
  const Column* lane_partner(const Link& link, int end) const {
    const std::size_t other = link.item[1 - end];
    return yard_.row_of[other] == row_index_ ? row_.of(other) : nullptr;
  }

  std::string id_of(const Link& link) const {
    switch (link.kind) {
      case Link::Kind::hose:
        return fmt::format("hose-{}", link.index);
      case Link::Kind::direct:
        return fmt::format("outlet-{}-pipe", link.index);
      case Link::Kind::suction:
        return fmt::format("pump-{}-suction", link.index);
      case Link::Kind::delivery:
        return fmt::format("pump-{}-delivery", link.index);
    }
    return {};
  }

  bool open(const Link& link) const {
    return link.kind != Link::Kind::hose ||
           passes(yard_.parts, yard_.state, id_at<HoseId>(link.index));
  }

  Group group_of(const Link& link) const {
    Group group;
    group.id = id_of(link);
    group.layer = hoses;
    if (link.kind == Link::Kind::hose) {
      const Hose& hose = yard_.parts.hoses[link.index];
      group.kind = open(link) ? "hose" : "hose shut";
      group.name = hose.name;
      group.about = about_hose(yard_.parts, yard_.state, link.index);
    } else if (link.kind == Link::Kind::direct) {
      group.kind = "hose";
      group.name = yard_.parts.outlets[link.index].name;
      group.about = "Pipe to outlet " + set_apart(group.name) + ".";
    } else {
      group.kind = "hose";
      group.name = yard_.parts.pumps[link.index].name;
      group.about = (link.kind == Link::Kind::suction ? "Suction of pump " : "Delivery of pump ") +
                    set_apart(group.name) + ".";
    }
    return group;
  }

  std::vector<Phrase> bits(const Link& link) const {
    if (link.kind != Link::Kind::hose) return {};
    return hose_bits(yard_.parts, yard_.state, link.index, yard_.brief);
  }

  int signs_of(const Link& link) const {
    if (link.kind != Link::Kind::hose) return 0;
    const Hose& hose = yard_.parts.hoses[link.index];
    return (hose.valve ? 1 : 0) + (hose.one_way ? 1 : 0);
  }

  void keep_clear(Point at) {
    drawing_.keep_clear.push_back({at.x - 8.0, at.y - 6.0, at.x + 8.0, at.y + 6.0});
  }

  /// The valve and the flap of a hose about a point; `along` points from `from` to `to`.
  void add_signs(Group& group, const Link& link, Point at, Point along) {
    if (signs_of(link) == 0) return;
    const Hose& hose = yard_.parts.hoses[link.index];
    const double apart = signs_of(link) == 2 ? 7.5 : 0.0;
    Point first{at.x - along.x * apart, at.y - along.y * apart};
    Point second{at.x + along.x * apart, at.y + along.y * apart};
    if (hose.valve) {
      add_valve(group, first, along);
      keep_clear(first);
    }
    if (hose.one_way) {
      add_flap(group, hose.valve ? second : first, along);
      keep_clear(hose.valve ? second : first);
    }
  }

  /// The way of the hose: first cut out of what lies behind it, then itself.
  void add_run(Group& group, const Link& link, const std::vector<Point>& way,
               std::optional<Point> sign) {
    const bool off =
        link.kind == Link::Kind::hose && !open(link) && !yard_.parts.hoses[link.index].open;
    const double width = hose_px(link.bore_m);
    group.strokes.push_back(line(way, "clear", width + 4.0));
    group.strokes.push_back(line(way, off ? "run off" : "run", width));
    if (link.kind != Link::Kind::hose || !yard_.state.flow_m3_per_s) return;
    const double flow = (*yard_.state.flow_m3_per_s)[link.index];
    if (std::fabs(flow) < 1e-6) return;
    add_flow(group, way, flow > 0.0 ? 1.0 : -1.0, sign);
  }

  /// An arrow on the longest stretch that has room for one clear of the valve.
  static void add_flow(Group& group, const std::vector<Point>& way, double side,
                       std::optional<Point> sign) {
    Point tip;
    Point along{0.0, 0.0};
    double best = -1.0;
    for (std::size_t k = 0; k + 1 < way.size(); ++k) {
      const Point a = way[k];
      const Point b = way[k + 1];
      const double length = std::hypot(b.x - a.x, b.y - a.y);
      if (length < 12.0) continue;
      for (const double share : {0.88, 0.5, 0.2}) {
        const Point at{a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share};
        const bool clear = !sign || std::hypot(at.x - sign->x, at.y - sign->y) > 22.0;
        const double worth = (clear ? 1000.0 : 0.0) + length + share;
        if (worth <= best) continue;
        best = worth;
        tip = at;
        along = {side * (b.x - a.x) / length, side * (b.y - a.y) / length};
      }
    }
    if (best > 0.0) add_arrow(group, tip, along, "flow");
  }

  /// From the mouth of an item up or down to where its hose goes its way, at `Way::x`.
  struct Way {
    std::vector<Point> points;
    double x;
  };
  Way out_of(const Column& column, const Slot& slot) const {
    const Link& link = yard_.items.links[slot.link];
    Way way{{}, slot.x};
    if (link.at_pump[slot.end]) {
      const double side = slot.x < column.centre() ? -1.0 : 1.0;
      way.points.push_back({column.centre() + side * pump_radius_px, -pump_height_px});
      way.points.push_back({slot.x, -pump_height_px});
      return way;
    }
    way.points.push_back({slot.x, yard_.scale.y(link.mouth_m[slot.end])});
    if (slot.crest_x) {
      const double crest = yard_.scale.y(*link.crest_m);
      way.points.push_back({slot.x, crest});
      way.points.push_back({*slot.crest_x, crest});
      way.x = *slot.crest_x;
    }
    return way;
  }

  bool at_tank(const Link& link, int end) const {
    return yard_.items.all[link.item[end]].kind == Item::Kind::tank;
  }

  void add_mouth(Group& group, const Link& link, const Slot& slot) {
    if (!at_tank(link, slot.end)) return;
    const Point mouth{slot.x, yard_.scale.y(link.mouth_m[slot.end])};
    group.discs.push_back({mouth, 3.4, "mouth"});
    drawing_.keep_clear.push_back({mouth.x - 4.0, mouth.y - 4.0, mouth.x + 4.0, mouth.y + 4.0});
  }

  void drop(std::size_t column_index, const Slot& slot) {
    const Column& column = row_.columns[column_index];
    const Link& link = yard_.items.links[slot.link];
    const std::size_t header = yard_.items.all[link.item[1 - slot.end]].index;
    const double y = yard_.scale.y(yard_.parts.headers[header].height_m);
    Way way = out_of(column, slot);
    const double from_y = way.points.back().y;
    Point sign{way.x, (from_y + y) / 2.0};
    Point along{0.0, from_y < y ? 1.0 : -1.0};
    const bool roomy = slot.width_px > slot_px;
    if (roomy) {
      const bool level = std::fabs(from_y - y) < short_drop_px;
      const double at_y = level ? from_y + 15.0 : from_y;
      if (level) way.points.push_back({slot.x, at_y});
      way.x = slot.x + jog_px;
      way.points.push_back({way.x, at_y});
      sign = {slot.x + jog_px / 2.0 + 1.0, at_y};
      along = {1.0, 0.0};
    }
    way.points.push_back({way.x, y});
    if (slot.end == 1) {
      std::reverse(way.points.begin(), way.points.end());
      along = {-along.x, -along.y};
    }
    Group group = group_of(link);
    add_run(group, link, way.points, sign);
    add_signs(group, link, sign, along);
    add_mouth(group, link, slot);
    group.discs.push_back({{way.x, y}, 3.2, "joint"});
    drawing_.groups.push_back(group);
    reach_[header].meet(way.x);

    const std::vector<Phrase> words = bits(link);
    if (words.empty()) return;
    Wish wish;
    wish.lines = words;
    const Phrase cut =
        name_phrase(yard_.parts.headers[header].name, note_size_px, false, name_inside_px);
    const std::string way_word = slot.end == 0 ? "to " : "from ";
    wish.heading = {way_word + cut.text, cut.full.empty() ? "" : way_word + cut.full};
    wish.of = group.id;
    wish.column = column_index;
    double wide = 0.0;
    for (const Phrase& bit : words) {
      wide = std::max(wide, room_px(bit, note_size_px));
    }
    const double high = note_line_px * static_cast<double>(words.size());
    const bool to_outlet = yard_.items.all[link.item[slot.end]].kind == Item::Kind::outlet;
    const double low = std::max({y, roomy ? sign.y : y, to_outlet ? from_y + 6.0 : y}) + 6.0;
    const double x = slot.crest_x ? *slot.crest_x : slot.x;
    if (slot.crest_x) {
      const double crest = yard_.scale.y(*link.crest_m);
      const double left = std::min(*slot.crest_x, slot.x);
      const double right = std::max(*slot.crest_x, slot.x);
      const double middle = (left + right - wide) / 2.0;
      wish.top_lefts = {{left - wide - 5.0, crest + 2.0},
                        {right + 5.0, crest + 2.0},
                        {middle, crest - high - 5.0},
                        {left - wide - 5.0, crest + 40.0},
                        {right + 5.0, crest + 40.0}};
    }
    const double side = way.x + 6.0;
    for (const Point& at : std::vector<Point>{{side, (from_y + y - high) / 2.0},
                                              {x - wide - 6.0, (from_y + y - high) / 2.0},
                                              {x - 4.0, low},
                                              {(x + way.x - wide) / 2.0, low},
                                              {way.x + 4.0 - wide, low},
                                              {side, low},
                                              {x - wide - 6.0, low},
                                              {side, std::min(from_y, y) - high - 6.0},
                                              {x - wide - 6.0, std::min(from_y, y) - high - 6.0}}) {
      wish.top_lefts.push_back(at);
    }
    // In the strip of floor under it, where no lane has its text.
    wish.centres = {{way.x, 11.0}, {(x + way.x) / 2.0 + 14.0, 11.0}, {x - 14.0, 11.0}};
    drawing_.wishes.push_back(wish);
  }

  void run(std::size_t column_index, const Slot& slot, const Column& other) {
    const Link& link = yard_.items.links[slot.link];
    const auto far = std::find_if(other.slots.begin(), other.slots.end(), [&](const Slot& each) {
      return each.link == slot.link && each.end == 1 && each.goes == Slot::Goes::lane;
    });
    const Way first = out_of(row_.columns[column_index], slot);
    const Way second = out_of(other, *far);
    LaneUse use;
    use.link = slot.link;
    use.before = first.points;
    use.after = second.points;
    use.label = joined(bits(link));
    use.column = column_index;
    LaneRun lane;
    lane.left = std::min(first.x, second.x);
    lane.right = std::max(first.x, second.x);
    lane.signs_px = signs_of(link) * sign_px;
    lane.text_px = room_px(use.label, note_size_px);
    uses_.push_back(use);
    lanes_.push_back(lane);
    ways_.push_back({first.x, second.x});
    mouths_.push_back({slot, *far});
  }

  void tail(std::size_t column_index, const Slot& slot) {
    const Column& column = row_.columns[column_index];
    const Link& link = yard_.items.links[slot.link];
    const std::size_t other = link.item[1 - slot.end];
    const Way way = out_of(column, slot);
    LaneUse use;
    use.link = slot.link;
    use.tail_end = slot.end;
    use.column = column_index;
    (slot.end == 0 ? use.before : use.after) = way.points;
    std::vector<Phrase> words = bits(link);
    words.push_back(place_words(link, slot.end, other));
    use.label = joined(words);
    LaneRun lane;
    lane.signs_px = signs_of(link) * sign_px;
    lane.text_px = room_px(use.label, note_size_px);
    const double length = tail_px + lane.signs_px;
    // To the side of the other row, unless the words would leave the picture there.
    const bool left =
        yard_.row_of[other] < row_index_ && way.x - length - lane.text_px - 12.0 > ruler_px - 10.0;
    use.tip_x = way.x + (left ? -length : length);
    lane.left = std::min(way.x, use.tip_x);
    lane.right = std::max(way.x, use.tip_x);
    lane.text_on = left ? LaneRun::TextOn::left : LaneRun::TextOn::right;
    uses_.push_back(use);
    lanes_.push_back(lane);
    ways_.push_back({way.x, use.tip_x});
    mouths_.push_back({slot, std::nullopt});
  }

  Phrase place_words(const Link& link, int end, std::size_t other) const {
    (void)link;
    const Item& item = yard_.items.all[other];
    const Parts& parts = yard_.parts;
    const std::string& name = item.kind == Item::Kind::tank     ? parts.tanks[item.index].name
                              : item.kind == Item::Kind::header ? parts.headers[item.index].name
                              : item.kind == Item::Kind::outlet ? parts.outlets[item.index].name
                                                                : parts.pumps[item.index].name;
    const Phrase cut = name_phrase(name, note_size_px, false, name_inside_px);
    const char* way = end == 0 ? "to" : "from";
    const std::string row =
        yard_.brief ? std::string() : fmt::format(" in row {}", yard_.row_of[other] + 1);
    return {fmt::format("{} {}{}", way, cut.text, row),
            cut.full.empty() ? "" : fmt::format("{} {}{}", way, cut.full, row)};
  }

  void lay_lanes() {
    std::vector<Descent> descents;
    const std::size_t count = assign_lanes(lanes_, ruler_px - 10.0);
    for (std::size_t k = 0; k < lanes_.size(); ++k) {
      descents.push_back({ways_[k].first, lanes_[k].lane});
      if (!mouths_[k].second) continue;
      descents.push_back({ways_[k].second, lanes_[k].lane});
    }
    for (LaneRun& lane : lanes_) place_text(lane, descents);
    for (std::size_t k = 0; k < lanes_.size(); ++k) draw_lane(k);
    drawing_.strip_bottom_y =
        count == 0 ? 20.0 : first_lane_px + lane_px * (static_cast<double>(count) - 1.0) + 14.0;
  }

  void draw_lane(std::size_t k) {
    const LaneUse& use = uses_[k];
    const LaneRun& lane = lanes_[k];
    const Link& link = yard_.items.links[use.link];
    const double y = first_lane_px + lane_px * static_cast<double>(lane.lane);
    std::vector<Point> way = use.before;
    if (use.tail_end == 1) {
      way.push_back({use.tip_x, y});
      way.push_back({ways_[k].first, y});
    } else {
      way.push_back({ways_[k].first, y});
      way.push_back({ways_[k].second, y});
    }
    way.insert(way.end(), use.after.rbegin(), use.after.rend());
    Group group = group_of(link);
    add_run(group, link, way,
            lane.signs_px > 0.0 ? std::optional(Point{lane.signs_x, y}) : std::nullopt);
    const double from_x = use.tail_end == 1 ? use.tip_x : ways_[k].first;
    const double to_x = use.tail_end == 1 ? ways_[k].first : ways_[k].second;
    const Point along{from_x <= to_x ? 1.0 : -1.0, 0.0};
    if (lane.signs_px > 0.0) add_signs(group, link, {lane.signs_x, y}, along);
    if (use.tail_end >= 0) {
      const double side = use.tip_x > ways_[k].first ? 1.0 : -1.0;
      add_arrow(group, {use.tip_x + side * 3.0, y}, {side, 0.0}, "goes-on");
    }
    if (link.kind == Link::Kind::delivery && use.tail_end < 0) {
      add_arrow(group, {(from_x + 2.0 * to_x) / 3.0, y}, along, "goes-on");
    }
    add_mouth(group, link, mouths_[k].first);
    if (mouths_[k].second) add_mouth(group, link, *mouths_[k].second);
    add_header_joint(group, link, mouths_[k].first);
    if (mouths_[k].second) add_header_joint(group, link, *mouths_[k].second);
    drawing_.groups.push_back(group);
    if (use.label.text.empty()) return;
    const Point corner{lane.text_x, y - ascent_ratio * note_size_px + 4.0};
    Writing writing = writing_of(use.label, corner, note_size_px, false, group.id, "label");
    drawing_.writings.push_back(writing);
    Group plate;
    plate.kind = "plate";
    plate.layer = plates;
    const Box box = writing.box();
    plate.strokes.push_back(area({{box.left - 2.0, y - 6.5},
                                  {box.right + 3.0, y - 6.5},
                                  {box.right + 3.0, y + 6.5},
                                  {box.left - 2.0, y + 6.5}},
                                 "plate"));
    if (lane.text_inside) drawing_.groups.push_back(plate);
  }

  void add_header_joint(Group& group, const Link& link, const Slot& slot) {
    const Item& item = yard_.items.all[link.item[slot.end]];
    if (item.kind != Item::Kind::header) return;
    const double y = yard_.scale.y(link.mouth_m[slot.end]);
    group.discs.push_back({{slot.x, y}, 3.2, "joint"});
    reach_[item.index].meet(slot.x);
  }

  void draw_headers() {
    for (const Column& column : row_.columns) {
      const Item& item = yard_.items.all[column.item];
      if (item.kind != Item::Kind::header) continue;
      const Header& header = yard_.parts.headers[item.index];
      const double y = yard_.scale.y(header.height_m);
      Reach reach = reach_[item.index];
      reach.meet(column.centre() - 16.0);
      reach.meet(column.centre() + 16.0);
      Group group;
      group.id = fmt::format("header-{}", item.index);
      group.kind = "header";
      group.name = header.name;
      group.about = fmt::format("Header {}, {:.2f} m above the datum.", set_apart(header.name),
                                header.height_m);
      group.layer = rails;
      group.strokes.push_back(line({{reach.left - 7.0, y}, {reach.right + 7.0, y}}, "clear", 10.0));
      group.strokes.push_back(line({{reach.left - 7.0, y}, {reach.right + 7.0, y}}, "rail"));
      group.strokes.push_back(
          line({{reach.left - 7.0, y - 5.0}, {reach.left - 7.0, y + 5.0}}, "cap"));
      group.strokes.push_back(
          line({{reach.right + 7.0, y - 5.0}, {reach.right + 7.0, y + 5.0}}, "cap"));
      drawing_.groups.push_back(group);
    }
  }

  const Yard& yard_;
  std::size_t row_index_;
  const Row& row_;
  RowDrawing& drawing_;
  std::vector<Reach> reach_;
  std::vector<LaneUse> uses_;
  std::vector<LaneRun> lanes_;
  std::vector<std::pair<double, double>> ways_;
  std::vector<std::pair<Slot, std::optional<Slot>>> mouths_;
};

}  // namespace

void draw_hoses(const Yard& yard, std::size_t row, RowDrawing& drawing) {
  Hoses(yard, row, drawing).draw();
}

}  // namespace tankyard::elevation
