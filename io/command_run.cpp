// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <filesystem>

#include "io/asked_quantity.h"
#include "io/commands.h"
#include "io/csv.h"
#include "io/files.h"
#include "io/json.h"
#include "io/page_run.h"
#include "io/progress.h"
#include "io/report.h"
#include "io/units.h"
#include "solver/find.h"
#include "solver/run.h"

namespace tankyard {
namespace {

/// A ledger that closes worse than this, of all that passed, is no answer.
constexpr double worst_closing_ratio = 1e-9;

/// A series of more cells than this is a slip of the keyboard: it would take gigabytes.
constexpr double most_cells = 5e7;

/// Some minutes of a small yard. A day takes hundreds of steps, a century under sealed lids in sun
/// and frost under four million; a pump that starts and stops all the time would take more than
/// anybody waits for.
constexpr long long most_steps = 20'000'000;

/// Findings, with somebody who may wait for remedies to be tried; true if that was stopped.
std::pair<std::vector<Finding>, bool> findings_watched(const Plan& plan, RunOptions options,
                                                       const RunRecord& record, const Asked& asked,
                                                       const Desk& desk) {
  options.record_every_s = 0.0;
  const StopOnInterrupt on_interrupt;
  ProgressBar bar(desk.err, "trying remedies (steps)", desk.columns, asked.quiet);
  TryWatch watch;
  watch.stop = [] { return StopOnInterrupt::asked(); };
  watch.progress = [&](long long steps, long long most) {
    bar.show(static_cast<std::size_t>(steps), static_cast<std::size_t>(most));
  };
  std::vector<Finding> findings = find_in_run(plan.array, plan.sheet, options, record, watch);
  return {std::move(findings), StopOnInterrupt::asked()};
}

/// What can be said no to before the plan is read.
std::optional<RunOptions> run_options(const Asked& asked, const Desk& desk) {
  RunOptions options;
  options.most_steps = most_steps;
  if (!take_tolerance(asked, desk, options)) return std::nullopt;
  if (asked.every) {
    const auto every = quantity_or_complain("--every", *asked.every, Dimension::duration, desk);
    if (!every) return std::nullopt;
    if (!(*every > 0.0)) {
      complain(desk.err, fmt::format("`--every` is {}, and must be over 0 s", *asked.every),
               "write how often the series is to have a row: `--every 60s`");
      return std::nullopt;
    }
    options.record_every_s = *every;
    if (!asked.series && !asked.page) {
      complain(desk.err, "`--every` says how often a series has a row, and no series is asked for",
               "add `--series FILE.csv`");
      return std::nullopt;
    }
  }
  for (const Trouble& trouble : check(options)) {
    complain(desk.err, fmt::format("`--every` is `{}`", *asked.every), trouble.help + " s");
    return std::nullopt;
  }
  return options;
}

/// Whether the series is of a size that can be meant, and can go where it is wanted.
bool series_can_be_had(const Asked& asked, const Plan& plan, RunOptions& options,
                       const Desk& desk) {
  if (options.record_every_s <= 0.0) {
    options.record_every_s =
        asked.series ? usual_row_s(plan.sheet.lasts_s) : page_row_s(plan.array, plan.sheet.lasts_s);
  }
  if (asked.page && !can_be_written("--page", *asked.page, asked, desk)) return false;
  if (asked.series && !can_be_written("--series", *asked.series, asked, desk)) return false;
  if (asked.page && asked.series && *asked.page == *asked.series) {
    complain(desk.err, "`--page` and `--series` name the same file", "give each its own");
    return false;
  }
  const Parts& parts = plan.array.parts();
  const double columns =
      static_cast<double>(1 + 2 * parts.tanks.size() + parts.hoses.size() + parts.outlets.size());
  const double rows = plan.sheet.lasts_s / options.record_every_s;
  if (rows * columns > most_cells) {
    complain(
        desk.err,
        fmt::format("the series would have {:.3g} rows of {:.0f} columns, and {:.3g} cells are "
                    "the most",
                    rows, columns, most_cells),
        fmt::format("write a longer `--every`, or leave it out: it is then {}",
                    duration_text(usual_row_s(plan.sheet.lasts_s))));
    return false;
  }
  return true;
}

}  // namespace

Answer answer_run(const Asked& asked, const Desk& desk) {
  std::optional<RunOptions> options = run_options(asked, desk);
  if (!options) return {Exit::unusable, {}};
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  const bool recorded = asked.series || asked.page;
  if (recorded && !series_can_be_had(asked, *plan, *options, desk)) {
    return {Exit::unusable, {}};
  }

  const auto started = std::chrono::steady_clock::now();
  const Result<RunRecord> record = run(plan->array, plan->sheet, *options);
  if (!record) {
    complain(desk.err, record.error());
    return {Exit::failed, {}};
  }
  const auto milliseconds = [&] {
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started)
        .count();
  };
  const Effort& effort = record->effort;
  desk.detail(fmt::format(
      "ran it in {:.1f} ms: {} steps, {} taken back, {} shortened, {} Newton turns, {} stages "
      "swept",
      milliseconds(), effort.steps, effort.rejected, effort.quartered, effort.turns, effort.swept));
  const Ledger& ledger = record->ledger;
  if (!(std::fabs(ledger.closing_error_m3()) <= worst_closing_ratio * ledger.passed_m3)) {
    complain(desk.err,
             fmt::format("the run lost count of {:.3g} L of {:.6g} L, the limit is {:.0e} of it",
                         ledger.closing_error_m3() * 1000.0, ledger.passed_m3 * 1000.0,
                         worst_closing_ratio),
             "this is a weakness of the solver and not of the plan: please report the plan");
    return {Exit::failed, {}};
  }

  const auto [findings, stopped] = findings_watched(*plan, *options, *record, asked, desk);
  desk.detail(fmt::format("looked for findings, {:.1f} ms in all", milliseconds()));

  if (asked.series) {
    const auto reason =
        write_whole(*asked.series, series_csv(plan->array, record->trace), IfThere::replace);
    if (reason) {
      complain(desk.err, reason->message, reason->help);
      return {Exit::failed, {}};
    }
    desk.tell(fmt::format("wrote {}: {} rows, one every {}", *asked.series,
                          record->trace.time_s.size(), duration_text(options->record_every_s)));
  }
  if (asked.page &&
      !write_page(*asked.page, page_html(page_of_run(*plan, *record, findings)), desk)) {
    return {Exit::failed, {}};
  }
  if (stopped) {
    complain(desk.err,
             "stopped by Ctrl-C; the day was run to its end, but remedies were left untried",
             "run it again for all of them");
  }
  std::vector<Reach> reaches;
  if (!plan->array.pumps().empty()) reaches = reach_of(plan->array);
  return {stopped ? Exit::interrupted : exit_for(findings),
          asked.json ? run_json(*plan, *record, findings, reaches)
                     : run_text(*plan, *record, findings, asked.events, desk.columns, reaches)};
}

}  // namespace tankyard
