// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <charconv>
#include <chrono>
#include <memory>
#include <string>

#include "io/asked_quantity.h"
#include "io/commands.h"
#include "io/json.h"
#include "io/page_studies.h"
#include "io/progress.h"
#include "io/report.h"
#include "io/units.h"
#include "solver/studies/faults_study.h"

namespace tankyard {
namespace {

constexpr unsigned most_threads = 256;

/// What can be said no to before the plan is read.
std::optional<FaultOptions> faults_options(const Asked& asked, const Desk& desk) {
  FaultOptions options;
  options.pairs = !asked.no_pairs;
  if (asked.threads) {
    const std::string& text = *asked.threads;
    unsigned threads = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), threads);
    if (read.ec != std::errc() || read.ptr != text.data() + text.size() || threads < 1 ||
        threads > most_threads) {
      complain(desk.err, fmt::format("`--threads` is `{}`", text),
               fmt::format("write a whole number from 1 to {}", most_threads));
      return std::nullopt;
    }
    options.many.threads = threads;
  }
  if (!take_tolerance(asked, desk, options.run)) return std::nullopt;
  return options;
}

/// A bar for each piece of work, one after the other.
class Bars {
 public:
  Bars(const Desk& desk, bool quiet) : desk_(desk), quiet_(quiet) {}

  void show(const std::string& doing, std::size_t done, std::size_t count) {
    if (doing != doing_) {
      bar_.reset();
      bar_ = std::make_unique<ProgressBar>(desk_.err, "trying " + doing, desk_.columns, quiet_);
      doing_ = doing;
    }
    bar_->show(done, count);
  }

 private:
  const Desk& desk_;
  bool quiet_;
  std::string doing_;
  std::unique_ptr<ProgressBar> bar_;
};

Result<FaultStudy> study_watched(const Plan& plan, FaultOptions options, const Asked& asked,
                                 const Desk& desk) {
  const StopOnInterrupt on_interrupt;
  Bars bars(desk, asked.quiet);
  options.many.stop = [] { return StopOnInterrupt::asked(); };
  options.progress = [&](const char* doing, std::size_t done, std::size_t count) {
    bars.show(doing, done, count);
  };
  return study_faults(plan.array, plan.sheet, options);
}

}  // namespace

Answer answer_faults(const Asked& asked, const Desk& desk) {
  const std::optional<FaultOptions> options = faults_options(asked, desk);
  if (!options) return {Exit::unusable, {}};
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  if (asked.page && !can_be_written("--page", *asked.page, asked, desk)) {
    return {Exit::unusable, {}};
  }
  const auto started = std::chrono::steady_clock::now();
  const Result<FaultStudy> study = study_watched(*plan, *options, asked, desk);
  if (!study) {
    complain(desk.err, study.error());
    return {Exit::failed, {}};
  }
  const double took_s =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  desk.detail(
      fmt::format("{} failures, {} pairs, {} days in {:.2f} s on {} threads: {:.0f} days a second",
                  study->singles.size(), study->pairs_tried, study->runs, took_s,
                  threads_for(options->many), static_cast<double>(study->runs) / took_s));
  const std::vector<Finding> findings = find_in_faults(plan->array, *study);
  Exit exit = exit_for(findings);
  for (const FaultOutcome& each : study->singles) {
    if (each.reckoned) continue;
    complain(desk.err,
             fmt::format("one failure could not be reckoned: {}",
                         in_words(plan->array.parts(), each.faults.front())),
             "please report the plan", {each.why_not});
    if (exit == Exit::done) exit = Exit::failed;
  }
  if (study->stopped) {
    complain(desk.err, "stopped by Ctrl-C; what was known by then is printed",
             "run it again for all of it, or with `--no-pairs` for less");
    exit = Exit::interrupted;
  }
  if (asked.page && !write_page(*asked.page, faults_page(*plan, *study, findings), desk)) {
    return {Exit::failed, {}};
  }
  return {exit, asked.json ? faults_json(*plan, *study, findings)
                           : faults_text(*plan, *study, findings, desk.columns)};
}

}  // namespace tankyard
