// SPDX-License-Identifier: MIT
#include "closed_lids.h"

#include "chain.h"

namespace bench {
namespace {

using namespace tankyard;

constexpr double hour_s = 3600.0;
constexpr double day_s = 24.0 * hour_s;
constexpr double hole_m[] = {0.003, 0.004, 0.005, 0.006, 0.008};

Tank box(std::size_t index, double area_m2, double height_m, double water_m) {
  Tank tank;
  tank.name = "tank-" + std::to_string(index + 1);
  tank.shape = Prism{area_m2, height_m};
  tank.water_m3 = area_m2 * water_m;
  return tank;
}

Hose hose(std::size_t index, Place from, Place to) {
  Hose hose;
  hose.name = "hose-" + std::to_string(index + 1);
  hose.from.place = from;
  hose.to.place = to;
  hose.bore_m = 0.025;
  hose.length_m = 2.0;
  hose.roughness_m = roughness_m;
  hose.loss_k = fittings_k;
  return hose;
}

Outlet tap_at(Place place, double draw_m3_per_s) {
  Outlet tap;
  tap.name = "tap";
  tap.at = HoseEnd{place, std::nullopt};
  tap.draw_m3_per_s = draw_m3_per_s;
  return tap;
}

Roof roof_into_first() {
  Roof roof;
  roof.name = "roof";
  roof.area_m2 = 50.0;
  roof.runoff_fraction = 1.0;
  roof.into = id_at<TankId>(0);
  return roof;
}

void turn_tap(DaySheet& sheet, double at_s, bool open) {
  sheet.steps.push_back(
      {at_s, {{open ? Action::Does::open : Action::Does::close, id_at<OutletId>(0)}}, {}});
}

void set_rain(DaySheet& sheet, double at_s, double m3_per_s) {
  sheet.steps.push_back({at_s, {}, m3_per_s / roof_into_first().area_m2});
}

/// Twelve that are alike stand level at all times while their lids are open, which is the least
/// work there is; unlike ones, of 0.5 to 1.6 m2 on two bores, have to level out.
LidPair twelve_on_a_header(double swing_k, bool alike) {
  LidPair pair;
  pair.name = swing_k > 0.0 ? "f.twelve_swing" : alike ? "f.twelve" : "f.twelve_unlike";
  pair.words = swing_k > 0.0 ? "12 like tanks on a header, 14 K day to night"
               : alike       ? "12 like tanks on a header"
                             : "12 unlike tanks on a header";
  pair.goal = 3.0;
  pair.days = 30;
  Parts& parts = pair.open;
  parts.site.water_temperature_degc = degc;
  parts.site.air_swing_k = swing_k;
  parts.headers.push_back({"header", 0.0, std::nullopt});
  for (std::size_t k = 0; k < 12; ++k) {
    const double area_m2 = alike ? 1.0 : 0.5 + 0.1 * static_cast<double>(5 * k % 12);
    parts.tanks.push_back(box(k, area_m2, 1.0, 0.6));
    parts.hoses.push_back(hose(k, id_at<TankId>(k), id_at<HeaderId>(0)));
    if (!alike && k % 3 == 0) parts.hoses.back().bore_m = 0.019;
  }
  parts.outlets.push_back(tap_at(id_at<HeaderId>(0), 0.012 / 60.0));
  parts.roofs.push_back(roof_into_first());
  pair.closed = parts;
  for (std::size_t k = 0; k < 12; ++k) {
    Lid& lid = pair.closed.tanks[k].lid;
    lid.kind = k < 11 ? Lid::Kind::holed : Lid::Kind::sealed;
    if (k < 11) lid.hole_m = hole_m[k % 5];
  }
  pair.sheet.lasts_s = pair.days * day_s;
  for (int day = 0; day < pair.days; ++day) {
    const double midnight_s = day * day_s;
    turn_tap(pair.sheet, midnight_s + 6.0 * hour_s, true);
    turn_tap(pair.sheet, midnight_s + 7.0 * hour_s, false);
    set_rain(pair.sheet, midnight_s + 12.0 * hour_s, 0.006 / 60.0);
    set_rain(pair.sheet, midnight_s + 16.0 * hour_s, 0.0);
    turn_tap(pair.sheet, midnight_s + 18.0 * hour_s, true);
    turn_tap(pair.sheet, midnight_s + 19.0 * hour_s, false);
  }
  return pair;
}

/// Five tanks of a cubic metre on a header, the first one open; the holes are those of
/// examples/closed-lids.toml and the two that its sealed lids need.
LidPair five_on_a_header(bool alike) {
  constexpr double holes_m[] = {0.0, 0.006, 0.006, 0.005, 0.016};
  LidPair pair;
  pair.name = alike ? "f.five" : "f.five_unlike";
  pair.words = alike ? "5 like tanks on a header, the first one open" : "5 unlike ones";
  pair.goal = 3.0;
  pair.days = 30;
  Parts& parts = pair.open;
  parts.site.water_temperature_degc = degc;
  parts.headers.push_back({"header", 0.0, std::nullopt});
  for (std::size_t k = 0; k < 5; ++k) {
    const double area_m2 = alike ? 1.1 : 0.7 + 0.2 * static_cast<double>(3 * k % 5);
    parts.tanks.push_back(box(k, area_m2, 1.0, 0.6));
    parts.hoses.push_back(hose(k, id_at<TankId>(k), id_at<HeaderId>(0)));
  }
  parts.outlets.push_back(tap_at(id_at<HeaderId>(0), 0.012 / 60.0));
  parts.roofs.push_back(roof_into_first());
  pair.closed = parts;
  for (std::size_t k = 1; k < 5; ++k) {
    pair.closed.tanks[k].lid.kind = Lid::Kind::holed;
    pair.closed.tanks[k].lid.hole_m = holes_m[k];
  }
  pair.sheet.lasts_s = pair.days * day_s;
  for (int day = 0; day < pair.days; ++day) {
    const double midnight_s = day * day_s;
    turn_tap(pair.sheet, midnight_s + 6.0 * hour_s, true);
    turn_tap(pair.sheet, midnight_s + 7.0 * hour_s, false);
    set_rain(pair.sheet, midnight_s + 12.0 * hour_s, 0.003 / 60.0);
    set_rain(pair.sheet, midnight_s + 16.0 * hour_s, 0.0);
  }
  return pair;
}

/// Twelve caged tanks in a row, the first one open; a tap on it and a roof into the second.
LidPair twelve_in_a_row() {
  LidPair pair;
  pair.name = "f.row";
  pair.words = "12 tanks in a row, holes of 6 mm";
  pair.goal = 3.0;
  pair.days = 30;
  Parts& parts = pair.open;
  parts.site.water_temperature_degc = degc;
  for (std::size_t k = 0; k < 12; ++k) {
    parts.tanks.push_back(box(k, 1.1, 1.0, 0.7 - 0.02 * static_cast<double>(k)));
    if (k > 0) parts.hoses.push_back(hose(k - 1, id_at<TankId>(k - 1), id_at<TankId>(k)));
  }
  parts.outlets.push_back(tap_at(id_at<TankId>(0), 0.018 / 60.0));
  parts.roofs.push_back(roof_into_first());
  parts.roofs.back().into = id_at<TankId>(1);
  pair.closed = parts;
  for (std::size_t k = 1; k < 12; ++k) {
    pair.closed.tanks[k].lid.kind = Lid::Kind::holed;
    pair.closed.tanks[k].lid.hole_m = 0.006;
  }
  pair.sheet.lasts_s = pair.days * day_s;
  for (int day = 0; day < pair.days; ++day) {
    const double midnight_s = day * day_s;
    turn_tap(pair.sheet, midnight_s + 6.0 * hour_s, true);
    turn_tap(pair.sheet, midnight_s + 6.5 * hour_s, false);
    set_rain(pair.sheet, midnight_s + 14.0 * hour_s, 0.009 / 60.0);
    set_rain(pair.sheet, midnight_s + 15.0 * hour_s, 0.0);
  }
  return pair;
}

/// The first of two like tanks is closed; a tap on the second.
LidPair two_tanks(const std::string& name, const std::string& words, const Tank& like,
                  double closed_hole_m, double drawn_m3) {
  LidPair pair;
  pair.name = name;
  pair.words = words;
  pair.days = 10;
  Parts& parts = pair.open;
  parts.site.water_temperature_degc = degc;
  parts.tanks = {like, like};
  parts.tanks[1].name = "tank-2";
  parts.hoses.push_back(hose(0, id_at<TankId>(0), id_at<TankId>(1)));
  constexpr double tap_s = 300.0;
  parts.outlets.push_back(tap_at(id_at<TankId>(1), drawn_m3 / tap_s));
  parts.roofs.push_back(roof_into_first());
  pair.closed = parts;
  pair.closed.tanks[0].lid.kind = Lid::Kind::holed;
  pair.closed.tanks[0].lid.hole_m = closed_hole_m;
  pair.sheet.lasts_s = pair.days * day_s;
  for (int quarter = 0; quarter < 4 * pair.days; ++quarter) {
    const double start_s = quarter * 6.0 * hour_s;
    turn_tap(pair.sheet, start_s + hour_s, true);
    turn_tap(pair.sheet, start_s + hour_s + tap_s, false);
    set_rain(pair.sheet, start_s + 3.0 * hour_s, drawn_m3 / hour_s);
    set_rain(pair.sheet, start_s + 4.0 * hour_s, 0.0);
  }
  return pair;
}

}  // namespace

std::vector<LidPair> lid_pairs() {
  return {five_on_a_header(true),
          five_on_a_header(false),
          twelve_in_a_row(),
          twelve_on_a_header(0.0, false),
          twelve_on_a_header(0.0, true),
          twelve_on_a_header(14.0, true),
          two_tanks("f.small_headspace", "2 mm hole over 20 litres of air", box(0, 1.0, 1.0, 0.98),
                    0.002, 0.010),
          two_tanks("f.large_headspace", "0.5 mm hole over 20 000 litres of air",
                    box(0, 15.0, 2.0, 2.0 - 20.0 / 15.0), 0.0005, 0.500)};
}

}  // namespace bench
