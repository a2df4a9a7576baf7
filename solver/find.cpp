// SPDX-License-Identifier: MIT
#include "solver/find.h"

#include <iterator>
#include <set>
#include <string>
#include <utility>

#include "solver/find_each.h"

namespace tankyard {
namespace {

void take(std::vector<Finding>& all, std::vector<Finding> more) {
  all.insert(all.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

}  // namespace

std::vector<Finding> find_at_rest(const Array& array) {
  std::vector<Finding> all = find_uneven_rims(array);
  take(all, find_no_overflow(array));
  take(all, find_dead_water(array));
  take(all, find_crest_out_of_reach(array));
  take(all, find_back_flow(array));
  take(all, find_no_vent(array));
  sort_worst_first(all);
  return all;
}

std::vector<Finding> find_in_run(const Array& array, const DaySheet& sheet,
                                 const RunOptions& options, const RunRecord& record,
                                 const TryWatch& watch) {
  Tries tries(array, sheet, options, record, watch);
  std::vector<Finding> all = find_at_rest(array);
  // A hump that nothing ever fills has been told of already.
  std::set<std::string> told;
  for (const Finding& finding : all) {
    if (finding.kind == FindingKind::air_lock) told.insert(finding.where);
  }
  for (Finding& finding : find_held_by_air(array, record)) {
    if (told.count(finding.where) == 0) all.push_back(std::move(finding));
  }
  // Dangers first: they may spend what there is on their remedies.
  LidAgain lids(tries);
  take(all, find_vacuum_collapse(array, sheet, record, lids));
  take(all, find_pressure_bulge(array, sheet, record, lids));
  take(all, find_vent_too_small(array, sheet, record, lids));
  DayAgain again(tries);
  take(all, find_spills_with_room(array, sheet, record, again));
  take(all, find_stranded_water(array, record));
  take(all, find_slow_links(array, record, again));
  take(all, find_pumps(array, record, again, PumpAgain(tries)));
  take(all, find_pump_starts(array, record));
  take(all, find_out_of_reach(array, record));
  sort_worst_first(all);
  return all;
}

}  // namespace tankyard
