// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <cmath>

#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"

namespace tankyard {

using Holds = Table::Holds;

Chapter reach_chapter(const Plan& plan, const std::vector<Reach>& reaches) {
  Table table({{"outlet", Holds::words},
               {"by", Holds::words},
               {"now L/min"},
               {"bar"},
               {"half gone L/min"},
               {"bar"},
               {"a tenth left L/min"},
               {"bar"}});
  bool air = false;
  for (const Reach& reach : reaches) {
    std::vector<std::string> cells = {
        part(plan.array.outlets(), reach.outlet).name,
        reach.pump ? part(plan.array.pumps(), *reach.pump).name : "gravity"};
    for (const Reach::AtFill& at : reach.at) {
      air = air || at.drew_air;
      cells.push_back(at.drew_air ? "air" : flow_cell(at.m3_per_s));
      cells.push_back(at.gauge_pa && !at.drew_air ? fmt::format("{:.2f}", *at.gauge_pa / 1e5) : "");
    }
    table.add(cells);
  }
  Chapter chapter{"What each outlet gets, open alone (bar: just before its mouth)", table};
  if (air) chapter.notes.push_back("air: the pump has lost its prime, or finds no water");
  return chapter;
}

Chapter set_points_chapter(const Plan& plan, const std::vector<SetPoint>& points) {
  Table table({{"pump", Holds::words},
               {"stop below mm"},
               {"in", Holds::words},
               {"worst valves", Holds::words},
               {"leaves L"}});
  Chapter chapter{"Where a low-level cut-out keeps each pump from drawing air", std::nullopt};
  for (const SetPoint& point : points) {
    const std::string& name = part(plan.array.pumps(), point.pump).name;
    if (!point.draws_air) {
      chapter.notes.push_back(
          fmt::format("`{}` draws no air with any set of valves tried: it "
                      "needs no cut-out for that",
                      name));
      continue;
    }
    if (!point.tank || !point.depth_m) {
      chapter.notes.push_back(
          fmt::format("`{}` draws air, and no depth of one tank tells it in time", name));
      continue;
    }
    const std::string worst = !point.worst_at_s         ? "the day as it is"
                              : *point.worst_at_s > 0.0 ? clock_of(plan, *point.worst_at_s)
                                                        : "at the start";
    table.add({name, fmt::format("{:.0f}", *point.depth_m * 1000.0),
               part(plan.array.tanks(), *point.tank).name, worst, litres_cell(point.left_m3)});
  }
  if (!table.empty()) {
    chapter.table = table;
    chapter.notes.push_back(
        "`stops_below = { tank, depth }`; it starts again 50 mm higher. Found by running each set "
        "of valves of the day sheet for 24 h with all that the pump feeds open. Set it a few "
        "centimetres higher: water whirls air into a mouth before it is bare (common practice, no "
        "source)");
  }
  return chapter;
}

}  // namespace tankyard
