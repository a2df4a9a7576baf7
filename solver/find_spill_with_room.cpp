// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>

#include "solver/aired.h"
#include "solver/find_each.h"
#include "solver/find_limits.h"
#include "solver/sentences.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double no_passage = std::numeric_limits<double>::infinity();

/// Rough resistance of a hose, for choosing the way most water takes: losses over the square of the
/// area, with a friction factor of 0.02.
double resistance(const Hose& hose) {
  return (0.02 * hose.length_m / hose.bore_m + hose.loss_k + 1.5) / std::pow(hose.bore_m, 4);
}

/// What holds water back on the way from the tank that spills to the tank with room.
struct Bottleneck {
  enum class Is { thin, holds_air, one_way, too_high, no_air };
  Is is = Is::thin;
  HoseId hose;
  double height_m = 0.0;  ///< of a hose that meets a tank too high
};

/// The first leg that no water passes at all; then a tank with room that lets out no air; otherwise
/// the leg that used up most head.
std::optional<Bottleneck> bottleneck_on(const Parts& parts, const std::vector<Leg>& way,
                                        const RunRecord& record, double spills_at_m,
                                        bool roomy_has_air) {
  std::optional<Bottleneck> found;
  for (const Leg& leg : way) {
    const Hose& hose = part(parts.hoses, leg.hose);
    const HoseLag& lag = record.lags[leg.hose.index];
    if (hose.one_way && !leg.forwards) return Bottleneck{Bottleneck::Is::one_way, leg.hose, 0.0};
    if (lag.air_held_s > 0.0) return Bottleneck{Bottleneck::Is::holds_air, leg.hose, 0.0};
    const double mouth =
        std::max(mouth_m(parts, leg.near_end(parts)), mouth_m(parts, leg.far_end(parts)));
    if (mouth >= spills_at_m) return Bottleneck{Bottleneck::Is::too_high, leg.hose, mouth};
    const bool more = !found || lag.head_lost_m > record.lags[found->hose.index].head_lost_m;
    if (more) found = Bottleneck{Bottleneck::Is::thin, leg.hose, 0.0};
  }
  if (found && !roomy_has_air) found->is = Bottleneck::Is::no_air;
  return found;
}

std::string cause(const Parts& parts, TankId roomy, const Bottleneck& bottleneck) {
  const Hose& hose = part(parts.hoses, bottleneck.hose);
  const std::string name = "hose " + named(hose.name);
  switch (bottleneck.is) {
    case Bottleneck::Is::holds_air:
      return name + " held air and let nothing through";
    case Bottleneck::Is::one_way:
      return "the non-return valve in " + name + " lets water only the other way";
    case Bottleneck::Is::too_high:
      return name + " meets its tank at " + in_metres(bottleneck.height_m) +
             " above the datum, higher than the water ever stood";
    case Bottleneck::Is::no_air:
      return "the lid of " + named(part(parts.tanks, roomy).name) +
             " is sealed, and hardly any water comes in where no air can leave";
    case Bottleneck::Is::thin:
      break;
  }
  return name + " of " + in_mm(hose.bore_m) + " bore is the narrowest place on the way";
}

/// How the water would come to the tank with room by another way; its air has to get out too.
std::string other_way(const Tank& from, const Tank& into, bool into_has_air) {
  // An overflow runs in over the other tank's rim.
  std::string text =
      from.overflow && lip_m(from) >= rim_m(into)
          ? "lead the overflow of " + named(from.name) + " into " + named(into.name)
          : "join " + named(from.name) + " and " + named(into.name) + " by a second, wide hose";
  if (!into_has_air) {
    text += ", once a hole is drilled in the lid of " + named(into.name) +
            ": it is sealed, and hardly any water comes in where no air can leave";
  } else if (into.lid.kind != Lid::Kind::open) {
    text += ", if the lid of " + named(into.name) +
            " lets air out as fast as the water comes (`tankyard vent` finds the hole)";
  }
  return text;
}

std::string remedy(const Parts& parts, TankId spiller, TankId roomy,
                   const std::optional<Bottleneck>& bottleneck, const RunRecord& record,
                   bool into_has_air, DayAgain& again, bool may_try) {
  const Tank& from = part(parts.tanks, spiller);
  const Tank& into = part(parts.tanks, roomy);
  std::string lead_it = other_way(from, into, into_has_air);
  if (!bottleneck) return lead_it;
  const std::string hose = named(part(parts.hoses, bottleneck->hose).name);
  switch (bottleneck->is) {
    case Bottleneck::Is::holds_air:
      return "let the air out of the hump of " + hose + " or lay it lower, or " + lead_it;
    case Bottleneck::Is::one_way:
      return "take the non-return valve out of " + hose + " if it is not needed there, or " +
             lead_it;
    case Bottleneck::Is::too_high:
      return "set the mouth of " + hose + " lower, or " + lead_it;
    case Bottleneck::Is::no_air:
      return "drill a hole in the lid of " + named(into.name) +
             ", as `tankyard vent` finds it, and run the day again: as it is, neither a wider hose "
             "nor another tank's overflow brings it much water";
    case Bottleneck::Is::thin:
      break;
  }
  if (!may_try || !again.worth_trying()) return "fit a wider hose than " + hose + ", or " + lead_it;
  const auto spills_here = [&](const RunRecord& wider) {
    return wider.tanks[spiller.index].spilt_with_room_m3 > least_m3;
  };
  // One bore for all tanks that spill, if one does for all: two findings should not name two.
  auto tried = again.smallest_that_will_do(bottleneck->hose, [&](const RunRecord& wider) {
    return std::all_of(wider.tanks.begin(), wider.tanks.end(),
                       [](const TankRecord& tank) { return tank.spilt_with_room_m3 <= least_m3; });
  });
  if (!tried && !again.tries().over()) {
    tried = again.smallest_that_will_do(
        bottleneck->hose, [&](const RunRecord& wider) { return !spills_here(wider); });
  }
  if (!tried && again.tries().over()) {
    return "fit a wider hose than " + hose + " (which bore would do was " +
           again.tries().not_tried() + "), or " + lead_it;
  }
  if (!tried) return "no wider hose in place of " + hose + " would do alone: " + lead_it;
  const DayChange change = change_between(record, *tried->record);
  if (change.gain_m3() < least_m3) {
    return "a wider hose saves nothing: even with " + in_mm(tried->bore_m) + " for " + hose + ", " +
           in_words(change);
  }
  return "a bore of " + in_mm(tried->bore_m) + " for " + hose + " would do" +
         smaller_not_tried(*tried, again.tries()) + ": " + in_words(change) + "; or " + lead_it;
}

}  // namespace

std::vector<Finding> find_spills_with_room(const Array& array, const DaySheet& sheet,
                                           const RunRecord& record, DayAgain& again) {
  const Parts& parts = array.parts();
  std::vector<TankId> spillers;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (record.tanks[i].spilt_with_room_m3 > least_m3 && record.tanks[i].room_was_in) {
      spillers.push_back(id_at<TankId>(i));
    }
  }
  const auto spilt_by = [&](TankId id) { return record.tanks[id.index].spilt_with_room_m3; };
  std::sort(spillers.begin(), spillers.end(), [&](TankId a, TankId b) {
    if (spilt_by(a) != spilt_by(b)) return spilt_by(a) > spilt_by(b);
    return part(parts.tanks, a).name < part(parts.tanks, b).name;
  });

  const std::vector<bool> has_air = aired(parts);
  std::vector<Finding> findings;
  for (std::size_t k = 0; k < spillers.size(); ++k) {
    const TankId spiller = spillers[k];
    const TankRecord& tank = record.tanks[spiller.index];
    const TankId roomy = *tank.room_was_in;
    const OpenHoses open = open_at(array, sheet, *tank.first_spilt_with_room_at_s);
    // A way against a non-return valve is no way, and is only named where there is no other.
    constexpr double against = 1e30;
    const WaysFrom ways(parts, spiller, 0.0, [&](double so_far, const Leg& leg) {
      if (!open[leg.hose.index]) return no_passage;
      const Hose& hose = part(parts.hoses, leg.hose);
      return so_far + resistance(hose) + (hose.one_way && !leg.forwards ? against : 0.0);
    });
    const std::optional<Bottleneck> bottleneck = bottleneck_on(
        parts, ways.way_to(roomy), record, lip_m(part(parts.tanks, spiller)), has_air[roomy.index]);
    Finding finding;
    finding.kind = FindingKind::spill_with_room;
    finding.severity = Severity::warning;
    finding.where = part(parts.tanks, spiller).name;
    finding.at_s = tank.first_spilt_with_room_at_s;
    finding.value = tank.spilt_with_room_m3 * litres_per_m3;
    finding.limit = least_m3 * litres_per_m3;
    finding.unit = "L";
    finding.says = named(finding.where) + " lost " + in_litres(tank.spilt_with_room_m3) +
                   " to the ground while " + named(part(parts.tanks, roomy).name) +
                   ", joined to it, had room, " + in_litres(tank.room_m3) + " of it at first";
    if (bottleneck) finding.says += ": " + cause(parts, roomy, *bottleneck);
    finding.do_this = remedy(parts, spiller, roomy, bottleneck, record, has_air[roomy.index], again,
                             k < most_tried);
    findings.push_back(finding);
  }
  return findings;
}

}  // namespace tankyard
