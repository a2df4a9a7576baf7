// SPDX-License-Identifier: MIT
#include "io/isolate_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "io/elevation.h"
#include "io/elevation_picture.h"
#include "io/isolate_words.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/svg_elevation.h"
#include "io/svg_text.h"
#include "io/units.h"

namespace tankyard {
namespace {

// A page of 210 mm by 297 mm with margins of 10 mm, in px of 1/96 inch.
constexpr double px_per_mm = 96.0 / 25.4;
constexpr double page_wide_px = 190.0 * px_per_mm;
constexpr double page_high_px = 277.0 * px_per_mm;
constexpr double px_per_pt = 96.0 / 72.0;

constexpr double head_high_px = 92.0;  // of one line each; more are counted
constexpr double least_drawing_px = 58.0 * px_per_mm;
constexpr double most_drawing_px = 95.0 * px_per_mm;
constexpr double box_and_time_px = 92.0;
constexpr double line_height = 1.22;
constexpr double row_padding_px = 7.0;
constexpr double least_row_px = 26.0;  // a box to tick and its padding
constexpr double reason_ratio = 0.78;
constexpr double caution_pt = 8.5;
constexpr double most_pt = 13.0;
constexpr double least_pt = 8.0;
constexpr double in_hand = 0.98;  // of the page: browsers differ by a line here and there

/// Escaped, with names between backticks in bold.
std::string marked_up(const std::string& text) {
  std::string safe = xml_text(text);
  if (std::count(safe.begin(), safe.end(), '`') % 2 != 0) return safe;
  std::string html;
  bool inside = false;
  for (const char c : safe) {
    if (c != '`') {
      html += c;
      continue;
    }
    html += inside ? "</b>" : "<b>";
    inside = !inside;
  }
  return html;
}

// Words go on a line as long as they fit.
double lines_of(const std::string& text, double size_px, double wide_px) {
  const double blank_px = text_width_px(" ", size_px, false);
  double lines = 1.0;
  double used_px = 0.0;
  std::size_t from = 0;
  while (from < text.size()) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    const double word_px = text_width_px(text.substr(from, to - from), size_px, false);
    if (used_px > 0.0 && used_px + blank_px + word_px > wide_px) {
      lines += 1.0;
      used_px = word_px;
    } else {
      used_px += (used_px > 0.0 ? blank_px : 0.0) + word_px;
    }
    from = to + 1;
  }
  return lines;
}

double step_high_px(const IsolateStep& step, double pt, bool with_reason) {
  const double wide_px = page_wide_px - box_and_time_px;
  const double size_px = pt * px_per_pt;
  double high_px = lines_of(step.say, size_px, wide_px) * size_px * line_height + row_padding_px;
  const double small_px = reason_ratio * size_px;
  if (with_reason && !step.because.empty()) {
    high_px += lines_of(step.because, small_px, wide_px) * small_px * line_height;
  }
  for (const IsolateEffect& effect : step.meanwhile) {
    high_px += lines_of("from 00:00: " + effect.says, small_px, wide_px) * small_px * line_height;
  }
  return std::max(least_row_px, high_px);
}

double cautions_high_px(const std::vector<std::string>& cautions) {
  const double size_px = caution_pt * px_per_pt;
  double high_px = 27.0;
  for (const std::string& caution : cautions) {
    high_px += lines_of(caution, size_px, page_wide_px - 22.0) * size_px * line_height;
  }
  return high_px;
}

/// What is left of a yard around the tanks that are taken out: they, what hangs on them, and the
/// places beyond the valves. Ids are of the whole yard; `index` of the small one.
class Around {
 public:
  Around(const Plan& plan, const IsolateStudy& study) : whole_(plan.array.parts()) {
    const ValveSet& set = study.cut.best();
    std::vector<bool> inside(whole_.tanks.size() + whole_.headers.size() + whole_.outlets.size());
    for (const TankId id : study.tanks) inside[point(id)] = true;
    for (const Place& place : set.goes_along) inside[point(place)] = true;
    for (std::size_t i = 0; i < whole_.hoses.size(); ++i) {
      const Hose& hose = whole_.hoses[i];
      if (!inside[point(hose.from.place)] && !inside[point(hose.to.place)]) continue;
      hoses_.push_back(i);
      keep_[point(hose.from.place)] = true;
      keep_[point(hose.to.place)] = true;
    }
    for (std::size_t i = 0; i < inside.size(); ++i) {
      if (inside[i]) keep_[i] = true;
    }
    // An outlet stays where what it hangs on stays.
    for (std::size_t i = 0; i < whole_.outlets.size(); ++i) {
      const auto& at = whole_.outlets[i].at;
      if (at && inside[point(at->place)]) keep_[point(id_at<OutletId>(i))] = true;
    }
  }

  /// The small yard, or none if it cannot stand by itself.
  std::optional<Array> yard() {
    Parts parts;
    parts.site = whole_.site;
    for (std::size_t i = 0; i < whole_.tanks.size(); ++i) {
      if (!kept(id_at<TankId>(i))) continue;
      tanks_.push_back(i);
      to_tank_[i] = parts.tanks.size();
      parts.tanks.push_back(whole_.tanks[i]);
    }
    for (Tank& tank : parts.tanks) {
      if (!tank.overflow || !tank.overflow->to) continue;
      const auto found = to_tank_.find(tank.overflow->to->index);
      if (found == to_tank_.end()) {
        tank.overflow->to.reset();
      } else {
        tank.overflow->to = id_at<TankId>(found->second);
      }
    }
    for (std::size_t i = 0; i < whole_.headers.size(); ++i) {
      if (!kept(id_at<HeaderId>(i))) continue;
      to_header_[i] = parts.headers.size();
      parts.headers.push_back(whole_.headers[i]);
    }
    for (std::size_t i = 0; i < whole_.outlets.size(); ++i) {
      if (!kept(id_at<OutletId>(i))) continue;
      to_outlet_[i] = parts.outlets.size();
      parts.outlets.push_back(whole_.outlets[i]);
      auto& at = parts.outlets.back().at;
      if (at && !moved(at->place)) return std::nullopt;
    }
    for (const std::size_t i : hoses_) {
      Hose hose = whole_.hoses[i];
      if (!moved(hose.from.place) || !moved(hose.to.place)) return std::nullopt;
      parts.hoses.push_back(std::move(hose));
    }
    for (const Roof& roof : whole_.roofs) {
      const auto found = to_tank_.find(roof.into.index);
      if (found == to_tank_.end()) continue;
      parts.roofs.push_back(roof);
      parts.roofs.back().into = id_at<TankId>(found->second);
    }
    for (const TopUp& top_up : whole_.top_ups) {
      const auto found = to_tank_.find(top_up.into.index);
      if (found == to_tank_.end()) continue;
      parts.top_ups.push_back(top_up);
      parts.top_ups.back().into = id_at<TankId>(found->second);
    }
    for (const AirLine& line : whole_.air_lines) {
      const auto from = to_tank_.find(line.from.index);
      const auto to = to_tank_.find(line.to.index);
      if (from == to_tank_.end() || to == to_tank_.end()) continue;
      parts.air_lines.push_back(line);
      parts.air_lines.back().from = id_at<TankId>(from->second);
      parts.air_lines.back().to = id_at<TankId>(to->second);
    }
    auto array = Array::make(std::move(parts));
    if (!array) return std::nullopt;
    return std::move(*array);
  }

  const std::vector<std::size_t>& tanks() const { return tanks_; }
  const std::vector<std::size_t>& hoses() const { return hoses_; }
  std::size_t index_of(TankId id) const { return to_tank_.at(id.index); }

 private:
  std::size_t point(Place place) const {
    if (const auto* tank = std::get_if<TankId>(&place)) return tank->index;
    if (const auto* header = std::get_if<HeaderId>(&place)) {
      return whole_.tanks.size() + header->index;
    }
    return whole_.tanks.size() + whole_.headers.size() + std::get<OutletId>(place).index;
  }
  bool kept(Place place) const {
    const auto found = keep_.find(point(place));
    return found != keep_.end() && found->second;
  }
  // Turns a place of the whole yard into that of the small one.
  bool moved(Place& place) const {
    if (auto* tank = std::get_if<TankId>(&place)) {
      const auto found = to_tank_.find(tank->index);
      if (found == to_tank_.end()) return false;
      place = id_at<TankId>(found->second);
    } else if (auto* header = std::get_if<HeaderId>(&place)) {
      const auto found = to_header_.find(header->index);
      if (found == to_header_.end()) return false;
      place = id_at<HeaderId>(found->second);
    } else {
      const auto found = to_outlet_.find(std::get<OutletId>(place).index);
      if (found == to_outlet_.end()) return false;
      place = id_at<OutletId>(found->second);
    }
    return true;
  }

  const Parts& whole_;
  std::map<std::size_t, bool> keep_;
  std::vector<std::size_t> hoses_;
  std::vector<std::size_t> tanks_;
  std::map<std::size_t, std::size_t> to_tank_;
  std::map<std::size_t, std::size_t> to_header_;
  std::map<std::size_t, std::size_t> to_outlet_;
};

struct Drawing {
  std::string svg;
  std::string marks;  ///< styles that tell the tanks and valves in question from the rest
  double wide_px = 1.0;
  double high_px = 1.0;
};

/// The part of a picture in which the yard itself stands, without its title and legend.
elevation::Box yard_in(const elevation::Picture& picture) {
  elevation::Box box{picture.width_px, picture.height_px, 0.0, 0.0};
  const auto take = [&box](double left, double top, double right, double bottom) {
    box.left = std::min(box.left, left);
    box.top = std::min(box.top, top);
    box.right = std::max(box.right, right);
    box.bottom = std::max(box.bottom, bottom);
  };
  for (const elevation::Group& group : picture.groups) {
    if (group.id.empty()) continue;
    for (const elevation::Stroke& stroke : group.strokes) {
      for (const elevation::Point& point : stroke.points) take(point.x, point.y, point.x, point.y);
    }
  }
  for (const elevation::Writing& writing : picture.writings) {
    if (writing.of.empty()) continue;
    const elevation::Box text = writing.box();
    take(text.left, text.top, text.right, text.bottom);
  }
  constexpr double margin_px = 8.0;
  return {std::max(0.0, box.left - margin_px), std::max(0.0, box.top - margin_px),
          std::min(picture.width_px, box.right + margin_px),
          std::min(picture.height_px, box.bottom + margin_px)};
}

/// Shows no more of a drawing than a box.
std::string cropped(std::string svg, const elevation::Box& box) {
  const std::string mark = "viewBox=\"";
  const std::size_t from = svg.find(mark);
  const std::size_t to = from == std::string::npos ? from : svg.find('"', from + mark.size());
  if (to == std::string::npos) return svg;
  svg.replace(from + mark.size(), to - from - mark.size(),
              fmt::format("{:.1f} {:.1f} {:.1f} {:.1f}", box.left, box.top, box.right - box.left,
                          box.bottom - box.top));
  return svg;
}

/// Paper is white, whatever the screen is.
std::string light_only(std::string svg) {
  const std::size_t dark = svg.rfind("@media", svg.find("prefers-color-scheme:dark"));
  const std::size_t end = svg.find("</style>");
  if (dark != std::string::npos && end != std::string::npos && dark < end) {
    svg.erase(dark, end - dark);
  }
  return svg;
}

Drawing drawing_of(const Plan& plan, const IsolateStudy& study) {
  Around around(plan, study);
  const std::optional<Array> small = around.yard();
  const Array& yard = small ? *small : plan.array;
  ElevationState state = state_at_start(yard);
  state.moment = "with the valves shut, before the drain is opened";
  std::vector<bool> open = yard.open_at_start();
  Drawing drawing;
  const auto shut = [&](std::size_t whole) {
    const auto& set = study.cut.best().shut;
    return std::any_of(set.begin(), set.end(), [&](HoseId id) { return id.index == whole; });
  };
  for (std::size_t i = 0; i < open.size(); ++i) {
    if (!shut(small ? around.hoses()[i] : i)) continue;
    open[i] = false;
    drawing.marks += fmt::format("#hose-{} .valve{{stroke-width:4}}\n", i);
  }
  state.hose_open = std::move(open);
  for (std::size_t i = 0; i < state.depth_m.size(); ++i) {
    state.depth_m[i] = study.depth_m[small ? around.tanks()[i] : i];
  }
  for (const TankId id : study.tanks) {
    drawing.marks +=
        fmt::format("#tank-{} .wall{{stroke-width:6}}\n", small ? around.index_of(id) : id.index);
  }
  const elevation::Picture picture = lay_out_elevation(yard, state, {}, {900.0});
  const elevation::Box box = yard_in(picture);
  drawing.svg = cropped(light_only(svg_of(picture)), box);
  drawing.wide_px = box.right - box.left;
  drawing.high_px = box.bottom - box.top;
  return drawing;
}

constexpr const char* sheet_styles = R"(@page{size:A4;margin:10mm}
*{box-sizing:border-box}
body{margin:0 auto;max-width:190mm;background:#fff;color:#000;font-family:Arial,'Liberation Sans','DejaVu Sans',sans-serif;line-height:1.22}
@media screen{body{margin:10mm auto}}
h1{font-size:21pt;margin:0 0 2px}
.facts{font-size:11pt;margin:0 0 3px}
.fill{font-size:10pt;margin:0 0 5px}
figure{margin:0 0 4px;text-align:center}
table{border-collapse:collapse;width:100%}
td{vertical-align:top;padding:3px 3px;border-top:1px solid #999}
td.box{width:30px}
td.box span{display:block;width:17px;height:17px;border:2px solid #000;margin-top:1px}
td.time{width:56px;white-space:nowrap}
.why{color:#333}
h2{font-size:10.5pt;margin:6px 0 1px;border-top:3px solid #000;padding-top:3px}
ul{margin:0;padding-left:16px}
tr{break-inside:avoid}
)";

std::string facts(const Plan& plan, const IsolateStudy& study) {
  std::vector<std::string> valves;
  for (const HoseId id : study.cut.best().shut) {
    valves.push_back(handle_of(part(plan.array.hoses(), id)));
  }
  std::string text = valves.empty() ? "No valve to shut." : "Shut " + list_of(valves, 12) + ".";
  text += fmt::format(" Begin {}, empty by {}, all back by {}.", clock_of(plan, study.starts_at_s),
                      clock_of(plan, study.empty_from_s), clock_of(plan, study.back_at_s));
  text += fmt::format(" {} run to the ground", litres_text(study.drains_m3()));
  if (study.left_kg() >= 0.5) {
    text += fmt::format("; {:.0f} kg stay below the drain", study.left_kg());
  }
  return text + ".";
}

}  // namespace

IsolateSheet isolate_sheet(const Plan& plan, const IsolateStudy& study) {
  const std::vector<std::string> cautions = isolate_cautions(plan, study);
  const std::string title =
      "Take out " + list_of(tank_names(plan, study.tanks), 12) + " for cleaning";
  const std::string told = facts(plan, study);
  const std::string& site = plan.array.parts().site.name;
  const std::string fill = (site.empty() ? std::string() : site + ". ") +
                           "Date ____________ Done by __________________ With __________________";
  const auto more_lines_px = [](const std::string& text, double pt) {
    return (lines_of(text, pt * px_per_pt, page_wide_px) - 1.0) * pt * px_per_pt * line_height;
  };
  const double room_px = in_hand * page_high_px - head_high_px - more_lines_px(title, 24.0) -
                         more_lines_px(told, 11.0) - more_lines_px(fill, 10.0) -
                         cautions_high_px(cautions);
  const Drawing drawing = drawing_of(plan, study);
  const double natural_px =
      std::min(most_drawing_px, drawing.high_px * std::min(1.0, page_wide_px / drawing.wide_px));
  const auto steps_px = [&](double pt, bool with_reasons) {
    double high_px = 0.0;
    std::string on_day;
    for (const IsolateStep& step : study.steps) {
      high_px += step_high_px(step, pt, with_reasons);
      const std::string here = clock_and_day(plan, step.at_s).day;
      if (here != on_day) high_px += pt * px_per_pt * line_height + row_padding_px;
      on_day = here;
    }
    return high_px;
  };
  IsolateSheet sheet;
  const double least_px = std::min(natural_px, least_drawing_px);
  sheet.type_pt = most_pt;
  while (sheet.type_pt > least_pt && steps_px(sheet.type_pt, true) + least_px > room_px) {
    sheet.type_pt -= 0.5;
  }
  if (steps_px(sheet.type_pt, true) + least_px > room_px) {
    sheet.with_reasons = false;
    sheet.type_pt = most_pt;
    while (sheet.type_pt > least_pt && steps_px(sheet.type_pt, false) + least_px > room_px) {
      sheet.type_pt -= 0.5;
    }
  }
  const double used_px = steps_px(sheet.type_pt, sheet.with_reasons);
  sheet.one_page = used_px + least_px <= room_px;
  const double drawn_px = std::clamp(room_px - used_px, least_px, natural_px);

  std::string rows;
  std::string day;
  for (const IsolateStep& step : study.steps) {
    std::string why;
    if (sheet.with_reasons && !step.because.empty()) {
      why = fmt::format("<div class=\"why\" style=\"font-size:{:.2f}pt\">{}</div>",
                        reason_ratio * sheet.type_pt, marked_up(step.because));
    }
    for (const IsolateEffect& effect : step.meanwhile) {
      why +=
          fmt::format("<div class=\"why\" style=\"font-size:{:.2f}pt\"><b>!</b> from {}: {}</div>",
                      reason_ratio * sheet.type_pt, xml_text(clock_of(plan, effect.at_s)),
                      marked_up(effect.says));
    }
    const ClockAndDay when = clock_and_day(plan, step.at_s);
    if (when.day != day) {
      rows += fmt::format("<tr><td></td><td colspan=\"2\"><b>On {}</b></td></tr>\n", when.day);
    }
    day = when.day;
    rows += fmt::format(
        "<tr><td class=\"box\"><span></span></td><td class=\"time\">{}</td><td>{}{}</td></tr>\n",
        xml_text(when.clock), marked_up(capital(step.say)), why);
  }
  std::string list;
  for (const std::string& caution : cautions) {
    list += "<li>" + marked_up(capital(caution)) + "</li>\n";
  }
  sheet.html = fmt::format(
      R"(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<meta name="color-scheme" content="light">
<title>{title}</title>
<style>
{styles}svg.elevation{{height:{drawn:.0f}px;width:{wide:.0f}px}}
{marks}</style>
</head>
<body>
<h1>{heading}</h1>
<p class="facts">{facts}</p>
<p class="fill">{fill}</p>
<figure>
{svg}</figure>
<table style="font-size:{pt:.1f}pt">
{rows}</table>
<h2>Mind</h2>
<ul style="font-size:{caution:.1f}pt">
{list}</ul>
</body>
</html>
)",
      fmt::arg("title", xml_text(title)), fmt::arg("styles", sheet_styles),
      fmt::arg("drawn", drawn_px), fmt::arg("wide", drawn_px * drawing.wide_px / drawing.high_px),
      fmt::arg("marks", drawing.marks), fmt::arg("heading", marked_up(title)),
      fmt::arg("facts", marked_up(told)), fmt::arg("fill", xml_text(fill)),
      fmt::arg("svg", drawing.svg), fmt::arg("pt", sheet.type_pt), fmt::arg("rows", rows),
      fmt::arg("caution", caution_pt), fmt::arg("list", list));
  return sheet;
}

}  // namespace tankyard
