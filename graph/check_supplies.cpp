// SPDX-License-Identifier: MIT
#include <cstddef>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

void check_roof(const Parts& parts, std::size_t index, Complaints& complaints) {
  const Roof& roof = parts.roofs[index];
  const Checked checked{"roof", index, roof.name};
  complaints.within(checked, "area", "plan area", roof.area_m2, any_area);
  complaints.within(checked, "runoff", "runoff", roof.runoff_fraction, any_part_or_none);
  complaints.within(checked, "first_flush", "first flush", roof.first_flush_m,
                    {0.0, 1.0, told_in_mm});
  if (roof.gutter_limit_m3_per_s) {
    complaints.within(checked, "gutter_limit", "gutter limit", *roof.gutter_limit_m3_per_s,
                      any_flow);
  }
  check_id(checked, "into", roof.into, parts.tanks, complaints);
  check_position(checked, roof.position, complaints);
}

void check_top_up(const Parts& parts, const SoundTanks& sound, std::size_t index,
                  Complaints& complaints) {
  const TopUp& top_up = parts.top_ups[index];
  const Checked checked{"top_up", index, top_up.name};
  complaints.within(checked, "flow", "flow", top_up.flow_m3_per_s, any_flow);
  if (top_up.air_gap_m) {
    complaints.within(checked, "air_gap", "air gap", *top_up.air_gap_m, {0.0, 10.0, told_in_mm});
  }
  if (!check_id(checked, "into", top_up.into, parts.tanks, complaints)) return;
  if (!sound[top_up.into.index].shape) return;
  const double height = height_m(part(parts.tanks, top_up.into).shape);
  if (complaints.within(checked, "starts_below", "depth to start", top_up.starts_below_m,
                        {0.0, height, told_in_mm, false, true})) {
    complaints.within(checked, "stops_above", "depth to stop", top_up.stops_above_m,
                      {top_up.starts_below_m, height, told_in_mm, true});
  }
}

void check_leak(const Parts& parts, const SoundTanks& sound, std::size_t index,
                Complaints& complaints) {
  const Leak& leak = parts.leaks[index];
  const Checked checked{"leak", index, leak.name};
  bool bore = complaints.within(checked, "bore", "bore", leak.bore_m, any_bore);
  complaints.within(checked, "coefficient", "coefficient", leak.coefficient, any_part);
  if (!check_id(checked, "tank", leak.tank, parts.tanks, complaints)) return;
  const Tank& tank = part(parts.tanks, leak.tank);
  const bool sound_shape = sound[leak.tank.index].shape;
  bore = bore && sound_shape &&
         check_bore_fits(checked, "bore", leak.bore_m, tank, leak.tank.index, complaints);
  check_mouth(checked, "height", leak.height_m, bore ? leak.bore_m : 0.0, tank, leak.tank.index,
              sound_shape, complaints);
}

}  // namespace

void check_supplies(const Parts& parts, const SoundTanks& sound, Complaints& complaints) {
  for (std::size_t i = 0; i < parts.roofs.size(); ++i) check_roof(parts, i, complaints);
  for (std::size_t i = 0; i < parts.top_ups.size(); ++i) check_top_up(parts, sound, i, complaints);
  for (std::size_t i = 0; i < parts.leaks.size(); ++i) check_leak(parts, sound, i, complaints);
}

}  // namespace tankyard
