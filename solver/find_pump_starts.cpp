// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "graph/time_units.h"
#include "solver/find_each.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

/// NEMA MG 10 (2001), table 2-3: a four-pole motor of 1 hp may start 30 times an hour under a light
/// load, a two-pole one 15 times; larger ones less often. As reprinted by EASA, "Allowable starts
/// and starting intervals"; the standard itself was not seen.
constexpr std::size_t most_an_hour = 30;

/// The hour, beginning with a start, in which a pump started most often.
struct BusiestHour {
  std::size_t starts = 0;
  double from_s = 0.0;
};

BusiestHour busiest_hour(const std::vector<double>& starts_s) {
  BusiestHour busiest;
  std::size_t first = 0;
  for (std::size_t k = 0; k < starts_s.size(); ++k) {
    while (starts_s[k] - starts_s[first] >= hour_s) ++first;
    if (k - first + 1 > busiest.starts) busiest = {k - first + 1, starts_s[first]};
  }
  return busiest;
}

std::size_t count_of(const RunRecord& record, Event::Kind kind, std::size_t pump) {
  return static_cast<std::size_t>(
      std::count_if(record.events.begin(), record.events.end(),
                    [&](const Event& event) { return event.kind == kind && event.part == pump; }));
}

/// What stopped it most often, and what would make it stop less often.
struct Cause {
  std::string says;
  std::string do_this;
};

Cause cause_of(const Parts& parts, const RunRecord& record, std::size_t pump) {
  const std::size_t by_pressure = count_of(record, Event::Kind::pump_cut_out_by_pressure, pump);
  const std::size_t by_level = count_of(record, Event::Kind::pump_cut_out_low, pump);
  const std::size_t ordered = count_of(record, Event::Kind::pump_stops, pump);
  if (by_pressure >= by_level && by_pressure > ordered) {
    return {
        "its pressure switch stopped it and started it again, since it gives more than is drawn "
        "and nothing behind it stores water under pressure",
        "fit a pressure vessel behind it, large enough for a minute or two of its flow, set the "
        "two pressures of its switch further apart, or draw more at a time"};
  }
  if (by_level > ordered && parts.pumps[pump].stops_below) {
    const LowLevelStop& stop = *parts.pumps[pump].stops_below;
    return {"its low-level cut-out in " + named(part(parts.tanks, stop.tank).name) +
                " stopped it at " + in_mm(stop.depth_m) + " and let it start again at " +
                in_mm(stop.resumes_depth_m),
            "let it start again higher (`resumes`), so that more water has come by then; throttle "
            "it to what comes, or widen what brings it"};
  }
  return {"the day sheet started it so often", "let it run longer and less often"};
}

}  // namespace

std::vector<Finding> find_pump_starts(const Array& array, const RunRecord& record) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < record.pumps.size(); ++i) {
    if (record.pumps[i].starts <= static_cast<int>(most_an_hour)) continue;
    std::vector<double> starts_s;
    for (const Event& event : record.events) {
      if (event.kind == Event::Kind::pump_starts && event.part == i) starts_s.push_back(event.at_s);
    }
    const BusiestHour busiest = busiest_hour(starts_s);
    if (busiest.starts <= most_an_hour) continue;
    const Cause cause = cause_of(parts, record, i);
    Finding finding;
    finding.kind = FindingKind::pump_starts_often;
    finding.severity = Severity::warning;
    finding.where = parts.pumps[i].name;
    finding.at_s = busiest.from_s;
    finding.value = static_cast<double>(busiest.starts);
    finding.limit = static_cast<double>(most_an_hour);
    finding.unit = "starts/h";
    finding.says = named(finding.where) + " started " + std::to_string(busiest.starts) +
                   " times within an hour, and " + std::to_string(record.pumps[i].starts) +
                   " times in all: " + cause.says +
                   ". Each start heats the motor and wears its switch";
    finding.do_this = cause.do_this + "; the maker of the motor says how often it may start";
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
