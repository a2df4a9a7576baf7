// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "io/chapter.h"
#include "io/elevation.h"
#include "io/plan_file.h"
#include "solver/at_rest.h"
#include "solver/findings.h"

namespace tankyard {

// A page: an answer as one HTML file that needs nothing else. What stands on it is plain data here;
// page_html.cpp writes it, io/page/page.css and page.js show it. To give a study a page, fill a
// `Page` (io/README.md, "Pages").

/// One quantity of one part, a value for every frame. `key` says what it is and how it is shown:
/// "tank-0.depth_m", "tank-0.headspace_pa", "hose-3.flow_l_min", "outlet-1.flow_l_min",
/// "pump-0.flow_l_min", "rain_mm_h"; N is the place in the plan's list. A picture moves by the keys
/// it knows.
struct Channel {
  std::string key;
  std::string name;  ///< of the part
  std::vector<double> values;
  double resolution = 1e-4;  ///< values are written to so much: half of it is the error on the page
};

/// Moments of one run, in order of time, or cases that stand side by side (a pull, a shut valve).
struct Frames {
  std::vector<double> time_s;       ///< per frame, after the start of the run; empty: cases
  std::vector<std::string> labels;  ///< per case: a phrase. Empty: moments
  std::vector<Channel> channels;

  std::size_t count() const { return time_s.empty() ? labels.size() : time_s.size(); }
};

/// The first frame at or after a moment of the run; the last one if there is none.
std::size_t frame_at(const Frames& frames, double at_s);

/// At most about `most` moments that stand for all of them. Every channel keeps its highest and its
/// lowest value of each stretch, in their order, at two moments of the stretch that need not be
/// quite theirs. For lines over time, not for pictures: a frame mixes moments of one stretch. The
/// same frames if they are few enough.
Frames thinned_to_peaks(const Frames& frames, std::size_t most);

/// At most about `most` frames as they are: evenly spread, and all of `wanted`.
Frames chosen_frames(const Frames& frames, std::size_t most, std::vector<std::size_t> wanted);

/// What is so for stretches of time and no number: a valve is shut, an outlet open, a tank spills.
struct Stretches {
  std::string part;   ///< "hose-3"
  std::string state;  ///< "shut", "open", "running", "spills", "rains"
  /// From, and up to but without, in seconds of the run; of cases: their places in the list.
  std::vector<std::pair<double, double>> from_to_s;
};

struct Happening {
  double at_s = 0.0;
  std::string says;
};

/// The side view, moving. Its start is drawn and needs no script.
struct Film {
  ElevationState start;
  std::vector<RestingGroup> resting;
  Frames frames;
  std::vector<Stretches> stretches;
  std::vector<Happening> happenings;  ///< in order of time: told beside the clock
};

/// Lines over time. `shift` is added to every value: a tank's base makes levels of depths.
struct PlotLine {
  std::string key;  ///< of a channel of `Page::plotted`
  double shift = 0.0;
};
struct Plot {
  std::string title;
  std::string unit;
  std::vector<PlotLine> lines;
  std::string instead;  ///< where there is no line: why
};

/// A finding with the frame that shows it.
struct PageFinding {
  Finding finding;
  std::optional<std::size_t> frame;  ///< of the film
  std::string moment;                ///< what the link to it shows: "14:41", "this pull"
};

/// Where every litre went. Names with litres.
struct LitresOnPage {
  std::vector<std::pair<std::string, double>> in_l;
  std::vector<std::pair<std::string, double>> out_l;
};

struct Page {
  const Plan* plan = nullptr;  ///< outlives the page
  std::string command;         ///< "run"
  std::string title;           ///< the yard
  std::string about;           ///< a line below it: which day, how long
  std::string answer;          ///< the answer in a sentence or two; names in `backticks`
  std::vector<PageFinding> findings;
  bool looks_for_findings = true;  ///< where there is none: whether that is worth a word
  std::optional<Film> film;
  Frames plotted;  ///< what the plots draw; no moments: what the film has
  std::vector<Plot> plots;
  std::optional<LitresOnPage> litres;
  std::vector<Chapter> chapters;                    ///< the details
  std::optional<std::chrono::sys_days> first_date;  ///< of second 0: times are told as dates
};

/// The yard as the plan starts, in a picture that does not move.
Film still_film(const Plan& plan);

/// Which hoses let nothing pass in each of several yards that have the same hoses first.
std::vector<Stretches> shut_hoses(const std::vector<const Parts*>& cases);

/// A page about this plan, as yet without an answer: title and command filled in.
Page page_for(const Plan& plan, const std::string& command);

/// The findings, each with its frame and moment where the film is of that run.
std::vector<PageFinding> findings_on_page(const Plan& plan, const std::vector<Finding>& findings,
                                          const std::optional<Film>& film);

/// The page as HTML. Text stays text: names are never markup. Nothing is fetched, whatever they say
/// (a content security policy allows this page's own script and styles, and no network).
std::string page_html(const Page& page);

}  // namespace tankyard
