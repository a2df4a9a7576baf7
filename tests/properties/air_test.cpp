// SPDX-License-Identifier: MIT
// The air above the water of closed tanks.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "properties/days.h"
#include "solver/air_temperature.h"
#include "solver/water.h"

namespace tankyard {
namespace air_test {

constexpr double pi = 3.14159265358979323846;

RunOptions tight(double depth_tolerance_m = 1e-6) {
  RunOptions options;
  options.depth_tolerance_m = depth_tolerance_m;
  return options;
}

Water water_of(const Parts& yard) {
  return water_at(yard.site.water_temperature_degc, yard.site.altitude_m);
}

Lid with_hole(double hole_m) {
  Lid lid;
  lid.kind = Lid::Kind::holed;
  lid.hole_m = hole_m;
  return lid;
}

/// A closed tank that one outlet drains, straight or by a hose to a place below it.
Parts make_drained_tank() {
  using namespace random_yard;
  YardMayHold may;
  may.crests = may.one_way = may.off_hoses = false;
  Levels levels;
  levels.shared = {0.0};
  Parts yard;
  yard.tanks = {tank(0, 1, levels, may)};
  Outlet outlet;
  outlet.name = "outlet";
  outlet.open = true;
  const double bore = fitting_bore_m(yard, id_at<TankId>(0), spread(0.002, 0.05));
  if (chance(60)) {
    outlet.bore_m = bore;
    outlet.coefficient = between(0.5, 1.0);
  } else {
    outlet.draw_m3_per_s = spread(1e-6, 2e-3);
  }
  if (chance(50)) {
    outlet.at = end_at(yard, id_at<TankId>(0), bore);
    if (outlet.bore_m && chance(50)) outlet.height_m = mouth_m(yard, *outlet.at) - between(0, 5);
    yard.outlets.push_back(outlet);
  } else {
    outlet.height_m = -between(0.0, 5.0);
    yard.outlets.push_back(outlet);
    yard.hoses.push_back(hose(yard, id_at<TankId>(0), id_at<OutletId>(0), outlet.height_m, may));
  }
  return yard;
}

/// Two yards of the same tanks, closed by other holes: no tank's vacuum is deeper in the second.
void no_deeper(const RunRecord& narrow, const RunRecord& wide, double more_pa) {
  for (std::size_t i = 0; i < narrow.tanks.size(); ++i) {
    const double narrow_pa = -narrow.tanks[i].headspace.lowest_pa;
    at_most("vacuum under the bigger hole, Pa", -wide.tanks[i].headspace.lowest_pa, narrow_pa,
            more_pa + 1e-3 * narrow_pa);
  }
}

// Source of truth: at one pressure more air passes a bigger hole, and at one amount of air the tank
// gives no less water.
//
// Of one tank only. In a yard of several whose holes all grow alike it is not so, and not by an
// error of ours: the same 2 % of a vacuum too much at tolerances from 1e-5 to 1e-8 m. Through a
// bigger hole a tank also breathes out more easily, so that it takes more from a sealed neighbour,
// or hands its water on sooner and leaves another fuller, which then hangs deeper.
RC_GTEST_PROP(BiggerHole, NeverDeepensTheVacuum, ()) {
  Parts yard = *rc::gen::exec(make_drained_tank);
  const DaySheet day = quiet_day(any_spread(60.0, 86400.0));
  const double hole_m = any_spread(0.0005, 0.05);
  yard.tanks[0].lid = with_hole(hole_m);
  const RunRecord narrow = run_of(yard, day, tight());
  yard.tanks[0].lid = with_hole(hole_m * (1.0 + any_spread(0.01, 3.0)));
  no_deeper(narrow, run_of(yard, day, tight()), 1.0);
}

// Source of truth: Boyle. What comes and goes through a sealed lid is nothing, so p space stays
// what it was at the start. Of a tank nearly full the law's space is by up to b^2 / space more than
// the room over the water, b a ten-thousandth of the capacity (solver/headspace.h), and close to
// vapour pressure v its pressure by (v / 20)^2 / (p - v) more than the gas's: the two readings may
// be that far apart.
RC_GTEST_PROP(SealedTank, KeepsItsAir, ()) {
  const Parts yard = *random_yards(without_air_lines());
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  const Water water = water_of(yard);
  for (std::size_t i = 0; i < yard.tanks.size(); ++i) {
    if (yard.tanks[i].lid.kind != Lid::Kind::sealed) continue;
    const double capacity = capacity_m3(yard.tanks[i].shape);
    const double bubble = 1e-4 * capacity;
    const double start = capacity - record.tanks[i].start_m3;
    const double end = capacity - record.tanks[i].end_m3;
    // Fuller than that the bubble is most of the air.
    if (std::min(start, end) < 5.0 * bubble) continue;
    const double start_pa = water.atmosphere_pa;
    const double end_pa = start_pa + record.tanks[i].headspace.end_pa;
    const double over_pa =
        std::pow(water.vapour_pressure_pa / 20.0, 2) / (end_pa - water.vapour_pressure_pa);
    close_to(yard.tanks[i].name + ", air, J", end_pa * end, start_pa * start,
             start_pa * bubble * bubble / start + end_pa * bubble * bubble / end + over_pa * end +
                 1e-6 * start_pa * start);
  }
}

/// The lowest place that water of a tank can come to by hoses and outlets, open or not.
std::vector<double> lowest_in_reach_m(const Parts& yard) {
  std::vector<double> tank_m;
  std::vector<double> header_m;
  for (const Tank& tank : yard.tanks) tank_m.push_back(tank.base_m);
  for (const Header& header : yard.headers) header_m.push_back(header.height_m);
  const auto of = [&](Place place) -> double* {
    if (const auto* tank = std::get_if<TankId>(&place)) return &tank_m[tank->index];
    if (const auto* header = std::get_if<HeaderId>(&place)) return &header_m[header->index];
    return nullptr;
  };
  const auto lower = [](double* place, double to_m) {
    if (!place || *place <= to_m) return false;
    *place = to_m;
    return true;
  };
  for (const Outlet& outlet : yard.outlets) {
    if (outlet.at) lower(of(outlet.at->place), mouth_m(yard, outlet));
  }
  for (bool again = true; again;) {
    again = false;
    for (const Hose& hose : yard.hoses) {
      double* from = of(hose.from.place);
      double* to = of(hose.to.place);
      const auto* outlet = std::get_if<OutletId>(&hose.to.place);
      const double to_m = outlet ? mouth_m(yard, part(yard.outlets, *outlet)) : *to;
      const double lowest = std::min(*from, to_m);
      again = lower(from, lowest) || again;
      again = lower(to, lowest) || again;
    }
  }
  return tank_m;
}

// Source of truth: statics. Water hangs in a tank by no more than the height from its surface down
// to where it can come to, and no colder air than the night's is below outside pressure but for the
// share by which it cooled. Air cannot be pulled to less than the water's vapour pressure.
RC_GTEST_PROP(Headspace, IsNeverBelowVapourPressureNorPulledDeeperThanTheWaterColumn, ()) {
  Parts yard = *random_yards(without_air_lines());
  yard.site.air_swing_k = any_between(0.0, 1.0) < 0.5 ? 0.0 : any_between(1.0, 30.0);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day, with_rows(day.lasts_s, 50));
  const Water water = water_of(yard);
  const std::vector<double> lowest_m = lowest_in_reach_m(yard);
  const double mean_k = zero_degc_k + yard.site.air_temperature_degc;
  const double cools =
      yard.site.air_swing_k / (mean_k + 0.5 * yard.site.air_swing_k);  // 1 - coldest / warmest
  for (std::size_t i = 0; i < yard.tanks.size(); ++i) {
    const HeadspaceRecord& air = record.tanks[i].headspace;
    RC_ASSERT(std::isfinite(air.lowest_pa) && std::isfinite(air.highest_pa));
    // A step at the very end has the pressures solved once more, to the last digits.
    at_most("lowest gauge pressure, Pa", air.lowest_pa, air.end_pa, 1e-3);
    at_most("gauge pressure at the end, Pa", air.end_pa, air.highest_pa, 1e-3);
    if (yard.tanks[i].lid.kind == Lid::Kind::open) {
      RC_ASSERT(air.lowest_pa == 0.0 && air.highest_pa == 0.0);
      continue;
    }
    const double least_pa = water.vapour_pressure_pa - water.atmosphere_pa;
    at_most("vapour pressure, gauge, Pa", least_pa, air.lowest_pa, 1e-6);
    for (std::size_t row = 0; row < record.trace.headspace_pa.size(); ++row) {
      at_most("vapour pressure, gauge, Pa", least_pa, record.trace.headspace_pa[row][i], 1e-6);
    }
    const double surface_m = yard.tanks[i].base_m + record.tanks[i].highest_depth_m;
    const double column_pa = water.density_kg_per_m3 * gravity_m_per_s2 * (surface_m - lowest_m[i]);
    // A draw that holds its flow is shut off within a millisecond of the moment at which it can no
    // more, and a headspace of a few drops is pulled deeper by a little more than 1 % meanwhile.
    at_most(yard.tanks[i].name + ", vacuum, Pa", -air.lowest_pa,
            column_pa + cools * water.atmosphere_pa, 10.0 + 0.02 * column_pa);
  }
}

/// Deep boxes joined at their floors, never near empty, full or at rest with a mouth.
Parts make_deep_boxes() {
  using namespace random_yard;
  Parts yard;
  const int tanks = whole(1, 5);
  for (int i = 0; i < tanks; ++i) {
    Tank tank;
    tank.name = numbered("tank", static_cast<std::size_t>(i));
    tank.shape = Prism{spread(0.1, 2.5), 2.0};
    tank.base_m = between(0.0, 0.2);
    tank.water_m3 = capacity_m3(tank.shape) * between(0.4, 0.8);
    yard.tanks.push_back(tank);
    if (i == 0) continue;
    Hose hose;
    hose.name = numbered("hose", static_cast<std::size_t>(i));
    hose.from.place = id_at<TankId>(static_cast<std::size_t>(whole(0, i - 1)));
    hose.to.place = id_at<TankId>(static_cast<std::size_t>(i));
    hose.bore_m = spread(0.01, 0.05);
    hose.length_m = spread(1.0, 30.0);
    yard.hoses.push_back(hose);
  }
  Outlet tap;
  tap.name = "tap";
  tap.at = HoseEnd{id_at<TankId>(0), 0.0};
  tap.bore_m = spread(0.003, 0.02);
  tap.open = true;
  yard.outlets.push_back(tap);
  return yard;
}

// Source of truth: half the lid is no lid. At most some 6 L/s pass these hoses, and half of the
// smallest lid, 0.05 m2, lets as much air in at 0.03 Pa: three thousandths of a millimetre of
// water.
RC_GTEST_PROP(HoleOfHalfTheLid, IsAsGoodAsNoLid, ()) {
  const Parts open = *rc::gen::exec(make_deep_boxes);
  Parts closed = open;
  for (Tank& tank : closed.tanks) {
    const double lid_m2 = std::get<Prism>(tank.shape).area_m2;
    tank.lid = with_hole(std::sqrt(4.0 / pi * 0.5 * lid_m2));
  }
  const double tolerance_m = 1e-6;  // either run may be ten of them off (tolerance_test.cpp)
  for (int k = 1; k <= 5; ++k) {
    const DaySheet day = quiet_day(any_spread(60.0, 3600.0));
    const RunRecord one = run_of(open, day, tight(tolerance_m));
    const RunRecord other = run_of(closed, day, tight(tolerance_m));
    for (std::size_t i = 0; i < open.tanks.size(); ++i) {
      close_to(open.tanks[i].name, other.tanks[i].end_depth_m, one.tanks[i].end_depth_m,
               20.0 * tolerance_m + 3e-6);
    }
  }
}

// Source of truth: what is joined to nothing changes nothing. The other tank brings steps of its
// own, so the answers agree within what tolerances leave, not to the bit.
RC_GTEST_PROP(OpenLids, DoNotNoticeAClosedTankFarAway, ()) {
  YardMayHold may;
  may.crests = false;  // which turn at moments that hang on last digits (order_test.cpp)
  may.most_headers = 0;
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  Parts with_far = yard;
  Tank far = (*rc::gen::exec(make_drained_tank)).tanks[0];
  far.name = "far";
  far.lid = with_hole(any_spread(0.0005, 0.05));
  if (any_between(0.0, 1.0) < 0.5) far.lid.kind = Lid::Kind::sealed;
  far.water_m3 *= 0.5;
  far.overflow.reset();
  with_far.tanks.push_back(far);
  Outlet draw;  // so that something happens in it
  draw.name = "far-draw";
  draw.at = HoseEnd{id_at<TankId>(yard.tanks.size()), 0.0};
  draw.draw_m3_per_s = any_spread(1e-7, 1e-4);
  draw.open = true;
  with_far.outlets.push_back(draw);

  RunOptions options = tight(1e-8);
  options.event_tolerance_s = 1e-6;
  const RunRecord one = run_of(yard, day, options);
  const RunRecord other = run_of(with_far, day, options);
  for (std::size_t i = 0; i < yard.tanks.size(); ++i) {
    close_to(yard.tanks[i].name, other.tanks[i].end_depth_m, one.tanks[i].end_depth_m, 1e-4);
    RC_ASSERT(other.tanks[i].headspace.lowest_pa == 0.0);
    RC_ASSERT(other.tanks[i].headspace.highest_pa == 0.0);
  }
}

// Source of truth: under open lids there is outside air, whatever hose leads to it and whatever
// the night does. Here the steps are the same too, so the answers are, to the last bit.
RC_GTEST_PROP(OpenLids, AnswerBitForBitTheSameWithAirHosesAndColdNights, ()) {
  const Parts yard = *random_yards();
  const DaySheet day = *random_days(yard);
  Parts airy = yard;
  airy.site.air_swing_k = any_between(1.0, 30.0);
  const std::size_t tanks = yard.tanks.size();
  for (std::size_t i = 1; i < tanks; ++i) {
    AirLine line;
    line.name = random_yard::numbered("air-line", i);
    line.from = id_at<TankId>(i - 1);
    line.to = id_at<TankId>(i);
    line.bore_m = any_spread(0.002, 0.05);
    line.length_m = any_spread(0.1, 20.0);
    airy.air_lines.push_back(line);
  }
  const RunRecord one = run_of(yard, day);
  const RunRecord other = run_of(airy, day);
  RC_ASSERT(one.effort.steps == other.effort.steps);
  RC_ASSERT(one.effort.turns == other.effort.turns);
  for (std::size_t i = 0; i < tanks; ++i) {
    RC_ASSERT(one.tanks[i].end_m3 == other.tanks[i].end_m3);
    RC_ASSERT(one.tanks[i].end_depth_m == other.tanks[i].end_depth_m);
    RC_ASSERT(one.tanks[i].lowest_depth_m == other.tanks[i].lowest_depth_m);
    RC_ASSERT(one.tanks[i].highest_depth_m == other.tanks[i].highest_depth_m);
    RC_ASSERT(one.tanks[i].spilt_m3 == other.tanks[i].spilt_m3);
  }
  for (std::size_t i = 0; i < yard.hoses.size(); ++i) {
    RC_ASSERT(one.hoses[i].carried_m3 == other.hoses[i].carried_m3);
  }
}

}  // namespace air_test
}  // namespace tankyard
