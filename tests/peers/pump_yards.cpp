// SPDX-License-Identifier: MIT
#include "pump_yards.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "dice.h"
#include "draw_parts.h"

namespace peers {
namespace {

using namespace tankyard;

Tank draw_tank(Dice& dice, std::size_t index, bool lids) {
  Tank tank;
  tank.name = "tank-" + std::to_string(index + 1);
  const double height = dice.between(0.7, 1.5);
  switch (dice.below(3)) {
    case 0:
      tank.shape = Prism{dice.spread(0.2, 2.0), height};
      break;
    case 1:
      tank.shape = Upright{dice.between(0.5, 1.4), height};
      break;
    default:
      tank.shape = Lying{height, dice.between(0.8, 2.0)};
  }
  tank.base_m = dice.chance(0.5) ? 0.0 : dice.between(0.0, 0.8);
  tank.outlet_height_m = dice.chance(0.5) ? 0.0 : dice.between(0.0, 0.2);
  tank.water_m3 = capacity_m3(tank.shape) * dice.between(0.15, 0.9);
  if (lids) {
    const double kind = dice.between(0.0, 1.0);
    if (kind < 0.25) tank.lid.kind = Lid::Kind::sealed;
    if (kind >= 0.25 && kind < 0.75) {
      tank.lid.kind = Lid::Kind::holed;
      tank.lid.hole_m = dice.spread(0.002, 0.03);
    }
    if (tank.lid.kind != Lid::Kind::open && dice.chance(0.7)) {
      tank.allowed_vacuum_pa = dice.spread(200.0, 8000.0);
    }
  }
  if (tank.lid.kind == Lid::Kind::open && dice.chance(0.5)) {
    Overflow overflow;
    overflow.bore_m = dice.spread(0.03, 0.11);
    overflow.height_m = dice.between(0.5, 0.95) * (height - overflow.bore_m);
    tank.overflow = overflow;
  }
  return tank;
}

/// A falling curve of three to five points that flattens towards no flow, as makers print.
std::vector<CurvePoint> draw_curve(Dice& dice) {
  const double shut_off_m = dice.between(8.0, 50.0);
  const double free_m3_per_s = dice.spread(2.5e-4, 1.4e-3);
  const double power = dice.between(1.5, 2.5);
  std::vector<CurvePoint> curve;
  const std::size_t points = 3 + dice.below(3);
  for (std::size_t k = 0; k < points; ++k) {
    const double share = 0.95 * static_cast<double>(k) / static_cast<double>(points - 1);
    curve.push_back({share * free_m3_per_s, shut_off_m * (1.0 - std::pow(share, power))});
  }
  return curve;
}

std::size_t add_outlet(Dice& dice, Parts& parts, bool nozzle) {
  Outlet outlet;
  outlet.name = "outlet-" + std::to_string(parts.outlets.size() + 1);
  outlet.height_m = dice.between(0.0, 3.0);
  outlet.open = true;
  if (nozzle) {
    outlet.bore_m = dice.spread(0.003, 0.012);
    outlet.coefficient = dice.between(0.7, 1.0);
  } else {
    outlet.draw_m3_per_s = dice.spread(3e-5, 3e-4);
  }
  parts.outlets.push_back(outlet);
  return parts.outlets.size() - 1;
}

/// Where the pump draws from: a tank's own outlet, a header below all tanks, or one above the
/// water with foot valves.
Place draw_suction(Dice& dice, Parts& parts) {
  if (dice.chance(0.35)) return id_at<TankId>(dice.below(parts.tanks.size()));
  const bool lifts = dice.chance(0.3);
  parts.headers.push_back(
      {"suction", lifts ? dice.between(1.0, 3.5) : dice.between(-0.6, 0.0), std::nullopt});
  const std::size_t hoses = 1 + dice.below(std::min<std::size_t>(3, parts.tanks.size()));
  for (std::size_t k = 0; k < hoses; ++k) {
    Hose hose = draw_hose(dice, parts.hoses.size(), 0.05);
    hose.bore_m = dice.spread(0.015, 0.05);
    hose.length_m = dice.spread(0.5, 8.0);
    hose.from = end_at(dice, parts, dice.below(parts.tanks.size()), hose.bore_m);
    hose.to.place = id_at<HeaderId>(0);
    hose.one_way = lifts || dice.chance(0.2);
    parts.hoses.push_back(hose);
  }
  return id_at<HeaderId>(0);
}

/// Where it delivers to.
Place draw_delivery(Dice& dice, Parts& parts, bool to_nozzle) {
  const double kind = dice.between(0.0, 1.0);
  if (to_nozzle || kind < 0.35) return id_at<OutletId>(add_outlet(dice, parts, true));
  if (kind < 0.55) {
    Tank tank = draw_tank(dice, parts.tanks.size(), false);
    tank.name = "high";
    tank.base_m = dice.between(1.0, 4.0);
    parts.tanks.push_back(tank);
    return id_at<TankId>(parts.tanks.size() - 1);
  }
  const std::size_t header = parts.headers.size();
  parts.headers.push_back({"delivery", dice.between(-0.5, 0.5), std::nullopt});
  const std::size_t ways = 1 + dice.below(2);
  for (std::size_t k = 0; k < ways; ++k) {
    Hose hose = draw_hose(dice, parts.hoses.size(), 0.03);
    hose.from.place = id_at<HeaderId>(header);
    if (dice.chance(0.7)) {
      hose.to.place = id_at<OutletId>(add_outlet(dice, parts, dice.chance(0.7)));
    } else {
      hose.to = end_at(dice, parts, dice.below(parts.tanks.size()), hose.bore_m);
      hose.one_way = dice.chance(0.5);
    }
    parts.hoses.push_back(hose);
  }
  return id_at<HeaderId>(header);
}

void add_pump(Dice& dice, Parts& parts) {
  Pump pump;
  pump.name = "pump";
  pump.from = draw_suction(dice, parts);
  const bool by_pressure = dice.chance(0.1);
  pump.to = draw_delivery(dice, parts, by_pressure);
  while (pump.to == pump.from) pump.to = draw_delivery(dice, parts, true);
  pump.curve = draw_curve(dice);
  if (dice.chance(0.4)) pump.npsh_required.push_back({0.0, dice.between(0.5, 4.0)});
  if (dice.chance(0.3)) {
    const double flow = pump.curve.back().flow_m3_per_s;
    pump.npsh_required = {{0.1 * flow, 1.0}, {0.5 * flow, 1.5}, {flow, dice.between(2.0, 5.0)}};
  }
  pump.one_way = dice.chance(0.4);
  pump.running = dice.chance(0.2);
  if (dice.chance(0.25)) {
    LowLevelStop stop;
    stop.tank = id_at<TankId>(dice.below(parts.tanks.size()));
    stop.depth_m = dice.between(0.05, 0.4);
    stop.resumes_depth_m = stop.depth_m + dice.between(0.02, 0.1);
    pump.stops_below = stop;
  }
  if (dice.chance(0.2)) pump.runs_at_most_s = dice.between(120.0, 1800.0);
  if (by_pressure) {
    const double most_pa = 998.207 * 9.80665 * pump.curve.front().head_m;
    pump.pressure_switch =
        PressureSwitch{most_pa * dice.between(0.4, 0.5), most_pa * dice.between(0.55, 0.8)};
  }
  parts.pumps.push_back(pump);
}

DaySheet draw_day(Dice& dice, const Parts& parts) {
  DaySheet sheet;
  sheet.lasts_s = dice.spread(900.0, 7200.0);
  if (parts.pumps[0].pressure_switch) sheet.lasts_s = dice.spread(300.0, 900.0);
  const std::size_t many = 2 + dice.below(5);
  bool runs = parts.pumps[0].running;
  for (std::size_t k = 0; k < many; ++k) {
    TimedStep step;
    step.at_s = sheet.lasts_s * (static_cast<double>(k) + dice.between(0.0, 0.9)) /
                static_cast<double>(many);
    if (k == 0 || dice.chance(0.5)) {
      runs = !runs;
      step.actions.push_back({runs ? Action::Does::start : Action::Does::stop, id_at<PumpId>(0)});
    }
    if (!parts.roofs.empty() && dice.chance(0.6)) {
      step.rain_m_per_s = dice.chance(0.3) ? 0.0 : dice.spread(1e-6, 2e-5);
    }
    sheet.steps.push_back(step);
  }
  return sheet;
}

}  // namespace

Drawn draw_pump_yard(std::uint64_t number, bool lids) {
  Dice dice(number);
  Drawn drawn;
  Parts& parts = drawn.parts;
  parts.site.water_temperature_degc = 20.0;
  if (dice.chance(0.5)) parts.site.altitude_m = dice.between(0.0, 1500.0);
  const std::size_t tanks = 1 + dice.below(4);
  for (std::size_t i = 0; i < tanks; ++i) parts.tanks.push_back(draw_tank(dice, i, lids));
  if (lids && parts.tanks[0].lid.kind == Lid::Kind::open) {
    parts.tanks[0].lid.kind = Lid::Kind::holed;
    parts.tanks[0].lid.hole_m = 0.008;
    parts.tanks[0].overflow.reset();
  }
  add_pump(dice, parts);
  for (std::size_t i = 1; i < tanks; ++i) {
    if (!dice.chance(0.8)) continue;
    Hose hose = draw_hose(dice, parts.hoses.size(), 0.03);
    hose.from = end_at(dice, parts, dice.below(i), hose.bore_m);
    hose.to = end_at(dice, parts, i, hose.bore_m);
    parts.hoses.push_back(hose);
  }
  if (dice.chance(0.5)) {
    Roof roof;
    roof.name = "roof-1";
    roof.area_m2 = dice.between(10.0, 80.0);
    roof.runoff_fraction = 0.9;
    roof.into = id_at<TankId>(dice.below(tanks));
    parts.roofs.push_back(roof);
  }
  drawn.sheet = draw_day(dice, parts);
  return drawn;
}

}  // namespace peers
