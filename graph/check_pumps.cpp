// SPDX-License-Identifier: MIT
#include <cstddef>
#include <string>

#include "graph/check_parts.h"

namespace tankyard {
namespace {

// Flows that rise and, for a pump's head, heads that fall: only then does a head belong to one
// flow.
void check_curve(const Checked& checked, const char* field, const char* what,
                 const std::vector<CurvePoint>& curve, bool heads_fall, Complaints& complaints) {
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const std::string point = "of point " + std::to_string(i + 1) + " of the " + what;
    if (!complaints.within(checked, field, ("flow " + point).c_str(), curve[i].flow_m3_per_s,
                           any_flow_or_none) ||
        !complaints.within(checked, field, ("head " + point).c_str(), curve[i].head_m, any_head)) {
      return;
    }
    if (i == 0) continue;
    const CurvePoint& before = curve[i - 1];
    if (!(curve[i].flow_m3_per_s > before.flow_m3_per_s)) {
      complaints.add(
          checked.at(field),
          std::string(what) + " of " + checked.called() + " goes from " +
              told(before.flow_m3_per_s, told_in_litres_a_minute, curve[i].flow_m3_per_s) + " to " +
              told(curve[i].flow_m3_per_s, told_in_litres_a_minute, before.flow_m3_per_s),
          "give the points in order of rising flow, each flow once");
      return;
    }
    if (heads_fall && !(curve[i].head_m < before.head_m)) {
      complaints.add(
          checked.at(field),
          std::string(what) + " of " + checked.called() +
              " does not fall: " + told(before.head_m, told_in_m, curve[i].head_m) + " at " +
              told(before.flow_m3_per_s, told_in_litres_a_minute, curve[i].flow_m3_per_s) +
              ", then " + told(curve[i].head_m, told_in_m, before.head_m) + " at " +
              told(curve[i].flow_m3_per_s, told_in_litres_a_minute, before.flow_m3_per_s),
          "the head must fall from point to point; leave out a rising first part");
      return;
    }
  }
}

void check_pump(const Parts& parts, const SoundTanks& sound, std::size_t index,
                Complaints& complaints) {
  const Pump& pump = parts.pumps[index];
  const Checked checked{"pump", index, pump.name};
  check_two_ends(checked, parts, pump.from, pump.to, complaints);
  if (pump.curve.size() < 2) {
    complaints.add(
        checked.at("curve"),
        "curve of " + checked.called() + " has " + (pump.curve.empty() ? "no point" : "one point"),
        "give at least two of the maker's points, the first at no flow");
  } else if (pump.curve[0].flow_m3_per_s > 0.0) {
    complaints.add(checked.at("curve"),
                   "curve of " + checked.called() + " begins at " +
                       told(pump.curve[0].flow_m3_per_s, told_in_litres_a_minute),
                   "the first point must be the shut-off head: the head at 0 L/min");
  } else {
    check_curve(checked, "curve", "curve", pump.curve, true, complaints);
  }
  check_curve(checked, "npsh_required", "required suction head", pump.npsh_required, false,
              complaints);
  complaints.within(checked, "efficiency", "efficiency", pump.efficiency, any_part);
  check_position(checked, pump.position, complaints);
  if (pump.runs_at_most_s) {
    complaints.within(checked, "runs_at_most", "longest run", *pump.runs_at_most_s,
                      {0.0, 366.0 * 86400.0, told_in_hours, true});
  }
  if (pump.pressure_switch) {
    const PressureSwitch& at = *pump.pressure_switch;
    if (complaints.within(checked, "pressure_switch.cut_in", "cut-in pressure", at.cut_in_pa,
                          {0.0, 1e7, told_in_kpa, true})) {
      complaints.within(checked, "pressure_switch.cut_out", "cut-out pressure", at.cut_out_pa,
                        {at.cut_in_pa, 1e7, told_in_kpa, true});
    }
  }
  if (!pump.stops_below) return;
  const LowLevelStop& stop = *pump.stops_below;
  if (!check_id(checked, "stops_below.tank", stop.tank, parts.tanks, complaints)) return;
  if (!sound[stop.tank.index].shape) return;
  const double height = height_m(part(parts.tanks, stop.tank).shape);
  if (complaints.within(checked, "stops_below.depth", "low-level stop", stop.depth_m,
                        {0.0, height, told_in_mm, false, true})) {
    complaints.within(checked, "stops_below.resumes", "depth to resume", stop.resumes_depth_m,
                      {stop.depth_m, height, told_in_mm, true});
  }
}

}  // namespace

void check_pumps(const Parts& parts, const SoundTanks& sound, Complaints& complaints) {
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) check_pump(parts, sound, i, complaints);
}

}  // namespace tankyard
