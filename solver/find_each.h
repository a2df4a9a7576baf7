// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "solver/findings.h"
#include "solver/lid_again.h"
#include "solver/pump_again.h"
#include "solver/run.h"
#include "solver/wider_hose.h"

// Private to solver/: the finders that find.cpp gathers, one a kind or idea. The rule of each
// stands in words in finding_kinds.cpp.

namespace tankyard {

std::vector<Finding> find_uneven_rims(const Array& array);
std::vector<Finding> find_no_overflow(const Array& array);
std::vector<Finding> find_dead_water(const Array& array);
std::vector<Finding> find_crest_out_of_reach(const Array& array);
std::vector<Finding> find_back_flow(const Array& array);
std::vector<Finding> find_no_vent(const Array& array);

std::vector<Finding> find_spills_with_room(const Array& array, const DaySheet& sheet,
                                           const RunRecord& record, DayAgain& again);
std::vector<Finding> find_slow_links(const Array& array, const RunRecord& record, DayAgain& again);
std::vector<Finding> find_stranded_water(const Array& array, const RunRecord& record);
std::vector<Finding> find_pumps(const Array& array, const RunRecord& record, DayAgain& again,
                                const PumpAgain& pumps);
std::vector<Finding> find_pump_starts(const Array& array, const RunRecord& record);
std::vector<Finding> find_out_of_reach(const Array& array, const RunRecord& record);
std::vector<Finding> find_held_by_air(const Array& array, const RunRecord& record);
std::vector<Finding> find_vacuum_collapse(const Array& array, const DaySheet& sheet,
                                          const RunRecord& record, LidAgain& again);
std::vector<Finding> find_pressure_bulge(const Array& array, const DaySheet& sheet,
                                         const RunRecord& record, LidAgain& again);
std::vector<Finding> find_vent_too_small(const Array& array, const DaySheet& sheet,
                                         const RunRecord& record, LidAgain& again);

}  // namespace tankyard
