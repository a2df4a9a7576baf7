// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"

namespace tankyard {

// What may pull on the air under the lids of a yard, or push into it, one at a time: the trials
// that the vent study puts every lid through.

/// A rain that roofs are drained for, mm/h: 0.042 L/s on a square metre, the upper of the two
/// design rates printed beside BS EN 12056-3 (the other is 0.021 L/s, 75 mm/h). It lasts two
/// minutes, as its storms do (from memory). A day sheet with a heavier rain has that one.
inline constexpr double heavy_rain_mm_per_h = 150.0;
inline constexpr double heavy_rain_s = 120.0;

/// The swing of the air from the warmest to the coldest hour where the plan gives none, K: a clear
/// day and night in a temperate place. Common practice, no source.
inline constexpr double assumed_swing_k = 15.0;

/// A tank that is nearly empty still has this part of its capacity full of water, so that the
/// mouths of its hoses are covered, through which it would else have air from its neighbours.
inline constexpr double empty_water_fraction = 0.1;

/// A tank filled as far as it goes still has this part of it full of air, unless its overflow
/// leaves more: 20 L in a thousand.
inline constexpr double full_headspace_fraction = 0.02;

struct Trial {
  enum class Pull {
    day,         ///< the plan's own day sheet, as `run` steps it
    outlet,      ///< one outlet stands open
    outlets,     ///< all of them at once
    pump,        ///< one pump runs, and everything that it delivers to stands open
    left_alone,  ///< nobody draws: water finds its level, leaks leak
    rain,        ///< heavy rain on every roof
    top_ups,     ///< every top-up at work, each tank having sunk to where it starts
    night,       ///< a cold night after the warmest hour, nobody draws
    afternoon,   ///< a warm afternoon after the coldest hour, nobody draws
  };
  /// How full the yard is at first. The fuller, the smaller the headspace and the sooner a draw is
  /// felt; the emptier, the more air there is to shrink in a cold night.
  enum class Fill { as_planned, full, empty, low };
  enum class Valves { as_planned, all_open, others_shut };

  Pull pull = Pull::day;
  OutletId outlet;  ///< of an `outlet`
  /// The one tank that feeds it all, every other that can be being shut off (`others_shut`). What
  /// happens to the others says nothing.
  std::optional<TankId> feeds_alone;
  Fill fill = Fill::as_planned;
  Valves valves = Valves::as_planned;
  bool as_assumed = false;  ///< the swing is not the plan's

  std::string says;  ///< a phrase: "`tap` drawing 50 L/min, tanks nearly full"
  Parts parts;       ///< the yard of the trial, its lids those of the plan
  DaySheet sheet;
  double lasts_at_most_s = 0.0;  ///< up to which `sheet.lasts_s` may be stretched while it still
                                 ///< flows
};

/// Every pull there is in a yard, each from the fills and with the valves that make it worst:
///  - the plan's day;
///  - each outlet alone, and all at once where there are several, and each pump with all that it
///    delivers to, from the plan's fill and nearly full; with the valves as the plan has them at
///    the start and, where that differs, all open;
///  - the yard left alone, likewise, if it has hoses or leaks;
///  - heavy rain, as planned but with room for it in the tanks; those that run over into others
///    stand full;
///  - the top-ups, from where the first of them starts;
///  - a cold night and a warm afternoon, as planned and with all tanks nearly empty.
///  - for each closed tank that valves can leave alone on the line, as when its neighbours are
///  being
///    cleaned: all outlets, nearly full, this tank's valves open and those of the others shut.
///
/// Cost: one settling of the yard to find out how full it can be for each set of valves.
std::vector<Trial> vent_trials(const Array& array, const DaySheet& sheet);

/// Whether a trial is one of water drawn or shared, by which a tank is emptied.
bool takes_water(const Trial& trial);

}  // namespace tankyard
