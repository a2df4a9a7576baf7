// SPDX-License-Identifier: MIT
// The chapters [[pump]] and [[outlet]] of a plan.
#include <fmt/format.h>

#include "io/plan_draft.h"

namespace tankyard {
namespace {

constexpr const char* curve_example = R"([["0 L/min", "38 m"], ["46 L/min", "5 m"]])";
constexpr const char* npsh_example = R"([["0 L/min", "2 m"], ["46 L/min", "3 m"]])";

std::vector<CurvePoint> read_curve(Entry& pump, std::string_view key, std::string_view example) {
  const auto rows = pump.pairs(key, Dimension::flow, Dimension::length, example);
  std::vector<CurvePoint> curve;
  if (!rows) return curve;
  for (const auto& [flow, head] : *rows) curve.push_back({flow, head});
  return curve;
}

/// One figure for every flow, or a curve.
std::vector<CurvePoint> read_npsh(Entry& pump) {
  const toml::node* const node = pump.get("npsh_required");
  if (node == nullptr) return {};
  if (node->is_array()) return read_curve(pump, "npsh_required", npsh_example);
  return {{0.0, pump.quantity_at(*node, "npsh_required", Dimension::length)}};
}

/// Dead band of a cut-out that does not say where it resumes, m.
constexpr double usual_dead_band_m = 0.05;

std::optional<LowLevelStop> read_low_level_stop(Draft& draft, Entry& pump) {
  auto entry = pump.table("stops_below", "the low-level stop of " + pump.owner(),
                          R"({ tank = "shed-1", depth = "0.12 m", resumes = "0.30 m" })");
  if (!entry) return std::nullopt;
  LowLevelStop stop;
  const auto tank = read_tank_name(draft, *entry, "tank", entry->owner() + " watches");
  if (!tank && !entry->toml().contains("tank")) entry->missing("tank", "\"shed-1\"");
  stop.tank = tank.value_or(draft.stand_in_from());
  stop.depth_m = entry->needed_quantity("depth", Dimension::length, "0.12 m");
  const auto resumes = entry->quantity("resumes", Dimension::length);
  stop.resumes_depth_m = resumes.value_or(stop.depth_m + usual_dead_band_m);
  if (!resumes) {
    draft.assumed.push_back(fmt::format(
        "{} does not say at what depth it `resumes`: taken as 50 mm above the depth it stops at",
        entry->owner()));
  }
  entry->finish();
  return stop;
}

std::optional<PressureSwitch> read_pressure_switch(Draft& draft, Entry& pump) {
  auto entry = pump.table("pressure_switch", "the pressure switch of " + pump.owner(),
                          R"({ cut_in = "1.5 bar", cut_out = "3 bar" })");
  if (!entry) return std::nullopt;
  PressureSwitch at;
  at.cut_in_pa = entry->needed_quantity("cut_in", Dimension::pressure, "1.5 bar");
  at.cut_out_pa = entry->needed_quantity("cut_out", Dimension::pressure, "3 bar");
  entry->finish();
  draft.assumed.push_back(
      fmt::format("{} has a non-return valve, as pumps with a pressure switch do, and its switch "
                  "holds either position for 10 s",
                  pump.owner()));
  return at;
}

Pump read_pump(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("pump")[index], {"pump", index, ""},
              draft.source.called("pump", index));
  static const std::vector<std::string> places = {"tank", "header", "outlet"};
  Pump pump;
  pump.name = read_name(draft, entry);
  pump.from = read_end(draft, entry, "from", entry.owner() + " draws from", places, false,
                       draft.stand_in_from())
                  .place;
  pump.to = read_end(draft, entry, "to", entry.owner() + " delivers to", places, false,
                     draft.stand_in_to())
                .place;
  pump.curve = read_curve(entry, "curve", curve_example);
  if (!entry.toml().contains("curve")) {
    entry.missing("curve", curve_example);
  }
  pump.npsh_required = read_npsh(entry);
  pump.efficiency = entry.number_or("efficiency", pump.efficiency);
  pump.running = entry.flag_or("running", pump.running);
  pump.one_way = entry.flag_or("one_way", pump.one_way);
  pump.primed = entry.flag_or("primed", pump.primed);
  pump.stops_below = read_low_level_stop(draft, entry);
  pump.pressure_switch = read_pressure_switch(draft, entry);
  pump.runs_at_most_s = entry.quantity("runs_at_most", Dimension::duration);
  pump.position = read_position(entry);
  entry.finish();
  return pump;
}

Outlet read_outlet(Draft& draft, std::size_t index) {
  Entry entry(draft.reading, *draft.source.entries("outlet")[index], {"outlet", index, ""},
              draft.source.called("outlet", index));
  Outlet outlet;
  outlet.name = read_name(draft, entry);
  if (entry.toml().contains("at")) {
    outlet.at = read_end(draft, entry, "at", entry.owner() + " sits at", {"tank", "header"}, true,
                         draft.stand_in_from());
  } else {
    entry.get("at");
  }
  outlet.height_m = entry.quantity("height", Dimension::length);
  outlet.bore_m = entry.quantity("bore", Dimension::length);
  outlet.draw_m3_per_s = entry.quantity("draw", Dimension::flow);
  outlet.coefficient = entry.number_or("coefficient", outlet.coefficient);
  outlet.open = entry.flag_or("open", outlet.open);
  outlet.position = read_position(entry);
  entry.finish();
  // What is there under a misspelt key is not missing.
  const auto misspelt = [&](const char* key) {
    return !entry.toml().contains(key) && draft.reading.is_stand_in(entry.field(key));
  };
  if (!outlet.bore_m && !outlet.draw_m3_per_s) {
    if (misspelt("bore"))
      outlet.bore_m = no_number;
    else if (misspelt("draw"))
      outlet.draw_m3_per_s = no_number;
  }
  if (misspelt("at")) outlet.at = HoseEnd{draft.stand_in_from(), std::nullopt};
  return outlet;
}

}  // namespace

void read_pumps(Draft& draft) {
  for (std::size_t i = 0; i < draft.source.entries("pump").size(); ++i) {
    draft.parts.pumps.push_back(read_pump(draft, i));
  }
}

void read_outlets(Draft& draft) {
  for (std::size_t i = 0; i < draft.source.entries("outlet").size(); ++i) {
    draft.parts.outlets.push_back(read_outlet(draft, i));
  }
}

}  // namespace tankyard
