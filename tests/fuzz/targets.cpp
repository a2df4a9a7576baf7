// SPDX-License-Identifier: MIT
#include "targets.h"

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "io/elevation.h"
#include "io/plan_file.h"
#include "io/rain_file.h"
#include "io/report.h"
#include "io/svg_elevation.h"
#include "io/units.h"
#include "solver/at_rest.h"
#include "solver/find.h"
#include "solver/run.h"

namespace tankyard::fuzz {
namespace {

constexpr double day_s = 86400.0;
constexpr double shower_slack_s = 1e-6;

[[noreturn]] void wrong(const char* what, std::string_view text) {
  std::fprintf(stderr, "%s, of:\n%.*s\n", what, static_cast<int>(text.size()), text.data());
  std::abort();
}

void hold_troubles(const Troubles& troubles, bool in_text, std::string_view text) {
  if (troubles.empty()) wrong("refused without a reason", text);
  for (const Trouble& trouble : troubles) {
    if (trouble.message.empty()) wrong("a trouble without words", text);
    // What is missing from a plan altogether has no line in it: line 0, the file as a whole.
    if (in_text && !trouble.spot) wrong("a trouble without a place", text);
    if (trouble.spot && trouble.spot->line > 0 && trouble.spot->column < 1) {
      wrong("a place before the beginning of its line", text);
    }
  }
}

}  // namespace

void try_plan(std::string_view text) {
  const Result<Plan> plan = read_plan(text, "any.toml");
  if (!plan) return hold_troubles(plan.error(), true, text);
  // Large yards are read and checked; what is reckoned of them is not what is tried here.
  constexpr std::size_t most_tanks = 20;
  if (plan->array.tanks().size() > most_tanks) return;

  const Result<AtRest> resting = at_rest(plan->array);
  if (!resting) return hold_troubles(resting.error(), false, text);
  check_text(*plan, *resting, find_at_rest(plan->array), 80);
  svg_of(lay_out_elevation(plan->array, state_at_start(plan->array), resting->groups));

  RunOptions options;
  options.most_steps = 2000;
  const Result<RunRecord> record = run(plan->array, plan->sheet, options);
  if (!record) return hold_troubles(record.error(), false, text);
  for (const TankRecord& tank : record->tanks) {
    if (!(tank.end_m3 >= 0.0)) wrong("a tank ends with less than nothing", text);
  }
}

void try_rain(std::string_view text) {
  for (const MissingDays missing : {MissingDays::dry, MissingDays::average, MissingDays::refuse}) {
    RainFileOptions options;
    options.missing = missing;
    const Result<RainFile> file = read_rain(text, "any.csv", options);
    if (!file) {
      hold_troubles(file.error(), true, text);
      continue;
    }
    if (file->rain.days.empty()) wrong("a record of no day", text);
    for (const RainDay& day : file->rain.days) {
      if (!(day.depth_m >= 0.0) || !std::isfinite(day.depth_m)) wrong("rain that cannot be", text);
      double sum_m = 0.0;
      double free_from_s = 0.0;
      for (const Shower& shower : day.showers) {
        if (!(shower.depth_m >= 0.0)) wrong("a shower of less than nothing", text);
        if (!(shower.lasts_s > 0.0) || shower.starts_s < free_from_s - shower_slack_s ||
            shower.starts_s + shower.lasts_s > day_s + shower_slack_s) {
          wrong("a shower outside its day or into the next one", text);
        }
        free_from_s = shower.starts_s + shower.lasts_s;
        sum_m += shower.depth_m;
      }
      if (!day.showers.empty() && std::fabs(sum_m - day.depth_m) > 1e-9 * day.depth_m + 1e-12) {
        wrong("showers that do not add up to their day", text);
      }
    }
  }
}

void try_quantity(std::string_view text) {
  for (const Dimension dimension :
       {Dimension::length, Dimension::area, Dimension::volume, Dimension::flow, Dimension::pressure,
        Dimension::rain, Dimension::temperature, Dimension::temperature_difference,
        Dimension::duration}) {
    const auto quantity = parse_quantity(text, dimension);
    if (!quantity) {
      if (quantity.error().message.empty()) wrong("refused without a reason", text);
      if (quantity.error().first > text.size()) wrong("a place past the end", text);
      continue;
    }
    if (!std::isfinite(*quantity)) wrong("read as a number without an end", text);
  }
}

}  // namespace tankyard::fuzz
