// SPDX-License-Identifier: MIT
#include "solver/lid_words.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

#include "solver/drills.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double worth_saying_m3_per_s = 1e-7;  // 6 mL/min
constexpr double screen_leaves = 0.5;           // common practice, no source

bool is_at(const Place& place, TankId tank) {
  const auto* id = std::get_if<TankId>(&place);
  return id && *id == tank;
}

Place place_of(const Parts& parts, std::size_t outlet) {
  const Outlet& it = parts.outlets[outlet];
  return it.at ? it.at->place : Place(id_at<OutletId>(outlet));
}

/// Which parts of a kind the day sheet has open or running at a moment. `on`: which were at first.
template <class Id>
std::vector<bool> on_at(const DaySheet& sheet, double at_s, std::vector<bool> on) {
  for (const TimedStep& step : sheet.steps) {
    if (step.at_s > at_s) break;
    for (const Action& action : step.actions) {
      if (const auto* id = std::get_if<Id>(&action.part)) {
        on[id->index] = action.does == Action::Does::open || action.does == Action::Does::start;
      }
    }
  }
  return on;
}

/// Outlets that stand open at a moment and share water with the tank, in plan order.
std::vector<std::size_t> drawing_outlets(const Array& array, const DaySheet& sheet, TankId tank,
                                         double at_s) {
  const Parts& parts = array.parts();
  const std::vector<std::size_t> group = groups_in_row(parts, open_at(array, sheet, at_s));
  const Row row(parts);
  std::vector<bool> open;
  for (const Outlet& outlet : parts.outlets) open.push_back(outlet.open);
  open = on_at<OutletId>(sheet, at_s, std::move(open));
  std::vector<std::size_t> drawing;
  for (std::size_t i = 0; i < open.size(); ++i) {
    if (open[i] && group[row.of(place_of(parts, i))] == group[row.of(tank)]) drawing.push_back(i);
  }
  return drawing;
}

/// Pumps that are switched on at a moment and draw on water that the tank shares, in plan order. A
/// pump with a switch of its own may stand all the same.
std::vector<std::size_t> drawing_pumps(const Array& array, const DaySheet& sheet, TankId tank,
                                       double at_s) {
  const Parts& parts = array.parts();
  std::vector<bool> on;
  for (const Pump& pump : parts.pumps) on.push_back(pump.running);
  on = on_at<PumpId>(sheet, at_s, std::move(on));
  const std::vector<std::size_t> group = groups_in_row(parts, open_at(array, sheet, at_s));
  const Row row(parts);
  std::vector<std::size_t> drawing;
  for (std::size_t i = 0; i < on.size(); ++i) {
    if (on[i] && group[row.of(parts.pumps[i].from)] == group[row.of(tank)]) drawing.push_back(i);
  }
  return drawing;
}

double rain_at(const DaySheet& sheet, double at_s) {
  double rain_m_per_s = 0.0;
  for (const TimedStep& step : sheet.steps) {
    if (step.at_s > at_s) break;
    if (step.rain_m_per_s) rain_m_per_s = *step.rain_m_per_s;
  }
  return rain_m_per_s;
}

/// Whether something that events begin and end was under way at a moment.
bool under_way(const RunRecord& record, Event::Kind begins, Event::Kind ends, std::size_t part,
               double at_s) {
  bool on = false;
  for (const Event& event : record.events) {
    if (event.at_s > at_s) break;
    if (event.part != part) continue;
    if (event.kind == begins) on = true;
    if (event.kind == ends) on = false;
  }
  return on;
}

bool has_swing(const Parts& parts, TankId tank) {
  return part(parts.tanks, tank).air_swing_k.value_or(parts.site.air_swing_k) > 0.0;
}

std::string hole_words(const Lid& lid) {
  return lid.count == 1 ? "hole of " + in_drill(lid.hole_m)
                        : std::to_string(lid.count) + " holes of " + in_drill(lid.hole_m);
}

}  // namespace

std::string in_pascals(double pa) {
  const double size = std::fabs(pa);
  char text[64];
  if (size < 999.5) {
    std::snprintf(text, sizeof text, "%.0f Pa", size);
  } else {
    std::snprintf(text, sizeof text, size < 9995.0 ? "%.2f kPa" : "%.1f kPa", size / 1000.0);
  }
  return text;
}

std::string in_drill(double bore_m) {
  const double tenths = std::round(bore_m * mm_per_m * 10.0);
  char text[64];
  std::snprintf(text, sizeof text, std::fmod(tenths, 10.0) == 0.0 ? "%.0f mm" : "%.1f mm",
                tenths / 10.0);
  return text;
}

std::string in_moments(double s) {
  if (s < 0.95) return "less than a second";
  if (s >= 9.95) return in_minutes(s);
  char text[64];
  std::snprintf(text, sizeof text, "%.1f s", s);
  return text;
}

std::string in_words(const Lid& lid) {
  if (lid.kind == Lid::Kind::open) return "open";
  if (lid.kind == Lid::Kind::sealed) return "sealed";
  std::string text = (lid.count == 1 ? "a " : "") + hole_words(lid);
  if (lid.screen < 1.0) {
    char share[64];
    std::snprintf(share, sizeof share, " under a screen that leaves %.0f %% of it",
                  lid.screen * 100.0);
    text += share;
  }
  return text;
}

std::string in_place_of(const Lid& lid) {
  if (lid.kind != Lid::Kind::holed) return "in its " + in_words(lid) + " lid";
  return "in its lid in place of its " + hole_words(lid);
}

std::string about_screen(const Lid& lid, double bore_m) {
  char text[160];
  if (lid.kind == Lid::Kind::holed && lid.screen < 1.0) {
    std::snprintf(text, sizeof text, "its screen, which leaves %.0f %% of the hole, is counted in",
                  lid.screen * 100.0);
    return text;
  }
  const std::optional<double> screened = next_drill_m(bore_m / std::sqrt(screen_leaves));
  return "under an insect screen, which takes half of it, " +
         (screened ? in_drill(*screened) : std::string("two such holes"));
}

std::string what_pulled(const Array& array, TankId tank, const ShellMoment& moment) {
  const Parts& parts = array.parts();
  std::vector<std::string> phrases;
  for (std::size_t i = 0; i < moment.outlet_m3_per_s.size(); ++i) {
    if (moment.outlet_m3_per_s[i] > worth_saying_m3_per_s) {
      phrases.push_back(named(parts.outlets[i].name) + " drew " +
                        in_litres_a_minute(moment.outlet_m3_per_s[i]));
    }
  }
  for (std::size_t i = 0; i < moment.pump_m3_per_s.size(); ++i) {
    if (moment.pump_m3_per_s[i] > worth_saying_m3_per_s) {
      const std::string flow = in_litres_a_minute(moment.pump_m3_per_s[i]);
      const bool ran = i >= moment.pump_ran.size() || moment.pump_ran[i];
      std::string phrase = ran ? "pump " : flow + " ran on through pump ";
      phrase += named(parts.pumps[i].name);
      phrase += ran ? " drew " + flow : ", which stood";
      phrases.push_back(std::move(phrase));
    }
  }
  for (std::size_t i = 0; i < moment.leak_m3_per_s.size(); ++i) {
    if (moment.leak_m3_per_s[i] > worth_saying_m3_per_s) {
      phrases.push_back(named(parts.leaks[i].name) + " leaked " +
                        in_litres_a_minute(moment.leak_m3_per_s[i]));
    }
  }
  if (!phrases.empty()) return "while " + joined_up(phrases);
  if (moment.out_m3_per_s > worth_saying_m3_per_s || !has_swing(parts, tank)) {
    return "while water ran from it into the tanks that it is joined to";
  }
  return "while the air under its lid cooled and nothing drew";
}

std::string what_was_open(const Array& array, const DaySheet& sheet, TankId tank, double at_s) {
  std::vector<std::string> names;
  for (const std::size_t i : drawing_outlets(array, sheet, tank, at_s)) {
    names.push_back(array.outlets()[i].name);
  }
  std::vector<std::string> pumps;
  for (const std::size_t i : drawing_pumps(array, sheet, tank, at_s)) {
    const Pump& pump = array.parts().pumps[i];
    const bool may_stand = pump.stops_below || pump.pressure_switch || pump.runs_at_most_s;
    pumps.push_back(named(pump.name) + (may_stand ? " was switched on" : " drew"));
  }
  const std::string drew = pumps.empty() ? "" : joined_up(pumps);
  if (!names.empty()) {
    return "while " + listed(names) + " stood open" + (drew.empty() ? "" : " and " + drew);
  }
  if (!drew.empty()) return "while " + drew;
  return array.parts().pumps.empty() ? "while no outlet stood open"
                                     : "while no outlet stood open and no pump drew";
}

std::string pulled_through(const Array& array, const DaySheet& sheet, TankId tank, double at_s) {
  const Parts& parts = array.parts();
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at && is_at(outlet.at->place, tank)) return {};
  }
  for (const Pump& pump : parts.pumps) {
    if (is_at(pump.from, tank)) return {};
  }
  for (const Leak& leak : parts.leaks) {
    if (leak.tank == tank) return {};
  }
  const OpenHoses open = open_at(array, sheet, at_s);
  const WaysFrom ways(parts, tank, 0.0, [&](double so_far, const Leg& leg) {
    return open[leg.hose.index] ? so_far + 1.0 : std::numeric_limits<double>::infinity();
  });
  std::vector<Place> drawers;
  for (const std::size_t i : drawing_outlets(array, sheet, tank, at_s)) {
    drawers.push_back(place_of(parts, i));
  }
  for (const std::size_t i : drawing_pumps(array, sheet, tank, at_s)) {
    drawers.push_back(parts.pumps[i].from);
  }
  for (const Leak& leak : parts.leaks) drawers.emplace_back(leak.tank);
  std::optional<Place> nearest;
  for (const Place& place : drawers) {
    if (!ways.reaches(place)) continue;
    if (!nearest || ways.cost_of(place) < ways.cost_of(*nearest)) nearest = place;
  }
  if (!nearest) return {};
  const std::vector<Leg> way = ways.way_to(*nearest);
  // A hose of its own that ends in the outlet is no way through the array.
  if (way.empty() || (way.size() == 1 && std::holds_alternative<OutletId>(*nearest))) return {};
  std::vector<std::string> hoses;
  hoses.reserve(way.size());
  for (const Leg& leg : way) hoses.push_back(part(parts.hoses, leg.hose).name);
  return "no outlet, pump or leak is at " + named(part(parts.tanks, tank).name) +
         " itself: it is pulled through " + listed(hoses);
}

std::string what_pushed(const Array& array, const DaySheet& sheet, const RunRecord& record,
                        TankId tank, double at_s) {
  const Parts& parts = array.parts();
  std::vector<std::string> phrases;
  if (rain_at(sheet, at_s) > 0.0) {
    for (const Roof& roof : parts.roofs) {
      if (roof.into == tank) phrases.push_back("rain came in from roof " + named(roof.name));
    }
  }
  for (std::size_t i = 0; i < parts.top_ups.size(); ++i) {
    const bool on = parts.top_ups[i].into == tank && under_way(record, Event::Kind::top_up_starts,
                                                               Event::Kind::top_up_stops, i, at_s);
    if (on) phrases.push_back("top-up " + named(parts.top_ups[i].name) + " let water in");
  }
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const std::optional<Overflow>& overflow = parts.tanks[i].overflow;
    const bool on =
        overflow && overflow->to && *overflow->to == tank &&
        under_way(record, Event::Kind::overflow_starts, Event::Kind::overflow_ends, i, at_s);
    if (on) phrases.push_back(named(parts.tanks[i].name) + " ran over into it");
  }
  if (!phrases.empty()) return "while " + joined_up(phrases);
  // A swing is no cause where water comes in.
  const std::optional<ShellMoment>& bulges = record.tanks[tank.index].headspace.bulges;
  const bool fills = bulges && -bulges->out_m3_per_s > worth_saying_m3_per_s;
  if (has_swing(parts, tank) && !fills) return "while the air under its lid grew warm";
  return "while water ran into it from the tanks that it is joined to";
}

}  // namespace tankyard
