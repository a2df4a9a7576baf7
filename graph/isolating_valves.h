// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "graph/array.h"

namespace tankyard {

/// Taking tanks out of the line: which isolating valves to shut so that no water is joined to them
/// any more, and what that costs the rest. Only who is joined to whom; heights are physics.
///
/// Other water is any tank that stays, and both ends of every pump. A header or outlet is no water
/// of its own: it stays with the rest or goes along with the tanks, whichever needs fewer valves. A
/// non-return valve isolates nothing, for water can leak past it and it holds one way only. A hose
/// without a valve cannot be shut; taking it off would drain both sides. A pump straight on a tank
/// that is taken out cannot be cut off by any valve: it is stopped, and then counts at neither end.

struct IsolatingOptions {
  /// Hoses that are shut or off when work begins count as joined, since anybody may open them or
  /// put them back while the tank is out; a valve among them that keeps water away is listed to be
  /// shut like the rest. False: they count as gone and are listed nowhere; someone must make sure
  /// that they stay as they are.
  bool shut_hoses_count = true;
  /// Pumps must be cut off by valves. False: whatever pump stays joined to the tanks is stopped.
  bool pumps_count = true;
  /// The most sets that are listed, of valves and of valves to fit; 1 or more. Chains of valves
  /// side by side can have more smallest sets than anybody reads.
  std::size_t most_sets = 100;
  /// Price of a valve for each hose, in plan order, in any currency; empty: not known. Then the
  /// narrower bore counts as cheaper, of equal bores the shorter hose.
  std::vector<double> valve_prices = {};
};

/// A set of valves that cuts the tanks off, and what is left then. What is supplied is reckoned
/// from the hoses that are open when work begins, less those that are shut; pumps supply what they
/// deliver to.
struct ValveSet {
  std::vector<HoseId> shut;                        ///< the hoses whose valves are shut
  std::vector<Place> goes_along;                   ///< headers, outlets that stay joined to the
                                                   ///< tanks and are emptied with them
  std::vector<PumpId> pumps_stopped;               ///< pumps with an end at the tanks or at what
                                                   ///< goes along
  std::vector<OutletId> outlets_supplied;          ///< reached by water of tanks that stay
  std::vector<OutletId> outlets_lost;              ///< not reached any more, though they were
  std::vector<PumpId> pumps_supplied;              ///< suction reached by water of tanks that stay,
                                                   ///< and not stopped
  std::vector<PumpId> pumps_lost;                  ///< stopped or not reached any more, though
                                                   ///< they were reached
  std::vector<std::vector<TankId>> tanks_sharing;  ///< the tanks that stay, in groups that share
                                                   ///< water; groups by their first tank
};

/// Water that runs into the tanks past every valve in a hose, and has to be turned away.
struct Inflows {
  std::vector<TankId> overflows;  ///< tanks that stay and whose overflow runs into these
  std::vector<RoofId> roofs;
  std::vector<TopUpId> top_ups;
  std::vector<PumpId> pumps;  ///< deliver straight into these tanks
};

/// Hoses to put a valve on, so that the tanks can be taken out at all.
struct ValvesToFit {
  std::vector<HoseId> hoses;
  std::optional<double> price;  ///< of all of them, if prices were given
  double bores_m = 0.0;         ///< sum over the hoses
  double lengths_m = 0.0;       ///< sum over the hoses
  ValveSet then;                ///< the best set of valves once these are fitted
};

/// All lists within are in plan order unless they say otherwise.
struct Isolation {
  std::vector<TankId> tanks;  ///< those that are taken out, each once
  /// Every smallest set of valves; none: the tanks cannot be cut off. One set without valves: they
  /// stand apart already. The better first: more outlets and pumps supplied, then tanks that stay
  /// in fewer groups, then less that goes along, then by the valves' names in alphabetical order.
  std::vector<ValveSet> smallest;
  bool all_listed = true;  ///< false: there are more smallest sets; the best is listed all the same
  Inflows inflows;
  /// Holes in these tanks. They let water out, never in; but while one runs, a level that falls
  /// tells nothing about whether the valves hold.
  std::vector<LeakId> leaks;

  // The rest is filled in only where `smallest` is empty.

  std::vector<TankId> emptied_with;  ///< tanks joined to these when every valve is shut: drain one
                                     ///< and you drain all
  std::vector<PumpId> pumps_joined;  ///< likewise pumps, at either end
  std::vector<ValvesToFit> to_fit;   ///< fewest valves; the cheaper first, then by the hoses' names
  bool all_to_fit_listed = true;     ///< false: there are more such sets, perhaps a cheaper one
};

/// Every smallest set of valves that takes `tanks` out of the line, joined to each other or not.
/// `open`: the hoses that are open when work begins, one entry a hose; `array.open_at_start()` for
/// the plan's own state.
///
/// Requires: at least one tank, ids of the array; `most_sets` over 0; a price for each hose or
/// none. Cost: places and hoses times the valves in a set, and the like again for every set listed.
Isolation isolating_valves(const Array& array, const OpenHoses& open,
                           const std::vector<TankId>& tanks, const IsolatingOptions& options = {});

/// Which hoses pass water when every isolating valve is shut: those that have none and are not off
/// in `open`.
OpenHoses with_every_valve_shut(const Array& array, const OpenHoses& open);

}  // namespace tankyard
