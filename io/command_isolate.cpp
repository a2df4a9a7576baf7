// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <filesystem>

#include "graph/time_units.h"
#include "io/asked_quantity.h"
#include "io/commands.h"
#include "io/files.h"
#include "io/isolate_sheet.h"
#include "io/json.h"
#include "io/nearest.h"
#include "io/page_studies.h"
#include "io/progress.h"
#include "io/report.h"
#include "io/units.h"
#include "solver/studies/isolate_study.h"
#include "solver/studies/many.h"

namespace tankyard {
namespace {

/// What can be said no to before the plan is read.
std::optional<IsolateOptions> isolate_options(const Asked& asked, const Desk& desk) {
  IsolateOptions options;
  if (asked.all && !asked.more.empty()) {
    complain(desk.err, fmt::format("`--all` asks for every tank, and `{}` for one", asked.more[0]),
             "leave one of them away");
    return std::nullopt;
  }
  if (!asked.all && asked.more.empty()) {
    complain(desk.err, "`tankyard isolate` needs a TANK after the PLAN",
             fmt::format("for example: `tankyard isolate {} NAME`, or `--all` for every tank",
                         asked.first));
    return std::nullopt;
  }
  if (asked.all && asked.sheet) {
    complain(desk.err, "`--sheet` writes the steps of one job, and `--all` asks for every tank",
             "name the tanks to take out, or leave `--sheet` away");
    return std::nullopt;
  }
  if (asked.work) {
    const auto work = quantity_or_complain("--work", *asked.work, Dimension::duration, desk);
    if (!work) return std::nullopt;
    if (!(*work >= 0.0 && *work <= 30.0 * day_s)) {
      complain(desk.err, fmt::format("`--work` is `{}`", *asked.work),
               "it must lie from 0 to 30 days");
      return std::nullopt;
    }
    options.work_s = *work;
  }
  if (!take_tolerance(asked, desk, options.run)) return std::nullopt;
  return options;
}

/// A clock time of the first day after the run starts, or a time after its start.
bool begins_at(const Asked& asked, const Plan& plan, IsolateOptions& options, const Desk& desk) {
  if (!asked.at) return true;
  double at_s = 0.0;
  if (const auto clock_s = parse_clock(*asked.at)) {
    at_s = std::fmod(*clock_s - plan.sheet.starts_clock_s + day_s, day_s);
  } else {
    const auto after = parse_quantity(*asked.at, Dimension::duration);
    if (!after) {
      complain(desk.err, fmt::format("`--at` {}", after.error().message),
               "write a clock time, `--at 10:00`, or a time after the start, `--at \"90 min\"`");
      return false;
    }
    at_s = *after;
  }
  if (!(at_s >= 0.0 && at_s < plan.sheet.lasts_s)) {
    complain(desk.err, fmt::format("`--at {}` is not within the plan's run", *asked.at),
             fmt::format("it starts at {} and lasts {}", clock_text(plan.sheet.starts_clock_s),
                         duration_text(plan.sheet.lasts_s)));
    return false;
  }
  options.starts_at_s = at_s;
  return true;
}

std::optional<std::vector<TankId>> tanks_named(const Asked& asked, const Plan& plan,
                                               const Desk& desk) {
  std::vector<std::string> names;
  for (const Tank& tank : plan.array.tanks()) names.push_back(tank.name);
  std::vector<TankId> tanks;
  for (const std::string& word : asked.more) {
    const auto found = std::find(names.begin(), names.end(), word);
    if (found == names.end()) {
      const auto near = nearest_name(word, names);
      complain(desk.err, fmt::format("{} has no tank `{}`", plan.file, word),
               near ? fmt::format("there is a tank with a similar name: `{}`", *near)
                    : fmt::format("`tankyard check {}` lists its tanks", plan.file));
      return std::nullopt;
    }
    const auto id = id_at<TankId>(static_cast<std::size_t>(found - names.begin()));
    if (std::find(tanks.begin(), tanks.end(), id) != tanks.end()) {
      complain(desk.err, fmt::format("tank `{}` is named twice", word), "name it once");
      return std::nullopt;
    }
    tanks.push_back(id);
  }
  return tanks;
}

bool sheet_can_be_had(const Asked& asked, const Desk& desk) {
  if (!asked.sheet) return true;
  if (const auto reason = why_not_write(*asked.sheet, IfThere::replace)) {
    complain(desk.err, reason->message, reason->help);
    return false;
  }
  std::error_code ignored;
  if (std::filesystem::equivalent(*asked.sheet, asked.first, ignored)) {
    complain(desk.err, "the sheet would take the place of the plan itself",
             "give `--sheet` another name, such as `shed-1.html`");
    return false;
  }
  return true;
}

bool write_sheet(const Asked& asked, const Plan& plan, const IsolateStudy& study,
                 const Desk& desk) {
  if (!asked.sheet) return true;
  if (!study.cut.possible()) {
    desk.tell(fmt::format("{} was not written: there are no steps", *asked.sheet));
    return true;
  }
  const IsolateSheet sheet = isolate_sheet(plan, study);
  if (const auto reason = write_whole(*asked.sheet, sheet.html, IfThere::replace)) {
    complain(desk.err, reason->message, reason->help);
    return false;
  }
  desk.tell(fmt::format("wrote {}: {} steps in type of {:g} pt{}{}", *asked.sheet,
                        study.steps.size(), sheet.type_pt,
                        sheet.with_reasons ? "" : ", without the reasons",
                        sheet.one_page ? "" : "; too many for one page"));
  return true;
}

Answer answer_all(const Asked& asked, const Plan& plan, const IsolateOptions& options,
                  const Desk& desk) {
  const std::size_t count = plan.array.tanks().size();
  std::vector<std::optional<Result<IsolateStudy>>> tried(count);
  std::size_t done = 0;
  {
    const StopOnInterrupt interruptible;
    ProgressBar bar(desk.err, "rehearsing each tank", desk.columns, asked.quiet);
    ManyOptions many;
    many.stop = StopOnInterrupt::asked;
    many.progress = [&bar](std::size_t ended, std::size_t of) { bar.show(ended, of); };
    done = try_each(
        count,
        [&](std::size_t i) {
          tried[i] = study_isolation(plan.array, plan.sheet, {id_at<TankId>(i)}, options);
        },
        many);
  }
  std::vector<IsolateStudy> studies;
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < done; ++i) {
    if (!*tried[i]) {
      complain(desk.err, tried[i]->error());
      return {Exit::failed, {}};
    }
    for (Finding& finding : find_in_isolation(plan.array, **tried[i])) {
      findings.push_back(std::move(finding));
    }
    studies.push_back(std::move(**tried[i]));
  }
  sort_worst_first(findings);
  Exit exit = exit_for(findings);
  if (done < count) {
    complain(desk.err, fmt::format("stopped when {} of {} tanks had been tried", done, count));
    exit = Exit::interrupted;
  }
  return {exit, asked.json ? isolate_all_json(plan, studies, findings)
                           : isolate_all_text(plan, studies, findings, desk.columns)};
}

}  // namespace

Answer answer_isolate(const Asked& asked, const Desk& desk) {
  std::optional<IsolateOptions> options = isolate_options(asked, desk);
  if (!options) return {Exit::unusable, {}};
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  if (!begins_at(asked, *plan, *options, desk)) return {Exit::unusable, {}};
  const auto tanks = tanks_named(asked, *plan, desk);
  if (!tanks || !sheet_can_be_had(asked, desk)) return {Exit::unusable, {}};
  if (asked.page && asked.all) {
    complain(desk.err, "`--page` is of one tank, and `--all` asks for every one",
             "name the tank: `tankyard isolate PLAN TANK --page FILE.html`");
    return {Exit::unusable, {}};
  }
  if (asked.page && !can_be_written("--page", *asked.page, asked, desk)) {
    return {Exit::unusable, {}};
  }

  const auto started = std::chrono::steady_clock::now();
  const auto milliseconds = [&] {
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started)
        .count();
  };
  if (asked.all) {
    Answer answer = answer_all(asked, *plan, *options, desk);
    desk.detail(fmt::format("{} tanks in {:.0f} ms", plan->array.tanks().size(), milliseconds()));
    return answer;
  }
  const Result<IsolateStudy> study = study_isolation(plan->array, plan->sheet, *tanks, *options);
  if (!study) {
    complain(desk.err, study.error());
    return {Exit::failed, {}};
  }
  desk.detail(fmt::format("{} times tried in {:.0f} ms", study->times_tried, milliseconds()));
  const std::vector<Finding> findings = find_in_isolation(plan->array, *study);
  if (!write_sheet(asked, *plan, *study, desk)) return {Exit::failed, {}};
  if (asked.page && !write_page(*asked.page, isolate_page(*plan, *study, findings), desk)) {
    return {Exit::failed, {}};
  }
  return {exit_for(findings), asked.json ? isolate_json(*plan, *study, findings)
                                         : isolate_text(*plan, *study, findings, desk.columns)};
}

}  // namespace tankyard
