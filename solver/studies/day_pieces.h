// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "graph/array.h"
#include "solver/run.h"

namespace tankyard {

// A day run piece by piece, so that between two pieces somebody may do what no step of a day sheet
// can: turn a gutter away, open a lid, fit a drain.

/// What a yard is like at a moment between two pieces.
struct Between {
  std::vector<double> water_m3;      ///< per tank
  std::vector<double> headspace_pa;  ///< per tank, gauge
  OpenHoses hose_open;
  std::vector<bool> outlet_open;
  std::vector<bool> pump_running;
  std::vector<bool> air_line_open;
  std::vector<bool> crest_full;            ///< per hose; only read where there is a crest
  std::vector<bool> header_full;           ///< per header: filled by hand, or seen to fill
  std::vector<double> first_flush_left_m;  ///< per roof
  std::optional<double> rain_m_per_s;      ///< that falls on
};
Between between_at_start(const Array& array);

/// The parts as they are at that moment. Not carried over: a top-up between its two depths, which
/// begins shut; a pump's low-level cut-out or pressure switch between its two marks, which begins
/// as if the pump might run; how long a pump has run. A pump that lost its prime begins stopped,
/// for it passes nothing until it is started anew.
Parts as_they_are(Parts parts, const Between& between);

/// The steps of a sheet from one moment (included) to another (not included), as a sheet of its
/// own. `falls`: the rain when it begins. `kept`: which actions; none: all.
DaySheet piece_of(const DaySheet& sheet, double from_s, double to_s, std::optional<double> falls,
                  const std::function<bool(const Action&)>& kept = {});

/// The moment at the end of a piece that was run.
Between after_piece(const Between& before, const Array& array, const DaySheet& piece,
                    const RunRecord& record);

/// Puts more steps into a sheet, by time; at one time after those that are there.
void add_steps(DaySheet& sheet, const std::vector<TimedStep>& steps);

}  // namespace tankyard
