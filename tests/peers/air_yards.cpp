// SPDX-License-Identifier: MIT
#include "air_yards.h"

#include <algorithm>
#include <utility>

#include "dice.h"
#include "draw_parts.h"

namespace peers {
namespace {

using namespace tankyard;

Lid draw_lid(Dice& dice) {
  Lid lid;
  const double kind = dice.between(0.0, 1.0);
  if (kind < 0.2) return lid;
  if (kind < 0.5) {
    lid.kind = Lid::Kind::sealed;
    return lid;
  }
  lid.kind = Lid::Kind::holed;
  lid.hole_m = dice.spread(0.001, 0.04);
  lid.coefficient = dice.between(0.5, 0.8);
  if (dice.chance(0.3)) lid.count = 1 + static_cast<int>(dice.below(4));
  if (dice.chance(0.3)) lid.screen = dice.between(0.3, 1.0);
  return lid;
}

Tank draw_tank(Dice& dice, std::size_t index) {
  Tank tank;
  tank.name = "tank-" + std::to_string(index + 1);
  double height = dice.between(0.6, 1.8);
  switch (dice.below(3)) {
    case 0:
      tank.shape = Prism{dice.spread(0.2, 4.0), height};
      break;
    case 1:
      tank.shape = Upright{dice.between(0.5, 1.8), height};
      break;
    default:
      height = dice.between(0.6, 1.4);
      tank.shape = Lying{height, dice.between(0.8, 2.5)};
  }
  tank.base_m = dice.chance(0.4) ? 0.0 : dice.between(0.0, 1.6);
  tank.outlet_height_m = dice.chance(0.5) ? 0.0 : dice.between(0.0, 0.3) * height;
  tank.water_m3 = dice.chance(0.1) ? 0.0 : capacity_m3(tank.shape) * dice.between(0.05, 0.95);
  tank.lid = draw_lid(dice);
  if (tank.lid.kind != Lid::Kind::open && dice.chance(0.3)) {
    tank.air_swing_k = dice.between(0.0, 40.0);
  }
  if (dice.chance(0.4)) {
    Overflow overflow;
    overflow.bore_m = dice.spread(0.03, 0.11);
    overflow.height_m = dice.between(0.5, 0.98) * (height - overflow.bore_m);
    overflow.coefficient = dice.between(0.5, 0.8);
    tank.overflow = overflow;
  }
  return tank;
}

void draw_hoses(Dice& dice, Parts& parts) {
  const std::size_t tanks = parts.tanks.size();
  const auto join = [&](std::size_t a, std::size_t b) {
    Hose hose = draw_hose(dice, parts.hoses.size(), 0.05);
    hose.from = end_at(dice, parts, a, hose.bore_m);
    hose.to = end_at(dice, parts, b, hose.bore_m);
    if (dice.chance(0.3)) hose.valve = Valve{"valve-" + std::to_string(parts.hoses.size() + 1)};
    if (dice.chance(0.15)) {
      hose.one_way = true;
      if (dice.chance(0.5)) hose.cracking_head_m = dice.between(0.0, 0.1);
    }
    parts.hoses.push_back(hose);
  };
  for (std::size_t i = 1; i < tanks; ++i) {
    if (dice.chance(0.85)) join(dice.below(i), i);
  }
  for (std::size_t more = dice.below(3); more > 0; --more) {
    const std::size_t a = dice.below(tanks);
    const std::size_t b = dice.below(tanks);
    if (a != b) join(a, b);
  }
  for (std::size_t h = 0; h < parts.headers.size(); ++h) {
    const std::size_t hoses = 2 + dice.below(2);
    for (std::size_t k = 0; k < hoses; ++k) {
      Hose hose = draw_hose(dice, parts.hoses.size(), 0.05);
      hose.from = end_at(dice, parts, dice.below(tanks), hose.bore_m);
      hose.to.place = id_at<HeaderId>(h);
      if (dice.chance(0.3)) std::swap(hose.from, hose.to);
      parts.hoses.push_back(hose);
    }
  }
}

void draw_outlets(Dice& dice, Parts& parts) {
  for (std::size_t many = dice.below(4); many > 0; --many) {
    Outlet outlet;
    outlet.name = "outlet-" + std::to_string(parts.outlets.size() + 1);
    outlet.open = dice.chance(0.6);
    const std::size_t tank = dice.below(parts.tanks.size());
    const bool nozzle = dice.chance(0.5);
    if (nozzle) {
      outlet.bore_m = dice.spread(0.004, 0.025);
      outlet.coefficient = dice.between(0.6, 1.0);
    } else {
      outlet.draw_m3_per_s = dice.spread(1e-5, 5e-4);
    }
    if (dice.chance(0.4)) {
      outlet.at = end_at(dice, parts, tank, 0.025);
    } else if (!parts.headers.empty() && !nozzle && dice.chance(0.5)) {
      outlet.at = HoseEnd{id_at<HeaderId>(dice.below(parts.headers.size())), std::nullopt};
    } else {
      // At the end of a hose, of two if it is a fixed draw; sometimes far below the yard.
      outlet.height_m = dice.chance(0.2) ? dice.between(-6.0, 0.0) : dice.between(-0.2, 0.6);
      const std::size_t hoses = nozzle ? 1 : 1 + dice.below(2);
      for (std::size_t h = 0; h < hoses; ++h) {
        Hose hose = draw_hose(dice, parts.hoses.size(), 0.05);
        hose.from = end_at(dice, parts, dice.below(parts.tanks.size()), hose.bore_m);
        if (nozzle && !parts.headers.empty() && dice.chance(0.5)) {
          hose.from = {id_at<HeaderId>(dice.below(parts.headers.size())), std::nullopt};
        }
        hose.to.place = id_at<OutletId>(parts.outlets.size());
        parts.hoses.push_back(hose);
      }
    }
    parts.outlets.push_back(outlet);
  }
}

void draw_supplies(Dice& dice, Parts& parts) {
  if (dice.chance(0.3)) {
    Leak leak;
    leak.name = "leak-1";
    leak.tank = id_at<TankId>(dice.below(parts.tanks.size()));
    leak.height_m = dice.between(0.0, 0.3);
    leak.bore_m = dice.spread(0.002, 0.01);
    parts.leaks.push_back(leak);
  }
  if (dice.chance(0.4)) {
    TopUp top_up;
    top_up.name = "top-up-1";
    top_up.into = id_at<TankId>(dice.below(parts.tanks.size()));
    top_up.flow_m3_per_s = dice.spread(2e-5, 5e-4);
    top_up.starts_below_m = dice.between(0.1, 0.3);
    top_up.stops_above_m = top_up.starts_below_m + dice.between(0.05, 0.2);
    parts.top_ups.push_back(top_up);
  }
  if (dice.chance(0.4)) {
    Roof roof;
    roof.name = "roof-1";
    roof.area_m2 = dice.between(5.0, 60.0);
    roof.runoff_fraction = dice.between(0.6, 1.0);
    if (dice.chance(0.5)) roof.first_flush_m = dice.between(0.0001, 0.001);
    if (dice.chance(0.4)) roof.gutter_limit_m3_per_s = dice.spread(3e-5, 1e-3);
    roof.into = id_at<TankId>(dice.below(parts.tanks.size()));
    parts.roofs.push_back(roof);
  }
  if (parts.tanks.size() > 1) {
    for (std::size_t many = dice.below(3); many > 0; --many) {
      AirLine line;
      line.name = "line-" + std::to_string(parts.air_lines.size() + 1);
      const std::size_t a = dice.below(parts.tanks.size());
      const std::size_t b = dice.below(parts.tanks.size());
      line.bore_m = dice.spread(0.004, 0.04);
      line.length_m = dice.chance(0.2) ? 0.0 : dice.spread(0.3, 20.0);
      line.open = dice.chance(0.85);
      line.from = id_at<TankId>(a);
      line.to = id_at<TankId>(b);
      if (a != b) parts.air_lines.push_back(line);
    }
  }
}

void draw_site(Dice& dice, Site& site) {
  site.water_temperature_degc = 20.0;
  site.altitude_m = dice.chance(0.5) ? 0.0 : dice.between(0.0, 2500.0);
  site.air_temperature_degc = dice.between(-5.0, 35.0);
  if (dice.chance(0.6)) site.air_swing_k = dice.between(1.0, 25.0);
  if (dice.chance(0.5)) {
    site.warmest_hour = dice.between(11.0, 18.0);
    site.coldest_hour = dice.between(1.0, 8.0);
  }
}

DaySheet draw_day(Dice& dice, const Parts& parts) {
  DaySheet sheet;
  sheet.lasts_s = dice.spread(600.0, 86400.0);
  if (dice.chance(0.7)) sheet.starts_clock_s = dice.between(0.0, 86400.0);
  draw_steps(dice, parts, 7, 1e-5, sheet);
  return sheet;
}

}  // namespace

Drawn draw_air_yard(std::uint64_t number, const MayBreathe& may) {
  Dice dice(number);
  Drawn drawn;
  Parts& parts = drawn.parts;
  draw_site(dice, parts.site);
  const std::size_t tanks = 1 + dice.below(6);
  for (std::size_t i = 0; i < tanks; ++i) parts.tanks.push_back(draw_tank(dice, i));
  if (std::none_of(parts.tanks.begin(), parts.tanks.end(),
                   [](const Tank& tank) { return tank.lid.kind != Lid::Kind::open; })) {
    parts.tanks[0].lid.kind = Lid::Kind::sealed;
  }
  lead_overflows(dice, parts);
  const double headers = dice.between(0.0, 1.0);
  for (int h = 0; h < (headers < 0.6 ? 0 : headers < 0.85 ? 1 : 2); ++h) {
    parts.headers.push_back(
        {"header-" + std::to_string(h + 1), dice.between(-1.5, -0.6), std::nullopt});
  }
  draw_hoses(dice, parts);
  draw_outlets(dice, parts);
  draw_supplies(dice, parts);
  drawn.sheet = draw_day(dice, parts);
  if (!may.swing) parts.site.air_swing_k = 0.0;
  for (Tank& tank : parts.tanks) {
    if (!may.swing) tank.air_swing_k.reset();
    if (!may.overflows && tank.lid.kind != Lid::Kind::open) tank.overflow.reset();
  }
  return drawn;
}

}  // namespace peers
