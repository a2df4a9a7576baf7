// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"
#include "solver/options.h"
#include "solver/shell.h"
#include "solver/studies/link_trials.h"
#include "solver/studies/link_ways.h"
#include "solver/studies/many.h"

namespace tankyard {

/// What can be shut off and what hangs on a single hose; only who is joined to whom.
struct LinkKeeping {
  std::size_t isolable = 0;                   ///< tanks that valves can take out of the line
  std::optional<std::size_t> valves_for_new;  ///< to take the new tank out; none: they cannot
  std::size_t most_valves = 0;                ///< for the tank that asks for the most
  std::size_t sole_hoses = 0;                 ///< hoses without which something is cut off
};

/// What a way of joining has to do to be followed.
struct LinkMerits {
  /// Nine tenths of what the new tank holds fill and come out at the outlets (or of the most that
  /// any way gets out of it), and at most a twentieth is stranded or missed in the storm.
  bool all_used = false;
  bool can_be_shut_off = false;  ///< the new tank, and as many others as before
  bool keeps_level = false;      ///< never over 100 mm behind, or 1.5 times the least of any way
  bool levels_soon = false;      ///< within 2 h, or 1.5 times the soonest of any way
};

/// One way to join the tank, and what came of it.
struct LinkOption {
  WayToJoin way;
  LinkFigures figures;
  LinkKeeping keeping;
  LinkMerits merits;
  double metres = 0.0;     ///< of hose, all hoses counted
  double price = 0.0;      ///< of that hose; see `LinkStudy::priced`
  std::size_t pieces = 0;  ///< fittings and valves to buy
  double gained_m3 = 0.0;  ///< the outlets give so much more in the draw-down than without it
  double kept_m3 = 0.0;    ///< so much less is spilt in the storm than without it
  double saved_m3 = 0.0;   ///< both, and what the plan's day gives more and spills less
  /// Its lid is closed and its hole too narrow: the drill that keeps half of what the tank may bear
  /// in hand at `peak_m3_per_s`, by hand. None: it is wide enough, or no drill is.
  std::optional<double> lid_hole_m;
  std::size_t rank = 0;  ///< from 1, the recommended one
  bool beaten = false;   ///< another is as good or better on every count
};

/// An old hose that holds the yard back, tank or no tank.
struct OldHose {
  HoseId hose;
  double bore_m = 0.0;       ///< the widest on offer that fits
  double saves_m3 = 0.0;     ///< on the plan's own day: less spilt and more delivered
  double best_way_m3 = 0.0;  ///< the same of the best way of joining the new tank
  bool helps_more = false;   ///< than any way of joining
};

struct LinkOptions {
  RunOptions run = {};
  std::vector<HoseOnOffer> hoses = {};  ///< in any order; empty: `assumed_bores_m`, without a price
  double run_per_metre = 1.0;    ///< metres of hose for a metre of straight distance, 1 or more
  bool stands = true;            ///< try other stand heights too
  std::size_t most_places = 12;  ///< the nearest so many; a pair of places is of the nearest so
                                 ///< many less a third
  /// Threads, who may stop it, who is told how far it is: with a second round of stands the count
  /// grows on the way.
  ManyOptions many = {};
};

/// Bores tried where the plan has no stock, m.
const std::vector<double>& assumed_bores_m();

struct LinkStudy {
  TankId tank;
  Parts parts;                       ///< the yard as it was studied: the lid of the new tank may
                                     ///< have been given a hole, see `lid_assumed`
  std::vector<HoseOnOffer> offered;  ///< narrowest first, each bore once
  bool offered_assumed = false;
  bool priced = false;  ///< false: price is metres times bore in mm, a stand-in
  LinkTrials trials;
  LinkFigures without;  ///< the yard with the new tank standing alone
  LinkKeeping keeping_without;
  std::vector<LinkOption> options;  ///< by rank; empty only if stopped before the first
  std::size_t unbeaten = 0;
  std::size_t cheapest = 0;         ///< of the ways with the merits of the recommended one: 0 if
                                    ///< that is itself the cheapest, else 1
  std::optional<OldHose> old_hose;  ///< the one whose widening helps most, if it helps at all
  std::vector<Spur> spurs;          ///< what a hose to each place would be
  std::size_t places_left_out = 0;  ///< too far down the list
  std::size_t unfit = 0;            ///< ways left out: the bore does not go into a tank's wall
  struct Failed {
    WayToJoin way;
    std::string why;
  };
  std::vector<Failed> failed;       ///< ways that could not be run
  std::size_t stands_left_out = 0;  ///< ways that were not tried on other stands
  bool lid_assumed = false;         ///< its lid is closed: studied with an open one
  bool stopped = false;
  long long runs = 0;
};

/// Tries every sensible way to join a tank that no hose joins: to each tank and each header, and to
/// two of them at once; each hose on offer, two side by side where it is one place; with and
/// without isolating valves; then, for the single places and for the pairs that are not beaten, on
/// stands of other heights.
///
/// What is left out: two hoses side by side to two places, and other stands for pairs that are
/// beaten on the plan's own stand. A way without valves is not run again: a valve costs K 0.05 of
/// four or more, and its figures count it.
///
/// A way is beaten if another is as good on every count and better on one. The counts are water
/// saved on the three days together, time to level, the worst lag, tanks that can be shut off,
/// hoses on which something hangs alone, price, and whether the stand stays as planned; rounded to
/// what somebody in a yard would notice: water to 2 % of the new tank or 5 L, times to a quarter
/// and below half an hour not at all, lags to 50 mm and below 100 mm not at all.
///
/// The recommended way is an unbeaten one that has most of `LinkMerits`, in their order, on the
/// plan's own stand if that has them. Of those that cost at most a quarter more than the cheapest
/// such way it saves the most water.
///
/// Requires: ids of the array; `sheet` passes `check_day_sheet`; run_per_metre 1 or more; bores
/// over 0. Troubles: the tank is joined already, there is nothing to join it to, or the yard as it
/// is cannot be run. The answer is the same with any number of threads and any order of hoses.
/// Cost: four or five runs a way.
Result<LinkStudy> study_link(const Array& array, const DaySheet& sheet, TankId tank,
                             const LinkOptions& options = {});

/// What joins the tank already, by name: a hose or a pump. Empty: nothing.
std::vector<std::string> joined_by(const Parts& parts, TankId tank);

}  // namespace tankyard
