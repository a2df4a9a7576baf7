// SPDX-License-Identifier: MIT
#include "io/svg_elevation.h"

#include <fmt/format.h>

#include <cmath>

#include "io/svg_text.h"

namespace tankyard {
namespace {

using namespace elevation;

/// Colours, light and dark. Nothing is told by colour alone: water is also hatched, a shut valve is
/// also filled and named "shut", a hose that is off is also dashed.
struct Palette {
  const char *paper, *ink, *soft_ink, *face, *water, *water_ink, *strip, *stand, *hose, *grid;
};
constexpr Palette light{"#fcfbf7", "#20262b", "#4d575e", "#ffffff", "#cfe6f5",
                        "#1f6391", "#efebe1", "#cbbfa8", "#3a4046", "#dcdad2"};
constexpr Palette dark{"#15191c", "#e9edf0", "#b3bdc4", "#20262a", "#1d4964",
                       "#82c1ea", "#242520", "#5f5746", "#cdd4d9", "#32393d"};

std::string styles(const Palette& use) {
  return fmt::format(
      R"(.elevation .paper{{fill:{0}}}
.elevation text{{fill:{1};stroke:{0}}}
.elevation text.tick,.elevation text.note{{fill:{2}}}
.elevation .face{{fill:{3};stroke:none}}
.elevation .wall,.elevation .lid,.elevation .sign,.elevation .cap,.elevation .floor{{stroke:{1}}}
.elevation .water{{fill:{4};stroke:none}}
.elevation .wave,.elevation .surface,.elevation .drip{{stroke:{5}}}
.elevation .mark{{fill:{3};stroke:{5}}}
.elevation .rest{{stroke:{5}}}
.elevation .strip,.elevation .plate{{fill:{6}}}
.elevation .sky-plate{{fill:{0}}}
.elevation .stand{{fill:{7};stroke:{2}}}
.elevation .shade,.elevation .strap{{stroke:{2}}}
.elevation .run,.elevation .spout,.elevation .overflow,.elevation .supply,.elevation .rail{{stroke:{8}}}
.elevation .clear{{stroke:{0}}}
.elevation .mouth,.elevation .valve,.elevation .flap,.elevation .pump{{fill:{3};stroke:{1}}}
.elevation .joint,.elevation .goes-on,.elevation .impeller,.elevation .shut .valve{{fill:{1};stroke:{1}}}
.elevation .flow{{fill:{3};stroke:{1}}}
.elevation .running .pump{{fill:{4}}}
.elevation .roof{{fill:{7};stroke:{1}}}
.elevation .air{{stroke:{1}}}
.elevation .leader,.elevation .ruler{{stroke:{2}}}
.elevation .grid{{stroke:{9}}}
.elevation .datum{{stroke:{2}}}
)",
      use.paper, use.ink, use.soft_ink, use.face, use.water, use.water_ink, use.strip, use.stand,
      use.hose, use.grid);
}

constexpr const char* shapes = R"(.elevation{background:transparent}
.elevation path,.elevation line,.elevation circle{stroke-linejoin:round}
.elevation text{paint-order:stroke;stroke-width:3;stroke-linejoin:round}
.elevation text.name{font-weight:bold}
.elevation .wall{fill:none;stroke-width:2.2}
.elevation .lid{fill:none;stroke-width:4}
.elevation .wave{fill:none;stroke-width:1;opacity:.6}
.elevation .surface{fill:none;stroke-width:2}
.elevation .mark{stroke-width:1.3}
.elevation .empty{display:none}
.elevation .rest{fill:none;stroke-width:1.6;stroke-dasharray:9 3 2 3}
.elevation .stand{stroke-width:.8}
.elevation .shade,.elevation .strap{fill:none;stroke-width:.8;opacity:.45}
.elevation .strap{stroke-width:2.5}
.elevation .run,.elevation .clear{fill:none}
.elevation .run.off{stroke-dasharray:5 5}
.elevation .spout,.elevation .supply{fill:none}
.elevation .supply{stroke-width:2.4}
.elevation .overflow{fill:none}
.elevation .rail{fill:none;stroke-width:6}
.elevation .cap{fill:none;stroke-width:2.5}
.elevation .mouth{stroke-width:1.6}
.elevation .valve,.elevation .flap,.elevation .pump{stroke-width:1.4}
.elevation .flow{stroke-width:1.2}
.elevation .sign{fill:none;stroke-width:1.6}
.elevation .roof{stroke-width:1.2}
.elevation .air{fill:none;stroke-width:2;stroke-dasharray:2 3}
.elevation .shut .air{stroke-dasharray:2 8}
.elevation .drip{fill:none;stroke-width:1.6}
.elevation .leader{fill:none;stroke-width:.9}
.elevation .ruler{fill:none;stroke-width:1}
.elevation .grid{fill:none;stroke-width:1}
.elevation .datum{fill:none;stroke-width:1.2;stroke-dasharray:14 4}
.elevation .floor{fill:none;stroke-width:2}
)";

std::string all_styles() {
  return fmt::format(
      "<style>\n{}{}@media screen and (prefers-color-scheme:dark){{\n{}}}\n</style>\n", shapes,
      styles(light), styles(dark));
}

std::string px(double value) {
  const double rounded = std::round(value * 10.0) / 10.0;
  return fmt::format("{:g}", rounded == 0.0 ? 0.0 : rounded);
}

/// "{:g}" has six digits: enough for a tenth of a px up to 99999 px.
std::string path_of(const std::vector<Point>& points, bool closed) {
  std::string path;
  for (std::size_t k = 0; k < points.size(); ++k) {
    path += fmt::format("{}{} {}", k == 0 ? "M" : "L", px(points[k].x), px(points[k].y));
  }
  return closed ? path + "Z" : path;
}

void add_stroke(std::string& svg, const Stroke& stroke) {
  svg +=
      fmt::format(R"(<path class="{}" d="{}")", stroke.look, path_of(stroke.points, stroke.closed));
  if (stroke.width_px > 0.0) svg += fmt::format(R"( stroke-width="{}")", px(stroke.width_px));
  svg += "/>\n";
}

void add_water(std::string& svg, const std::string& prefix, const std::string& part,
               const WaterBody& water, double px_per_m) {
  const std::string id = prefix + part;
  double left = water.outline.front().x;
  double right = left;
  double top = water.outline.front().y;
  for (const Point& point : water.outline) {
    left = std::min(left, point.x);
    right = std::max(right, point.x);
    top = std::min(top, point.y);
  }
  svg += fmt::format(R"(<clipPath id="inside-{}"><path d="{}"/></clipPath>
)",
                     id, path_of(water.outline, true));
  const double high = water.floor_y - top;
  const auto body = [&](const char* look, const std::string& fill) {
    return fmt::format(R"(<rect class="{}" x="{}" y="{}" width="{}" height="{}"{}/>)", look,
                       px(left), px(water.surface_y), px(right - left), px(high), fill);
  };
  // The body is as high as the tank, so that a script has to move it and no more.
  svg += fmt::format(
      R"svg(<g clip-path="url(#inside-{0})"><g class="body" data-floor-y="{1}" data-surface-y="{2}" data-px-per-m="{3:.4f}">
{4}
{5}
<path class="surface" d="M{6} {2}L{7} {2}"/>
</g></g>
)svg",
      id, px(water.floor_y), px(water.surface_y), px_per_m, body("water", ""),
      body("waves", fmt::format(" fill=\"url(#{}waves)\"", prefix)), px(left), px(right));
}

void add_group(std::string& svg, const std::string& prefix, const Group& group, double px_per_m) {
  svg += "<g";
  if (!group.id.empty()) svg += fmt::format(R"( id="{}{}")", prefix, group.id);
  svg += fmt::format(R"( class="{}")", group.kind);
  if (!group.name.empty()) svg += fmt::format(R"( data-name="{}")", xml_text(group.name));
  svg += ">\n";
  if (!group.about.empty()) svg += fmt::format("<title>{}</title>\n", xml_text(group.about));
  // Water lies on the first area, the tank's back, and behind all its lines.
  bool water_drawn = !group.water;
  for (const Stroke& stroke : group.strokes) {
    add_stroke(svg, stroke);
    if (water_drawn) continue;
    add_water(svg, prefix, group.id, *group.water, px_per_m);
    water_drawn = true;
  }
  for (const Disc& disc : group.discs) {
    svg += fmt::format(R"(<circle class="{}" cx="{}" cy="{}" r="{}"/>
)",
                       disc.look, px(disc.centre.x), px(disc.centre.y), px(disc.radius_px));
  }
  svg += "</g>\n";
}

void add_writing(std::string& svg, const Writing& writing) {
  // "start" is what holds where nothing is said.
  const char* anchor = writing.anchor == Anchor::start    ? ""
                       : writing.anchor == Anchor::middle ? R"( text-anchor="middle")"
                                                          : R"( text-anchor="end")";
  svg += fmt::format(R"(<text class="{}" x="{}" y="{}" font-size="{}"{})", writing.look,
                     px(writing.at.x), px(writing.at.y), px(writing.size_px), anchor);
  if (!writing.of.empty()) svg += fmt::format(R"( data-of="{}")", writing.of);
  if (!writing.role.empty()) svg += fmt::format(R"( data-role="{}")", writing.role);
  svg += ">";
  if (!writing.full.empty()) svg += fmt::format("<title>{}</title>", xml_text(writing.full));
  std::size_t at = 0;
  for (const auto& [part, role] : writing.changes) {
    const std::size_t found = writing.text.find(part, at);
    if (found == std::string::npos) continue;  // cut away with the rest of a long text
    svg += fmt::format(R"({}<tspan data-role="{}">{}</tspan>)",
                       xml_text(writing.text.substr(at, found - at)), role, xml_text(part));
    at = found + part.size();
  }
  svg += xml_text(writing.text.substr(at)) + "</text>\n";
}

}  // namespace

std::string svg_of(const Picture& picture, const SvgOptions& options) {
  std::string svg = fmt::format(
      R"(<svg xmlns="http://www.w3.org/2000/svg" class="elevation" width="{0}" height="{1}" viewBox="0 0 {0} {1}" role="img" aria-labelledby="{6}elevation-title {6}elevation-about" font-family="{2}">
<title id="{6}elevation-title">{3}</title>
<desc id="{6}elevation-about">{4}</desc>
{5}<defs>
<pattern id="{6}waves" width="16" height="9" patternUnits="userSpaceOnUse"><path class="wave" d="M1 5q2.500 -3 5 0t5 0"/></pattern>
</defs>
<rect class="paper" width="{0}" height="{1}"/>
)",
      px(picture.width_px), px(picture.height_px), svg_fonts, xml_text(picture.title),
      xml_text(picture.about), options.with_styles ? all_styles() : std::string(),
      options.id_prefix);
  for (const Group& group : picture.groups)
    add_group(svg, options.id_prefix, group, picture.px_per_m);
  for (const Writing& writing : picture.writings) add_writing(svg, writing);
  return svg + "</svg>\n";
}

}  // namespace tankyard
