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

std::string remedy_for_vacuum(const Tank& tank, TankId id, double allowed_pa, LidAgain& again,
                              bool may_try) {
  const std::string stop = "stop what draws before the lid is touched; ";
  if (!may_try || !again.worth_trying()) {
    return stop + "then drill a hole " + in_place_of(tank.lid) + ", as `tankyard vent` finds it";
  }
  const auto keeps = [&](double share) {
    return again.smallest_that_will_do(id, [&](const HeadspaceRecord& air) {
      return !air.folds && -air.lowest_pa <= share * allowed_pa;
    });
  };
  const std::optional<double> just = keeps(1.0);
  if (!just && again.tries().over()) {
    return stop + "then drill a hole " + in_place_of(tank.lid) +
           ", as `tankyard vent` finds it; how wide was " + again.tries().not_tried();
  }
  if (!just) {
    return stop + "no one hole up to 76 mm in the lid of " + named(tank.name) +
           " would have done: leave the lid off";
  }
  const std::optional<double> with_half_in_hand = keeps(0.5);
  std::string text = stop + "then drill a hole of " + in_drill(with_half_in_hand.value_or(*just)) +
                     " " + in_place_of(tank.lid);
  if (with_half_in_hand) {
    text += ", which on this day leaves half of what it may bear in hand";
    if (*just < *with_half_in_hand)
      text += " (" + in_drill(*just) + " would just have prevented it)";
  } else {
    text += ", which would just have prevented it";
    if (again.tries().over()) text += " (a wider one " + again.tries().not_tried() + ")";
  }
  return text + "; " + about_screen(tank.lid, with_half_in_hand.value_or(*just));
}

}  // namespace

std::vector<Finding> find_vacuum_collapse(const Array& array, const DaySheet& sheet,
                                          const RunRecord& record, LidAgain& again) {
  const Parts& parts = array.parts();
  std::vector<std::size_t> folded;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (record.tanks[i].headspace.folds) folded.push_back(i);
  }
  const auto first_at = [&](std::size_t i) { return record.tanks[i].headspace.folds->at_s; };
  std::sort(folded.begin(), folded.end(), [&](std::size_t a, std::size_t b) {
    if (first_at(a) != first_at(b)) return first_at(a) < first_at(b);
    return parts.tanks[a].name < parts.tanks[b].name;
  });

  std::vector<Finding> findings;
  for (std::size_t k = 0; k < folded.size(); ++k) {
    const auto id = id_at<TankId>(folded[k]);
    const Tank& tank = parts.tanks[folded[k]];
    const HeadspaceRecord& air = record.tanks[folded[k]].headspace;
    const ShellMoment& moment = *air.folds;
    const AllowedVacuum allowed = allowed_vacuum(tank);
    Finding finding;
    finding.kind = FindingKind::vacuum_collapse;
    finding.severity = Severity::danger;
    finding.where = tank.name;
    finding.at_s = moment.at_s;
    finding.value = -air.lowest_pa;
    finding.limit = allowed.pa;
    finding.unit = "Pa";
    finding.says = named(tank.name) + " is sucked in: its lid is " +
                   (tank.lid.kind == Lid::Kind::sealed ? "" : "vented only by ") +
                   in_words(tank.lid) + ", and ";
    constexpr double worth_telling_m3 = 0.00005;  // what is shown as 0.1 L
    if (moment.out_m3 >= worth_telling_m3) {
      finding.says += "after " + in_litres(moment.out_m3) + " had left it, ";
    }
    finding.says += what_pulled(array, id, moment) + ", the air above its water stood " +
                    in_pascals(allowed.pa) +
                    " below the air outside, which is all that it may bear (" + allowed.how +
                    "), and at the worst " + in_pascals(air.lowest_pa);
    const std::string through = pulled_through(array, sheet, id, moment.at_s);
    if (!through.empty()) finding.says += "; " + through;
    finding.says += "; from that moment on all results describe a tank that has failed";
    finding.do_this = remedy_for_vacuum(tank, id, allowed.pa, again, k < most_tried);
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
