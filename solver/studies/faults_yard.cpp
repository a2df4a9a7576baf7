// SPDX-License-Identifier: MIT
#include "solver/studies/faults_yard.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <variant>

namespace tankyard {
namespace {

using Kind = Fault::Kind;
using Turns = Action::Does;

bool turns_on(const Action& action) {
  return action.does == Turns::open || action.does == Turns::start;
}

/// Takes the actions on one part that turn it on, or off, from the sheet.
template <class IdType>
void forget(DaySheet& sheet, IdType id, bool on) {
  for (TimedStep& step : sheet.steps) {
    auto& actions = step.actions;
    actions.erase(std::remove_if(actions.begin(), actions.end(),
                                 [&](const Action& action) {
                                   const auto* part = std::get_if<IdType>(&action.part);
                                   return part != nullptr && *part == id && turns_on(action) == on;
                                 }),
                  actions.end());
  }
}

/// A name that no part of the yard has.
std::string free_name(const Parts& parts, const std::string& kind) {
  const auto taken = [&](const std::string& name) {
    const auto has = [&](const auto& list) {
      return std::any_of(list.begin(), list.end(),
                         [&](const auto& each) { return each.name == name; });
    };
    return has(parts.tanks) || has(parts.headers) || has(parts.hoses) || has(parts.pumps) ||
           has(parts.outlets) || has(parts.roofs) || has(parts.top_ups) || has(parts.leaks) ||
           has(parts.air_lines) ||
           std::any_of(parts.hoses.begin(), parts.hoses.end(),
                       [&](const Hose& hose) { return hose.valve && hose.valve->name == name; });
  };
  for (int k = 1;; ++k) {
    std::string name = kind + " " + std::to_string(k);
    if (!taken(name)) return name;
  }
}

bool stores_or_joins(Place place) { return !std::holds_alternative<OutletId>(place); }

/// A hole to the ground where a hose was, shut until it opens at night.
OutletId add_hole(FaultyYard& made, const HoseEnd& at, double bore_m) {
  Outlet hole;
  hole.name = free_name(made.parts, "bared mouth");
  hole.at = at;
  if (!std::holds_alternative<TankId>(at.place)) hole.at->height_m.reset();
  hole.bore_m = bore_m;
  hole.coefficient = nipple_coefficient;
  made.parts.outlets.push_back(hole);
  made.to_ground.push_back(id_at<OutletId>(made.parts.outlets.size() - 1));
  return made.to_ground.back();
}

/// What is left of a hose that came off at one end, still joined at the other; shut at first.
HoseId add_loose_hose(FaultyYard& made, const Hose& hose, bool off_at_from) {
  const HoseEnd& bared = off_at_from ? hose.from : hose.to;
  Outlet end;
  end.name = free_name(made.parts, "loose end");
  end.height_m = std::min(ground_m(made.parts), mouth_m(made.parts, bared));
  end.bore_m = hose.bore_m;
  end.coefficient = 1.0;
  made.parts.outlets.push_back(end);
  const auto end_id = id_at<OutletId>(made.parts.outlets.size() - 1);
  made.to_ground.push_back(end_id);

  Hose loose = hose;
  loose.name = free_name(made.parts, "loose hose");
  if (off_at_from) loose.from = hose.to;
  loose.to = HoseEnd{end_id, std::nullopt};
  loose.open = false;
  loose.primed = false;
  loose.valve.reset();
  made.parts.hoses.push_back(loose);
  return id_at<HoseId>(made.parts.hoses.size() - 1);
}

/// Puts actions after all that the sheet has up to and at that moment.
void do_at(DaySheet& sheet, double at_s, std::vector<Action> actions) {
  const auto after =
      std::upper_bound(sheet.steps.begin(), sheet.steps.end(), at_s,
                       [](double value, const TimedStep& step) { return value < step.at_s; });
  sheet.steps.insert(after, TimedStep{at_s, std::move(actions), std::nullopt});
}

void come_off(FaultyYard& made, const FaultYard& yard, const Fault& fault) {
  const bool at_from = fault.kind == Kind::hose_off_at_from;
  const auto id = id_at<HoseId>(fault.part);
  const Hose hose = part(made.parts.hoses, id);
  const HoseEnd& bared = at_from ? hose.from : hose.to;
  const HoseEnd& held = at_from ? hose.to : hose.from;
  const double night_s = yard.day.night_s;
  const bool was_open = open_at(made.parts, made.sheet, id, night_s);

  std::vector<Action> now;
  const auto shut_at_mouth = [&](bool from) {
    return !was_open && std::any_of(yard.mouth_valves.begin(), yard.mouth_valves.end(),
                                    [&](const MouthValve& valve) {
                                      return valve.hose == id && valve.at_from == from;
                                    });
  };
  const bool guarded = shut_at_mouth(at_from);
  // A valve at the mouth that the hose comes off holds nothing in the hose.
  const bool loose_runs = was_open || (guarded && !shut_at_mouth(!at_from));
  if (stores_or_joins(bared.place) && !guarded) {
    const double bore_m = hose.bore_m * std::sqrt(fault.share);
    now.push_back({Turns::open, add_hole(made, bared, bore_m)});
  }
  if (fault.share >= 1.0) {
    now.push_back({Turns::close, id});
    // A non-return valve that passes towards the loose end is one that does nothing here.
    const bool held_back = at_from && hose.one_way;
    std::optional<HoseId> loose;
    if (stores_or_joins(held.place) && !held_back) {
      loose = add_loose_hose(made, hose, at_from);
      now.push_back({Turns::open, made.to_ground.back()});
      if (loose_runs) now.push_back({Turns::open, *loose});
    }
    // Whoever turns its valve later turns it in what is left of it.
    for (TimedStep& step : made.sheet.steps) {
      if (step.at_s <= night_s) continue;
      std::vector<Action> kept;
      for (Action action : step.actions) {
        const auto* turned = std::get_if<HoseId>(&action.part);
        if (turned != nullptr && *turned == id) {
          if (!loose) continue;
          action.part = *loose;
        }
        kept.push_back(action);
      }
      step.actions = std::move(kept);
    }
  }
  if (!now.empty()) do_at(made.sheet, night_s, std::move(now));
}

/// Whether there is more or less of it, down to nothing at all.
bool by_degrees(Kind kind) {
  return kind == Kind::lid_blocked || kind == Kind::hose_throttled ||
         kind == Kind::overflow_blocked || kind == Kind::gutter_blocked;
}

void stand(FaultyYard& made, const Fault& fault) {
  Parts& parts = made.parts;
  const double left = 1.0 - fault.share;
  if (fault.share <= 0.0 && !by_degrees(fault.kind)) return;
  switch (fault.kind) {
    case Kind::lid_blocked: {
      Lid& lid = parts.tanks[fault.part].lid;
      const double holes_left = lid.count - fault.share;
      lid.screen *= holes_left / lid.count;
      if (holes_left <= 0.0) lid = {Lid::Kind::sealed, 0.0, lid.coefficient, 1, 1.0};
      return;
    }
    case Kind::air_line_blocked:
      parts.air_lines[fault.part].open = false;
      forget(made.sheet, id_at<AirLineId>(fault.part), true);
      return;
    case Kind::hose_throttled:
      parts.hoses[fault.part].loss_k +=
          loss_k_of_narrowing(1.0 - fault.share * (1.0 - throttled_to));
      return;
    case Kind::valve_left_open:
      parts.hoses[fault.part].valve->open = true;
      forget(made.sheet, id_at<HoseId>(fault.part), false);
      return;
    case Kind::valve_left_shut:
      parts.hoses[fault.part].valve->open = false;
      forget(made.sheet, id_at<HoseId>(fault.part), true);
      return;
    case Kind::pump_left_on:
      parts.pumps[fault.part].running = true;
      forget(made.sheet, id_at<PumpId>(fault.part), false);
      return;
    case Kind::pump_left_off:
      parts.pumps[fault.part].running = false;
      forget(made.sheet, id_at<PumpId>(fault.part), true);
      return;
    case Kind::cut_out_stuck:
      parts.pumps[fault.part].stops_below.reset();
      return;
    case Kind::float_stuck_open:
      parts.top_ups[fault.part].stuck_open = true;
      return;
    case Kind::overflow_blocked: {
      std::optional<Overflow>& overflow = parts.tanks[fault.part].overflow;
      overflow->bore_m *= std::sqrt(left);
      if (left <= 0.0) overflow.reset();
      return;
    }
    case Kind::non_return_stuck_open:
      parts.hoses[fault.part].one_way = false;
      parts.hoses[fault.part].cracking_head_m = 0.0;
      return;
    case Kind::gutter_blocked:
      parts.roofs[fault.part].runoff_fraction *= left;
      return;
    case Kind::hose_off_at_from:
    case Kind::hose_off_at_to:
      return;
  }
}

}  // namespace

double loss_k_of_narrowing(double open) {
  const double narrowest = (0.63 + 0.37 * open * open * open) * open;
  const double lost = 1.0 / narrowest - 1.0;
  return lost * lost;
}

double ground_m(const Parts& parts) {
  double lowest = std::numeric_limits<double>::infinity();
  for (const Tank& tank : parts.tanks) lowest = std::min(lowest, tank.base_m);
  for (const Header& header : parts.headers) lowest = std::min(lowest, header.height_m);
  for (const Outlet& outlet : parts.outlets) {
    // One at a place stands no lower than that place.
    if (!outlet.at && outlet.height_m) lowest = std::min(lowest, *outlet.height_m);
  }
  return lowest;
}

FaultyYard with_faults(const FaultYard& yard, const std::vector<Fault>& faults) {
  FaultyYard made{yard.parts, yard.day.sheet, {}};
  // What comes off comes off a hose that may be throttled or shut already.
  for (const Fault& fault : faults) {
    if (!is_burst(fault)) stand(made, fault);
  }
  for (const Fault& fault : faults) {
    if (fault.share > 0.0 && is_burst(fault)) come_off(made, yard, fault);
  }
  return made;
}

}  // namespace tankyard
