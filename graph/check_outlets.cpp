// SPDX-License-Identifier: MIT
#include <cstddef>
#include <string>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

// Who leads to an outlet, in the order of the plan: its own `at`, hoses, pumps.
using WaysTo = std::vector<std::vector<PartField>>;

WaysTo ways_to_outlets(const Parts& parts) {
  WaysTo ways(parts.outlets.size());
  const auto note = [&](Place place, const char* kind, std::size_t index) {
    const auto* id = std::get_if<OutletId>(&place);
    if (id && id->index < ways.size()) ways[id->index].push_back({kind, index, "to"});
  };
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) note(parts.hoses[i].to.place, "hose", i);
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) note(parts.pumps[i].to, "pump", i);
  return ways;
}

// An outlet either sits on a place or stands at the end of what leads to it; several hoses may.
void check_way(const Checked& checked, const Parts& parts, const Outlet& outlet,
               const std::vector<PartField>& ways, Complaints& complaints) {
  const auto called_way = [&](const PartField& way) {
    const std::string& name =
        way.kind == "hose" ? parts.hoses[way.index].name : parts.pumps[way.index].name;
    return Checked{way.kind.c_str(), way.index, name}.called();
  };
  if (!outlet.at && ways.empty()) {
    complaints.add(checked.at(""), "nothing leads to " + checked.called(),
                   "give it `at`, or name it as the `to` of a hose or pump");
  } else if (outlet.at && !ways.empty()) {
    complaints.add(checked.at("at"),
                   checked.called() + " sits straight on a place and is also the end of " +
                       called_way(ways[0]),
                   "leave out `at`, or let the hose end elsewhere", ways[0]);
  }
}

void check_outlet(const Parts& parts, const SoundTanks& sound, std::size_t index,
                  const std::vector<PartField>& ways, Complaints& complaints) {
  const Outlet& outlet = parts.outlets[index];
  const Checked checked{"outlet", index, outlet.name};
  check_way(checked, parts, outlet, ways, complaints);
  bool bore = true;
  if (outlet.bore_m && outlet.draw_m3_per_s) {
    complaints.add(checked.at("draw"), checked.called() + " has both a bore and a draw",
                   "keep the bore of a nozzle or tap, or the fixed draw");
  } else if (outlet.bore_m) {
    bore = complaints.within(checked, "bore", "bore", *outlet.bore_m, any_bore);
  } else if (outlet.draw_m3_per_s) {
    complaints.within(checked, "draw", "draw", *outlet.draw_m3_per_s, any_flow);
  } else {
    complaints.add(checked.at(""), checked.called() + " has neither a bore nor a draw",
                   "give the bore of its nozzle or tap, or a fixed draw such as \"900 L/h\"");
  }
  complaints.within(checked, "coefficient", "coefficient", outlet.coefficient, any_part);
  check_position(checked, outlet.position, complaints);
  if (outlet.height_m) {
    complaints.within(checked, "height", "height", *outlet.height_m, any_level);
  }
  if (!outlet.at) {
    if (!outlet.height_m && !ways.empty()) {
      complaints.add(checked.at("height"), checked.called() + " has no height",
                     "an outlet at the end of a hose or pump needs the height of its mouth above "
                     "the datum");
    }
    return;
  }
  const Place place = outlet.at->place;
  if (!exists(parts, place) || std::holds_alternative<OutletId>(place)) {
    complaints.add(checked.at("at"), checked.called() + " sits on no tank or header of the plan",
                   "name a tank or a header");
    return;
  }
  if (const auto* id = std::get_if<TankId>(&place);
      id && bore && outlet.bore_m && sound[id->index].shape) {
    bore = check_bore_fits(checked, "bore", *outlet.bore_m, part(parts.tanks, *id), id->index,
                           complaints);
  }
  const double bore_m = bore ? outlet.bore_m.value_or(0.0) : 0.0;
  check_hose_mouth(checked, parts, sound, *outlet.at, "at", bore_m, complaints);
}

}  // namespace

void check_outlets(const Parts& parts, const SoundTanks& sound, Complaints& complaints) {
  const WaysTo ways = ways_to_outlets(parts);
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    check_outlet(parts, sound, i, ways[i], complaints);
  }
}

}  // namespace tankyard
