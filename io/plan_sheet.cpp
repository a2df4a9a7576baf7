// SPDX-License-Identifier: MIT
// The chapters [run] and [[step]] of a plan: the day sheet.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "graph/time_units.h"
#include "io/plan_draft.h"

namespace tankyard {
namespace {

double seconds_of(const toml::time& time) {
  return time.hour * 3600.0 + time.minute * 60.0 + time.second + time.nanosecond * 1e-9;
}

/// Whether a text is meant as a clock time, right or wrong.
bool looks_like_clock(std::string_view text) { return text.find(':') != std::string_view::npos; }

/// The clock time in a value: 05:00:00 or "05:00"; none where it is neither.
std::optional<double> clock_of(const toml::node& node) {
  if (const auto* const time = node.as_time()) return seconds_of(time->get());
  const auto* const string = node.as_string();
  return string == nullptr ? std::nullopt : parse_clock(string->get());
}

void read_run(Draft& draft) {
  if (draft.source.entries("run").empty()) return;
  Entry entry(draft.reading, *draft.source.entries("run")[0], {"run", 0, ""}, "the run");
  draft.sheet.lasts_s = entry.quantity_or("lasts", Dimension::duration, draft.sheet.lasts_s);
  if (const toml::node* const node = entry.get("starts")) {
    if (const auto clock = clock_of(*node)) {
      draft.sheet.starts_clock_s = *clock;
    } else {
      entry.complain_at(*node, "starts", "`starts` of the run is no clock time",
                        "write for example `starts = \"05:00\"`, from \"00:00\" to \"23:59\"");
      draft.sheet.starts_clock_s = no_number;
    }
  }
  entry.finish();
}

/// Seconds after the start. A clock time earlier than the start is meant for the next day.
double read_time(Draft& draft, Entry& entry) {
  const toml::node* const node = entry.get("at");
  if (node == nullptr) {
    entry.missing("at", "\"06:30\"");
    return no_number;
  }
  double at_s = no_number;
  const double starts = draft.sheet.starts_clock_s;
  if (const auto clock = clock_of(*node)) {
    at_s = *clock - starts + (*clock < starts ? day_s : 0.0);
  } else if (const auto* const string = node->as_string()) {
    const auto duration = parse_quantity(string->get(), Dimension::duration);
    if (!duration) {
      QuantityProblem problem = duration.error();
      if (looks_like_clock(string->get())) {
        problem = {fmt::format("is `{}`, which is no clock time", string->get()), "", 0, 0};
      }
      problem.help = "write a clock time, \"06:30\", or the time after the start, \"90 min\"";
      entry.complain_of(*node, "at", problem);
      return no_number;
    }
    at_s = *duration;
  } else {
    at_s = entry.quantity_at(*node, "at", Dimension::duration);
  }
  if (std::isnan(at_s)) {
    draft.reading.set_aside(entry.field("at"));  // the start of the run is complained of already
    return no_number;
  }
  const double lasts = draft.sheet.lasts_s;
  if (at_s >= 0.0 && !(at_s > lasts)) return at_s;
  entry.complain_at(
      *node, "at",
      fmt::format("{} is due {} after the start, outside the run of {}", entry.owner(),
                  duration_text(at_s), duration_text(lasts)),
      fmt::format("the run goes from {} to {}; make it longer with `lasts`, or move the step",
                  clock_text(starts), clock_text(starts + lasts)));
  return no_number;
}

/// The parts that a key of a step names: pumps start and stop, everything else opens and closes.
void read_actions(Draft& draft, Entry& entry, const toml::key& key, Action::Does does,
                  TimedStep& step) {
  const std::string name(key.str());
  const std::string verb = name == "stop" ? "stops" : name + "s";
  const toml::node& value = *entry.toml().get(name);
  const bool for_pumps = does == Action::Does::start || does == Action::Does::stop;
  static const std::vector<std::string> pumps = {"pump"};
  static const std::vector<std::string> others = {"valve", "hose", "outlet", "air_line"};
  const auto* const list = value.as_array();
  if (list == nullptr) {
    const auto* const string = value.as_string();
    const std::string named = string == nullptr ? (for_pumps ? "booster" : "V1") : string->get();
    entry.wrong_kind(value, name, "a list of names", fmt::format("[\"{}\"]", named));
    return;
  }
  for (const toml::node& node : *list) {
    const PartField about = entry.field(name);
    if (const auto* const string = node.as_string()) {
      const Named* const named = draft.source.find(string->get());
      const bool is_pump = named != nullptr && named->kind == "pump";
      if (is_pump && !for_pumps) {
        draft.reading.complain(
            draft.reading.spot_of(node.source()),
            fmt::format("{} {} `{}`, which is a pump", entry.owner(), verb, string->get()),
            fmt::format("pumps `start` and `stop`: write `{} = [\"{}\"]`",
                        does == Action::Does::open ? "start" : "stop", string->get()),
            about);
        draft.reading.set_aside(about);
        continue;
      }
    }
    const Named* const named = draft.source.refer(node, for_pumps ? pumps : others,
                                                  fmt::format("{} {}", entry.owner(), verb), about);
    if (named == nullptr) continue;
    if (named->kind == "pump") {
      step.actions.push_back({does, id_at<PumpId>(named->index)});
    } else if (named->kind == "outlet") {
      step.actions.push_back({does, id_at<OutletId>(named->index)});
    } else if (named->kind == "air_line") {
      step.actions.push_back({does, id_at<AirLineId>(named->index)});
    } else {
      step.actions.push_back({does, id_at<HoseId>(named->index)});
    }
  }
}

struct ActionKey {
  const char* name;
  Action::Does does;
};

TimedStep read_step(Draft& draft, std::size_t index) {
  static constexpr ActionKey keys[] = {{"open", Action::Does::open},
                                       {"close", Action::Does::close},
                                       {"start", Action::Does::start},
                                       {"stop", Action::Does::stop}};
  const toml::table& table = *draft.source.entries("step")[index];
  Entry entry(draft.reading, table, {"step", index, ""}, fmt::format("step {}", index + 1));
  TimedStep step;
  step.at_s = read_time(draft, entry);
  // In the order of the plan, which the table itself does not keep.
  std::vector<std::pair<const toml::key*, Action::Does>> given;
  for (const ActionKey& key : keys) {
    if (entry.get(key.name) == nullptr) continue;
    for (auto it = table.cbegin(); it != table.cend(); ++it) {
      if (it->first.str() == key.name) given.emplace_back(&it->first, key.does);
    }
  }
  std::stable_sort(given.begin(), given.end(), [](const auto& a, const auto& b) {
    return a.first->source().begin < b.first->source().begin;
  });
  for (const auto& [key, does] : given) read_actions(draft, entry, *key, does, step);
  step.rain_m_per_s = entry.quantity("rain", Dimension::rain);
  entry.finish();
  const bool only_time = table.size() == 1 && table.contains("at");
  if (only_time) {
    draft.reading.complain(
        draft.reading.spot_of(table.source()), fmt::format("{} does nothing", entry.owner()),
        "give it `open`, `close`, `start`, `stop` or `rain`, or leave it out", entry.about());
  }
  return step;
}

}  // namespace

void read_day_sheet(Draft& draft) {
  read_run(draft);
  for (std::size_t i = 0; i < draft.source.entries("step").size(); ++i) {
    draft.sheet.steps.push_back(read_step(draft, i));
  }
}

}  // namespace tankyard
