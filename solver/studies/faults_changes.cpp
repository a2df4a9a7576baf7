// SPDX-License-Identifier: MIT
#include "solver/studies/faults_changes.h"

#include <algorithm>
#include <variant>

#include "graph/breach.h"
#include "solver/lid_again.h"
#include "solver/lid_words.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

using ChangeKind = Change::Kind;

constexpr double holes_to_try_m[] = {0.006, 0.010, 0.016, 0.025};

void insert_step(DaySheet& sheet, double at_s, std::vector<Action> actions) {
  const auto after =
      std::upper_bound(sheet.steps.begin(), sheet.steps.end(), at_s,
                       [](double value, const TimedStep& step) { return value < step.at_s; });
  sheet.steps.insert(after, TimedStep{at_s, std::move(actions), std::nullopt});
}

/// Shuts hoses over night. One that the sheet itself turns during the night goes by the sheet.
void shut_at_night(FaultYard& yard, const std::vector<HoseId>& hoses) {
  std::vector<Action> shut;
  std::vector<Action> open;
  for (const HoseId hose : hoses) {
    if (!open_at(yard.parts, yard.day.sheet, hose, yard.day.night_s)) continue;
    shut.push_back({Action::Does::close, hose});
    if (open_at(yard.parts, yard.day.sheet, hose, yard.day.morning_s)) {
      open.push_back({Action::Does::open, hose});
    }
  }
  const bool goes_on = yard.day.sheet.lasts_s > yard.day.morning_s;
  if (!shut.empty()) insert_step(yard.day.sheet, yard.day.night_s, std::move(shut));
  if (goes_on && !open.empty()) insert_step(yard.day.sheet, yard.day.morning_s, std::move(open));
}

std::vector<HoseId> valves_open_at_night(const FaultYard& yard) {
  std::vector<HoseId> hoses;
  for (std::size_t i = 0; i < yard.parts.hoses.size(); ++i) {
    const auto id = id_at<HoseId>(i);
    if (yard.parts.hoses[i].valve && open_at(yard.parts, yard.day.sheet, id, yard.day.night_s)) {
      hoses.push_back(id);
    }
  }
  return hoses;
}

}  // namespace

std::vector<Change> changes_to_try(const FaultYard& yard,
                                   const std::vector<TankId>& tanks_in_danger) {
  const Parts& parts = yard.parts;
  std::vector<Change> changes;
  const std::vector<HoseId> valves = valves_open_at_night(yard);
  if (valves.size() > 1) changes.push_back({ChangeKind::all_valves_at_night});
  for (const HoseId hose : valves) changes.push_back({ChangeKind::valve_at_night, hose.index});
  for (const TankId tank : tanks_in_danger) {
    const Lid& lid = part(parts.tanks, tank).lid;
    if (lid.kind == Lid::Kind::holed) changes.push_back({ChangeKind::second_hole, tank.index});
    if (lid.kind != Lid::Kind::sealed) continue;
    for (const double bore_m : holes_to_try_m) {
      changes.push_back({ChangeKind::hole, tank.index, bore_m});
    }
  }
  const auto is_outlet = [](const HoseEnd& end) {
    return std::holds_alternative<OutletId>(end.place);
  };
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    if (hose.valve || !open_at(parts, yard.day.sheet, id_at<HoseId>(i), yard.day.night_s)) continue;
    if (!is_outlet(hose.from)) changes.push_back({ChangeKind::valve_at_from, i});
    if (!is_outlet(hose.to)) changes.push_back({ChangeKind::valve_at_to, i});
  }
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    if (!hose.one_way && std::holds_alternative<TankId>(hose.from.place) && !is_outlet(hose.to)) {
      changes.push_back({ChangeKind::non_return, i});
    }
  }
  return changes;
}

FaultYard with_change(const FaultYard& yard, const Change& change) {
  FaultYard changed = yard;
  switch (change.kind) {
    case ChangeKind::all_valves_at_night:
      shut_at_night(changed, valves_open_at_night(yard));
      break;
    case ChangeKind::valve_at_night:
      shut_at_night(changed, {id_at<HoseId>(change.part)});
      break;
    case ChangeKind::second_hole:
      ++changed.parts.tanks[change.part].lid.count;
      break;
    case ChangeKind::hole:
      changed.parts = with_hole(yard.parts, id_at<TankId>(change.part), change.bore_m);
      break;
    case ChangeKind::valve_at_from:
    case ChangeKind::valve_at_to:
      shut_at_night(changed, {id_at<HoseId>(change.part)});
      changed.mouth_valves.push_back(
          {id_at<HoseId>(change.part), change.kind == ChangeKind::valve_at_from});
      break;
    case ChangeKind::non_return:
      changed.parts.hoses[change.part].one_way = true;
      break;
  }
  return changed;
}

std::string in_words(const Parts& parts, const Change& change) {
  const auto hose = [&]() -> const Hose& { return parts.hoses[change.part]; };
  switch (change.kind) {
    case ChangeKind::all_valves_at_night:
      return "shut every valve at night";
    case ChangeKind::valve_at_night:
      return "shut " + named(hose().valve->name) + " at night";
    case ChangeKind::second_hole:
      return "drill a second hole, like the first, in the lid of " +
             named(parts.tanks[change.part].name);
    case ChangeKind::hole:
      return "drill a hole of " + in_drill(change.bore_m) + " in the lid of " +
             named(parts.tanks[change.part].name);
    case ChangeKind::valve_at_from:
    case ChangeKind::valve_at_to: {
      const HoseEnd& end = change.kind == ChangeKind::valve_at_from ? hose().from : hose().to;
      return "fit a valve right at " + named(name_of(parts, end.place)) + " to " +
             named(hose().name) + ", and shut it at night";
    }
    case ChangeKind::non_return:
      return "fit a non-return valve in " + named(hose().name) + ", passing from " +
             named(name_of(parts, hose().from.place)) + " to " +
             named(name_of(parts, hose().to.place));
  }
  breach("faults_changes", "a kind of change without words");
}

const char* word_for(ChangeKind kind) {
  switch (kind) {
    case ChangeKind::all_valves_at_night:
      return "all_valves_at_night";
    case ChangeKind::valve_at_night:
      return "valve_at_night";
    case ChangeKind::second_hole:
      return "second_hole";
    case ChangeKind::hole:
      return "hole";
    case ChangeKind::valve_at_from:
      return "valve_at_from";
    case ChangeKind::valve_at_to:
      return "valve_at_to";
    case ChangeKind::non_return:
      return "non_return";
  }
  breach("faults_changes", "a kind of change without a word");
}

}  // namespace tankyard
