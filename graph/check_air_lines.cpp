// SPDX-License-Identifier: MIT
#include <cstddef>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

// Any lid may be at either end. Under an open one the air line is a vent: it joins the other
// headspace to the outside air.
void check_air_line(const Parts& parts, std::size_t index, Complaints& complaints) {
  const AirLine& line = parts.air_lines[index];
  const Checked checked{"air_line", index, line.name};
  complaints.within(checked, "bore", "bore", line.bore_m, any_bore);
  complaints.within(checked, "length", "length", line.length_m, any_hose_length);
  const bool from = check_id(checked, "from", line.from, parts.tanks, complaints);
  const bool to = check_id(checked, "to", line.to, parts.tanks, complaints);
  if (!from || !to || line.from != line.to) return;
  const Checked tank{"tank", line.from.index, part(parts.tanks, line.from).name};
  complaints.add(checked.at("to"), checked.called() + " begins and ends at " + tank.called(),
                 "give it two different tanks: it joins the air of one to the air of the other");
}

}  // namespace

void check_air_lines(const Parts& parts, Complaints& complaints) {
  for (std::size_t i = 0; i < parts.air_lines.size(); ++i) check_air_line(parts, i, complaints);
}

}  // namespace tankyard
