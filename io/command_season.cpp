// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <chrono>

#include "io/asked_quantity.h"
#include "io/commands.h"
#include "io/json.h"
#include "io/page_studies.h"
#include "io/progress.h"
#include "io/rain_cells.h"
#include "io/rain_file.h"
#include "io/report.h"
#include "io/trouble_text.h"
#include "io/units.h"
#include "solver/studies/season_study.h"

namespace tankyard {
namespace {

bool cannot_use(const Desk& desk, const std::string& message, const std::string& help) {
  complain(desk.err, message, help);
  return false;
}

/// "95%" or "0.95".
std::optional<double> share_of(const std::string& text) {
  std::string_view number = text;
  const bool percent = number.ends_with('%');
  if (percent) number.remove_suffix(1);
  const auto value = read_depth(number, false);
  if (!value) return std::nullopt;
  const double share = percent ? *value / 100.0 : *value;
  if (!(share > 0.0 && share <= 1.0)) return std::nullopt;
  return share;
}

bool read_pour(const Asked& asked, const Desk& desk, PourRule& rule) {
  if (asked.pour) {
    const auto lasts_s = parse_quantity(*asked.pour, Dimension::duration);
    if (!lasts_s) {
      return cannot_use(desk, fmt::format("`--pour` {}", lasts_s.error().message),
                        lasts_s.error().help);
    }
    rule.lasts_s = *lasts_s;
    // Rain that would run past midnight begins so much sooner, unless it is told when to begin.
    if (!asked.pour_at && rule.starts_s + rule.lasts_s > 86400.0 && rule.lasts_s <= 86400.0) {
      rule.starts_s = 86400.0 - rule.lasts_s;
    }
  }
  if (asked.pour_at) {
    const auto clock_s = parse_clock(*asked.pour_at);
    if (!clock_s) {
      return cannot_use(desk,
                        fmt::format("`--pour-at` is `{}`, which is no clock time", *asked.pour_at),
                        "write it as 12:00");
    }
    rule.starts_s = *clock_s;
  }
  const Troubles troubles = check(rule);
  if (troubles.empty()) return true;
  return cannot_use(desk, troubles.front().message, troubles.front().help);
}

/// What can be said no to before any file is read.
std::optional<SeasonStudyOptions> options_of(const Asked& asked, const Desk& desk,
                                             RainFileOptions& rain) {
  SeasonStudyOptions options;
  if (!asked.rain) {
    complain(desk.err, "`tankyard season` needs a rain record",
             "for example: `tankyard season yard.toml --rain rain.csv`");
    return std::nullopt;
  }
  if (!take_tolerance(asked, desk, options.season.run)) return std::nullopt;
  if (asked.unit) {
    if (rain_unit_of(*asked.unit).empty()) {
      complain(desk.err, fmt::format("`--unit` is `{}`, which is no unit of rain", *asked.unit),
               "it may be mm, cm, m or in");
      return std::nullopt;
    }
    rain.unit = asked.unit;
  }
  rain.column = asked.column;
  if (asked.missing) {
    if (*asked.missing == "dry") {
      rain.missing = MissingDays::dry;
    } else if (*asked.missing == "average") {
      rain.missing = MissingDays::average;
    } else if (*asked.missing == "refuse") {
      rain.missing = MissingDays::refuse;
    } else {
      complain(desk.err, fmt::format("`--missing` is `{}`", *asked.missing),
               "it may be dry, average or refuse");
      return std::nullopt;
    }
  }
  if (!read_pour(asked, desk, options.season.pour)) return std::nullopt;
  if (asked.cover) {
    options.cover = share_of(*asked.cover);
    if (!options.cover) {
      complain(desk.err, fmt::format("`--cover` is `{}`", *asked.cover),
               "it must be over 0 and at most 100%, such as 95%");
      return std::nullopt;
    }
  }
  options.sizes = asked.sizes;
  return options;
}

std::optional<RainFile> rain_or_mistakes(const std::string& path, const RainFileOptions& options,
                                         const Desk& desk) {
  const auto text = rain_text(path);
  if (!text) {
    desk.err << in_words(text.error(), {});
    return std::nullopt;
  }
  auto rain = read_rain(*text, path, options);
  if (!rain) {
    desk.err << in_words(rain.error(), *text);
    return std::nullopt;
  }
  desk.detail(fmt::format("read {}: {} rows, {} days", path, rain->rows, rain->rain.days.size()));
  return std::move(*rain);
}

}  // namespace

Answer answer_season(const Asked& asked, const Desk& desk) {
  RainFileOptions rain_options;
  const std::optional<SeasonStudyOptions> options = options_of(asked, desk, rain_options);
  if (!options) return {Exit::unusable, {}};
  const std::optional<Plan> plan = plan_or_mistakes(asked.first, desk);
  if (!plan) return {Exit::unusable, {}};
  if (plan->uses.empty()) {
    complain(desk.err, "this plan does not say what a season takes: it has no `[[use]]`",
             "add one for each tap that is used: [[use]] with `outlet = \"tap\"` and "
             "`daily = \"200 L\"`");
    return {Exit::unusable, {}};
  }
  if (asked.page && !can_be_written("--page", *asked.page, asked, desk)) {
    return {Exit::unusable, {}};
  }
  std::optional<RainFile> rain = rain_or_mistakes(*asked.rain, rain_options, desk);
  if (!rain) return {Exit::unusable, {}};
  const auto started = std::chrono::steady_clock::now();
  bool stopped = false;
  Result<SeasonStudy> study = [&] {
    const StopOnInterrupt watch;
    ProgressBar bar(desk.err, "stepping seasons", desk.columns, asked.quiet);
    ManyOptions many;
    many.stop = [] { return StopOnInterrupt::asked(); };
    many.progress = [&](std::size_t done, std::size_t count) { bar.show(done, count); };
    Result<SeasonStudy> stepped = study_season(plan->array, plan->uses, rain->rain, *options, many);
    if (!stepped && StopOnInterrupt::asked()) stopped = true;
    return stepped;
  }();
  if (!study) {
    if (stopped) {
      complain(desk.err, "stopped before the first season was stepped to its end",
               "there is nothing to tell yet");
      return {Exit::interrupted, {}};
    }
    complain(desk.err, study.error());
    return {Exit::failed, {}};
  }
  stopped = study->stopped;
  const double took_s =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  desk.detail(
      fmt::format("{} seasons of {} days in {:.2f} s: {:.0f} simulated years a second",
                  study->seasons, rain->rain.days.size(), took_s,
                  study->seasons * static_cast<double>(rain->rain.days.size()) / 365.25 / took_s));
  const SeasonAnswer answer{std::move(*rain), rain_options.missing, *options, std::move(*study)};
  if (asked.page && !write_page(*asked.page, season_page(*plan, answer, asked.months), desk)) {
    return {Exit::failed, {}};
  }
  return {stopped ? Exit::interrupted : Exit::done,
          asked.json ? season_json(*plan, answer)
                     : season_text(*plan, answer, asked.months, desk.columns)};
}

}  // namespace tankyard
