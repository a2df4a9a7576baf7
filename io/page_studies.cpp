// SPDX-License-Identifier: MIT
#include "io/page_studies.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "graph/shape.h"
#include "io/faults_words.h"
#include "io/link_words.h"
#include "io/page.h"
#include "io/page_run.h"
#include "io/report_words.h"
#include "solver/studies/faults_yard.h"

namespace tankyard {
namespace {

/// Films and plots a plan's day. A run that fails leaves the page without them.
void add_day(Page& page, const Plan& plan) {
  const auto record =
      run(plan.array, plan.sheet, {.record_every_s = page_row_s(plan.array, plan.sheet.lasts_s)});
  page.plan = &plan;
  if (!record) {
    page.film = still_film(plan);
    return;
  }
  const Frames frames = frames_of_run(plan, *record);
  page.film = film_of_run(plan, *record, frames, {});
  page.plotted = plotted_of_run(plan, *record, frames);
  page.plots = plots_of_run(plan, page.plotted);
  page.litres = litres_of(record->ledger);
}

/// Where each part stands in the picture, and no moment of its day: the findings are of other runs.
std::vector<PageFinding> findings_without_moment(const Plan& plan,
                                                 const std::vector<Finding>& findings) {
  return findings_on_page(plan, findings, std::nullopt);
}

/// Whether a step comes while the tanks stand as their drains have left them.
bool is_drained_at(IsolateStep::Does does) {
  using Does = IsolateStep::Does;
  return does == Does::bail || does == Does::clean || does == Does::shut_drain;
}

Film film_of_steps(const Plan& plan, const IsolateStudy& study) {
  const Parts& parts = plan.array.parts();
  Film film;
  film.start = state_at_start(plan.array);
  film.start.moment = "at the step told above";
  const std::size_t steps = study.steps.size();
  for (std::size_t t = 0; t < parts.tanks.size(); ++t) {
    Channel depth{fmt::format("tank-{}.depth_m", t), parts.tanks[t].name, {}, 1e-4};
    const auto drains =
        std::find_if(study.drains.begin(), study.drains.end(),
                     [&](const TankDrains& each) { return each.point.tank.index == t; });
    for (const IsolateStep& step : study.steps) {
      const bool drained = drains != study.drains.end() && is_drained_at(step.does);
      depth.values.push_back(drained ? depth_m(parts.tanks[t].shape, drains->point.left_m3)
                                     : study.depth_m[t]);
    }
    film.frames.channels.push_back(depth);
  }
  std::vector<bool> open;
  for (std::size_t h = 0; h < parts.hoses.size(); ++h) {
    open.push_back(open_at(parts, plan.sheet, id_at<HoseId>(h), study.starts_at_s));
  }
  std::vector<bool> outlet_open(parts.outlets.size(), false);
  std::vector<Stretches> shut;
  std::vector<Stretches> running;
  for (std::size_t h = 0; h < open.size(); ++h) {
    shut.push_back({fmt::format("hose-{}", h), "shut", {}});
  }
  for (std::size_t o = 0; o < outlet_open.size(); ++o) {
    running.push_back({fmt::format("outlet-{}", o), "open", {}});
  }
  for (std::size_t k = 0; k < steps; ++k) {
    const IsolateStep& step = study.steps[k];
    film.frames.labels.push_back(fmt::format("{}: {}", clock_of(plan, step.at_s), step.say));
    for (const Action& action : step.actions) {
      const bool opens = action.does == Action::Does::open;
      if (const auto* hose = std::get_if<HoseId>(&action.part)) open[hose->index] = opens;
      if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
        if (outlet->index < outlet_open.size()) outlet_open[outlet->index] = opens;
      }
    }
    for (std::size_t h = 0; h < open.size(); ++h) {
      if (!open[h]) shut[h].from_to_s.emplace_back(k, k + 1);
    }
    for (std::size_t o = 0; o < outlet_open.size(); ++o) {
      if (outlet_open[o]) running[o].from_to_s.emplace_back(k, k + 1);
    }
  }
  film.stretches = shut;
  film.stretches.insert(film.stretches.end(), running.begin(), running.end());
  return film;
}

}  // namespace

std::string isolate_page(const Plan& plan, const IsolateStudy& study,
                         const std::vector<Finding>& findings) {
  Page page = page_for(plan, "isolate");
  page.answer = isolate_answer(plan, study);
  page.looks_for_findings = false;
  page.chapters = isolate_chapters(plan, study);
  for (Chapter& chapter : page.chapters) {
    chapter.up_front = chapter.title == "Steps" || chapter.title == "Mind";
  }
  page.chapters.push_back(assumed_chapter(plan));
  if (study.steps.empty()) {
    page.film = still_film(plan);
  } else {
    page.film = film_of_steps(plan, study);
    page.about =
        "The picture shows which valves are shut at each step. Its water stands as it does when "
        "the first valve is shut, and while the tank is empty as its drain leaves it.";
  }
  page.findings = findings_without_moment(plan, findings);
  return page_html(page);
}

std::string faults_page(const Plan& plan, const FaultStudy& study,
                        const std::vector<Finding>& findings) {
  Page page = page_for(plan, "faults");
  page.answer = faults_answer(plan, study);
  page.chapters = faults_chapters(plan, study);
  page.findings = findings_without_moment(plan, findings);
  const auto worst = std::find_if(study.singles.begin(), study.singles.end(),
                                  [](const FaultOutcome& outcome) { return outcome.reckoned; });
  std::optional<Plan> failed;
  if (worst != study.singles.end()) {
    const FaultyYard yard = with_faults({plan.array.parts(), study.day, {}}, worst->faults);
    if (auto array = Array::make(yard.parts)) {
      failed = plan;
      failed->array = std::move(*array);
      failed->sheet = yard.sheet;
    }
  }
  if (failed) {
    page.about = fmt::format(
        "Picture and plots show the worst single failure, beginning with the plan's day: {}.",
        in_words(plan.array.parts(), *worst));
    add_day(page, *failed);
  } else {
    page.film = still_film(plan);
  }
  return page_html(page);
}

std::string link_page(const Plan& plan, const std::string& text, const LinkStudy& study, bool all) {
  Page page = page_for(plan, "link");
  page.answer = link_answer(plan, study);
  page.looks_for_findings = false;
  page.chapters = link_chapters(plan, study, all);
  std::optional<Plan> joined;
  if (!study.options.empty()) {
    if (const auto changed = plan_with(text, study, study.options.front())) {
      if (auto read = read_plan(*changed, plan.file)) joined = std::move(*read);
    }
  }
  if (joined) {
    page.about = fmt::format("Picture and plots show the plan's day with `{}` joined {}.",
                             part(study.parts.tanks, study.tank).name,
                             in_words(study, study.options.front().way));
    add_day(page, *joined);
  } else {
    page.film = still_film(plan);
  }
  return page_html(page);
}

std::string season_page(const Plan& plan, const SeasonAnswer& answer, bool every_month) {
  using namespace std::chrono;
  Page page = page_for(plan, "season");
  page.answer = season_answer(plan, answer);
  page.looks_for_findings = false;
  page.chapters = season_chapters(plan, answer, every_month);
  for (Chapter& chapter : page.chapters) {
    chapter.up_front = chapter.title == "Why" || chapter.title == "How sure";
  }
  page.film = still_film(plan);
  page.first_date = answer.rain.rain.first;

  const std::vector<SeasonMonth>& months = answer.study.as_it_is.months;
  Channel rain{"rain_mm", "rain", {}, 0.1};
  Channel asked{"asked_l", "asked for", {}, 0.1};
  Channel used{"used_l", "used", {}, 0.1};
  Channel spilt{"spilt_l", "spilt", {}, 0.1};
  for (const SeasonMonth& each : months) {
    const sys_days begins = std::max(sys_days(year(each.year) / each.month / 1), *page.first_date);
    page.plotted.time_s.push_back(static_cast<double>((begins - *page.first_date).count()) *
                                  86400.0);
    rain.values.push_back(each.tally.rain_m * 1000.0);
    asked.values.push_back(each.tally.asked_m3 * 1000.0);
    used.values.push_back(each.tally.used_m3 * 1000.0);
    spilt.values.push_back(each.tally.spilt_m3 * 1000.0);
  }
  page.plotted.channels = {asked, used, spilt, rain};
  if (months.size() >= 2) {
    page.plots = {{"Water, each month (drawn at its first day)",
                   "L",
                   {{"asked_l", 0.0}, {"used_l", 0.0}, {"spilt_l", 0.0}},
                   {}},
                  {"Rain, each month", "mm", {{"rain_mm", 0.0}}, {}}};
  }
  const SeasonTally& total = answer.study.as_it_is.total;
  page.litres = LitresOnPage{{{"in the tanks at the start", total.start_m3 * 1000.0},
                              {"rain from the roofs", total.caught_m3 * 1000.0},
                              {"from the mains", total.mains_m3 * 1000.0}},
                             {{"used", total.used_m3 * 1000.0},
                              {"spilt on the ground", total.spilt_m3 * 1000.0},
                              {"leaked", total.leaked_m3 * 1000.0},
                              {"in the tanks at the end", total.end_m3 * 1000.0}}};
  return page_html(page);
}

}  // namespace tankyard
