// SPDX-License-Identifier: MIT
#include "solver/studies/link_ways.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "graph/reach.h"
#include "solver/fittings.h"

namespace tankyard {
namespace {

constexpr double tenths_per_m = 10.0;

std::optional<Position> position_of(const Parts& parts, Place place) {
  if (const auto* tank = std::get_if<TankId>(&place)) return part(parts.tanks, *tank).position;
  if (const auto* header = std::get_if<HeaderId>(&place)) {
    return part(parts.headers, *header).position;
  }
  return std::nullopt;
}

/// Whole tenths of a metre, rounded up, for nobody cuts hose finer.
double as_cut_m(double length_m) {
  return std::max(shortest_hose_m, std::ceil(length_m * tenths_per_m - 1e-9) / tenths_per_m);
}

double straight_m(const Position& a, const Position& b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

/// The end of a hose that lies at a place, and the one that lies elsewhere.
const Place* other_end(const Hose& hose, Place place) {
  if (hose.from.place == place) return &hose.to.place;
  if (hose.to.place == place) return &hose.from.place;
  return nullptr;
}

Spur spur_to(const Parts& parts, TankId tank, Place place, double run_per_metre) {
  const std::optional<Position> here = part(parts.tanks, tank).position;
  const std::optional<Position> there = position_of(parts, place);
  Spur spur{place, assumed_length_m, LengthFrom::assumed};
  if (!here) return spur;
  if (there) {
    spur.length_m = as_cut_m(run_per_metre * straight_m(*here, *there));
    spur.length_from = LengthFrom::positions;
    return spur;
  }
  double nearest_m = std::numeric_limits<double>::infinity();
  for (const Hose& hose : parts.hoses) {
    const Place* other = other_end(hose, place);
    if (!other || hose.crest_m || !std::holds_alternative<TankId>(*other)) continue;
    const std::optional<Position> at = position_of(parts, *other);
    if (!at) continue;
    nearest_m = std::min(nearest_m, run_per_metre * straight_m(*here, *at) + hose.length_m);
  }
  if (std::isfinite(nearest_m)) {
    spur.length_m = as_cut_m(nearest_m);
    spur.length_from = LengthFrom::by_way_of;
  }
  return spur;
}

/// Whether another hose or an outlet is there already: then a hose joins by a tee.
bool mouth_is_taken(const Parts& parts, TankId tank, double height_m) {
  constexpr double same_hole_m = 0.001;
  const auto here = [&](const HoseEnd& end) {
    const auto* id = std::get_if<TankId>(&end.place);
    if (!id || *id != tank) return false;
    const double at_m = end.height_m.value_or(part(parts.tanks, tank).outlet_height_m);
    return std::fabs(at_m - height_m) < same_hole_m;
  };
  for (const Hose& hose : parts.hoses) {
    if (here(hose.from) || here(hose.to)) return true;
  }
  return std::any_of(parts.outlets.begin(), parts.outlets.end(),
                     [&](const Outlet& outlet) { return outlet.at && here(*outlet.at); });
}

/// A name that nothing in the yard has.
class FreeNames {
 public:
  explicit FreeNames(const Parts& parts) {
    const auto take = [&](const auto& list) {
      for (const auto& each : list) taken_.insert(each.name);
    };
    take(parts.tanks), take(parts.headers), take(parts.hoses), take(parts.pumps);
    take(parts.outlets), take(parts.roofs), take(parts.top_ups), take(parts.leaks);
    take(parts.air_lines);
    for (const Hose& hose : parts.hoses) {
      if (hose.valve) taken_.insert(hose.valve->name);
    }
  }

  std::string hose(const std::string& wish) {
    std::string name = wish;
    for (int n = 2; !taken_.insert(name).second; ++n) name = wish + "-" + std::to_string(n);
    return name;
  }

  std::string valve() {
    while (!taken_.insert("V" + std::to_string(next_valve_)).second) ++next_valve_;
    return "V" + std::to_string(next_valve_);
  }

 private:
  std::set<std::string> taken_;
  int next_valve_ = 1;
};

}  // namespace

double hose_metres(const WayToJoin& way) {
  double metres = 0.0;
  for (const Spur& spur : way.spurs) metres += spur.length_m * way.side_by_side;
  return metres;
}

std::vector<SpurFittings> fittings_of(const Parts& parts, TankId tank, const WayToJoin& way) {
  std::vector<SpurFittings> all;
  bool own_mouth_taken = mouth_is_taken(parts, tank, part(parts.tanks, tank).outlet_height_m);
  for (const Spur& spur : way.spurs) {
    bool there_taken = true;
    if (const auto* there = std::get_if<TankId>(&spur.place)) {
      there_taken = mouth_is_taken(parts, *there, part(parts.tanks, *there).outlet_height_m);
    }
    SpurFittings fittings;
    for (int k = 0; k < way.side_by_side; ++k) {
      fittings.per_hose.push_back(
          {own_mouth_taken ? "tee-branch" : "elbow", there_taken ? "tee-branch" : "elbow"});
      own_mouth_taken = there_taken = true;
    }
    all.push_back(std::move(fittings));
  }
  return all;
}

std::vector<Spur> spurs_of(const Array& array, TankId tank, double run_per_metre) {
  const Parts& parts = array.parts();
  const std::vector<Place> dry = without_storage(array, array.open_at_start());
  std::vector<Spur> spurs;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (id_at<TankId>(i) == tank) continue;
    spurs.push_back(spur_to(parts, tank, id_at<TankId>(i), run_per_metre));
  }
  for (std::size_t i = 0; i < parts.headers.size(); ++i) {
    const Place place = id_at<HeaderId>(i);
    if (std::find(dry.begin(), dry.end(), place) != dry.end()) continue;
    spurs.push_back(spur_to(parts, tank, place, run_per_metre));
  }
  std::stable_sort(spurs.begin(), spurs.end(),
                   [](const Spur& a, const Spur& b) { return a.length_m < b.length_m; });
  return spurs;
}

Parts with_way(const Parts& parts, TankId tank, const WayToJoin& way,
               const std::vector<HoseOnOffer>& offered) {
  Parts joined = parts;
  part(joined.tanks, tank).base_m = way.base_m;
  FreeNames names(parts);
  const std::vector<SpurFittings> fittings = fittings_of(parts, tank, way);
  for (std::size_t s = 0; s < way.spurs.size(); ++s) {
    for (const std::vector<std::string>& of_hose : fittings[s].per_hose) {
      Hose hose;
      hose.name =
          names.hose(part(parts.tanks, tank).name + "-" + name_of(parts, way.spurs[s].place));
      hose.from.place = tank;
      hose.to.place = way.spurs[s].place;
      hose.bore_m = offered[way.hose].bore_m;
      hose.length_m = way.spurs[s].length_m;
      for (const std::string& fitting : of_hose) {
        hose.loss_k += fitting_loss_k(fitting).value_or(0.0);
      }
      if (way.valved) {
        hose.valve.emplace();
        hose.valve->name = names.valve();
      }
      joined.hoses.push_back(std::move(hose));
    }
  }
  return joined;
}

std::vector<TankId> neighbours_of(const Parts& parts, TankId tank, const std::vector<Spur>& spurs) {
  std::vector<TankId> found;
  const auto add = [&](const Place& place) {
    const auto* id = std::get_if<TankId>(&place);
    if (!id || *id == tank) return;
    if (std::find(found.begin(), found.end(), *id) == found.end()) found.push_back(*id);
  };
  for (const Spur& spur : spurs) {
    add(spur.place);
    if (!std::holds_alternative<HeaderId>(spur.place)) continue;
    for (const Hose& hose : parts.hoses) {
      const Place* other = other_end(hose, spur.place);
      if (other && starts_open(hose) && !hose.crest_m) add(*other);
    }
  }
  std::sort(found.begin(), found.end());
  return found;
}

double base_for(const Array& array, TankId tank, const std::vector<Spur>& spurs, Stand stand) {
  const Parts& parts = array.parts();
  const Tank& own = part(parts.tanks, tank);
  if (stand == Stand::as_planned) return own.base_m;
  const std::vector<TankId> near = neighbours_of(parts, tank, spurs);
  double lowest_m = std::numeric_limits<double>::infinity();
  if (stand == Stand::mouths_level) {
    for (const TankId id : near) {
      const Tank& other = part(parts.tanks, id);
      lowest_m = std::min(lowest_m, other.base_m + other.outlet_height_m);
    }
    return std::isfinite(lowest_m) ? lowest_m - own.outlet_height_m : own.base_m;
  }
  for (const auto& group : joined_tanks(array, array.open_at_start())) {
    const bool shares = std::any_of(group.begin(), group.end(), [&](TankId id) {
      return std::find(near.begin(), near.end(), id) != near.end();
    });
    if (!shares) continue;
    for (const TankId id : group) lowest_m = std::min(lowest_m, lip_m(part(parts.tanks, id)));
  }
  return std::isfinite(lowest_m) ? lowest_m - (lip_m(own) - own.base_m) : own.base_m;
}

}  // namespace tankyard
