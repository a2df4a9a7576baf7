// SPDX-License-Identifier: MIT
// The chapters [[roof]], [[top_up]] and [[leak]] of a plan: water in, and water lost.
#include "io/plan_draft.h"

namespace tankyard {
namespace {

Roof read_roof(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("roof")[index], {"roof", index, ""},
              draft.source.called("roof", index));
  Roof roof;
  roof.name = read_name(draft, entry);
  roof.area_m2 = entry.needed_quantity("area", Dimension::area);
  roof.runoff_fraction = entry.number_or("runoff", roof.runoff_fraction);
  roof.first_flush_m = entry.quantity_or("first_flush", Dimension::length, roof.first_flush_m);
  roof.gutter_limit_m3_per_s = entry.quantity("gutter_limit", Dimension::flow);
  roof.into =
      read_needed_tank(draft, entry, "into", entry.owner() + " runs into", draft.stand_in_from());
  roof.position = read_position(entry);
  entry.finish();
  return roof;
}

TopUp read_top_up(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("top_up")[index], {"top_up", index, ""},
              draft.source.called("top_up", index));
  TopUp top_up;
  top_up.name = read_name(draft, entry);
  top_up.into =
      read_needed_tank(draft, entry, "into", entry.owner() + " runs into", draft.stand_in_from());
  top_up.flow_m3_per_s = entry.needed_quantity("flow", Dimension::flow);
  top_up.starts_below_m = entry.needed_quantity("starts_below", Dimension::length, "0.2 m");
  top_up.stops_above_m = entry.needed_quantity("stops_above", Dimension::length, "0.3 m");
  top_up.air_gap_m = entry.quantity("air_gap", Dimension::length);
  entry.finish();
  return top_up;
}

Leak read_leak(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("leak")[index], {"leak", index, ""},
              draft.source.called("leak", index));
  Leak leak;
  leak.name = read_name(draft, entry);
  leak.tank =
      read_needed_tank(draft, entry, "tank", entry.owner() + " is in", draft.stand_in_from());
  leak.height_m = entry.quantity_or("height", Dimension::length, 0.0);
  leak.bore_m = entry.needed_quantity("bore", Dimension::length, "2 mm");
  leak.coefficient = entry.number_or("coefficient", leak.coefficient);
  entry.finish();
  return leak;
}

}  // namespace

void read_supplies(Draft& draft) {
  for (std::size_t i = 0; i < draft.source.entries("roof").size(); ++i) {
    draft.parts.roofs.push_back(read_roof(draft, i));
  }
  for (std::size_t i = 0; i < draft.source.entries("top_up").size(); ++i) {
    draft.parts.top_ups.push_back(read_top_up(draft, i));
  }
  for (std::size_t i = 0; i < draft.source.entries("leak").size(); ++i) {
    draft.parts.leaks.push_back(read_leak(draft, i));
  }
}

}  // namespace tankyard
