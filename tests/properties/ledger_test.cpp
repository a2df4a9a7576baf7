// SPDX-License-Identifier: MIT
// Every litre has a place, and no place holds less than nothing.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "properties/days.h"

namespace tankyard {
namespace ledger_test {

// Source of truth: conservation. What the run lost may be rounding, one part in 10^9 of all that
// passed through the yard.
double rounding_m3(const RunRecord& record) { return 1e-9 * record.ledger.passed_m3 + 1e-12; }

void closes_over_the_whole_yard(const YardMayHold& may) {
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  close_to("closing error, m3", record.ledger.closing_error_m3(), 0.0, rounding_m3(record));
}

RC_GTEST_PROP(Ledger, ClosesOverTheWholeYard, ()) { closes_over_the_whole_yard({}); }
RC_GTEST_PROP(Ledger, ClosesOverTheWholeYardWithClosedLids, ()) {
  closes_over_the_whole_yard(without_air_lines());
}

void closes_in_every_tank_and_header(const YardMayHold& may) {
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);

  std::vector<double> tank_m3;
  for (const TankRecord& tank : record.tanks) {
    tank_m3.push_back(tank.start_m3 + tank.roof_m3 + tank.topped_up_m3 + tank.overflowed_in_m3 -
                      tank.overflowed_out_m3 - tank.over_rim_m3 - tank.end_m3);
  }
  std::vector<double> header_m3(yard.headers.size(), 0.0);
  std::vector<double> outlet_m3(yard.outlets.size(), 0.0);
  const auto goes_to = [&](Place place, double volume_m3) {
    if (const auto* tank = std::get_if<TankId>(&place)) tank_m3[tank->index] += volume_m3;
    if (const auto* header = std::get_if<HeaderId>(&place)) header_m3[header->index] += volume_m3;
    if (const auto* outlet = std::get_if<OutletId>(&place)) outlet_m3[outlet->index] += volume_m3;
  };
  for (std::size_t i = 0; i < yard.hoses.size(); ++i) {
    goes_to(yard.hoses[i].from.place, -record.hoses[i].carried_m3);
    goes_to(yard.hoses[i].to.place, record.hoses[i].carried_m3);
  }
  for (std::size_t i = 0; i < yard.outlets.size(); ++i) {
    if (yard.outlets[i].at)
      goes_to(yard.outlets[i].at->place, -record.outlets[i].delivered_m3);
    else
      outlet_m3[i] -= record.outlets[i].delivered_m3;
  }
  for (std::size_t i = 0; i < yard.leaks.size(); ++i) {
    goes_to(yard.leaks[i].tank, -record.leaks[i].lost_m3);
  }

  const double allowed = rounding_m3(record);
  for (std::size_t i = 0; i < tank_m3.size(); ++i) {
    close_to(yard.tanks[i].name, tank_m3[i], 0.0, allowed);
  }
  for (std::size_t i = 0; i < header_m3.size(); ++i) {
    close_to(yard.headers[i].name, header_m3[i], 0.0, allowed);
  }
  for (std::size_t i = 0; i < outlet_m3.size(); ++i) {
    close_to(yard.outlets[i].name, outlet_m3[i], 0.0, allowed);
  }
}

RC_GTEST_PROP(Ledger, ClosesInEveryTankAndHeader, ()) { closes_in_every_tank_and_header({}); }
RC_GTEST_PROP(Ledger, ClosesInEveryTankAndHeaderWithClosedLids, ()) {
  closes_in_every_tank_and_header(without_air_lines());
}

// The roofs, top-ups, leaks and outlets of a record add up to its ledger, and each to itself.
void is_the_sum_of_its_parts(const YardMayHold& may) {
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  const double allowed = rounding_m3(record);

  double caught = 0.0;
  for (const RoofRecord& roof : record.roofs) {
    caught += roof.caught_m3;
    close_to("a roof's rain", roof.first_flush_m3 + roof.over_gutter_m3 + roof.caught_m3,
             roof.fell_m3, 1e-9 * roof.fell_m3 + 1e-15);
  }
  close_to("rain", caught, record.ledger.rain_m3, allowed);
  double topped = 0.0;
  for (const TopUpRecord& top_up : record.top_ups) topped += top_up.let_in_m3;
  close_to("top-ups", topped, record.ledger.topped_up_m3, allowed);
  double leaked = 0.0;
  for (const LeakRecord& leak : record.leaks) leaked += leak.lost_m3;
  close_to("leaks", leaked, record.ledger.leaked_m3, allowed);
  double delivered = 0.0;
  for (std::size_t i = 0; i < record.outlets.size(); ++i) {
    const OutletRecord& outlet = record.outlets[i];
    delivered += outlet.delivered_m3;
    at_most("taken back", -outlet.delivered_m3, 0.0, allowed);
    RC_ASSERT(outlet.dry_s <= outlet.open_s);
    RC_ASSERT(outlet.open_s <= day.lasts_s * (1.0 + 1e-12));
    if (!yard.outlets[i].draw_m3_per_s) continue;
    close_to("asked", outlet.asked_m3, *yard.outlets[i].draw_m3_per_s * outlet.open_s,
             1e-9 * outlet.asked_m3);
    close_to("short", outlet.short_m3, outlet.asked_m3 - outlet.delivered_m3,
             1e-9 * outlet.asked_m3 + 1e-15);
    at_most("delivered", outlet.delivered_m3, outlet.asked_m3, 1e-9 * outlet.asked_m3);
  }
  close_to("delivered", delivered, record.ledger.delivered_m3, allowed);
  double spilt = 0.0;
  for (const TankRecord& tank : record.tanks) {
    spilt += tank.spilt_m3;
    at_most("spilt with room", tank.spilt_with_room_m3, tank.spilt_m3, allowed);
    if (tank.spilt_m3 != 0.0) RC_ASSERT(tank.first_spilt_at_s.has_value());
  }
  close_to("spilt", spilt, record.ledger.overflowed_m3, allowed);
}

RC_GTEST_PROP(Ledger, IsTheSumOfItsParts, ()) { is_the_sum_of_its_parts({}); }
RC_GTEST_PROP(Ledger, IsTheSumOfItsPartsWithClosedLids, ()) {
  is_the_sum_of_its_parts(without_air_lines());
}

void hold_no_less_than_nothing(const YardMayHold& may) {
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day, with_rows(day.lasts_s, 200));
  RC_ASSERT(record.trace.depth_m.size() >= 200U);
  for (const double depth_m : record.trace.depth_m.values()) {
    RC_ASSERT(std::isfinite(depth_m));
    RC_ASSERT(depth_m >= 0.0);
  }
  for (std::size_t i = 0; i < record.tanks.size(); ++i) {
    const TankRecord& tank = record.tanks[i];
    RC_ASSERT(tank.end_m3 >= 0.0);
    RC_ASSERT(tank.end_depth_m >= 0.0);
    RC_ASSERT(tank.lowest_depth_m >= 0.0);  // over every step, and not clipped
  }
}

RC_GTEST_PROP(Tanks, NeverHoldLessThanNothing, ()) { hold_no_less_than_nothing({}); }
RC_GTEST_PROP(Tanks, WithClosedLidsNeverHoldLessThanNothing, ()) {
  hold_no_less_than_nothing(without_air_lines());
}

}  // namespace ledger_test
}  // namespace tankyard
