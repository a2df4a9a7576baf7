// SPDX-License-Identifier: MIT
#include "solver/studies/isolate_steps.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>

#include "graph/reach.h"
#include "solver/lid_words.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

using Does = IsolateStep::Does;

constexpr double first_rain_m = 0.010;
constexpr double moved_too_far = 1.0 / 3.0;  // of what a leak worth stopping for moves the level

const std::string& name_in(const Array& array, TankId tank) {
  return part(array.tanks(), tank).name;
}

std::string tanks_named(const Array& array, const std::vector<TankId>& tanks) {
  std::vector<std::string> names;
  names.reserve(tanks.size());
  for (const TankId tank : tanks) names.push_back(name_in(array, tank));
  return listed(names);
}

std::string in_kilograms(double kg) {
  return std::to_string(static_cast<long long>(std::llround(kg))) + " kg";
}

/// Lines one after the other, each a hand's time long unless it says otherwise.
class Lines {
 public:
  explicit Lines(double at_s) : at_s_(at_s) {}

  IsolateStep& add(Does does, std::string say, std::string because, double takes_s = hand_s) {
    IsolateStep step;
    step.does = does;
    step.at_s = at_s_;
    step.takes_s = takes_s;
    step.say = std::move(say);
    step.because = std::move(because);
    at_s_ += takes_s;
    steps_.push_back(std::move(step));
    return steps_.back();
  }

  std::vector<IsolateStep> taken() { return std::move(steps_); }

 private:
  double at_s_;
  std::vector<IsolateStep> steps_;
};

std::string with_hose(const Hose& hose) {
  return hose.valve ? named(hose.valve->name) + " in hose " + named(hose.name)
                    : "hose " + named(hose.name);
}

void turn_inflows_away(const Array& array, const IsolateStudy& study, Lines& lines) {
  const Parts& parts = array.parts();
  const Inflows& inflows = study.cut.found.inflows;
  for (const RoofId id : inflows.roofs) {
    const Roof& roof = part(parts.roofs, id);
    lines.add(
        Does::turn_away,
        "turn the downpipe of " + named(roof.name) + " away from " +
            named(name_in(array, roof.into)),
        "rain would run in: " + in_litres(roof.area_m2 * roof.runoff_fraction * first_rain_m) +
            " of every " + in_mm(first_rain_m));
  }
  for (const TopUpId id : inflows.top_ups) {
    const TopUp& top_up = part(parts.top_ups, id);
    lines.add(Does::turn_away, "shut off the supply of top-up " + named(top_up.name),
              "it would open as " + named(name_in(array, top_up.into)) +
                  " empties, and run for as long as that is empty");
  }
  for (const TankId id : inflows.overflows) {
    const Tank& tank = part(parts.tanks, id);
    lines.add(Does::turn_away,
              "lead the overflow of " + named(tank.name) + " past " +
                  named(name_in(array, *tank.overflow->to)),
              "what " + named(tank.name) + " spills would run in");
  }
}

void stop_pumps(const Array& array, const IsolateStudy& study, Lines& lines) {
  const auto& pumps = array.pumps();
  const ValveSet& set = study.cut.best();
  for (const PumpId id : set.pumps_stopped) {
    lines
        .add(Does::stop_pump,
             "stop pump " + named(part(pumps, id).name) +
                 ", pull its plug, take it off and cap both its ends",
             "no valve parts it from " + tanks_named(array, study.tanks) +
                 ", and water runs through it while it stands")
        .actions.push_back({Action::Does::stop, id});
  }
  for (const PumpId id : set.pumps_lost) {
    if (std::find(set.pumps_stopped.begin(), set.pumps_stopped.end(), id) !=
        set.pumps_stopped.end()) {
      continue;
    }
    lines
        .add(Does::stop_pump, "stop pump " + named(part(pumps, id).name) + " and pull its plug",
             "once the valves are shut no water comes to it, and it would run dry")
        .actions.push_back({Action::Does::stop, id});
  }
}

// A cut-out whose float hangs in a tank that is emptied.
void tell_of_cut_outs(const Array& array, const IsolateStudy& study, Lines& lines) {
  const ValveSet& set = study.cut.best();
  for (const PumpId id : set.pumps_supplied) {
    const Pump& pump = part(array.pumps(), id);
    if (!pump.stops_below) continue;
    for (const TankId tank : study.tanks) {
      if (tank != pump.stops_below->tank) continue;
      lines.add(Does::stop_pump, "reckon with pump " + named(pump.name) + " standing still",
                "its low-level stop hangs in " + named(name_in(array, tank)) +
                    "; never bridge it, for then nothing guards the pump");
    }
  }
}

void give_air(const Array& array, const IsolateStudy& study, Lines& lines) {
  for (const TankId id : study.tanks) {
    if (part(array.tanks(), id).lid.kind == Lid::Kind::open) continue;
    lines
        .add(Does::open_lid,
             "take the lid off " + named(name_in(array, id)) +
                 "; if it is held down, let air in slowly first",
             "")
        .of = id;
  }
  for (const AirLineAcross& across : study.cut.air_lines) {
    const AirLine& line = part(array.parts().air_lines, across.line);
    if (across.only_air) {
      lines.add(Does::air_line, "leave air line " + named(line.name) + " open",
                named(name_in(array, across.stays)) +
                    " has no other air than through it, from under the open lid of " +
                    named(name_in(array, across.out)));
    } else if (line.open) {
      lines
          .add(Does::air_line, "shut air line " + named(line.name) + ", or take it off",
               "dust and fumes of the cleaning would go over to " +
                   named(name_in(array, across.stays)) + ", which has other air")
          .actions.push_back({Action::Does::close, across.line});
    }
  }
}

// The valves that cost nobody anything first, judged one after the other.
std::vector<HoseId> in_order(const Array& array, const ValveSet& set, const OpenHoses& open) {
  std::vector<HoseId> left = set.shut;
  std::vector<HoseId> order;
  while (!left.empty()) {
    std::size_t best = 0;
    std::size_t least = 0;
    for (std::size_t i = 0; i < left.size(); ++i) {
      std::vector<HoseId> shut = order;
      shut.push_back(left[i]);
      const CutOff cut = cut_off_by(array, open, shut);
      const std::size_t loses = cut.outlets.size() + cut.pumps.size();
      if (i == 0 || loses < least) {
        best = i;
        least = loses;
      }
    }
    order.push_back(left[best]);
    left.erase(left.begin() + static_cast<std::ptrdiff_t>(best));
  }
  return order;
}

void shut_valves(const Array& array, const IsolateStudy& study, const Between& now, Lines& lines) {
  const ValveSet& set = study.cut.best();
  for (const Place& place : set.goes_along) {
    const auto* id = std::get_if<OutletId>(&place);
    if (id == nullptr) continue;
    lines
        .add(Does::shut_outlet,
             "shut " + named(part(array.outlets(), *id).name) + " and leave it shut",
             "it hangs on " + tanks_named(array, study.tanks) + " and is emptied along with it")
        .actions.push_back({Action::Does::close, *id});
  }
  for (const HoseId id : study.cut.stay_off) {
    const Hose& hose = part(array.hoses(), id);
    lines.add(Does::leave_shut, "see that hose " + named(hose.name) + " is off and stays off",
              "it has no valve; put back, it would join " +
                  named(name_of(array.parts(), hose.from.place)) + " and " +
                  named(name_of(array.parts(), hose.to.place)));
  }
  for (const HoseId id : in_order(array, set, now.hose_open)) {
    const Hose& hose = part(array.hoses(), id);
    const std::string beyond = named(far_side_of(array, study.cut, set, id));
    if (now.hose_open[id.index]) {
      lines
          .add(Does::shut_valve, "shut " + with_hose(hose) + ", and hang a tag on it",
               "beyond it is " + beyond)
          .actions.push_back({Action::Does::close, id});
    } else {
      lines
          .add(Does::leave_shut, "see that " + with_hose(hose) + " is shut, and hang a tag on it",
               "it is shut already; anybody who opens it lets in water from " + beyond)
          .actions.push_back({Action::Does::close, id});
    }
  }
}

std::string drain_named(const Array& array, const TankDrains& drains) {
  return drains.point.outlet ? named(part(array.outlets(), *drains.point.outlet).name)
                             : "the drain of " + named(name_in(array, drains.point.tank));
}

std::string all_drains(const Array& array, const IsolateStudy& study) {
  std::vector<std::string> phrases;
  for (const TankDrains& drains : study.drains) phrases.push_back(drain_named(array, drains));
  return joined_up(phrases);
}

std::string about_drain(const Array& array, const TankDrains& drains) {
  const std::string tank = named(name_in(array, drains.point.tank));
  if (drains.point.outlet) {
    return named(part(array.outlets(), *drains.point.outlet).name) + " is the lowest mouth of " +
           tank;
  }
  return "a drain valve of " + in_mm(drains.point.bore_m) + " at the lowest mouth of " + tank +
         (drains.point.height_m < 0.005
              ? std::string(", at its bottom,")
              : ", " + in_mm(drains.point.height_m) + " above its bottom,") +
         " is assumed";
}

/// Neighbours whose lids are loosened, each once, in the order in which it is done.
std::vector<TankId> loosened_in(const IsolateStudy& study) {
  std::vector<TankId> tanks;
  for (const Refill& refill : study.refills) {
    for (const TankId id : refill.loosened) {
      if (std::find(tanks.begin(), tanks.end(), id) == tanks.end()) tanks.push_back(id);
    }
  }
  return tanks;
}

bool is_open_now(const IsolateStudy& study, const Between& then, HoseId id) {
  const auto& stay = study.cut.stay_off;
  return then.hose_open[id.index] && std::find(stay.begin(), stay.end(), id) == stay.end();
}

std::string gives(const Array& array, const Refill& refill) {
  std::vector<std::string> phrases;
  for (std::size_t i = 0; i < refill.lost_m3.size(); ++i) {
    if (refill.lost_m3[i] < 1e-3) continue;
    phrases.push_back(named(array.tanks()[i].name) + " gives " + in_litres(refill.lost_m3[i]));
  }
  return phrases.empty() ? std::string("its neighbours give nothing") : joined_up(phrases);
}

}  // namespace

std::vector<IsolateStep> steps_to_shut(const Array& array, const IsolateStudy& study,
                                       const Between& now) {
  Lines lines(study.starts_at_s);
  turn_inflows_away(array, study, lines);
  stop_pumps(array, study, lines);
  tell_of_cut_outs(array, study, lines);
  shut_valves(array, study, now, lines);
  give_air(array, study, lines);
  return lines.taken();
}

std::vector<IsolateStep> steps_to_empty(const Array& array, const IsolateStudy& study,
                                        double starts_at_s, double lower_s, double drain_s,
                                        double bail_s, double watched_surface_m2) {
  Lines lines(starts_at_s);
  const std::string tanks = tanks_named(array, study.tanks);
  if (lower_s > 0.0) {
    lines.add(Does::lower,
              "open " + all_drains(array, study) + " until the water has fallen by " +
                  in_mm(study.lowered_by_m) + ", about " + in_minutes(lower_s) +
                  ", then shut it and mark the level",
              "as long as it stands level with its neighbours, no leak shows", lower_s);
    const double moves_m = leaking_m3_per_s * watched_s / watched_surface_m2;
    std::string because = "a valve that lets " + in_litres_a_minute(leaking_m3_per_s) +
                          " by moves the level " + in_mm(moves_m) + " in that time";
    if (!study.cut.found.leaks.empty()) {
      std::vector<std::string> leaks;
      for (const LeakId id : study.cut.found.leaks) {
        leaks.push_back(part(array.parts().leaks, id).name);
      }
      because += "; " + listed(leaks) + " lowers it besides, so plug it first";
    }
    lines.add(Does::watch,
              "wait " + in_minutes(watched_s) +
                  " and look at the mark; if the level moved more than " +
                  in_mm(std::max(0.002, moved_too_far * moves_m)) +
                  ", a valve leaks: find it before you go on",
              because, watched_s);
  }
  if (drain_s > 0.0) {
    std::vector<std::string> reasons;
    double runs_m3 = 0.0;
    for (const TankDrains& drains : study.drains) {
      reasons.push_back(about_drain(array, drains));
      runs_m3 += std::max(0.0, drains.from_m3 - drains.point.left_m3);
    }
    std::string because;
    for (const std::string& reason : reasons) because += (because.empty() ? "" : "; ") + reason;
    lines.add(Does::drain,
              "open " + all_drains(array, study) + ": of " + in_litres(runs_m3) +
                  " in all, the rest runs out in " + in_minutes(drain_s) +
                  "; lead it where nobody has to stand in it",
              because, drain_s);
  }
  if (bail_s > 0.0) {
    std::string say;
    double highest_m = 0.0;
    for (const TankDrains& drains : study.drains) {
      if (drains.point.left_m3 < 5e-4) continue;
      say += (say.empty() ? "get the last " : ", and ") + in_litres(drains.point.left_m3) + ", " +
             in_kilograms(drains.point.left_kg) + ", out of " +
             named(name_in(array, drains.point.tank));
      highest_m = std::max(highest_m, drains.point.height_m);
    }
    lines.add(Does::bail, say + " from outside, with a siphon hose, a wet vacuum or a bucket",
              "it stands below the drain, up to " + in_mm(highest_m) +
                  " above the bottom; never tip a tank that holds water",
              bail_s);
  }
  return lines.taken();
}

std::vector<IsolateStep> steps_to_refill(const Array& array, const IsolateStudy& study,
                                         const IsolateOptions& options) {
  Lines lines(study.empty_from_s);
  lines.add(Does::clean,
            "scrub " + tanks_named(array, study.tanks) +
                " from outside, with a long brush and a hose; head and shoulders stay out of it",
            in_minutes(options.work_s) + " of work is assumed", options.work_s);
  lines.add(Does::shut_drain, "see that " + all_drains(array, study) + " is shut",
            "it stays open for the rinsing, and must not when water comes back");
  for (const TankId id : loosened_in(study)) {
    lines.add(Does::loosen_lid, "loosen the lid of " + named(name_in(array, id)) + ", slowly",
              "water moves by it when the valve is opened, and its lid (" +
                  in_words(part(array.tanks(), id).lid) + ") lets too little air through");
  }
  const Parts& parts = array.parts();
  const Inflows& inflows = study.cut.found.inflows;
  std::vector<std::string> back;
  for (const RoofId id : inflows.roofs) {
    back.push_back("the downpipe of " + named(part(parts.roofs, id).name));
  }
  for (const TankId id : inflows.overflows) {
    back.push_back("the overflow of " + named(part(parts.tanks, id).name));
  }
  for (const TopUpId id : inflows.top_ups) {
    back.push_back("top-up " + named(part(parts.top_ups, id).name));
  }
  for (const std::string& each : back) {
    lines.add(Does::give_back, "put " + each + " back as it was", "what it brings is needed again");
  }
  for (const Refill& refill : study.refills) {
    const std::string tanks = tanks_named(array, refill.tanks);
    if (!refill.first) {
      lines.add(Does::open_slowly, "let " + tanks + " fill by what runs into it",
                "no hose to it stands open in the plan at this time", 0.0);
      continue;
    }
    const Hose& hose = part(array.hoses(), *refill.first);
    const std::string fills = refill.level_after_s >= longest_refill_s
                                  ? "it is not level after " + in_minutes(longest_refill_s)
                                  : "it is level after " + in_minutes(refill.level_after_s);
    const std::string how =
        refill.held_back ? "open " + with_hose(hose) + " no further than that about " +
                               in_litres_a_minute(refill.first_m3_per_s) + " run"
                         : "open " + with_hose(hose) + " slowly, over a minute" +
                               (&refill == &study.refills.front() ? ", before any other" : "");
    std::string because = "";
    if (refill.held_back) {
      because = "wide open, " + in_litres_a_minute(refill.full_m3_per_s) +
                " would strain the closed lids of its neighbours; ";
    } else if (refill.first_m3_per_s > 0.0) {
      because = "wide open, " + in_litres_a_minute(refill.first_m3_per_s) + " run at first; ";
    }
    because +=
        refill.comes_to_m3 < 1e-3
            ? std::string("its neighbours stand too low to give anything now")
            : fills + " with " + in_litres(refill.comes_to_m3) + " in it; " + gives(array, refill);
    lines.add(Does::open_slowly, how, because)
        .actions.push_back({Action::Does::open, *refill.first});
  }
  return lines.taken();
}

std::vector<IsolateStep> steps_back(const Array& array, const IsolateStudy& study,
                                    double starts_at_s, const Between& then) {
  Lines lines(starts_at_s);
  const ValveSet& set = study.cut.best();
  const auto opened = [&](HoseId id) {
    return std::any_of(study.refills.begin(), study.refills.end(),
                       [&](const Refill& refill) { return refill.first && *refill.first == id; });
  };
  for (const Refill& refill : study.refills) {
    if (!refill.first || !refill.held_back) continue;
    lines.add(Does::open_rest,
              "open " + with_hose(part(array.hoses(), *refill.first)) + " all the way",
              "the levels have come together, so that nothing is pulled");
  }
  for (const HoseId id : set.shut) {
    if (opened(id)) continue;
    const Hose& hose = part(array.hoses(), id);
    if (is_open_now(study, then, id)) {
      lines.add(Does::open_rest, "open " + with_hose(hose) + " slowly", "as in the plan");
    } else {
      lines.add(Does::open_rest, "leave " + with_hose(hose) + " shut, and take its tag off",
                "the plan has it shut at this time");
    }
  }
  for (const AirLineAcross& across : study.cut.air_lines) {
    const AirLine& line = part(array.parts().air_lines, across.line);
    if (across.only_air || !line.open) continue;
    lines.add(Does::put_back, "open air line " + named(line.name) + " again", "as in the plan");
  }
  for (const TankId id : study.tanks) {
    const Tank& tank = part(array.tanks(), id);
    if (tank.lid.kind == Lid::Kind::open) continue;
    lines.add(Does::put_back, "put the lid back on " + named(tank.name) + " and fasten it",
              "children and animals; last of all, when nothing pulls any more");
  }
  for (const TankId id : loosened_in(study)) {
    lines.add(Does::put_back, "fasten the lid of " + named(name_in(array, id)) + " again",
              "nothing pulls on it any more");
  }
  std::vector<std::string> pumps;
  for (const auto* list : {&set.pumps_stopped, &set.pumps_lost}) {
    for (const PumpId id : *list) {
      const std::string& name = part(array.pumps(), id).name;
      if (std::find(pumps.begin(), pumps.end(), name) == pumps.end()) pumps.push_back(name);
    }
  }
  for (const std::string& pump : pumps) {
    lines.add(Does::put_back,
              "put pump " + named(pump) + " back as it was, and fill and vent it before it runs",
              "its suction may hold air");
  }
  for (const HoseId id : set.shut) {
    const Hose& hose = part(array.hoses(), id);
    if (!hose.crest_m || !then.crest_full[id.index]) continue;
    lines.add(Does::put_back, "let the air out of the hump of hose " + named(hose.name),
              "it may have let air in while one end was empty");
  }
  const bool taps =
      std::any_of(set.goes_along.begin(), set.goes_along.end(),
                  [](const Place& place) { return std::holds_alternative<OutletId>(place); });
  lines.add(
      Does::put_back,
      std::string("take the tags off") + (taps ? ", and let the taps that were shut be used" : ""),
      "the day goes on as planned");
  return lines.taken();
}

void tell_why_lids_are_opened(const Array& array, IsolateStudy& study) {
  for (IsolateStep& step : study.steps) {
    if (step.does != Does::open_lid) continue;
    for (const TankDrains& drains : study.drains) {
      if (*step.of != drains.point.tank) continue;
      if (drains.as_it_is_folds_s) {
        step.because = "with its lid on (" + in_words(part(array.tanks(), drains.point.tank).lid) +
                       ") draining would suck it in after " + in_moments(*drains.as_it_is_folds_s);
      } else if (!drains.as_it_is_s && drains.from_m3 > drains.point.left_m3 + 1e-3) {
        step.because = "with its lid on it would not drain";
      } else {
        step.because = "air comes in freely; with its lid on the air under it would come to " +
                       in_pascals(drains.as_it_is_lowest_pa) +
                       " below that outside, and it may "
                       "bear " +
                       in_pascals(drains.vacuum.pa);
      }
    }
  }
}

}  // namespace tankyard
