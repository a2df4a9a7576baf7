// SPDX-License-Identifier: MIT
#include "solver/what_keeps.h"

#include <algorithm>
#include <cmath>

#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double barred = std::numeric_limits<double>::infinity();
constexpr double nowhere = -std::numeric_limits<double>::infinity();
constexpr double apart_counts_m = 0.020;  // levels further apart tell which hose holds back

struct Sill {
  double height_m = nowhere;
  Keeper keeper;

  void raise(double height, const Keeper& by) {
    if (height > height_m) height_m = height, keeper = by;
  }
};

/// The highest sill of a hose that water goes through from its far end to its near end.
Sill sill_of(const Parts& parts, const YardMoment& moment, const Leg& leg) {
  Sill sill;
  const Hose& hose = part(parts.hoses, leg.hose);
  for (const HoseEnd* end : {&leg.near_end(parts), &leg.far_end(parts)}) {
    Keeper keeper;
    keeper.hose = leg.hose;
    if (std::holds_alternative<TankId>(end->place)) {
      keeper.is = Keeper::Is::mouth;
      sill.raise(mouth_m(parts, *end), keeper);
    } else if (const auto* header = std::get_if<HeaderId>(&end->place)) {
      if (moment.header_full[header->index]) continue;
      keeper.is = Keeper::Is::header_air;
      keeper.header = *header;
      sill.raise(part(parts.headers, *header).height_m, keeper);
    }
  }
  if (hose.crest_m && !moment.crest_full[leg.hose.index]) {
    Keeper keeper;
    keeper.is = Keeper::Is::holds_air;
    keeper.hose = leg.hose;
    sill.raise(*hose.crest_m, keeper);
  }
  return sill;
}

}  // namespace

WhatKeeps::WhatKeeps(const Parts& parts, Place place, double above_m, const YardMoment& moment,
                     Thin thin)
    : parts_(parts),
      moment_(moment),
      thin_(thin),
      open_(parts, place, above_m,
            [this](double so_far, const Leg& leg) {
              // Searched from the outlet upstream: water runs from the leg's far end to its near
              // one.
              if (!moment_.hose_open[leg.hose.index] || against(leg)) return barred;
              return std::max(so_far, sill_of(parts_, moment_, leg).height_m);
            }),
      open_either_way_(parts, place, 0.0,
                       [this](double so_far, const Leg& leg) {
                         if (!moment_.hose_open[leg.hose.index]) return barred;
                         return so_far + (against(leg) ? 1.0 : 0.0);
                       }),
      any_(parts, place, 0.0, [this](double so_far, const Leg& leg) {
        return so_far + (moment_.hose_open[leg.hose.index] ? 0.0 : 1.0);
      }) {}

bool WhatKeeps::against(const Leg& leg) const {
  return part(parts_.hoses, leg.hose).one_way && leg.forwards;
}

Keeper WhatKeeps::keeper_of(TankId tank) const {
  if (open_.reaches(tank)) return on_open_way(tank);
  Keeper keeper;
  if (open_either_way_.reaches(tank)) {
    keeper.is = Keeper::Is::one_way;
    for (const Leg& leg : open_either_way_.way_to(tank)) {
      if (against(leg)) keeper.hose = leg.hose;
    }
    return keeper;
  }
  keeper.is = any_.reaches(tank) ? Keeper::Is::shut : Keeper::Is::no_hose;
  for (const Leg& leg : any_.way_to(tank)) {
    if (!moment_.hose_open[leg.hose.index]) keeper.shut.push_back(leg.hose);
  }
  return keeper;
}

double WhatKeeps::apart_m(const Leg& leg) const {
  const auto level_m = [&](const HoseEnd& end) {
    const auto* tank = std::get_if<TankId>(&end.place);
    return tank ? std::max(moment_.level_m[tank->index], mouth_m(parts_, end)) : nowhere;
  };
  const double near_m = level_m(leg.near_end(parts_));
  const double far_m = level_m(leg.far_end(parts_));
  return near_m == nowhere || far_m == nowhere ? nowhere : far_m - near_m;
}

bool WhatKeeps::held_by_vacuum(TankId tank, double over_m) const {
  constexpr double most_of_it = 0.5;
  if (moment_.gas_m.empty()) return false;
  return -moment_.gas_m[tank.index] > most_of_it * (moment_.level_m[tank.index] - over_m);
}

Keeper WhatKeeps::on_open_way(TankId tank) const {
  Sill highest;
  Keeper thinnest;
  std::optional<HoseId> steepest;
  double most_apart_m = apart_counts_m;
  for (const Leg& leg : open_.way_to(tank)) {
    const Sill sill = sill_of(parts_, moment_, leg);
    highest.raise(sill.height_m, sill.keeper);
    const bool thinner = !thinnest.hose || part(parts_.hoses, leg.hose).bore_m <
                                               part(parts_.hoses, *thinnest.hose).bore_m;
    if (thinner) thinnest.hose = leg.hose;
    if (apart_m(leg) > most_apart_m) most_apart_m = apart_m(leg), steepest = leg.hose;
  }
  if (thin_ == Thin::by_levels && steepest) thinnest.hose = steepest;
  thinnest.sill_m = highest.height_m;
  if (!highest.keeper.hose) return thinnest;
  const double bore = part(parts_.hoses, *highest.keeper.hose).bore_m;
  if (moment_.level_m[tank.index] > highest.height_m + bore) {
    if (held_by_vacuum(tank, highest.height_m)) {
      thinnest.is = Keeper::Is::vacuum;
      thinnest.vacuum_m = -moment_.gas_m[tank.index];
    }
    return thinnest;
  }
  highest.keeper.sill_m = highest.height_m;
  return highest.keeper;
}

std::string names_of_shut(const Parts& parts, const Keeper& keeper) {
  std::vector<std::string> names;
  for (const HoseId id : keeper.shut) {
    const Hose& hose = part(parts.hoses, id);
    names.push_back(hose.valve ? hose.valve->name : hose.name);
  }
  std::sort(names.begin(), names.end());
  return listed(names);
}

std::string in_words(const Parts& parts, const Keeper& keeper) {
  const std::string hose = keeper.hose ? named(part(parts.hoses, *keeper.hose).name) : "";
  switch (keeper.is) {
    case Keeper::Is::shut:
      return names_of_shut(parts, keeper) + (keeper.shut.size() == 1 ? " is shut" : " are shut");
    case Keeper::Is::no_hose:
      return "no hose leads from there";
    case Keeper::Is::one_way:
      return "the non-return valve in " + hose + " lets water only the other way";
    case Keeper::Is::holds_air:
      return "the hump of " + hose + " at " + in_metres(keeper.sill_m) + " holds air";
    case Keeper::Is::header_air:
      return named(part(parts.headers, *keeper.header).name) + " at " + in_metres(keeper.sill_m) +
             " holds air";
    case Keeper::Is::mouth:
      return "it stands no higher than the mouth of " + hose + " at " + in_metres(keeper.sill_m);
    case Keeper::Is::vacuum:
      return "its lid lets too little air in: a vacuum of " + in_metres(keeper.vacuum_m) +
             " of water holds it back";
    case Keeper::Is::thin:
      break;
  }
  return hose.empty() ? "it comes too slowly" : hose + " is too thin to bring it in time";
}

}  // namespace tankyard
