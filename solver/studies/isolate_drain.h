// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <vector>

#include "graph/array.h"
#include "solver/options.h"
#include "solver/run.h"
#include "solver/shell.h"

namespace tankyard {

/// How one tank is emptied to the ground.
struct DrainPoint {
  TankId tank;
  /// An outlet straight on the tank at its lowest mouth; none: the plan has none there, and a drain
  /// valve is assumed.
  std::optional<OutletId> outlet;
  double height_m = 0.0;  ///< of its mouth above the tank's inside bottom
  double bore_m = 0.0;    ///< of an assumed drain valve
  double left_m3 = 0.0;   ///< stays below it
  double left_kg = 0.0;
};

/// Discharge coefficient of an assumed drain valve, taken as a short cylindrical mouthpiece: 0.82
/// (Unwin, Hydraulics, Encyclopaedia Britannica 11th ed. vol. 14).
inline constexpr double drain_coefficient = 0.82;

/// A tank counts as drained when its water stands so far above the lowest point of the drain's
/// mouth, or less, m.
inline constexpr double drained_within_m = 0.005;

/// The outlet at the lowest mouth of a tank, else a drain valve there; at the tank's outlet height
/// where it has neither hose nor outlet. A bore that does not fit the tank is made smaller.
DrainPoint drain_point(const Array& array, TankId tank, double bore_m);

/// The parts with one more outlet for every drain, shut, in the order of `drains`: a real outlet
/// doubled, so that what is drained is not counted as used. `first`: where they begin.
Parts with_drains(const Parts& parts, const std::vector<DrainPoint>& drains, std::size_t& first);

/// What opening the drains of some tanks does, the rest of the yard left alone.
struct DrainTrial {
  /// Per drain: when its tank counts as drained; none: not within the time that it should take
  /// many times over.
  std::vector<std::optional<double>> drained_after_s;
  /// Per drain: when the water has fallen to `lowered_to_m` (only where that was asked).
  std::vector<std::optional<double>> lowered_after_s;
  std::vector<double> left_in_m3;     ///< per drain: in the tank at the end
  std::vector<HeadspaceRecord> air;   ///< per drain
  std::vector<AllowedVacuum> vacuum;  ///< per drain
};

/// Runs `parts` (with drains from outlet `first` on, see `with_drains`) with every drain open from
/// the start, all else left alone. `lowered_to_m`: per drain, a depth; empty: not asked.
Result<DrainTrial> try_drains(const Parts& parts, const std::vector<DrainPoint>& drains,
                              std::size_t first, const std::vector<double>& lowered_to_m,
                              const RunOptions& options);

}  // namespace tankyard
