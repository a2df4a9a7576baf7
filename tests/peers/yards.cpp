// SPDX-License-Identifier: MIT
#include "yards.h"

#include <cmath>
#include <cstdio>
#include <variant>
#include <vector>

#include "dice.h"
#include "draw_parts.h"

namespace peers {
namespace {

using namespace tankyard;

Tank draw_tank(Dice& dice, std::size_t index, const MayHold& may) {
  Tank tank;
  tank.name = "tank-" + std::to_string(index + 1);
  double height = dice.between(0.6, 1.6);
  switch (dice.below(3)) {
    case 0:
      tank.shape = Prism{dice.spread(0.2, 3.0), height};
      break;
    case 1:
      tank.shape = Upright{dice.between(0.5, 1.6), height};
      break;
    default:
      height = dice.between(0.6, 1.3);
      tank.shape = Lying{height, dice.between(0.8, 2.0)};
  }
  const double capacity = capacity_m3(tank.shape);
  tank.base_m = dice.chance(0.4) ? 0.0 : dice.between(0.0, may.spills ? 1.6 : 0.8);
  tank.outlet_height_m = dice.chance(0.5) ? 0.0 : dice.between(0.0, 0.4) * height;
  tank.water_m3 = dice.chance(0.2) ? 0.0 : capacity * dice.between(0.0, 0.9);
  if (may.spills && dice.chance(0.6)) {
    Overflow overflow;
    overflow.bore_m = dice.spread(0.03, 0.11);
    overflow.height_m = dice.between(0.5, 0.98) * (height - overflow.bore_m);
    overflow.coefficient = dice.between(0.5, 0.8);
    tank.overflow = overflow;
  }
  return tank;
}

void add_outlets(Dice& dice, Parts& parts) {
  const std::size_t many = 1 + dice.below(3);
  for (std::size_t k = 0; k < many; ++k) {
    Outlet outlet;
    outlet.name = "outlet-" + std::to_string(parts.outlets.size() + 1);
    outlet.open = dice.chance(0.5);
    const std::size_t tank = dice.below(parts.tanks.size());
    const bool nozzle = dice.chance(0.5);
    if (nozzle) {
      outlet.bore_m = dice.spread(0.004, 0.015);
      outlet.coefficient = dice.between(0.6, 1.0);
    } else {
      outlet.draw_m3_per_s = dice.spread(1e-5, 3e-4);
    }
    if (dice.chance(0.5)) {
      outlet.at = end_at(dice, parts, tank, 0.02);
    } else {
      // At the end of a hose, of two if it is a fixed draw, that hangs from a tank, or from the
      // header.
      outlet.height_m = dice.between(-0.2, 0.6);
      const std::size_t hoses = nozzle ? 1 : 1 + dice.below(2);
      for (std::size_t h = 0; h < hoses; ++h) {
        Hose hose = draw_hose(dice, parts.hoses.size(), 0.03);
        hose.from = end_at(dice, parts, dice.below(parts.tanks.size()), hose.bore_m);
        if (nozzle && !parts.headers.empty()) hose.from = {id_at<HeaderId>(0), std::nullopt};
        hose.to.place = id_at<OutletId>(parts.outlets.size());
        parts.hoses.push_back(hose);
      }
    }
    parts.outlets.push_back(outlet);
  }
  if (!parts.headers.empty() && dice.chance(0.6)) {
    Outlet outlet;
    outlet.name = "outlet-" + std::to_string(parts.outlets.size() + 1);
    outlet.open = true;
    outlet.at = HoseEnd{id_at<HeaderId>(0), std::nullopt};
    outlet.draw_m3_per_s = dice.spread(1e-5, 1e-4);
    parts.outlets.push_back(outlet);
  }
  if (dice.chance(0.5)) {
    Leak leak;
    leak.name = "leak-1";
    leak.tank = id_at<TankId>(dice.below(parts.tanks.size()));
    leak.height_m = dice.between(0.0, 0.3);
    leak.bore_m = dice.spread(0.002, 0.006);
    parts.leaks.push_back(leak);
  }
}

void add_switches(Dice& dice, Parts& parts) {
  for (Hose& hose : parts.hoses) {
    if (dice.chance(0.3)) {
      hose.one_way = true;
      if (dice.chance(0.5)) hose.cracking_head_m = dice.between(0.0, 0.1);
    }
    const bool between_tanks = std::holds_alternative<TankId>(hose.from.place) &&
                               std::holds_alternative<TankId>(hose.to.place);
    if (between_tanks && dice.chance(0.3)) {
      hose.crest_m =
          std::max(mouth_m(parts, hose.from), mouth_m(parts, hose.to)) + dice.between(0.0, 0.5);
      hose.primed = dice.chance(0.5);
    }
  }
  if (dice.chance(0.6)) {
    TopUp top_up;
    top_up.name = "top-up-1";
    top_up.into = id_at<TankId>(dice.below(parts.tanks.size()));
    top_up.flow_m3_per_s = dice.spread(2e-5, 2e-4);
    top_up.starts_below_m = dice.between(0.1, 0.3);
    top_up.stops_above_m = top_up.starts_below_m + dice.between(0.05, 0.2);
    parts.top_ups.push_back(top_up);
  }
}

void add_roofs(Dice& dice, Parts& parts) {
  const std::size_t many = 1 + dice.below(2);
  for (std::size_t k = 0; k < many; ++k) {
    Roof roof;
    roof.name = "roof-" + std::to_string(k + 1);
    roof.area_m2 = dice.between(10.0, 120.0);
    roof.runoff_fraction = dice.between(0.6, 1.0);
    if (dice.chance(0.5)) roof.first_flush_m = dice.between(0.0001, 0.001);
    if (dice.chance(0.4)) roof.gutter_limit_m3_per_s = dice.spread(1e-4, 1e-3);
    roof.into = id_at<TankId>(dice.below(parts.tanks.size()));
    parts.roofs.push_back(roof);
  }
}

DaySheet draw_day(Dice& dice, const Parts& parts) {
  DaySheet sheet;
  sheet.lasts_s = dice.between(3600.0, 4.0 * 3600.0);
  draw_steps(dice, parts, 6, 2e-5, sheet);
  return sheet;
}

}  // namespace

Drawn draw_yard(std::uint64_t number, const MayHold& may) {
  Dice dice(number);
  Drawn drawn;
  Parts& parts = drawn.parts;
  parts.site.water_temperature_degc = 20.0;
  const std::size_t tanks = 2 + dice.below(4);
  for (std::size_t i = 0; i < tanks; ++i) {
    parts.tanks.push_back(draw_tank(dice, i, may));
  }
  lead_overflows(dice, parts);
  if (may.header) parts.headers.push_back({"header-1", -0.6, std::nullopt});
  const auto join = [&](std::size_t a, std::size_t b) {
    Hose hose = draw_hose(dice, parts.hoses.size(), 0.03);
    hose.from = end_at(dice, parts, a, hose.bore_m);
    hose.to = end_at(dice, parts, b, hose.bore_m);
    if (dice.chance(0.3)) hose.valve = Valve{"valve-" + std::to_string(parts.hoses.size() + 1)};
    parts.hoses.push_back(hose);
  };
  for (std::size_t i = 1; i < tanks; ++i) join(dice.below(i), i);
  for (std::size_t more = dice.below(3); more > 0; --more) {
    const std::size_t a = dice.below(tanks);
    const std::size_t b = dice.below(tanks);
    if (a != b) join(a, b);
  }
  if (may.header) {
    const std::size_t hoses = 2 + dice.below(2);
    for (std::size_t k = 0; k < hoses; ++k) {
      Hose hose = draw_hose(dice, parts.hoses.size(), 0.03);
      hose.from = end_at(dice, parts, dice.below(tanks), hose.bore_m);
      hose.to.place = id_at<HeaderId>(0);
      if (dice.chance(0.3)) std::swap(hose.from, hose.to);
      parts.hoses.push_back(hose);
    }
  }
  if (may.outlets) add_outlets(dice, parts);
  if (may.spills) add_roofs(dice, parts);
  if (may.switches) add_switches(dice, parts);
  drawn.sheet = draw_day(dice, parts);
  return drawn;
}

namespace {

std::string text(const char* form, double a, double b = 0.0, double c = 0.0, double d = 0.0) {
  char line[160];
  std::snprintf(line, sizeof line, form, a, b, c, d);
  return line;
}

std::string end_in_words(const Parts& parts, const HoseEnd& end) {
  if (std::holds_alternative<OutletId>(end.place)) return name_of(parts, end.place);
  return name_of(parts, end.place) + text(" (mouth %.4f)", mouth_m(parts, end));
}

std::string lid_in_words(const Tank& tank) {
  std::string all;
  if (tank.lid.kind == Lid::Kind::sealed) all = "; sealed";
  if (tank.lid.kind == Lid::Kind::holed) {
    all = text("; %.0f holes of %.4f, coefficient %.3f, screen %.3f", tank.lid.count,
               tank.lid.hole_m, tank.lid.coefficient, tank.lid.screen);
  }
  if (tank.air_swing_k) all += text(", swing %.2f K", *tank.air_swing_k);
  return all;
}

}  // namespace

std::string in_words(const Drawn& yard) {
  const Parts& parts = yard.parts;
  std::string all;
  for (const Tank& tank : parts.tanks) {
    const char* shape = std::holds_alternative<Prism>(tank.shape)     ? "prism"
                        : std::holds_alternative<Upright>(tank.shape) ? "upright"
                                                                      : "lying";
    all += tank.name + ": " + shape +
           text(" %.4f m3, %.4f m high, base %.4f, water %.4f m3", capacity_m3(tank.shape),
                height_m(tank.shape), tank.base_m, tank.water_m3);
    if (tank.overflow) {
      all += text("; overflow at %.4f, bore %.4f", tank.overflow->height_m, tank.overflow->bore_m);
      if (tank.overflow->to) all += " into " + part(parts.tanks, *tank.overflow->to).name;
    }
    all += lid_in_words(tank) + "\n";
  }
  for (const Header& header : parts.headers) {
    all += header.name + text(" at %.4f\n", header.height_m);
  }
  for (const AirLine& line : parts.air_lines) {
    all += line.name + ": " + part(parts.tanks, line.from).name + " to " +
           part(parts.tanks, line.to).name +
           text(line.open ? ", bore %.4f, length %.3f\n" : ", bore %.4f, length %.3f, shut\n",
                line.bore_m, line.length_m);
  }
  for (const Hose& hose : parts.hoses) {
    all += hose.name + ": " + end_in_words(parts, hose.from) + " to " +
           end_in_words(parts, hose.to) +
           text(", bore %.4f, length %.3f, K %.2f", hose.bore_m, hose.length_m, hose.loss_k);
    if (!starts_open(hose)) all += ", shut";
    if (hose.one_way) all += text(", one way, cracks at %.4f", hose.cracking_head_m);
    if (hose.crest_m)
      all += text(hose.primed ? ", crest %.4f, primed" : ", crest %.4f", *hose.crest_m);
    all += "\n";
  }
  for (const Outlet& outlet : parts.outlets) {
    all += outlet.name + (outlet.open ? ", open" : ", shut") +
           (outlet.at ? ", at " + end_in_words(parts, *outlet.at) : std::string());
    all += outlet.bore_m ? text(", nozzle %.4f", *outlet.bore_m)
                         : text(", draw %.3e m3/s", *outlet.draw_m3_per_s);
    all += outlet.height_m ? text(", height %.4f\n", *outlet.height_m) : "\n";
  }
  for (const TopUp& top_up : parts.top_ups) {
    all += top_up.name + " into " + part(parts.tanks, top_up.into).name +
           text(", %.3e m3/s, below %.4f until %.4f\n", top_up.flow_m3_per_s, top_up.starts_below_m,
                top_up.stops_above_m);
  }
  for (const Roof& roof : parts.roofs) {
    all += roof.name + " into " + part(parts.tanks, roof.into).name +
           text(", %.1f m2, flush %.5f\n", roof.area_m2, roof.first_flush_m);
  }
  for (const Leak& leak : parts.leaks) {
    all += leak.name + " in " + part(parts.tanks, leak.tank).name +
           text(", at %.4f, bore %.4f\n", leak.height_m, leak.bore_m);
  }
  if (parts.site.air_swing_k > 0.0 || parts.site.altitude_m != 0.0) {
    all += text("site: %.0f m up, air %.2f degC +- half of %.2f K", parts.site.altitude_m,
                parts.site.air_temperature_degc, parts.site.air_swing_k);
    all += text(", warmest %.2f h, coldest %.2f h\n", parts.site.warmest_hour,
                parts.site.coldest_hour);
  }
  all +=
      text("day: %.1f s from %.0f s by the clock", yard.sheet.lasts_s, yard.sheet.starts_clock_s);
  for (const TimedStep& step : yard.sheet.steps) {
    all += text("\n  %.3f s:", step.at_s);
    for (const Action& action : step.actions) {
      all += action.does == Action::Does::open ? " open " : " close ";
      if (const auto* hose = std::get_if<HoseId>(&action.part))
        all += part(parts.hoses, *hose).name;
      if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
        all += part(parts.outlets, *outlet).name;
      }
      if (const auto* line = std::get_if<AirLineId>(&action.part)) {
        all += part(parts.air_lines, *line).name;
      }
    }
    if (step.rain_m_per_s) all += text(" rain %.3e m/s", *step.rain_m_per_s);
  }
  return all + "\n";
}

}  // namespace peers
