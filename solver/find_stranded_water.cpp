// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <optional>
#include <set>
#include <string>
#include <utility>

#include "solver/find_each.h"
#include "solver/find_limits.h"
#include "solver/pump_stranded.h"
#include "solver/sentences.h"
#include "solver/what_keeps.h"

// Why water stands above an outlet and does not come (solver/what_keeps.h).

namespace tankyard {
namespace {

constexpr double film_m = 0.010;       // the last centimetre over a mouth comes in drips
constexpr double worth_naming = 0.02;  // of all that is stranded

struct Kept {
  TankId tank;
  double above_m3 = 0.0;
  Keeper by;
};

std::string remedy(const Parts& parts, const Kept& kept) {
  const Keeper& keeper = kept.by;
  const std::string hose = keeper.hose ? named(part(parts.hoses, *keeper.hose).name) : "";
  const std::string tank = named(part(parts.tanks, kept.tank).name);
  switch (keeper.is) {
    case Keeper::Is::shut:
      return "open " + names_of_shut(parts, keeper) + " before " + tank + " is needed";
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
    case Keeper::Is::vacuum:
      return "let air in under the lid of " + tank + ", by a hole as `tankyard vent` finds it";
    case Keeper::Is::thin:
      break;
  }
  return hose.empty() ? "use a wider tap" : "fit a wider hose than " + hose;
}

std::vector<Kept> kept_from(const Parts& parts, OutletId id, const DryMoment& moment) {
  const Outlet& outlet = part(parts.outlets, id);
  const double counts_above = mouth_m(parts, outlet) + outlet.bore_m.value_or(0.0) + film_m;
  const WhatKeeps judge(parts, outlet.at ? outlet.at->place : Place(id), mouth_m(parts, outlet),
                        moment, WhatKeeps::Thin::by_bore);
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
                    " (" + in_words(parts, each.by) + ")";
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

/// Of an outlet that only pumps can reach: the pump that feeds it drew air beside other water.
std::optional<Finding> by_pump(const Array& array, OutletId id, const RunRecord& record) {
  const Parts& parts = array.parts();
  for (std::size_t p = 0; p < parts.pumps.size(); ++p) {
    if (!(parts.pumps[p].to == Place(id)) || !record.pumps[p].air_drawn) continue;
    const PumpStranded stranded = stranded_by(array, id_at<PumpId>(p), *record.pumps[p].air_drawn);
    if (stranded.total_m3 <= least_m3) continue;
    const OutletRecord& outlet = record.outlets[id.index];
    Finding finding;
    finding.kind = FindingKind::stranded_water;
    finding.severity = Severity::warning;
    finding.where = part(parts.outlets, id).name;
    finding.at_s = outlet.first_dry_at_s;
    finding.value = stranded.total_m3 * litres_per_m3;
    finding.limit = least_m3 * litres_per_m3;
    finding.unit = "L";
    finding.says = named(finding.where) + " ran dry, for " + in_minutes(outlet.dry_s) +
                   " in all: " + named(parts.pumps[p].name) + " had drawn air while " +
                   in_litres(stranded.total_m3) +
                   " stood in tanks that are joined to it, most of " + "it in " +
                   named(part(parts.tanks, stranded.tanks[0].tank).name) + " (" +
                   stranded.tanks[0].why + ")";
    finding.do_this = "do what is said of " + named(parts.pumps[p].name) + " (pump-draws-air)";
    return finding;
  }
  return std::nullopt;
}

}  // namespace

std::vector<Finding> find_stranded_water(const Array& array, const RunRecord& record) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const OutletRecord& outlet = record.outlets[i];
    const auto id = id_at<OutletId>(i);
    if (!outlet.first_dry_at_s || outlet.dry_s < least_dry_s) continue;
    if (!fed_by_hoses(parts, id)) {
      if (auto finding = by_pump(array, id, record)) findings.push_back(std::move(*finding));
      continue;
    }
    if (!outlet.stranded_while) continue;
    const std::vector<Kept> kept = kept_from(parts, id, *outlet.stranded_while);
    double total = 0.0;
    for (const Kept& each : kept) total += each.above_m3;
    if (total <= least_m3) continue;
    findings.push_back(finding_of(parts, id, outlet, kept, total));
  }
  return findings;
}

}  // namespace tankyard
