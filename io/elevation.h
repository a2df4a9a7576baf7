// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "io/elevation_picture.h"
#include "solver/at_rest.h"

namespace tankyard {

/// What a side view of a yard shows besides the yard itself: one moment.
struct ElevationState {
  std::string moment = "as the plan starts";              ///< in words
  std::vector<double> depth_m;                            ///< of the water, per tank
  std::optional<std::vector<bool>> hose_open;             ///< none: as at the start of the plan
  std::optional<std::vector<bool>> outlet_open;           ///< likewise
  std::optional<std::vector<bool>> pump_running;          ///< likewise
  std::optional<std::vector<double>> flow_m3_per_s;       ///< per hose; none: no flows are shown
  std::optional<std::vector<double>> headspace_gauge_pa;  ///< per tank; none: not shown
};

/// The moment a plan starts with.
ElevationState state_at_start(const Array& array);

struct ElevationOptions {
  double row_px = 1600.0;  ///< a yard wider than this is drawn in rows; a narrow page wants less
  bool brief = false;      ///< hoses are labelled with their flow, or else their bore, and no more
  bool titled = true;      ///< the yard's name and what to know before looking stand above it
};

/// The side view: everything at its height, all heights to one scale. From left to right parts
/// stand as their positions say; parts without a position stand where the hoses to their
/// neighbours are short. Widths of tanks are to the same scale within limits, distances are not.
///
/// How it is kept readable: a hose leaves its mouth on the tank's front and goes down to the yard's
/// floor, which is seen as a strip below the ground line, and runs there in a lane of its own that
/// also holds its label; a header runs along the tanks that hang on it, and their hoses drop on to
/// it; roofs, top-ups and air lines have lanes above. What belongs to one part stands in that
/// part's own column. So no text can meet another; the few that stand free near a hose are put
/// where nothing else is, or below their part. Where a yard needs several rows, a header is drawn
/// again in each, and a hose between rows ends in words that say where it goes on.
///
/// `resting` (solver/at_rest.h) gives the levels the tanks come to; empty: they are not shown.
/// Requires: one depth a tank; the optional lists one entry a part. The same answer every time.
/// Cost: about (parts)^2 * hoses for the order from left to right; over 120 parts without positions
/// keep the order of the plan.
elevation::Picture lay_out_elevation(const Array& array, const ElevationState& state,
                                     const std::vector<RestingGroup>& resting = {},
                                     const ElevationOptions& options = {});

}  // namespace tankyard
