// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

#include "io/page.h"
#include "io/page_data.h"
#include "io/page_parts.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/svg_elevation.h"
#include "io/svg_text.h"
#include "io/tables.h"

namespace tankyard {
namespace {

std::string name_html(const std::string& name) {
  return fmt::format("<bdi class=\"name\">{}</bdi>", xml_text(name));
}

/// A sentence of ours as HTML: a name in backticks is set apart, whatever it is made of.
std::string prose_html(const std::string& text) {
  std::string html;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t open = text.find('`', at);
    const std::size_t shut = open == std::string::npos ? open : text.find('`', open + 1);
    if (shut == std::string::npos) break;
    html += xml_text(text.substr(at, open - at));
    html += name_html(text.substr(open + 1, shut - open - 1));
    at = shut + 1;
  }
  return html + xml_text(text.substr(at));
}

/// Where the first sentence ends, with the second if it is short: what is shown large. A full stop
/// in a name is none.
std::size_t end_of_answer(const std::string& text) {
  constexpr std::size_t short_answer = 100;
  bool in_name = false;
  for (std::size_t at = 0; at + 2 < text.size(); ++at) {
    if (text[at] == '`') in_name = !in_name;
    if (in_name || text[at] != '.' || text[at + 1] != ' ' || at < short_answer) continue;
    return at + 1;
  }
  return text.size();
}

std::string finding_html(const PageFinding& shown, bool film) {
  const Finding& finding = shown.finding;
  std::string html = fmt::format(
      "<li class=\"finding {0}\">\n<h3><span class=\"severity\">{1}</span> {2} at {3}{4}</h3>\n",
      word_for(finding.severity), capital(word_for(finding.severity)),
      xml_text(about(finding.kind).name), name_html(finding.where),
      finding.at_s ? fmt::format(", {}", prose_html(shown.moment)) : std::string());
  html += fmt::format("<p>{}.</p>\n", prose_html(finding.says));
  if (!finding.do_this.empty()) {
    html +=
        fmt::format("<p class=\"do\"><strong>Do:</strong> {}.</p>\n", prose_html(finding.do_this));
  }
  html +=
      "<p class=\"foot\"><span class=\"figure\">" + xml_text(amount(finding.value, finding.unit));
  if (finding.limit)
    html += fmt::format(" (limit {})", xml_text(amount(*finding.limit, finding.unit)));
  html += "</span>";
  if (film) {
    html += fmt::format(
        " <button type=\"button\" class=\"go\"{} data-where=\"{}\">Show {}"
        "<span class=\"unseen\"> in the picture</span></button>",
        shown.frame ? fmt::format(" data-frame=\"{}\"", *shown.frame) : std::string(),
        xml_text(finding.where), shown.frame ? prose_html(shown.moment) : "where");
  }
  return html + "</p>\n</li>\n";
}

std::string findings_html(const Page& page) {
  if (page.findings.empty() && !page.looks_for_findings) return {};
  std::string html =
      "<section id=\"findings\" aria-labelledby=\"findings-title\">\n"
      "<h2 id=\"findings-title\">What is wrong, and what to do</h2>\n";
  std::string notes;
  std::string worse;
  std::size_t note_count = 0;
  for (const PageFinding& finding : page.findings) {
    const bool note = finding.finding.severity == Severity::note;
    note_count += note ? 1 : 0;
    (note ? notes : worse) += finding_html(finding, page.film.has_value());
  }
  if (page.findings.empty()) html += "<p>Nothing was found.</p>\n";
  if (!worse.empty()) html += "<ol class=\"findings\">\n" + worse + "</ol>\n";
  if (!notes.empty()) {
    html += fmt::format(
        "<details{}><summary>{}</summary>\n<ol class=\"findings\">\n{}</ol>\n</details>\n",
        worse.empty() ? " open" : "", counted(note_count, "note"), notes);
  }
  return html + "</section>\n";
}

/// One yard from the side, laid out for screens of several widths.
struct Drawn {
  std::string look;
  elevation::Picture picture;
};

/// The widest first. One that no screen can show, or that says no more than its neighbour, is left
/// out: each takes its share of the file.
std::vector<Drawn> drawings_of(const Page& page) {
  constexpr double widest_px = 1528.0 / 0.76;  // of page.css and fitPictures in page.js
  constexpr double phone_px = 372.0;           // fits 360 px with labels that can still be read
  constexpr double highest_on_phone_px = 2200.0;
  struct Width {
    const char* look;
    double row_px;
    bool brief;
  };
  std::vector<Drawn> drawn;
  for (const Width& width : {Width{"wide", 1960.0, false}, Width{"middle", 1240.0, false},
                             Width{"small", 760.0, true}, Width{"narrow", 370.0, true}}) {
    elevation::Picture picture = lay_out_elevation(
        page.plan->array, page.film->start, page.film->resting, {width.row_px, width.brief, false});
    const std::string_view look = width.look;
    const bool never_seen = look != "small" && picture.width_px > widest_px;
    const bool same = !drawn.empty() && picture.width_px == drawn.back().picture.width_px;
    // On a phone a drawing of many rows is worse to read than one that is moved sideways.
    const bool no_help = look == "narrow" &&
                         (picture.width_px > phone_px || picture.height_px > highest_on_phone_px);
    if (never_seen || same || no_help) continue;
    drawn.push_back({width.look, std::move(picture)});
  }
  return drawn;
}

std::string pictures_html(const Page& page) {
  constexpr double least_scale = 0.92;  // labels of 11 px stay above 10 px
  const std::vector<Drawn> drawn = drawings_of(page);
  std::string html;
  for (const Drawn& each : drawn) {
    const double width_px = each.picture.width_px;
    html += fmt::format(
        "<div class=\"picture{}\" data-width=\"{:.0f}\" style=\"--least:{:.0f}px\" tabindex=\"0\" "
        "role=\"group\" aria-label=\"Drawing of the yard\">\n{}</div>\n",
        &each == &drawn.back() ? " last" : "", width_px, least_scale * width_px,
        svg_of(each.picture, {each.look + "-", &each == &drawn.front()}));
  }
  return html;
}

/// What to know before looking; once for all the drawings.
std::string reading_html(const Page& page) {
  std::string text = fmt::format(
      "Seen from the side, {}. Heights are to scale and count from the datum; widths of tanks are "
      "to scale within limits, distances are not.",
      page.film->start.moment);
  if (!page.plan->array.hoses().empty()) {
    text += " Hoses run on the floor in front, the strip below the ground line.";
  }
  return "<p class=\"reading\">" + xml_text(text) + "</p>\n";
}

std::string film_html(const Page& page) {
  const Frames& frames = page.film->frames;
  const bool moments = !frames.time_s.empty();
  std::string html =
      "<section id=\"yard\" aria-labelledby=\"yard-title\">\n"
      "<h2 id=\"yard-title\">The yard from the side</h2>\n";
  if (frames.count() > 1) {
    html += fmt::format(
        "<div class=\"clockwork needs-script\" role=\"group\" aria-label=\"{0}\">\n"
        "<button type=\"button\" id=\"play\">Play</button>\n"
        "<button type=\"button\" id=\"earlier\">{1}</button>\n"
        "<button type=\"button\" id=\"later\">{2}</button>\n"
        "<output id=\"clock\" for=\"moment\"></output>\n"
        "<input type=\"range\" id=\"moment\" min=\"0\" max=\"{3}\" value=\"0\" step=\"1\" "
        "aria-label=\"{0}\">\n"
        "<p id=\"happening\"></p>\n</div>\n",
        moments ? "Moment" : "Case", moments ? "Event before" : "Before",
        moments ? "Event after" : "After", frames.count() - 1);
  }
  html +=
      "<p class=\"reading sideways\" id=\"sideways\">The drawing is wider than this screen: move "
      "it "
      "sideways.</p>\n<div id=\"pictures\">\n" +
      pictures_html(page) + "</div>\n" + reading_html(page);
  html += "<p class=\"key\">";
  html +=
      "Blue and hatched: water. An arrow and moving dashes on a hose: the way its water goes; its "
      "flow stands in its label. Arrows into a tank\u2019s walls and the word <em>vacuum</em>: the "
      "air outside presses on it; arrows out of them and <em>pressure</em>: the air inside does.";
  html += "</p>\n</section>\n";
  return html;
}

std::string plots_html(const Page& page) {
  if (page.plots.empty()) return {};
  std::string html =
      "<section id=\"plots\" aria-labelledby=\"plots-title\">\n"
      "<h2 id=\"plots-title\">Over time</h2>\n";
  if (page_parts().plot_script.empty()) {
    return html +
           "<p>This copy of tankyard was built without its plotting library, so there are no plots "
           "here. <code>tankyard run PLAN --series FILE.csv</code> writes the same numbers.</p>\n"
           "</section>\n";
  }
  const bool moves = page.film && !page.film->frames.time_s.empty();
  html += fmt::format(
      "<p class=\"needs-script hint\">Point at a line to read it, drag across to zoom in, press a "
      "name to hide or show its line{}. ",
      moves ? ", click to move the picture to that moment" : "");
  html +=
      "<span class=\"zooms\"><button type=\"button\" id=\"zoom-in\">Zoom in</button> "
      "<button type=\"button\" id=\"zoom-out\">Zoom out</button> "
      "<button type=\"button\" id=\"zoom-all\">All of it</button></span></p>\n";
  html += "<div class=\"charts\">\n";
  for (std::size_t k = 0; k < page.plots.size(); ++k) {
    const Plot& plot = page.plots[k];
    html += fmt::format("<div class=\"chart\">\n<h3 id=\"plot-title-{}\">{} ({})</h3>\n", k,
                        xml_text(plot.title), xml_text(plot.unit));
    if (plot.lines.empty()) {
      html += fmt::format("<p>{}</p>\n", prose_html(plot.instead));
    } else {
      html += fmt::format(
          "<div class=\"plot\" data-plot=\"{0}\" role=\"group\" "
          "aria-labelledby=\"plot-title-{0}\"></div>\n",
          k);
    }
    html += "</div>\n";
  }
  return html +
         "</div>\n<noscript><p>The plots need scripts to be allowed.</p></noscript>\n</section>\n";
}

std::string litres_side(const char* title, const std::vector<std::pair<std::string, double>>& side,
                        double most) {
  double sum = 0.0;
  std::string html = fmt::format("<div class=\"side\"><h3>{}</h3>\n<table>\n", title);
  for (const auto& [name, litres] : side) {
    sum += litres;
    if (std::fabs(litres) < 0.05) continue;
    html += fmt::format(
        "<tr><th scope=\"row\">{}</th><td class=\"number\">{:.1f} L</td><td class=\"bar\"><span "
        "style=\"width:{:.1f}%\"></span></td></tr>\n",
        prose_html(name), litres, most > 0.0 ? 100.0 * std::max(0.0, litres) / most : 0.0);
  }
  return html + fmt::format(
                    "<tr class=\"sum\"><th scope=\"row\">sum</th><td class=\"number\">{:.1f} "
                    "L</td><td></td></tr>\n</table></div>\n",
                    sum);
}

std::string litres_html(const LitresOnPage& litres) {
  double most = 0.0;
  for (const auto& each : litres.in_l) most = std::max(most, each.second);
  for (const auto& each : litres.out_l) most = std::max(most, each.second);
  return "<section id=\"litres\" aria-labelledby=\"litres-title\">\n"
         "<h2 id=\"litres-title\">Where every litre went</h2>\n<div class=\"sides\">\n" +
         litres_side("In", litres.in_l, most) + litres_side("Out", litres.out_l, most) +
         "</div>\n</section>\n";
}

std::string table_html(const std::string& title, const Table& table) {
  std::vector<std::size_t> shown;
  for (std::size_t c = 0; c < table.columns().size(); ++c) {
    if (table.columns()[c].holds == Table::Holds::bars) continue;
    if (std::any_of(table.rows().begin(), table.rows().end(),
                    [&](const auto& row) { return !row[c].empty(); })) {
      shown.push_back(c);
    }
  }
  const auto look = [&](std::size_t c) {
    return table.columns()[c].holds == Table::Holds::numbers ? " class=\"number\"" : "";
  };
  std::string html = fmt::format(
      "<div class=\"scroll\" tabindex=\"0\" role=\"group\" aria-label=\"Table: {}\"><table>\n"
      "<thead><tr>",
      xml_text(title));
  for (const std::size_t c : shown) {
    html +=
        fmt::format("<th scope=\"col\"{}>{}</th>", look(c), prose_html(table.columns()[c].heading));
  }
  html += "</tr></thead>\n<tbody>\n";
  for (const auto& row : table.rows()) {
    html += "<tr>";
    for (const std::size_t c : shown) {
      if (c == shown.front()) {
        html += fmt::format("<th scope=\"row\"><bdi>{}</bdi></th>", prose_html(row[c]));
      } else {
        html += fmt::format("<td{}><bdi>{}</bdi></td>", look(c), prose_html(row[c]));
      }
    }
    html += "</tr>\n";
  }
  return html + "</tbody></table></div>\n";
}

std::string inside_html(const Chapter& chapter) {
  std::string html;
  if (chapter.table && !chapter.table->empty()) html += table_html(chapter.title, *chapter.table);
  for (const std::string& note : chapter.notes) html += "<p>" + prose_html(note) + "</p>\n";
  if (!chapter.points.empty()) {
    html += "<ul>\n";
    for (const std::string& point : chapter.points) html += "<li>" + prose_html(point) + "</li>\n";
    html += "</ul>\n";
  }
  return html;
}

/// Chapters that everybody should see, one below the other.
std::string up_front_html(const std::vector<Chapter>& chapters) {
  std::string html;
  for (const Chapter& chapter : chapters) {
    if (!chapter.up_front || chapter.empty()) continue;
    html += fmt::format("<section>\n<h2>{}</h2>\n{}</section>\n", prose_html(chapter.title),
                        inside_html(chapter));
  }
  return html;
}

std::string details_html(const std::vector<Chapter>& chapters) {
  std::string html;
  for (const Chapter& chapter : chapters) {
    if (chapter.up_front || chapter.empty()) continue;
    html += fmt::format("<details><summary>{}</summary>\n{}</details>\n", prose_html(chapter.title),
                        inside_html(chapter));
  }
  if (html.empty()) return html;
  return "<section id=\"details\" aria-labelledby=\"details-title\">\n"
         "<h2 id=\"details-title\">Details</h2>\n" +
         html + "</section>\n";
}

}  // namespace

Page page_for(const Plan& plan, const std::string& command) {
  Page page;
  page.plan = &plan;
  page.command = command;
  const std::string& site = plan.array.parts().site.name;
  page.title = site.empty() ? plan.file : site;
  return page;
}

std::vector<PageFinding> findings_on_page(const Plan& plan, const std::vector<Finding>& findings,
                                          const std::optional<Film>& film) {
  std::vector<PageFinding> shown;
  for (const Finding& finding : findings) {
    PageFinding& each = shown.emplace_back(PageFinding{finding, std::nullopt, {}});
    if (!finding.at_s) continue;
    each.moment = clock_of(plan, *finding.at_s);
    if (film && !film->frames.time_s.empty()) each.frame = frame_at(film->frames, *finding.at_s);
  }
  return shown;
}

std::string page_html(const Page& page) {
  const PageParts& parts = page_parts();
  const bool plots = !page.plots.empty() && !parts.plot_script.empty();
  const std::string policy = fmt::format(
      "default-src 'none'; script-src 'sha256-{}'{}; style-src 'unsafe-inline'; "
      "base-uri 'none'; form-action 'none'",
      parts.script_sha256,
      plots ? fmt::format(" 'sha256-{}'", parts.plot_script_sha256) : std::string());
  std::string html = fmt::format(
      R"(<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="generator" content="tankyard {}">
<title>{}: tankyard {}</title>
<style>
{}</style>
)",
      policy, TANKYARD_VERSION, xml_text(page.title), xml_text(page.command), parts.styles);
  if (plots)
    html +=
        fmt::format("<!--\n{}\n-->\n<style>{}</style>\n", parts.plot_licence, parts.plot_styles);
  html += fmt::format("</head>\n<body>\n<header>\n<h1><bdi>{}</bdi></h1>\n", xml_text(page.title));
  const std::size_t end = end_of_answer(page.answer);
  html += fmt::format("<p class=\"answer\">{}</p>\n", prose_html(page.answer.substr(0, end)));
  if (end < page.answer.size()) {
    html += fmt::format("<p class=\"rest\">{}</p>\n", prose_html(page.answer.substr(end + 1)));
  }
  if (!page.about.empty())
    html += fmt::format("<p class=\"about\">{}</p>\n", prose_html(page.about));
  html += "</header>\n<main>\n" + findings_html(page);
  if (page.film) html += film_html(page);
  html += plots_html(page);
  if (page.litres) html += litres_html(*page.litres);
  html += up_front_html(page.chapters) + details_html(page.chapters);
  html += fmt::format(
      "</main>\n<footer><p>Made by tankyard {} ({}) from <bdi>{}</bdi>. It reckons with what the "
      "plan "
      "says, and certifies nothing.</p></footer>\n",
      TANKYARD_VERSION, xml_text(page.command), xml_text(page.plan->file));
  html += "<script type=\"application/json\" id=\"page-data\">" + page_data(page) + "</script>\n";
  if (plots) html += "<script>" + parts.plot_script + "</script>\n";
  return html + "<script>" + parts.script + "</script>\n</body>\n</html>\n";
}

}  // namespace tankyard
