// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>

#include "solver/find_each.h"
#include "solver/find_limits.h"
#include "solver/lid_words.h"
#include "solver/sentences.h"
#include "solver/shell.h"

namespace tankyard {
namespace {

constexpr double in_hand = 0.5;

/// A tank that came within its last half, on one side.
struct Near {
  TankId tank;
  bool vacuum = true;
  double pa = 0.0;
  double allowed_pa = 0.0;
  std::string how;
  double at_s = 0.0;

  double share() const { return pa / allowed_pa; }
};

std::optional<Near> near_its_limit(const Tank& tank, TankId id, const HeadspaceRecord& air) {
  if (tank.lid.kind == Lid::Kind::open) return std::nullopt;
  std::optional<Near> worst;
  if (!air.folds) {
    const AllowedVacuum allowed = allowed_vacuum(tank);
    const Near near{id, true, -air.lowest_pa, allowed.pa, allowed.how, air.lowest_at_s};
    if (near.share() > in_hand) worst = near;
  }
  if (!air.bulges) {
    const AllowedPressure allowed = allowed_pressure(tank);
    const Near near{id, false, air.highest_pa, allowed.pa, allowed.how, air.highest_at_s};
    if (near.share() > in_hand && (!worst || near.share() > worst->share())) worst = near;
  }
  return worst;
}

std::string remedy(const Tank& tank, const Near& near, LidAgain& again, bool may_try) {
  if (may_try && again.worth_trying()) {
    const auto hole = again.smallest_that_will_do(near.tank, [&](const HeadspaceRecord& air) {
      return (near.vacuum ? -air.lowest_pa : air.highest_pa) <= in_hand * near.allowed_pa;
    });
    if (hole) {
      return "drill a hole of " + in_drill(*hole) + " " + in_place_of(tank.lid) +
             ", which on this day leaves half in hand; " + about_screen(tank.lid, *hole);
    }
    if (again.tries().over()) {
      return "drill a hole " + in_place_of(tank.lid) +
             ", as `tankyard vent` finds it; how wide was " + again.tries().not_tried();
    }
  }
  return "drill a hole " + in_place_of(tank.lid) + ", as `tankyard vent` finds it";
}

}  // namespace

std::vector<Finding> find_vent_too_small(const Array& array, const DaySheet& sheet,
                                         const RunRecord& record, LidAgain& again) {
  const Parts& parts = array.parts();
  std::vector<Near> found;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const auto near = near_its_limit(parts.tanks[i], id_at<TankId>(i), record.tanks[i].headspace);
    if (near) found.push_back(*near);
  }
  std::sort(found.begin(), found.end(), [&](const Near& a, const Near& b) {
    if (a.share() != b.share()) return a.share() > b.share();
    return part(parts.tanks, a.tank).name < part(parts.tanks, b.tank).name;
  });
  std::vector<Finding> findings;
  for (const Near& near : found) {
    const Tank& tank = part(parts.tanks, near.tank);
    Finding finding;
    finding.kind = FindingKind::vent_too_small;
    finding.severity = Severity::warning;
    finding.where = tank.name;
    finding.at_s = near.at_s;
    finding.value = near.pa;
    finding.limit = in_hand * near.allowed_pa;
    finding.unit = "Pa";
    finding.says = "the air above the water of " + named(tank.name) + " came to " +
                   in_pascals(near.pa) + (near.vacuum ? " below" : " over") +
                   " the air outside, more than half of the " + in_pascals(near.allowed_pa) +
                   " that it may bear (" + near.how + "), " +
                   (near.vacuum ? what_was_open(array, sheet, near.tank, near.at_s)
                                : what_pushed(array, sheet, record, near.tank, near.at_s)) +
                   "; its lid is " + (tank.lid.kind == Lid::Kind::sealed ? "" : "vented only by ") +
                   in_words(tank.lid);
    if (near.vacuum) {
      const std::string through = pulled_through(array, sheet, near.tank, near.at_s);
      if (!through.empty()) finding.says += "; " + through;
    }
    finding.do_this = remedy(tank, near, again, findings.size() < most_tried);
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
