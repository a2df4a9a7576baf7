// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>

#include "io/asked_quantity.h"
#include "io/commands.h"
#include "io/files.h"
#include "io/json.h"
#include "io/link_words.h"
#include "io/nearest.h"
#include "io/page_studies.h"
#include "io/plan_text.h"
#include "io/progress.h"
#include "io/report.h"
#include "io/trouble_text.h"
#include "io/units.h"
#include "solver/studies/link_study.h"

namespace tankyard {
namespace {

/// What can be said no to before the plan is read.
std::optional<LinkOptions> link_options(const Asked& asked, const Desk& desk) {
  LinkOptions options;
  if (asked.more.empty()) {
    complain(
        desk.err, "`tankyard link` needs a TANK after the PLAN",
        fmt::format("for example: `tankyard link {} NAME`; the tank stands in the plan with no "
                    "hose",
                    asked.first));
    return std::nullopt;
  }
  if (asked.more.size() > 1) {
    complain(desk.err,
             fmt::format("`tankyard link` joins one tank, and `{}` is one too many", asked.more[1]),
             "join the one that comes first, write the plan with `--write`, then ask for the next");
    return std::nullopt;
  }
  if (!take_tolerance(asked, desk, options.run)) return std::nullopt;
  return options;
}

std::optional<TankId> tank_named(const std::string& word, const Plan& plan, const Desk& desk) {
  std::vector<std::string> names;
  for (const Tank& tank : plan.array.tanks()) names.push_back(tank.name);
  const auto found = std::find(names.begin(), names.end(), word);
  if (found != names.end()) return id_at<TankId>(static_cast<std::size_t>(found - names.begin()));
  const auto near = nearest_name(word, names);
  complain(desk.err, fmt::format("{} has no tank `{}`", plan.file, word),
           near ? fmt::format("there is a tank with a similar name: `{}`", *near)
                : "put the new tank into the plan first, as a [[tank]] with no hose to it");
  return std::nullopt;
}

/// The way that `--take` names, the recommended one without it.
std::optional<std::size_t> taken(const Asked& asked, const LinkStudy& study, const Desk& desk) {
  if (!asked.take) return 0;
  std::size_t rank = 0;
  const char* const end = asked.take->data() + asked.take->size();
  const auto read = std::from_chars(asked.take->data(), end, rank);
  if (read.ec == std::errc() && read.ptr == end && rank >= 1 && rank <= study.options.size()) {
    return rank - 1;
  }
  complain(desk.err, fmt::format("`--take {}` is no rank in the list", *asked.take),
           fmt::format("ranks go from 1 to {}", study.options.size()));
  return std::nullopt;
}

bool write_plan(const std::string& text, const LinkStudy& study, const LinkOption& option,
                const std::string& file, const Desk& desk) {
  const Result<std::string> changed = plan_with(text, study, option);
  if (!changed) {
    complain(desk.err, changed.error());
    return false;
  }
  if (const auto reason = write_whole(file, *changed, IfThere::replace)) {
    complain(desk.err, reason->message, reason->help);
    return false;
  }
  desk.tell(fmt::format("wrote {}: the plan, with `{}` joined {}; next: tankyard run {}", file,
                        part(study.parts.tanks, study.tank).name, in_words(study, option.way),
                        file));
  return true;
}

/// While ways are tried, Ctrl-C asks for what is known by then; afterwards it ends the program.
Result<LinkStudy> study_watched(const Plan& plan, TankId tank, LinkOptions options,
                                const Asked& asked, const Desk& desk) {
  const StopOnInterrupt stop;
  ProgressBar bar(desk.err, "trying ways to join it", desk.columns, asked.quiet);
  options.many.stop = [] { return StopOnInterrupt::asked(); };
  options.many.progress = [&](std::size_t done, std::size_t of) { bar.show(done, of); };
  return study_link(plan.array, plan.sheet, tank, options);
}

}  // namespace

Answer answer_link(const Asked& asked, const Desk& desk) {
  std::optional<LinkOptions> options = link_options(asked, desk);
  if (!options) return {Exit::unusable, {}};
  // Read once: standard input cannot be read again for `--write`.
  const bool piped = asked.first == "-";
  const auto text = plan_text(piped ? "/dev/stdin" : asked.first);
  if (!text) {
    desk.err << in_words(text.error(), {});
    return {Exit::unusable, {}};
  }
  const auto plan = read_plan(*text, piped ? "<standard input>" : asked.first);
  if (!plan) {
    desk.err << in_words(plan.error(), *text);
    return {Exit::unusable, {}};
  }
  const std::optional<TankId> tank = tank_named(asked.more[0], *plan, desk);
  if (!tank) return {Exit::unusable, {}};
  if (asked.write && !can_be_written("--write", *asked.write, asked, desk)) {
    return {Exit::unusable, {}};
  }
  if (asked.page && !can_be_written("--page", *asked.page, asked, desk)) {
    return {Exit::unusable, {}};
  }
  for (const StockHose& hose : plan->stock.hoses) {
    options->hoses.push_back({hose.bore_m, hose.price_per_m});
  }
  options->run_per_metre = plan->stock.run_per_metre;

  const auto started = std::chrono::steady_clock::now();
  const Result<LinkStudy> study = study_watched(*plan, *tank, *options, asked, desk);
  if (!study) {
    const bool of_plan = study.error().front().about.kind == "tank";
    complain(desk.err, study.error());
    return {of_plan ? Exit::unusable : Exit::failed, {}};
  }
  desk.detail(fmt::format(
      "{} ways, {} runs in {:.0f} ms", study->options.size(), study->runs,
      std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started)
          .count()));
  Exit exit = study->stopped ? Exit::interrupted : Exit::done;
  if (study->options.empty() && !study->stopped) {
    complain(desk.err, "no way to join the tank could be worked out", "please report the plan",
             study->failed.empty() ? std::vector<std::string>{"no hose fits"}
                                   : std::vector<std::string>{study->failed.front().why});
    return {Exit::failed, {}};
  }
  if (asked.write && !study->options.empty()) {
    const std::optional<std::size_t> way = taken(asked, *study, desk);
    if (!way) return {Exit::unusable, {}};
    if (!write_plan(*text, *study, study->options[*way], *asked.write, desk)) {
      return {Exit::failed, {}};
    }
  }
  if (asked.page && !write_page(*asked.page, link_page(*plan, *text, *study, asked.all), desk)) {
    return {Exit::failed, {}};
  }
  return {exit, asked.json ? link_json(*plan, *study)
                           : link_text(*plan, *study, asked.all, desk.columns)};
}

}  // namespace tankyard
