// SPDX-License-Identifier: MIT
// The chapter [[air_line]] of a plan: hoses that join the air of two tanks.
#include "io/plan_draft.h"

namespace tankyard {
namespace {

AirLine read_air_line(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("air_line")[index], {"air_line", index, ""},
              draft.source.called("air_line", index));
  AirLine line;
  line.name = read_name(draft, entry);
  line.from =
      read_needed_tank(draft, entry, "from", entry.owner() + " begins at", draft.stand_in_from());
  line.to = read_needed_tank(draft, entry, "to", entry.owner() + " ends at", draft.stand_in_to(),
                             "\"shed-2\"");
  line.bore_m = entry.needed_quantity("bore", Dimension::length, "19 mm");
  line.length_m = entry.needed_quantity("length", Dimension::length, "1.5 m");
  line.open = entry.flag_or("open", line.open);
  entry.finish();
  return line;
}

}  // namespace

void read_air_lines(Draft& draft) {
  for (std::size_t i = 0; i < draft.source.entries("air_line").size(); ++i) {
    draft.parts.air_lines.push_back(read_air_line(draft, i));
  }
}

}  // namespace tankyard
