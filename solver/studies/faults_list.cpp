// SPDX-License-Identifier: MIT
#include "solver/studies/faults_list.h"

#include <variant>

#include "graph/breach.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

using Kind = Fault::Kind;

/// Whether a hose is ever open, and ever shut, on a day.
struct Seen {
  bool open = false;
  bool shut = false;
};

template <class IdType>
Seen seen(const DaySheet& sheet, IdType id, bool on_at_start) {
  Seen seen{on_at_start, !on_at_start};
  for (const TimedStep& step : sheet.steps) {
    for (const Action& action : step.actions) {
      const auto* part = std::get_if<IdType>(&action.part);
      if (part == nullptr || !(*part == id)) continue;
      const bool on = action.does == Action::Does::open || action.does == Action::Does::start;
      (on ? seen.open : seen.shut) = true;
    }
  }
  return seen;
}

const HoseEnd& end_of(const Hose& hose, Kind kind) {
  return kind == Kind::hose_off_at_from ? hose.from : hose.to;
}

}  // namespace

bool is_burst(const Fault& fault) {
  return fault.kind == Kind::hose_off_at_from || fault.kind == Kind::hose_off_at_to;
}

std::vector<Fault> single_faults(const Array& array, const DaySheet& sheet) {
  const Parts& parts = array.parts();
  std::vector<Fault> faults;
  const auto for_each = [&](const auto& list, Kind kind, const auto& can) {
    for (std::size_t i = 0; i < list.size(); ++i) {
      if (can(i)) faults.push_back({kind, i});
    }
  };
  const auto always = [](std::size_t) { return true; };
  const auto hose_seen = [&](std::size_t i) {
    return seen(sheet, id_at<HoseId>(i), starts_open(parts.hoses[i]));
  };
  const auto pump_seen = [&](std::size_t i) {
    return seen(sheet, id_at<PumpId>(i), parts.pumps[i].running);
  };

  for_each(parts.tanks, Kind::lid_blocked,
           [&](std::size_t i) { return parts.tanks[i].lid.kind == Lid::Kind::holed; });
  for_each(parts.air_lines, Kind::air_line_blocked, [&](std::size_t i) {
    return seen(sheet, id_at<AirLineId>(i), parts.air_lines[i].open).open;
  });
  for_each(parts.hoses, Kind::hose_throttled, [&](std::size_t i) { return hose_seen(i).open; });
  for_each(parts.hoses, Kind::valve_left_open, [&](std::size_t i) {
    return parts.hoses[i].valve && parts.hoses[i].open && hose_seen(i).shut;
  });
  for_each(parts.hoses, Kind::valve_left_shut,
           [&](std::size_t i) { return parts.hoses[i].valve && hose_seen(i).open; });
  for_each(parts.pumps, Kind::pump_left_on, [&](std::size_t i) { return pump_seen(i).shut; });
  for_each(parts.pumps, Kind::pump_left_off, [&](std::size_t i) { return pump_seen(i).open; });
  for_each(parts.pumps, Kind::cut_out_stuck, [&](std::size_t i) {
    return parts.pumps[i].stops_below.has_value() && pump_seen(i).open;
  });
  for_each(parts.top_ups, Kind::float_stuck_open, always);
  for_each(parts.tanks, Kind::overflow_blocked,
           [&](std::size_t i) { return parts.tanks[i].overflow.has_value(); });
  for_each(parts.hoses, Kind::non_return_stuck_open,
           [&](std::size_t i) { return parts.hoses[i].one_way; });
  for_each(parts.roofs, Kind::gutter_blocked, always);
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    if (!hose_seen(i).open) continue;
    faults.push_back({Kind::hose_off_at_from, i});
    faults.push_back({Kind::hose_off_at_to, i});
  }
  return faults;
}

bool can_go_together(const Fault& a, const Fault& b) {
  if (a.kind == b.kind && a.part == b.part) return false;
  if (a.part != b.part) return true;
  const auto are = [&](Kind one, Kind other) {
    return (a.kind == one && b.kind == other) || (a.kind == other && b.kind == one);
  };
  return !are(Kind::valve_left_open, Kind::valve_left_shut) &&
         !are(Kind::pump_left_on, Kind::pump_left_off) &&
         !are(Kind::hose_off_at_from, Kind::hose_off_at_to);
}

const std::string& part_name(const Parts& parts, const Fault& fault) {
  switch (fault.kind) {
    case Kind::lid_blocked:
    case Kind::overflow_blocked:
      return parts.tanks[fault.part].name;
    case Kind::air_line_blocked:
      return parts.air_lines[fault.part].name;
    case Kind::hose_throttled:
    case Kind::valve_left_open:
    case Kind::valve_left_shut:
    case Kind::non_return_stuck_open:
    case Kind::hose_off_at_from:
    case Kind::hose_off_at_to:
      return parts.hoses[fault.part].name;
    case Kind::pump_left_on:
    case Kind::pump_left_off:
    case Kind::cut_out_stuck:
      return parts.pumps[fault.part].name;
    case Kind::float_stuck_open:
      return parts.top_ups[fault.part].name;
    case Kind::gutter_blocked:
      return parts.roofs[fault.part].name;
  }
  breach("faults_list", "a kind of fault without a part");
}

std::string in_words(const Parts& parts, const Fault& fault) {
  const std::string name = named(part_name(parts, fault));
  switch (fault.kind) {
    case Kind::lid_blocked: {
      const bool only = parts.tanks[fault.part].lid.count == 1;
      return std::string(only ? "hole" : "a hole") + " in the lid of " + name + " blocked";
    }
    case Kind::air_line_blocked:
      return name + " blocked";
    case Kind::hose_throttled:
      return name + " throttled to a tenth";
    case Kind::valve_left_open:
      return named(parts.hoses[fault.part].valve->name) + " never shut";
    case Kind::valve_left_shut:
      return named(parts.hoses[fault.part].valve->name) + " left shut";
    case Kind::pump_left_on:
      return name + " left running";
    case Kind::pump_left_off:
      return name + " does not run";
    case Kind::cut_out_stuck:
      return "low-level cut-out of " + name + " stuck";
    case Kind::float_stuck_open:
      return "float of " + name + " stuck open";
    case Kind::overflow_blocked:
      return "overflow of " + name + " blocked";
    case Kind::non_return_stuck_open:
      return "non-return valve of " + name + " stuck open";
    case Kind::gutter_blocked:
      return "gutter of " + name + " blocked";
    case Kind::hose_off_at_from:
    case Kind::hose_off_at_to:
      return name + " off at " +
             named(name_of(parts, end_of(parts.hoses[fault.part], fault.kind).place));
  }
  breach("faults_list", "a kind of fault without words");
}

const char* word_for(Kind kind) {
  switch (kind) {
    case Kind::lid_blocked:
      return "lid_blocked";
    case Kind::air_line_blocked:
      return "air_line_blocked";
    case Kind::hose_throttled:
      return "hose_throttled";
    case Kind::valve_left_open:
      return "valve_left_open";
    case Kind::valve_left_shut:
      return "valve_left_shut";
    case Kind::pump_left_on:
      return "pump_left_on";
    case Kind::pump_left_off:
      return "pump_left_off";
    case Kind::cut_out_stuck:
      return "cut_out_stuck";
    case Kind::float_stuck_open:
      return "float_stuck_open";
    case Kind::overflow_blocked:
      return "overflow_blocked";
    case Kind::non_return_stuck_open:
      return "non_return_stuck_open";
    case Kind::gutter_blocked:
      return "gutter_blocked";
    case Kind::hose_off_at_from:
      return "hose_off_at_from";
    case Kind::hose_off_at_to:
      return "hose_off_at_to";
  }
  breach("faults_list", "a kind of fault without a word");
}

}  // namespace tankyard
