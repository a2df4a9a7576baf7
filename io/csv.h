// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

#include "graph/array.h"
#include "solver/run.h"

namespace tankyard {

/// A cell of a table of comma-separated values (RFC 4180): in quotes where it holds a comma, a
/// quote or a line break, with quotes inside doubled.
std::string csv_cell(std::string_view text);

/// The trace of a run as comma-separated values, lines ended by CR LF: `time_s`, then for every
/// tank `NAME.depth_m` and `NAME.headspace_pa`, for every hose `NAME.flow_l_min`, for every outlet
/// `NAME.flow_l_min`. Headspace is gauge pressure.
/// Numbers have a point for the decimals on any machine, and nine digits.
std::string series_csv(const Array& array, const Trace& trace);

/// How often a series has a row unless told: the shortest of a row of round times that keeps it
/// within 1500 rows. A day gets one a minute.
double usual_row_s(double lasts_s);

}  // namespace tankyard
