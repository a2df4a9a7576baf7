// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"
#include "solver/options.h"
#include "solver/studies/link_ways.h"

namespace tankyard {

// The four days that every way of joining a tank is put through, and what is read off them.

/// Levels that lie within this of each other count as one, m.
inline constexpr double one_level_for_link_m = 0.010;
/// Rain of the storm where the day sheet has none, mm/h. Common practice, no source.
inline constexpr double assumed_storm_mm_per_h = 30.0;
/// What runs into the largest tank during the storm of a yard that has no roof, m3/s: 20 L/min.
/// Common practice, no source.
inline constexpr double assumed_filling_m3_per_s = 20e-3 / 60.0;

/// The days, the same for every way; made once for a yard.
struct LinkTrials {
  TankId tank;
  /// Water in each tank with the yard as full as it can be and the new tank empty, m3: how the
  /// levelling begins.
  std::vector<double> full_m3;
  double levelling_at_most_s = 0.0;

  DaySheet storm;  ///< begins with every tank empty; its rain would fill the yard and the new tank
  double rain_m_per_s = 0.0;
  bool rain_assumed = false;          ///< the day sheet has no rain
  std::optional<TankId> filled_into;  ///< no roof: this tank is filled instead, at
                                      ///< `assumed_filling_m3_per_s`

  double drawing_s = 0.0;    ///< begins as full as the yard can be, every outlet open, pumps on
  bool has_outlets = false;  ///< else there is no draw-down
  DaySheet day;              ///< the plan's own
  RunOptions options;
};

/// Requires: `sheet` passes `check_day_sheet`. Troubles only if the yard as it is cannot be run.
Result<LinkTrials> link_trials(const Array& array, const DaySheet& sheet, TankId tank,
                               const RunOptions& options);

/// What a yard did on those days. Figures of the new tank are nought where it is not joined.
struct LinkFigures {
  /// From the yard full and the new tank empty until the levels lie within 10 mm and stay there:
  /// the new tank's and those of all tanks that end within 10 mm of it. None: no other tank does.
  std::optional<double> levels_in_s;
  std::size_t levels_with = 0;  ///< how many tanks that are

  double lag_filling_m = 0.0;  ///< in the storm: the highest of them less the new tank
  double lag_drawing_m = 0.0;  ///< in the draw-down: the new tank less the lowest of them; both
                               ///< only above the new tank's own mouth

  double drawn_m3 = 0.0;            ///< what the outlets gave in the draw-down
  double stranded_m3 = 0.0;         ///< what then still stood in the new tank
  double storm_spilt_m3 = 0.0;      ///< to the ground
  double storm_with_room_m3 = 0.0;  ///< of that, while a tank joined to the one that spilt had room
  double storm_missed_m3 = 0.0;     ///< of that, what the new tank still had room for as the rain
                                    ///< ended
  double day_spilt_m3 = 0.0;        ///< the plan's own day
  double day_delivered_m3 = 0.0;

  double full_new_m3 = 0.0;     ///< in the new tank with the yard as full as it can be
  double full_others_m3 = 0.0;  ///< in all others then
  double peak_m3_per_s = 0.0;   ///< the most that its hoses took from it or brought to it at once,
                                ///< each at its own peak
  long long runs = 0;
};

/// The yard with the tank joined, as full as it can be: water of each tank, m3. Bores do not matter
/// to it, so ways that differ in nothing else share it.
Result<std::vector<double>> full_when_joined(const Parts& joined);

/// Puts a yard through the days. `new_hoses`: how many hoses at the end of the list are the new
/// tank's; 0: it stands alone. Requires: parts that make an array with the days' parts in their
/// places. Cost: four or five runs.
Result<LinkFigures> figures_of(const Parts& joined, const LinkTrials& trials,
                               const std::vector<double>& full_m3, std::size_t new_hoses);

}  // namespace tankyard
