// SPDX-License-Identifier: MIT
#include "graph/sound_yard.h"

namespace tankyard {

Parts sound_yard() {
  Parts parts;
  parts.site.name = "Thornfold allotments";

  Tank box;
  box.name = "box";
  box.shape = Prism{1.1, 1.0};
  box.base_m = 0.45;
  box.water_m3 = 0.66;
  box.outlet_height_m = 0.05;
  box.lid = {Lid::Kind::holed, 0.012, 0.6, 2, 0.8};
  box.overflow = Overflow{0.9, 0.05, 0.6, TankId{1}};
  box.allowed_vacuum_pa = 1500.0;
  box.allowed_pressure_pa = 3000.0;
  box.wall = Wall{"hdpe", 0.004};
  box.air_swing_k = 20.0;
  box.position = Position{0.0, 2.4};
  Tank butt;
  butt.name = "butt";
  butt.shape = Upright{0.6, 0.9};
  butt.base_m = 0.4;
  Tank drum;
  drum.name = "drum";
  drum.shape = Lying{1.2, 2.0};
  drum.base_m = 1.0;
  Tank pond;
  pond.name = "pond";
  pond.shape = DepthTable{{0.0, 0.2, 0.8}, {0.0, 0.3, 2.4}};
  pond.overflow = Overflow{0.7, 0.1, 0.6, std::nullopt};
  parts.tanks = {box, butt, drum, pond};

  parts.headers = {{"rail", 0.40, Position{1.0, 2.0}}};

  Hose box_rail;
  box_rail.name = "box-rail";
  box_rail.from = {TankId{0}, std::nullopt};
  box_rail.to = {HeaderId{0}, std::nullopt};
  box_rail.bore_m = 0.019;
  box_rail.length_m = 1.5;
  box_rail.loss_k = 1.2;
  box_rail.valve = Valve{"V1", true, 0.05};
  Hose butt_rail = box_rail;
  butt_rail.name = "butt-rail";
  butt_rail.from = {TankId{1}, 0.1};
  butt_rail.crest_m = 1.3;
  butt_rail.valve = Valve{"V2", true, 0.05};
  Hose drum_pond = box_rail;
  drum_pond.name = "drum-pond";
  drum_pond.from = {TankId{2}, 0.3};
  drum_pond.to = {TankId{3}, 0.5};
  drum_pond.valve = std::nullopt;
  drum_pond.one_way = true;
  drum_pond.cracking_head_m = 0.05;
  Hose rail_nozzle = box_rail;
  rail_nozzle.name = "rail-nozzle";
  rail_nozzle.from = {HeaderId{0}, std::nullopt};
  rail_nozzle.to = {OutletId{0}, std::nullopt};
  rail_nozzle.valve = std::nullopt;
  parts.hoses = {box_rail, butt_rail, drum_pond, rail_nozzle};

  Pump booster;
  booster.name = "booster";
  booster.from = HeaderId{0};
  booster.to = OutletId{1};
  booster.curve = {{0.0, 38.0}, {25.0 / 60000.0, 27.0}, {46.0 / 60000.0, 5.0}};
  booster.npsh_required = {{0.0, 2.0}, {46.0 / 60000.0, 3.0}};
  booster.stops_below = LowLevelStop{TankId{0}, 0.12, 0.30};
  booster.position = Position{3.0, 2.0};
  parts.pumps = {booster};

  Outlet nozzle;
  nozzle.name = "nozzle";
  nozzle.height_m = 0.2;
  nozzle.bore_m = 0.007;
  Outlet spray;
  spray.name = "spray";
  spray.height_m = 2.5;
  spray.draw_m3_per_s = 10.0 / 60000.0;
  spray.position = Position{9.0, 2.0};
  Outlet can_tap;
  can_tap.name = "can-tap";
  can_tap.at = HoseEnd{TankId{1}, 0.2};
  can_tap.bore_m = 0.02;
  parts.outlets = {nozzle, spray, can_tap};

  Roof shed;
  shed.name = "shed";
  shed.area_m2 = 64.0;
  shed.first_flush_m = 0.0005;
  shed.gutter_limit_m3_per_s = 0.002;
  shed.into = TankId{0};
  shed.position = Position{0.0, 5.0};
  parts.roofs = {shed};

  TopUp mains;
  mains.name = "mains";
  mains.into = TankId{0};
  mains.flow_m3_per_s = 15.0 / 60000.0;
  mains.starts_below_m = 0.2;
  mains.stops_above_m = 0.3;
  mains.air_gap_m = 0.04;
  parts.top_ups = {mains};

  Leak seam;
  seam.name = "seam";
  seam.tank = TankId{3};
  seam.height_m = 0.1;
  seam.bore_m = 0.002;
  parts.leaks = {seam};

  AirLine box_drum_air;
  box_drum_air.name = "box-drum-air";
  box_drum_air.from = TankId{0};
  box_drum_air.to = TankId{2};
  box_drum_air.bore_m = 0.019;
  box_drum_air.length_m = 2.5;
  parts.air_lines = {box_drum_air};
  return parts;
}

}  // namespace tankyard
