// SPDX-License-Identifier: MIT
#include "solver/studies/day_pieces.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "graph/time_units.h"

namespace tankyard {
namespace {

// Both ends are tanks that stand over the crest: it fills at once.
bool fills_at_once(const Parts& parts, const Hose& hose) {
  for (const HoseEnd* end : {&hose.from, &hose.to}) {
    const auto* id = std::get_if<TankId>(&end->place);
    if (id == nullptr) return false;
    const Tank& tank = part(parts.tanks, *id);
    if (tank.base_m + depth_m(tank.shape, tank.water_m3) < *hose.crest_m) return false;
  }
  return true;
}

}  // namespace

Between between_at_start(const Array& array) {
  const Parts& parts = array.parts();
  Between start;
  for (const Tank& tank : parts.tanks) {
    start.water_m3.push_back(tank.water_m3);
    start.headspace_pa.push_back(tank.headspace_pa);
  }
  start.hose_open = array.open_at_start();
  for (const Outlet& outlet : parts.outlets) start.outlet_open.push_back(outlet.open);
  for (const Pump& pump : parts.pumps) start.pump_running.push_back(pump.running);
  for (const AirLine& line : parts.air_lines) start.air_line_open.push_back(line.open);
  for (const Hose& hose : parts.hoses) {
    start.crest_full.push_back(hose.primed || (hose.crest_m && fills_at_once(parts, hose)));
  }
  start.header_full.assign(parts.headers.size(), false);
  for (const Pump& pump : parts.pumps) {
    const auto* header = std::get_if<HeaderId>(&pump.from);
    if (header != nullptr && pump.primed) start.header_full[header->index] = true;
  }
  for (const Roof& roof : parts.roofs) start.first_flush_left_m.push_back(roof.first_flush_m);
  return start;
}

Parts as_they_are(Parts parts, const Between& between) {
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    // A tank that has just spilt may stand a hair over its rim.
    parts.tanks[i].water_m3 =
        std::clamp(between.water_m3[i], 0.0, capacity_m3(parts.tanks[i].shape));
    parts.tanks[i].headspace_pa = between.headspace_pa[i];
  }
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    Hose& hose = parts.hoses[i];
    if (between.hose_open[i]) {
      hose.open = true;
      if (hose.valve) hose.valve->open = true;
    } else if (hose.valve) {
      hose.valve->open = false;
    } else {
      hose.open = false;
    }
    if (hose.crest_m) hose.primed = between.crest_full[i];
  }
  for (std::size_t i = 0; i < between.outlet_open.size(); ++i) {
    parts.outlets[i].open = between.outlet_open[i];
  }
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) {
    parts.pumps[i].running = between.pump_running[i];
    const auto* header = std::get_if<HeaderId>(&parts.pumps[i].from);
    if (header != nullptr) parts.pumps[i].primed = between.header_full[header->index];
  }
  for (std::size_t i = 0; i < parts.air_lines.size(); ++i) {
    parts.air_lines[i].open = between.air_line_open[i];
  }
  for (std::size_t i = 0; i < parts.roofs.size(); ++i) {
    parts.roofs[i].first_flush_m = between.first_flush_left_m[i];
  }
  return parts;
}

DaySheet piece_of(const DaySheet& sheet, double from_s, double to_s, std::optional<double> falls,
                  const std::function<bool(const Action&)>& kept) {
  DaySheet piece;
  piece.lasts_s = to_s - from_s;
  piece.starts_clock_s = std::fmod(sheet.starts_clock_s + from_s, day_s);
  if (falls) piece.steps.push_back({0.0, {}, falls});
  for (const TimedStep& step : sheet.steps) {
    if (step.at_s < from_s || step.at_s >= to_s) continue;
    TimedStep shifted = step;
    shifted.at_s -= from_s;
    if (kept) {
      shifted.actions.clear();
      for (const Action& action : step.actions) {
        if (kept(action)) shifted.actions.push_back(action);
      }
    }
    piece.steps.push_back(std::move(shifted));
  }
  return piece;
}

Between after_piece(const Between& before, const Array& array, const DaySheet& piece,
                    const RunRecord& record) {
  Between after = before;
  for (std::size_t i = 0; i < after.water_m3.size(); ++i) {
    after.water_m3[i] = record.tanks[i].end_m3;
    after.headspace_pa[i] = record.tanks[i].headspace.end_pa;
  }
  for (const TimedStep& step : piece.steps) {
    if (step.rain_m_per_s) after.rain_m_per_s = step.rain_m_per_s;
    for (const Action& action : step.actions) {
      const bool on = action.does == Action::Does::open || action.does == Action::Does::start;
      if (const auto* hose = std::get_if<HoseId>(&action.part)) {
        after.hose_open[hose->index] = on;
      } else if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
        after.outlet_open[outlet->index] = on;
      } else if (const auto* line = std::get_if<AirLineId>(&action.part)) {
        after.air_line_open[line->index] = on;
      } else {
        after.pump_running[std::get<PumpId>(action.part).index] = on;
      }
    }
  }
  for (const Event& event : record.events) {
    switch (event.kind) {
      case Event::Kind::primed:
      case Event::Kind::prime_lost: {
        const bool full = event.kind == Event::Kind::primed;
        (event.at_header ? after.header_full : after.crest_full)[event.part] = full;
        break;
      }
      case Event::Kind::pump_starts:
        after.pump_running[event.part] = true;
        break;
      case Event::Kind::pump_stops:
      case Event::Kind::pump_starts_dry:
      case Event::Kind::pump_draws_air:
      case Event::Kind::pump_cut_out_by_time:
        after.pump_running[event.part] = false;
        break;
      default:
        break;
    }
  }
  for (std::size_t i = 0; i < after.first_flush_left_m.size(); ++i) {
    const Roof& roof = array.parts().roofs[i];
    const double catches_m2 = roof.area_m2 * roof.runoff_fraction;
    if (!(catches_m2 > 0.0)) continue;
    after.first_flush_left_m[i] =
        std::max(0.0, before.first_flush_left_m[i] - record.roofs[i].first_flush_m3 / catches_m2);
  }
  return after;
}

void add_steps(DaySheet& sheet, const std::vector<TimedStep>& steps) {
  sheet.steps.insert(sheet.steps.end(), steps.begin(), steps.end());
  std::stable_sort(sheet.steps.begin(), sheet.steps.end(),
                   [](const TimedStep& a, const TimedStep& b) { return a.at_s < b.at_s; });
}

}  // namespace tankyard
