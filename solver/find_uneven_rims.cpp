// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>

#include "graph/reach.h"
#include "solver/find_each.h"
#include "solver/find_limits.h"
#include "solver/left_alone.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double lips_apart_m = 0.020;
constexpr double level_slack_m = 0.003;  // what a run at rest may leave between a level and a lip

/// Whether every hose of this tank that is open at the start can be shut by a valve; their names.
std::vector<std::string> valves_of(const Parts& parts, TankId id) {
  std::vector<std::string> valves;
  for (const Hose& hose : parts.hoses) {
    if (hose.from.place != Place(id) && hose.to.place != Place(id)) continue;
    if (!starts_open(hose)) continue;
    if (!hose.valve) return {};
    valves.push_back(hose.valve->name);
  }
  std::sort(valves.begin(), valves.end());
  return valves;
}

/// By how much the overflow could go up in its wall, m; none without an overflow.
double overflow_can_rise_m(const Tank& tank) {
  if (!tank.overflow) return 0.0;
  return height_m(tank.shape) - tank.overflow->bore_m - tank.overflow->height_m;
}

std::string remedy(const Parts& parts, const std::vector<TankId>& low, double raise_m) {
  std::vector<std::string> names;
  bool overflows_can_rise = true;
  for (const TankId id : low) {
    names.push_back(part(parts.tanks, id).name);
    overflows_can_rise =
        overflows_can_rise && overflow_can_rise_m(part(parts.tanks, id)) >= raise_m;
  }
  std::sort(names.begin(), names.end());
  std::string text = overflows_can_rise ? "set the overflow of " : "raise the stand of ";
  text += listed(names) +
          (overflows_can_rise ? " " + in_mm(raise_m) + " higher" : " by " + in_mm(raise_m));
  if (low.size() == 1) {
    const std::vector<std::string> valves = valves_of(parts, low.front());
    text += valves.empty() ? ", or put a valve in its hose and shut it once it is full"
                           : ", or shut " + listed(valves) + " once it is full";
  }
  return text;
}

/// A lip that leaves other tanks partly empty.
struct Cap {
  TankId lip_of;
  std::vector<TankId> as_low;  ///< full tanks whose lips stand with it, itself among them
  std::vector<TankId> empty;   ///< those it leaves partly empty
  double empty_m3 = 0.0;
  double next_lip_m = 0.0;  ///< the lowest lip among them
};

/// One group of joined tanks, each as full as it can stand.
class FullGroup {
 public:
  FullGroup(const Parts& parts, const std::vector<TankId>& tanks,
            const std::vector<double>& full_m3)
      : parts_(parts), tanks_(tanks), full_m3_(full_m3) {}

  /// In the order of the lips, lowest first.
  std::vector<Cap> caps() const {
    std::vector<Cap> caps;
    for (const TankId id : tanks_) {
      if (is_full(id)) continue;
      const std::optional<TankId> lip_of = capped_by(id);
      if (!lip_of) continue;
      auto cap = std::find_if(caps.begin(), caps.end(),
                              [&](const Cap& each) { return each.lip_of == *lip_of; });
      if (cap == caps.end()) {
        caps.push_back({*lip_of, as_low_as(*lip_of), {}, 0.0, lip(id)});
        cap = caps.end() - 1;
      }
      cap->empty.push_back(id);
      cap->empty_m3 += volume_m3(tank(id).shape, lip(id) - tank(id).base_m) - full_m3_[id.index];
      cap->next_lip_m = std::min(cap->next_lip_m, lip(id));
    }
    std::sort(caps.begin(), caps.end(),
              [&](const Cap& a, const Cap& b) { return lip(a.lip_of) < lip(b.lip_of); });
    return caps;
  }

 private:
  const Tank& tank(TankId id) const { return part(parts_.tanks, id); }
  double lip(TankId id) const { return lip_m(tank(id)); }
  double stands_at_m(TankId id) const {
    return tank(id).base_m + depth_m(tank(id).shape, std::max(0.0, full_m3_[id.index]));
  }
  bool is_full(TankId id) const { return lip(id) - stands_at_m(id) <= lips_apart_m; }

  /// The tank whose lip keeps this one's level down: of the full ones, the highest lip that the
  /// level has come down to. It may lie lower than the level, where a mouth or a crest holds the
  /// water up. Of several lips at one height, to a tenth of a millimetre, the first by name, so
  /// that the order of the plan decides nothing.
  std::optional<TankId> capped_by(TankId id) const {
    const auto tenths = [&](TankId of) { return std::llround(lip(of) * 1e4); };
    std::optional<TankId> best;
    for (const TankId other : tanks_) {
      if (!is_full(other) || lip(other) > stands_at_m(id) + level_slack_m) continue;
      if (lip(id) - lip(other) <= lips_apart_m) continue;
      const bool better = !best || tenths(other) > tenths(*best) ||
                          (tenths(other) == tenths(*best) && tank(other).name < tank(*best).name);
      if (better) best = other;
    }
    return best;
  }

  std::vector<TankId> as_low_as(TankId id) const {
    std::vector<TankId> low;
    for (const TankId other : tanks_) {
      if (is_full(other) && std::fabs(lip(other) - lip(id)) <= lips_apart_m) low.push_back(other);
    }
    return low;
  }

  const Parts& parts_;
  const std::vector<TankId>& tanks_;
  const std::vector<double>& full_m3_;
};

Finding finding_of(const Parts& parts, const Cap& cap) {
  std::vector<std::string> names;
  for (const TankId id : cap.empty) names.push_back(part(parts.tanks, id).name);
  std::sort(names.begin(), names.end());
  const Tank& lowest = part(parts.tanks, cap.lip_of);
  Finding finding;
  finding.kind = FindingKind::uneven_rims;
  finding.severity = Severity::warning;
  finding.where = lowest.name;
  finding.value = cap.empty_m3 * litres_per_m3;
  finding.limit = least_m3 * litres_per_m3;
  finding.unit = "L";
  finding.says =
      named(lowest.name) + " spills at " + in_metres(lip_m(lowest)) +
      " above the datum, before the tanks joined to it are full: " + in_litres(cap.empty_m3) +
      " of " + listed(names) + " can never be filled";
  finding.do_this = remedy(parts, cap.as_low, cap.next_lip_m - lip_m(lowest));
  return finding;
}

}  // namespace

std::vector<Finding> find_uneven_rims(const Array& array) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  const auto even = [&](const std::vector<TankId>& tanks) {
    const auto [low, high] =
        std::minmax_element(tanks.begin(), tanks.end(), [&](TankId a, TankId b) {
          return lip_m(part(parts.tanks, a)) < lip_m(part(parts.tanks, b));
        });
    return lip_m(part(parts.tanks, *high)) - lip_m(part(parts.tanks, *low)) <= lips_apart_m;
  };
  std::vector<std::vector<TankId>> groups = joined_tanks(array, array.open_at_start());
  groups.erase(std::remove_if(groups.begin(), groups.end(), even), groups.end());
  if (groups.empty()) return findings;
  const Result<std::vector<double>> full_m3 = water_when_full(array);
  if (!full_m3) return findings;  // `check` and `run` report the same refusal in their own name
  for (const std::vector<TankId>& tanks : groups) {
    for (const Cap& cap : FullGroup(parts, tanks, *full_m3).caps()) {
      if (cap.empty_m3 >= least_m3) findings.push_back(finding_of(parts, cap));
    }
  }
  return findings;
}

}  // namespace tankyard
