// SPDX-License-Identifier: MIT
#include <cstddef>
#include <string>

#include "graph/check_array.h"
#include "graph/check_parts.h"

namespace tankyard {
namespace {

constexpr double longest_run_s = 100.0 * 365.25 * 86400.0;

// "step 3", counted as people count.
std::string step_in_words(std::size_t index) { return "step " + std::to_string(index + 1); }

const char* key_of(Action::Does does) {
  switch (does) {
    case Action::Does::open:
      return "open";
    case Action::Does::close:
      return "close";
    case Action::Does::start:
      return "start";
    case Action::Does::stop:
      return "stop";
  }
  return "";
}

template <class Kind, class List>
void check_action(const Action& action, Id<Kind> id, const List& list, const char* kind,
                  bool is_pump, std::size_t step, Complaints& complaints) {
  const std::string key = key_of(action.does);
  const bool for_pumps = action.does == Action::Does::start || action.does == Action::Does::stop;
  if (id.index >= list.size()) {
    complaints.add({"step", step, key},
                   "`" + key + "` in " + step_in_words(step) + " names " +
                       with_article(kind_in_words(kind)) + " that does not exist",
                   "name a part of the plan");
  } else if (for_pumps != is_pump) {
    complaints.add({"step", step, key},
                   "`" + key + "` in " + step_in_words(step) + " names the " +
                       Checked{kind, id.index, part(list, id).name}.called(),
                   is_pump ? "pumps are told to `start` and `stop`"
                           : "hoses, valves, outlets and air lines are told to `open` and `close`");
  }
}

void check_step(const Parts& parts, const DaySheet& sheet, std::size_t index, bool sound_end,
                Complaints& complaints) {
  const TimedStep& step = sheet.steps[index];
  const std::string called = step_in_words(index);
  const Range in_run{0.0, sound_end ? sheet.lasts_s : longest_run_s, told_in_hours};
  if (!in_run.holds(step.at_s)) {
    complaints.add(
        {"step", index, "at"},
        called + " is due " +
            told(step.at_s, told_in_hours, step.at_s > in_run.high ? in_run.high : in_run.low) +
            " after the start",
        "a step must lie within the run: " + in_run.in_words());
  } else if (index > 0 && in_run.holds(sheet.steps[index - 1].at_s) &&
             step.at_s < sheet.steps[index - 1].at_s) {
    complaints.add({"step", index, "at"}, called + " comes before " + step_in_words(index - 1),
                   "sort the steps by time", PartField{"step", index - 1, "at"});
  }
  const Range rain{0.0, 1.0 / 3600.0, told_in_mm_an_hour, false, true};
  if (step.rain_m_per_s && !rain.holds(*step.rain_m_per_s)) {
    complaints.add({"step", index, "rain"},
                   "rain in " + called + " is " +
                       told(*step.rain_m_per_s, told_in_mm_an_hour,
                            *step.rain_m_per_s < 0.0 ? rain.low : rain.high),
                   "rain must be " + rain.in_words());
  }
  for (const Action& action : step.actions) {
    if (const auto* hose = std::get_if<HoseId>(&action.part)) {
      check_action(action, *hose, parts.hoses, "hose", false, index, complaints);
    } else if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
      check_action(action, *outlet, parts.outlets, "outlet", false, index, complaints);
    } else if (const auto* air_line = std::get_if<AirLineId>(&action.part)) {
      check_action(action, *air_line, parts.air_lines, "air_line", false, index, complaints);
    } else {
      check_action(action, *std::get_if<PumpId>(&action.part), parts.pumps, "pump", true, index,
                   complaints);
    }
  }
}

}  // namespace

Troubles check_day_sheet(const Parts& parts, const DaySheet& sheet) {
  Complaints complaints;
  const Range lasts{0.0, longest_run_s, told_in_hours, true};
  const bool sound_end = lasts.holds(sheet.lasts_s);
  if (!sound_end) {
    complaints.add({"run", 0, "lasts"},
                   "the run lasts " + told(sheet.lasts_s, told_in_hours,
                                           sheet.lasts_s > lasts.high ? lasts.high : lasts.low),
                   "it must last " + lasts.in_words() + ", which is 100 years");
  }
  const Range clock{0.0, 86400.0, told_in_hours, false, true};
  if (!clock.holds(sheet.starts_clock_s)) {
    complaints.add({"run", 0, "starts"},
                   "the run starts " +
                       told(sheet.starts_clock_s, told_in_hours,
                            sheet.starts_clock_s < 0.0 ? clock.low : clock.high) +
                       " after midnight",
                   "it must be " + clock.in_words());
  }
  for (std::size_t i = 0; i < sheet.steps.size(); ++i) {
    check_step(parts, sheet, i, sound_end, complaints);
  }
  return std::move(complaints.found);
}

}  // namespace tankyard
