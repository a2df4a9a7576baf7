// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <set>
#include <string>

#include "solver/find_each.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

// Why water stands above an outlet and does not come. Each way from a tank to the outlet has sills:
// the heights that water has to stand above to pass, which are the mouths of its hoses, crests and
// headers that hold air, and the outlet itself. The way that counts is the one whose highest sill
// is lowest. Water that stands no higher than that sill is kept by it; if it stands higher, the way
// is open and merely too thin.

namespace tankyard {
namespace {

constexpr double least_m3 = 1e-3;
constexpr double least_dry_s = 60.0;
constexpr double film_m = 0.010;  // the last centimetre over a mouth comes in drips
constexpr double no_passage = std::numeric_limits<double>::infinity();
constexpr double nowhere = -std::numeric_limits<double>::infinity();
constexpr std::size_t most_named = 4;
constexpr double worth_naming = 0.02;  // of all that is stranded

/// What keeps the water of one tank.
struct Keeper {
  enum class Is { shut, no_hose, one_way, holds_air, header_air, mouth, thin };
  Is is = Is::thin;
  std::optional<HoseId> hose;
  std::optional<HeaderId> header;
  std::vector<HoseId> shut;
  double sill_m = 0.0;
};

struct Kept {
  TankId tank;
  double above_m3 = 0.0;
  Keeper by;
};

struct Sill {
  double height_m = nowhere;
  Keeper keeper;

  void raise(double height, const Keeper& by) {
    if (height > height_m) height_m = height, keeper = by;
  }
};

/// The highest sill of a hose that water goes through from its far end to its near end.
Sill sill_of(const Parts& parts, const DryMoment& moment, const Leg& leg) {
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

/// Judges every tank against one outlet.
class Judge {
 public:
  Judge(const Parts& parts, OutletId outlet, const DryMoment& moment)
      : parts_(parts),
        moment_(moment),
        start_(part(parts.outlets, outlet).at ? part(parts.outlets, outlet).at->place
                                              : Place(outlet)),
        mouth_m_(mouth_m(parts, part(parts.outlets, outlet))),
        open_(parts, start_, mouth_m_,
              [this](double so_far, const Leg& leg) {
                // Searched from the outlet upstream: water runs from the leg's far end to its near
                // one.
                if (!moment_.hose_open[leg.hose.index] || against(leg)) return no_passage;
                return std::max(so_far, sill_of(parts_, moment_, leg).height_m);
              }),
        open_either_way_(parts, start_, 0.0,
                         [this](double so_far, const Leg& leg) {
                           if (!moment_.hose_open[leg.hose.index]) return no_passage;
                           return so_far + (against(leg) ? 1.0 : 0.0);
                         }),
        any_(parts, start_, 0.0, [this](double so_far, const Leg& leg) {
          return so_far + (moment_.hose_open[leg.hose.index] ? 0.0 : 1.0);
        }) {}

  Keeper keeper_of(TankId tank) const {
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

 private:
  bool against(const Leg& leg) const {
    return part(parts_.hoses, leg.hose).one_way && leg.forwards;
  }

  Keeper on_open_way(TankId tank) const {
    Sill highest;
    Keeper thinnest;
    for (const Leg& leg : open_.way_to(tank)) {
      const Sill sill = sill_of(parts_, moment_, leg);
      highest.raise(sill.height_m, sill.keeper);
      const bool thinner = !thinnest.hose || part(parts_.hoses, leg.hose).bore_m <
                                                 part(parts_.hoses, *thinnest.hose).bore_m;
      if (thinner) thinnest.hose = leg.hose;
    }
    if (!highest.keeper.hose) return thinnest;
    const double bore = part(parts_.hoses, *highest.keeper.hose).bore_m;
    if (moment_.level_m[tank.index] > highest.height_m + bore) return thinnest;
    highest.keeper.sill_m = highest.height_m;
    return highest.keeper;
  }

  const Parts& parts_;
  const DryMoment& moment_;
  Place start_;
  double mouth_m_;
  WaysFrom open_;             // cost: the highest sill
  WaysFrom open_either_way_;  // cost: non-return valves in the way
  WaysFrom any_;              // cost: hoses that are shut
};

std::string shut_names(const Parts& parts, const std::vector<HoseId>& shut) {
  std::vector<std::string> names;
  for (const HoseId id : shut) {
    const Hose& hose = part(parts.hoses, id);
    names.push_back(hose.valve ? hose.valve->name : hose.name);
  }
  std::sort(names.begin(), names.end());
  return listed(names);
}

std::string cause(const Parts& parts, const Keeper& keeper) {
  const std::string hose = keeper.hose ? named(part(parts.hoses, *keeper.hose).name) : "";
  switch (keeper.is) {
    case Keeper::Is::shut:
      return shut_names(parts, keeper.shut) + (keeper.shut.size() == 1 ? " is shut" : " are shut");
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
    case Keeper::Is::thin:
      break;
  }
  return hose.empty() ? "it comes too slowly" : hose + " is too thin to bring it in time";
}

std::string remedy(const Parts& parts, const Kept& kept) {
  const Keeper& keeper = kept.by;
  const std::string hose = keeper.hose ? named(part(parts.hoses, *keeper.hose).name) : "";
  const std::string tank = named(part(parts.tanks, kept.tank).name);
  switch (keeper.is) {
    case Keeper::Is::shut:
      return "open " + shut_names(parts, keeper.shut) + " before " + tank + " is needed";
    case Keeper::Is::no_hose:
      return "join " + tank + " to the tanks that feed it";
    case Keeper::Is::one_way:
      return "turn the non-return valve in " + hose + " round, or take it out";
    case Keeper::Is::holds_air:
      return "let the air out of the hump of " + hose + ", or lay it lower";
    case Keeper::Is::header_air:
      return "keep every mouth that joins " + named(part(parts.headers, *keeper.header).name) +
             " under water, or shut the valve of a tank before it runs empty, so that no air gets "
             "in; "
             "or lay it lower";
    case Keeper::Is::mouth:
      return "set the mouth of " + hose + " lower, or raise the stand of " + tank;
    case Keeper::Is::thin:
      break;
  }
  return hose.empty() ? "use a wider tap" : "fit a wider hose than " + hose;
}

std::vector<Kept> kept_from(const Parts& parts, OutletId id, const DryMoment& moment) {
  const Outlet& outlet = part(parts.outlets, id);
  const double counts_above = mouth_m(parts, outlet) + outlet.bore_m.value_or(0.0) + film_m;
  const Judge judge(parts, id, moment);
  std::vector<Kept> kept;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const double above = moment.stranded_per_tank_m3[i];
    if (above <= 0.0 || moment.level_m[i] <= counts_above) continue;
    kept.push_back({id_at<TankId>(i), above, judge.keeper_of(id_at<TankId>(i))});
  }
  // Where its own tanks hold water back, a tank that no hose joins to it is another matter.
  const auto apart = [](const Kept& each) { return each.by.is == Keeper::Is::no_hose; };
  if (!std::all_of(kept.begin(), kept.end(), apart)) {
    kept.erase(std::remove_if(kept.begin(), kept.end(), apart), kept.end());
  }
  std::sort(kept.begin(), kept.end(), [&](const Kept& a, const Kept& b) {
    if (a.above_m3 != b.above_m3) return a.above_m3 > b.above_m3;
    return part(parts.tanks, a.tank).name < part(parts.tanks, b.tank).name;
  });
  return kept;
}

/// Whether hoses, open or shut, could bring it water from any tank at all.
bool fed_by_hoses(const Parts& parts, OutletId id) {
  const std::vector<std::size_t> group = groups_in_row(parts, OpenHoses(parts.hoses.size(), true));
  return group[Row(parts).of(id)] < parts.tanks.size();
}

Finding finding_of(const Parts& parts, OutletId id, const OutletRecord& record,
                   const std::vector<Kept>& kept, double total_m3) {
  Finding finding;
  finding.kind = FindingKind::stranded_water;
  // Another yard's tank beside a dry tap is worth a word; one of its own tanks is worth a warning.
  const bool some_joined = std::any_of(
      kept.begin(), kept.end(), [](const Kept& each) { return each.by.is != Keeper::Is::no_hose; });
  finding.severity = some_joined ? Severity::warning : Severity::note;
  finding.where = part(parts.outlets, id).name;
  finding.at_s = record.first_dry_at_s;
  finding.value = total_m3 * litres_per_m3;
  finding.limit = least_m3 * litres_per_m3;
  finding.unit = "L";
  finding.says = named(finding.where) + " ran dry, for " + in_minutes(record.dry_s) +
                 " in all, while " + in_litres(total_m3) + " stood above its mouth: ";
  std::size_t told = 0;
  double told_m3 = 0.0;
  for (const Kept& each : kept) {
    if (told == most_named || (told > 0 && each.above_m3 < worth_naming * total_m3)) break;
    if (told > 0) finding.says += "; ";
    finding.says += in_litres(each.above_m3) + " in " + named(part(parts.tanks, each.tank).name) +
                    " (" + cause(parts, each.by) + ")";
    told_m3 += each.above_m3;
    ++told;
  }
  if (kept.size() > told) {
    finding.says += "; " + in_litres(total_m3 - told_m3) + " in " +
                    std::to_string(kept.size() - told) + " more";
  }
  // The remedies of the tanks named, each once, most litres first.
  std::set<std::string> said;
  for (std::size_t k = 0; k < told && said.size() < 2; ++k) {
    const std::string next = remedy(parts, kept[k]);
    if (!said.insert(next).second) continue;
    finding.do_this += (finding.do_this.empty() ? "" : "; ") + next;
  }
  return finding;
}

}  // namespace

std::vector<Finding> find_stranded_water(const Array& array, const RunRecord& record) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const OutletRecord& outlet = record.outlets[i];
    const auto id = id_at<OutletId>(i);
    if (!outlet.first_dry_at_s || !outlet.stranded_while || outlet.dry_s < least_dry_s) continue;
    if (!fed_by_hoses(parts, id)) continue;
    const std::vector<Kept> kept = kept_from(parts, id, *outlet.stranded_while);
    double total = 0.0;
    for (const Kept& each : kept) total += each.above_m3;
    if (total <= least_m3) continue;
    findings.push_back(finding_of(parts, id, outlet, kept, total));
  }
  return findings;
}

}  // namespace tankyard
