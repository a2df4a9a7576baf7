// SPDX-License-Identifier: MIT
#include "solver/studies/isolate_cut.h"

#include <algorithm>
#include <cstddef>
#include <utility>

#include "solver/who_meets.h"

namespace tankyard {
namespace {

// Per hose: without a valve, off when work begins, and put on by no step of the day.
std::vector<bool> off_all_day(const Array& array, const DaySheet& sheet) {
  std::vector<bool> off;
  for (const Hose& hose : array.hoses()) off.push_back(!hose.valve && !hose.open);
  for (const TimedStep& step : sheet.steps) {
    for (const Action& action : step.actions) {
      const auto* hose = std::get_if<HoseId>(&action.part);
      if (hose != nullptr && action.does == Action::Does::open) off[hose->index] = false;
    }
  }
  return off;
}

// Tanks whose headspace meets the outside through their own lid or along air lines that lead past
// no tank that is taken out.
std::vector<bool> has_air(const Array& array, const std::vector<bool>& out) {
  const Parts& parts = array.parts();
  std::vector<bool> air;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    air.push_back(!out[i] && parts.tanks[i].lid.kind != Lid::Kind::sealed);
  }
  for (bool changed = true; changed;) {
    changed = false;
    for (const AirLine& line : parts.air_lines) {
      const std::size_t a = line.from.index;
      const std::size_t b = line.to.index;
      if (!line.open || out[a] || out[b] || air[a] == air[b]) continue;
      air[a] = air[b] = true;
      changed = true;
    }
  }
  return air;
}

std::vector<AirLineAcross> air_lines_across(const Array& array, const std::vector<bool>& out) {
  const std::vector<bool> air = has_air(array, out);
  std::vector<AirLineAcross> across;
  const auto& lines = array.parts().air_lines;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const bool from_out = out[lines[i].from.index];
    if (from_out == out[lines[i].to.index]) continue;
    AirLineAcross each;
    each.line = id_at<AirLineId>(i);
    each.out = from_out ? lines[i].from : lines[i].to;
    each.stays = from_out ? lines[i].to : lines[i].from;
    each.only_air = lines[i].open && !air[each.stays.index];
    across.push_back(each);
  }
  return across;
}

bool inside(const Isolation& found, const ValveSet& set, Place place) {
  if (const auto* tank = std::get_if<TankId>(&place)) {
    return std::find(found.tanks.begin(), found.tanks.end(), *tank) != found.tanks.end();
  }
  return std::find(set.goes_along.begin(), set.goes_along.end(), place) != set.goes_along.end();
}

}  // namespace

std::vector<bool> taken_out(const Array& array, const std::vector<TankId>& tanks) {
  std::vector<bool> out(array.tanks().size(), false);
  for (const TankId tank : tanks) out[tank.index] = true;
  return out;
}

const std::string& handle_of(const Hose& hose) { return hose.valve ? hose.valve->name : hose.name; }

const std::string& far_side_of(const Array& array, const IsolateCut& cut, const ValveSet& set,
                               HoseId hose) {
  const Hose& it = part(array.hoses(), hose);
  return name_of(array.parts(),
                 inside(cut.found, set, it.from.place) ? it.to.place : it.from.place);
}

IsolateCut isolate_cut(const Array& array, const std::vector<TankId>& tanks,
                       const DaySheet& sheet) {
  IsolateCut cut;
  cut.found = isolating_valves(array, array.open_at_start(), tanks);
  if (!cut.possible()) {
    Isolation stopped =
        isolating_valves(array, array.open_at_start(), tanks, {true, false, 100, {}});
    if (!stopped.smallest.empty()) cut.found = std::move(stopped);
  }
  if (!cut.possible()) {
    // All others may be opened by anybody.
    const std::vector<bool> off_hoses = off_all_day(array, sheet);
    OpenHoses open;
    for (const bool off_here : off_hoses) open.push_back(!off_here);
    for (const bool pumps_count : {true, false}) {
      Isolation off = isolating_valves(array, open, tanks, {false, pumps_count, 100, {}});
      if (off.smallest.empty()) continue;
      cut.found = std::move(off);
      break;
    }
    for (std::size_t i = 0; cut.possible() && i < array.hoses().size(); ++i) {
      const Hose& hose = array.hoses()[i];
      if (!off_hoses[i]) continue;
      if (inside(cut.found, cut.best(), hose.from.place) !=
          inside(cut.found, cut.best(), hose.to.place)) {
        cut.stay_off.push_back(id_at<HoseId>(i));
      }
    }
  }
  cut.pumps_stopped = cut.possible() && !cut.best().pumps_stopped.empty();
  cut.air_lines = air_lines_across(array, taken_out(array, tanks));
  return cut;
}

}  // namespace tankyard
