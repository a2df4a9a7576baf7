// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <cmath>

#include "io/level_bar.h"
#include "io/report.h"
#include "io/report_words.h"
#include "io/tables.h"
#include "io/units.h"

namespace tankyard {

Chapter pumps_chapter(const Plan& plan, const RunRecord& record) {
  using Holds = Table::Holds;
  Table table({{"pump", Holds::words},
               {"ran for", Holds::words},
               {"starts"},
               {"delivered L"},
               {"peak L/min"},
               {"kWh"},
               {"least suction m"},
               {"at", Holds::words},
               {"needs m"},
               {"dry for", Holds::words}});
  std::vector<std::string> notes;
  const auto note = [&](const std::string& text) { notes.push_back(text); };
  for (std::size_t p = 0; p < record.pumps.size(); ++p) {
    const PumpRecord& pump = record.pumps[p];
    const Pump& it = plan.array.pumps()[p];
    table.add({it.name, pump.ran_s > 0.0 ? duration_text(std::round(pump.ran_s)) : "never",
               std::to_string(pump.starts), litres_cell(pump.delivered_m3),
               flow_cell(pump.peak_m3_per_s), fmt::format("{:.3f}", pump.energy_kwh),
               pump.lowest ? metres_cell(pump.lowest->npsh_available_m) : "-",
               pump.lowest ? moment_of(plan, record, pump.lowest->at_s) : "-",
               pump.lowest ? metres_cell(pump.lowest->npsh_required_m) : "-",
               pump.dry_s > 0.0 ? duration_text(std::round(pump.dry_s)) : ""});
    if (pump.air_drawn) {
      note(fmt::format(
          "{} drew air at {}{}", list_of({it.name}), moment_of(plan, record, pump.air_drawn->at_s),
          pump.lost_prime > 1 ? fmt::format(", {} times in all", pump.lost_prime) : std::string()));
    }
    if (pump.cut_outs > 0) {
      note(fmt::format("{} was stopped by its own switches {}", list_of({it.name}),
                       pump.cut_outs == 1 ? "once" : fmt::format("{} times", pump.cut_outs)));
    }
    if (pump.ran_back_m3 > noticed_m3) {
      note(fmt::format("{} ran back through {} while it stood", litres_text(pump.ran_back_m3),
                       list_of({it.name})));
    }
    if (pump.ran_on_m3 > noticed_m3) {
      note(fmt::format("{} ran on through {} by gravity while it stood",
                       litres_text(pump.ran_on_m3), list_of({it.name})));
    }
    if (pump.shut_s >= 60.0) {
      note(fmt::format("{} ran against a shut outlet, or one too high, for {}", list_of({it.name}),
                       duration_text(std::round(pump.shut_s))));
    }
  }
  return {"Pumps (suction: metres of water above boiling, at the pump's inlet)", table, notes};
}

}  // namespace tankyard
