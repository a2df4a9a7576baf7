// SPDX-License-Identifier: MIT
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

std::string remedy_for_bulge(const Tank& tank, TankId id, double allowed_pa, LidAgain& again,
                             bool may_try) {
  const std::string overflow = tank.overflow
                                   ? "see that its overflow is free and as wide as what fills it"
                                   : "fit an overflow as wide as what fills it";
  if (!may_try || !again.worth_trying()) {
    return "drill a hole " + in_place_of(tank.lid) + ", as `tankyard vent` finds it, and " +
           overflow;
  }
  const std::optional<double> hole = again.smallest_that_will_do(
      id, [&](const HeadspaceRecord& air) { return air.highest_pa <= 0.5 * allowed_pa; });
  if (!hole && again.tries().over()) {
    return "drill a hole " + in_place_of(tank.lid) +
           ", as `tankyard vent` finds it (how wide was " + again.tries().not_tried() + "), and " +
           overflow;
  }
  if (!hole) {
    return "no one hole up to 76 mm in the lid of " + named(tank.name) +
           " would have kept half of that in hand: " + overflow + ", or leave the lid loose";
  }
  return "drill a hole of " + in_drill(*hole) + " " + in_place_of(tank.lid) +
         ", which on this day leaves half of what it may bear in hand; " +
         about_screen(tank.lid, *hole) + "; and " + overflow;
}

}  // namespace

std::vector<Finding> find_pressure_bulge(const Array& array, const DaySheet& sheet,
                                         const RunRecord& record, LidAgain& again) {
  const Parts& parts = array.parts();
  std::vector<Finding> findings;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const HeadspaceRecord& air = record.tanks[i].headspace;
    if (!air.bulges) continue;
    const auto id = id_at<TankId>(i);
    const Tank& tank = parts.tanks[i];
    const AllowedPressure allowed = allowed_pressure(tank);
    Finding finding;
    finding.kind = FindingKind::pressure_bulge;
    finding.severity = Severity::danger;
    finding.where = tank.name;
    finding.at_s = air.bulges->at_s;
    finding.value = air.highest_pa;
    finding.limit = allowed.pa;
    finding.unit = "Pa";
    finding.says = named(tank.name) +
                   " is blown up: " + what_pushed(array, sheet, record, id, air.bulges->at_s) +
                   ", the air above its water stood " + in_pascals(allowed.pa) +
                   " over the air outside, which is all that it may bear (" + allowed.how +
                   "), and at the worst " + in_pascals(air.highest_pa) + "; its lid is " +
                   (tank.lid.kind == Lid::Kind::sealed ? "" : "vented only by ") +
                   in_words(tank.lid);
    if (air.turned_away_m3 > 1e-3) {
      finding.says += ", and " + in_litres(air.turned_away_m3) + " could not get in against it";
    }
    finding.says += "; from that moment on all results describe a tank that has failed";
    finding.do_this = remedy_for_bulge(tank, id, allowed.pa, again, findings.size() < most_tried);
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
