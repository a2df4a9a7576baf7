// SPDX-License-Identifier: MIT
#include "random_arrays.h"

#include <algorithm>
#include <cmath>
#include <variant>

namespace tankyard {
namespace random_yard {

int count(int low, int high) { return *rc::gen::inRange(low, high + 1); }

int whole(int low, int high) {
  return *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(low, high + 1));
}

bool chance(int percent) { return whole(0, 99) >= 100 - percent; }

double between(double low, double high) { return low + (high - low) * (whole(0, 1000) / 1000.0); }

double spread(double low, double high) {
  return low * std::pow(high / low, whole(0, 1000) / 1000.0);
}

std::string numbered(const char* kind, std::size_t index) {
  return std::string(kind) + "-" + std::to_string(index + 1);
}

double Levels::any() const { return chance(70) ? one_of(shared) : between(0.0, 2.0); }

Shape shape(const YardMayHold& may) {
  const double capacity = spread(0.005, 50.0);
  const double height = between(0.25, 2.5);
  switch (whole(0, may.tables ? 3 : 2)) {
    case 0:
      return Prism{capacity / height, height};
    case 1:
      return Upright{std::sqrt(4.0 * capacity / (3.141592653589793 * height)), height};
    case 2: {
      const double slender = between(0.8, 3.0);
      const double diameter = std::cbrt(4.0 * capacity / (3.141592653589793 * slender));
      return Lying{diameter, slender * diameter};
    }
    default: {
      DepthTable table{{0.0}, {0.0}};
      const int rows = whole(1, 4);
      for (int row = 1; row <= rows; ++row) {
        table.depth_m.push_back(height * row / rows);
        table.volume_m3.push_back(table.volume_m3.back() + capacity / rows * spread(0.2, 5.0));
      }
      return table;
    }
  }
}

Lid lid() {
  Lid lid;
  switch (whole(0, 2)) {
    case 0:
      break;
    case 1:
      lid.kind = Lid::Kind::sealed;
      break;
    default:
      lid.kind = Lid::Kind::holed;
      lid.hole_m = spread(0.001, 0.1);
      lid.count = whole(1, 3);
      lid.screen = between(0.3, 1.0);
  }
  return lid;
}

Tank tank(std::size_t index, std::size_t count, const Levels& levels, const YardMayHold& may) {
  Tank tank;
  tank.name = numbered("tank", index);
  tank.shape = shape(may);
  const double height = height_m(tank.shape);
  const double capacity = capacity_m3(tank.shape);
  tank.base_m = levels.any();
  tank.outlet_height_m = chance(50) ? 0.0 : height * between(0.0, 0.9);
  switch (whole(0, 4)) {
    case 0:
      tank.water_m3 = 0.0;
      break;
    case 1:
      tank.water_m3 = capacity;
      break;
    case 2:
      tank.water_m3 = volume_m3(tank.shape, tank.outlet_height_m);
      break;
    default:
      tank.water_m3 = capacity * between(0.0, 1.0);
  }
  if (may.overflows && chance(40)) {
    Overflow overflow;
    overflow.bore_m = std::min(spread(0.005, 0.2), 0.9 * height);
    overflow.height_m = (height - overflow.bore_m) * (chance(50) ? 1.0 : between(0.0, 1.0));
    // Only ever into a later tank: no circles.
    if (index + 1 < count && chance(50)) {
      overflow.to = id_at<TankId>(static_cast<std::size_t>(
          whole(static_cast<int>(index) + 1, static_cast<int>(count) - 1)));
    }
    tank.overflow = overflow;
  }
  if (may.closed_lids) tank.lid = lid();
  return tank;
}

Place any_place(const Parts& parts) {
  const int tanks = static_cast<int>(parts.tanks.size());
  const int last = tanks + static_cast<int>(parts.headers.size()) - 1;
  const int place = whole(0, last);
  if (place < tanks) return id_at<TankId>(static_cast<std::size_t>(place));
  return id_at<HeaderId>(static_cast<std::size_t>(place - tanks));
}

double fitting_bore_m(const Parts& parts, Place place, double bore_m) {
  const auto* id = std::get_if<TankId>(&place);
  return id ? std::min(bore_m, 0.9 * height_m(part(parts.tanks, *id).shape)) : bore_m;
}

HoseEnd end_at(const Parts& parts, Place place, double bore_m) {
  HoseEnd end{place, std::nullopt};
  const auto* id = std::get_if<TankId>(&place);
  if (!id) return end;
  const Tank& tank = part(parts.tanks, *id);
  const double highest = height_m(tank.shape) - bore_m;
  if (tank.outlet_height_m <= highest && chance(60)) return end;
  const int where = whole(0, 3);
  end.height_m = where == 0 ? 0.0 : where == 1 ? highest : highest * between(0.0, 1.0);
  return end;
}

Hose hose(const Parts& parts, Place from, Place to, std::optional<double> to_mouth_m,
          const YardMayHold& may) {
  Hose hose;
  hose.name = numbered("hose", parts.hoses.size());
  hose.bore_m = fitting_bore_m(parts, to, fitting_bore_m(parts, from, spread(0.002, 0.2)));
  hose.length_m = chance(10) ? 0.0 : spread(0.1, 100.0);
  hose.roughness_m = chance(80) ? 1.5e-6 : hose.bore_m * between(0.0, 0.05);
  hose.loss_k = chance(50) ? 0.0 : spread(0.1, 100.0);
  hose.from = end_at(parts, from, hose.bore_m);
  hose.to = end_at(parts, to, hose.bore_m);
  if (may.crests && chance(15)) {
    const double to_m = to_mouth_m ? *to_mouth_m : mouth_m(parts, hose.to);
    const double higher = std::max(mouth_m(parts, hose.from), to_m);
    hose.crest_m = higher + (chance(30) ? 0.0 : between(0.0, 1.5));
    hose.primed = chance(50);
  }
  if (chance(50)) {
    hose.valve = Valve{"V" + std::to_string(parts.hoses.size() + 1), true, between(0.0, 5.0)};
    hose.valve->open = !may.off_hoses || !chance(30);
  }
  hose.open = !may.off_hoses || !chance(10);
  if (may.one_way && chance(20)) {
    hose.one_way = true;
    hose.cracking_head_m = chance(50) ? 0.0 : between(0.0, 0.5);
  }
  return hose;
}

Pump pump(const Parts& parts, Place from, Place to) {
  Pump pump;
  pump.name = numbered("pump", parts.pumps.size());
  pump.from = from;
  pump.to = to;
  const double flow = spread(1e-5, 2e-3);
  const double head = spread(2.0, 60.0);
  pump.curve = {{0.0, head}, {flow * 0.5, head * between(0.5, 0.95)}, {flow, head * 0.1}};
  if (chance(50)) pump.npsh_required = {{0.0, between(0.5, 5.0)}};
  pump.running = chance(50);
  if (const auto* id = std::get_if<TankId>(&from); id && chance(50)) {
    const double height = height_m(part(parts.tanks, *id).shape);
    pump.stops_below = LowLevelStop{*id, height * between(0.0, 0.4), height * between(0.5, 0.9)};
  }
  pump.one_way = chance(30);
  pump.primed = chance(20);
  if (chance(15)) {
    const double cut_in_pa = 9806.65 * head * between(0.05, 0.6);
    pump.pressure_switch = PressureSwitch{cut_in_pa, cut_in_pa * between(1.1, 2.0)};
  }
  if (chance(15)) pump.runs_at_most_s = spread(10.0, 86400.0);
  return pump;
}

namespace {

void add_hoses(Parts& parts, const YardMayHold& may) {
  const int places = static_cast<int>(parts.tanks.size() + parts.headers.size());
  if (places < 2) return;
  const int hoses = count(0, 2 * places);
  for (int i = 0; i < hoses; ++i) {
    Place from = any_place(parts);
    Place to = any_place(parts);
    if (!parts.hoses.empty() && chance(20)) {  // beside an earlier one, perhaps the other way round
      const Hose& twin = one_of(parts.hoses);
      from = twin.from.place;
      to = twin.to.place;
      if (chance(50)) std::swap(from, to);
    }
    if (from != to) parts.hoses.push_back(hose(parts, from, to, std::nullopt, may));
  }
}

void add_pumps(Parts& parts) {
  if (parts.tanks.size() + parts.headers.size() < 2) return;
  const int pumps = count(0, 2);
  for (int i = 0; i < pumps; ++i) {
    const Place from = any_place(parts);
    const Place to = any_place(parts);
    if (from != to) parts.pumps.push_back(pump(parts, from, to));
  }
}

void add_outlets(Parts& parts, const Levels& levels, const YardMayHold& may) {
  const int outlets = count(0, 3);
  for (int i = 0; i < outlets; ++i) {
    Outlet outlet;
    const auto id = id_at<OutletId>(parts.outlets.size());
    outlet.name = numbered("outlet", parts.outlets.size());
    outlet.open = chance(60);
    const Place place = any_place(parts);
    const double bore = fitting_bore_m(parts, place, spread(0.002, 0.05));
    if (chance(60)) {
      outlet.bore_m = bore;
      outlet.coefficient = between(0.5, 1.0);
    } else {
      outlet.draw_m3_per_s = spread(1e-7, 2e-3);
    }
    if (chance(50)) {
      outlet.at = end_at(parts, place, bore);
      parts.outlets.push_back(outlet);
      continue;
    }
    outlet.height_m = levels.any();
    parts.outlets.push_back(outlet);
    if (may.pumps && chance(30)) {
      parts.pumps.push_back(pump(parts, place, id));
    } else {
      parts.hoses.push_back(hose(parts, place, id, outlet.height_m, may));
    }
  }
}

void add_supplies(Parts& parts) {
  const int last = static_cast<int>(parts.tanks.size()) - 1;
  const auto any_tank = [&] { return id_at<TankId>(static_cast<std::size_t>(whole(0, last))); };
  const int roofs = count(0, 3);
  for (int i = 0; i < roofs; ++i) {
    Roof roof;
    roof.name = numbered("roof", parts.roofs.size());
    roof.area_m2 = spread(1.0, 500.0);
    roof.runoff_fraction = between(0.0, 1.0);
    roof.first_flush_m = chance(50) ? 0.0 : between(0.0, 0.002);
    if (chance(30)) roof.gutter_limit_m3_per_s = spread(1e-5, 1e-2);
    roof.into = any_tank();
    parts.roofs.push_back(roof);
  }
  const int top_ups = count(0, 2);
  for (int i = 0; i < top_ups; ++i) {
    TopUp top_up;
    top_up.name = numbered("top-up", parts.top_ups.size());
    top_up.into = any_tank();
    top_up.flow_m3_per_s = spread(1e-6, 1e-3);
    const double height = height_m(part(parts.tanks, top_up.into).shape);
    top_up.starts_below_m = height * between(0.0, 0.5);
    top_up.stops_above_m = height * between(0.6, 1.0);
    parts.top_ups.push_back(top_up);
  }
}

void add_leaks(Parts& parts) {
  const int leaks = count(0, 2);
  for (int i = 0; i < leaks; ++i) {
    Leak leak;
    leak.name = numbered("leak", parts.leaks.size());
    leak.tank =
        id_at<TankId>(static_cast<std::size_t>(whole(0, static_cast<int>(parts.tanks.size()) - 1)));
    const double height = height_m(part(parts.tanks, leak.tank).shape);
    leak.bore_m = std::min(spread(0.0005, 0.05), 0.5 * height);
    leak.height_m = chance(40) ? 0.0 : (height - leak.bore_m) * between(0.0, 1.0);
    parts.leaks.push_back(leak);
  }
}

void add_air_lines(Parts& parts) {
  const int tanks = static_cast<int>(parts.tanks.size());
  if (tanks < 2 || !chance(40)) return;
  for (int i = 0; i < whole(1, 2); ++i) {
    AirLine line;
    line.name = numbered("air-line", parts.air_lines.size());
    const int from = whole(0, tanks - 1);
    line.from = id_at<TankId>(static_cast<std::size_t>(from));
    line.to = id_at<TankId>(static_cast<std::size_t>((from + whole(1, tanks - 1)) % tanks));
    line.bore_m = spread(0.002, 0.05);
    line.length_m = spread(0.1, 20.0);
    line.open = chance(80);
    parts.air_lines.push_back(line);
  }
}

Parts yard(const YardMayHold& may) {
  Parts parts;
  const auto tanks = static_cast<std::size_t>(count(1, may.most_tanks));
  const auto headers = static_cast<std::size_t>(count(0, may.most_headers));
  Levels levels;
  levels.shared = {0.0, between(0.1, 0.6), between(0.5, 2.0)};
  for (std::size_t i = 0; i < tanks; ++i) parts.tanks.push_back(tank(i, tanks, levels, may));
  for (std::size_t i = 0; i < headers; ++i) {
    parts.headers.push_back({numbered("header", i), levels.any(), std::nullopt});
  }
  add_hoses(parts, may);
  if (may.pumps) add_pumps(parts);
  if (may.outlets) add_outlets(parts, levels, may);
  if (may.supplies) add_supplies(parts);
  if (may.leaks) add_leaks(parts);
  if (may.closed_lids && may.air_lines) add_air_lines(parts);
  if (may.off_hoses && chance(10)) {
    for (Hose& each : parts.hoses) each.open = false;
  }
  return parts;
}

DaySheet day(const Parts& parts) {
  DaySheet sheet;
  sheet.lasts_s = spread(60.0, 86400.0);
  sheet.starts_clock_s = 3600.0 * whole(0, 23);
  const int steps = count(0, 6);
  std::vector<double> times;
  for (int i = 0; i < steps; ++i) {
    const bool again = !times.empty() && chance(20);  // two steps at one moment
    times.push_back(again ? times.back() : sheet.lasts_s * between(0.0, 1.0));
  }
  std::sort(times.begin(), times.end());
  for (const double at_s : times) {
    TimedStep step;
    step.at_s = at_s;
    if (!parts.hoses.empty() && chance(60)) {
      const int hose = whole(0, static_cast<int>(parts.hoses.size()) - 1);
      step.actions.push_back({chance(50) ? Action::Does::open : Action::Does::close,
                              id_at<HoseId>(static_cast<std::size_t>(hose))});
    }
    if (!parts.outlets.empty() && chance(60)) {
      const int outlet = whole(0, static_cast<int>(parts.outlets.size()) - 1);
      step.actions.push_back({chance(50) ? Action::Does::open : Action::Does::close,
                              id_at<OutletId>(static_cast<std::size_t>(outlet))});
    }
    if (!parts.pumps.empty() && chance(60)) {
      const int pump = whole(0, static_cast<int>(parts.pumps.size()) - 1);
      step.actions.push_back({chance(50) ? Action::Does::start : Action::Does::stop,
                              id_at<PumpId>(static_cast<std::size_t>(pump))});
    }
    if (chance(40)) step.rain_m_per_s = chance(30) ? 0.0 : spread(1e-8, 3e-5);
    sheet.steps.push_back(step);
  }
  return sheet;
}

}  // namespace
}  // namespace random_yard

rc::Gen<Parts> random_yards(const YardMayHold& may) {
  return rc::gen::exec([may] { return random_yard::yard(may); });
}

rc::Gen<DaySheet> random_days(const Parts& parts) {
  return rc::gen::exec([parts] { return random_yard::day(parts); });
}

void showValue(const Shape& shape, std::ostream& out) {
  if (const auto* prism = std::get_if<Prism>(&shape)) {
    out << "prism " << prism->area_m2 << " m2 x " << prism->height_m << " m";
  } else if (const auto* upright = std::get_if<Upright>(&shape)) {
    out << "upright " << upright->diameter_m << " m x " << upright->height_m << " m";
  } else if (const auto* lying = std::get_if<Lying>(&shape)) {
    out << "lying " << lying->diameter_m << " m x " << lying->length_m << " m";
  } else {
    const auto& table = *std::get_if<DepthTable>(&shape);
    out << "table";
    for (std::size_t i = 0; i < table.depth_m.size(); ++i) {
      out << " (" << table.depth_m[i] << " m, " << table.volume_m3[i] << " m3)";
    }
  }
}

void showValue(const Parts& parts, std::ostream& out) {
  const auto precision = out.precision(17);
  const auto show_end = [&](const HoseEnd& end) {
    out << name_of(parts, end.place);
    if (end.height_m) out << " at " << *end.height_m;
  };
  for (const Tank& tank : parts.tanks) {
    out << "\n" << tank.name << ": ";
    showValue(tank.shape, out);
    out << ", base " << tank.base_m << ", water " << tank.water_m3 << " m3, outlet "
        << tank.outlet_height_m << ", lid " << static_cast<int>(tank.lid.kind);
    if (tank.lid.kind == Lid::Kind::holed) {
      out << " (" << tank.lid.count << " x " << tank.lid.hole_m << ", screen " << tank.lid.screen
          << ")";
    }
    if (tank.overflow) {
      out << ", overflow at " << tank.overflow->height_m << " bore " << tank.overflow->bore_m;
      if (tank.overflow->to) out << " into " << part(parts.tanks, *tank.overflow->to).name;
    }
  }
  for (const Header& header : parts.headers) {
    out << "\n" << header.name << ": height " << header.height_m;
  }
  for (const Hose& hose : parts.hoses) {
    out << "\n" << hose.name << ": ";
    show_end(hose.from);
    out << " -> ";
    show_end(hose.to);
    out << ", bore " << hose.bore_m << ", length " << hose.length_m << ", roughness "
        << hose.roughness_m << ", K " << hose.loss_k;
    if (hose.crest_m) out << ", crest " << *hose.crest_m << (hose.primed ? " primed" : "");
    if (hose.valve) {
      out << ", valve " << hose.valve->name << (hose.valve->open ? " open" : " shut") << " K "
          << hose.valve->loss_k;
    }
    if (hose.one_way) out << ", one way above " << hose.cracking_head_m;
    if (!hose.open) out << ", taken off";
  }
  for (const Pump& pump : parts.pumps) {
    out << "\n"
        << pump.name << ": " << name_of(parts, pump.from) << " -> " << name_of(parts, pump.to)
        << (pump.running ? ", running" : "");
    for (const CurvePoint& point : pump.curve) {
      out << " (" << point.flow_m3_per_s << " m3/s, " << point.head_m << " m)";
    }
    if (pump.stops_below) {
      out << ", stops below " << pump.stops_below->depth_m << " in "
          << part(parts.tanks, pump.stops_below->tank).name << ", resumes above "
          << pump.stops_below->resumes_depth_m;
    }
  }
  for (const Outlet& outlet : parts.outlets) {
    out << "\n" << outlet.name << ": ";
    if (outlet.at) show_end(*outlet.at);
    if (outlet.height_m) out << " height " << *outlet.height_m;
    if (outlet.bore_m) out << ", bore " << *outlet.bore_m << " coefficient " << outlet.coefficient;
    if (outlet.draw_m3_per_s) out << ", draw " << *outlet.draw_m3_per_s << " m3/s";
    out << (outlet.open ? ", open" : ", shut");
  }
  for (const Roof& roof : parts.roofs) {
    out << "\n"
        << roof.name << ": " << roof.area_m2 << " m2, runoff " << roof.runoff_fraction
        << ", first flush " << roof.first_flush_m << ", into " << part(parts.tanks, roof.into).name;
    if (roof.gutter_limit_m3_per_s) out << ", gutter " << *roof.gutter_limit_m3_per_s;
  }
  for (const TopUp& top_up : parts.top_ups) {
    out << "\n"
        << top_up.name << ": " << top_up.flow_m3_per_s << " m3/s into "
        << part(parts.tanks, top_up.into).name << " from below " << top_up.starts_below_m
        << " to above " << top_up.stops_above_m;
  }
  for (const AirLine& line : parts.air_lines) {
    out << line.name << ": " << part(parts.tanks, line.from).name << " - "
        << part(parts.tanks, line.to).name << ", bore " << line.bore_m << ", length "
        << line.length_m << (line.open ? "" : ", shut") << "\n";
  }
  for (const Leak& leak : parts.leaks) {
    out << "\n"
        << leak.name << ": " << part(parts.tanks, leak.tank).name << " at " << leak.height_m
        << ", bore " << leak.bore_m;
  }
  out << "\n";
  out.precision(precision);
}

void showValue(const DaySheet& sheet, std::ostream& out) {
  const auto precision = out.precision(17);
  static constexpr const char* does[] = {"open", "close", "start", "stop"};
  static constexpr const char* kinds[] = {"hose", "outlet", "pump", "air-line"};
  out << "\nlasts " << sheet.lasts_s << " s from " << sheet.starts_clock_s;
  for (const TimedStep& step : sheet.steps) {
    out << "\nat " << step.at_s << " s:";
    for (const Action& action : step.actions) {
      const auto index = std::visit([](auto id) { return id.index; }, action.part);
      out << " " << does[static_cast<int>(action.does)] << " " << kinds[action.part.index()] << "-"
          << index + 1;
    }
    if (step.rain_m_per_s) out << " rain " << *step.rain_m_per_s;
  }
  out << "\n";
  out.precision(precision);
}

}  // namespace tankyard

template class rc::Gen<tankyard::Parts>;
template class rc::Gen<tankyard::DaySheet>;
