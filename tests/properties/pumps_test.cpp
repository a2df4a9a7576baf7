// SPDX-License-Identifier: MIT
// What holds in any yard with pumps.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "properties/days.h"
#include "solver/pump_law.h"

namespace tankyard {
namespace pumps_test {

YardMayHold with_pumps(bool closed_lids = false) {
  YardMayHold may;
  may.pumps = true;
  may.closed_lids = closed_lids;
  may.air_lines = false;
  return may;
}

RC_GTEST_PROP(PumpedDays, AllHaveAnAnswer, ()) { day_has_an_answer(with_pumps()); }
RC_GTEST_PROP(PumpedDays, WithClosedLidsAllHaveAnAnswer, ()) {
  day_has_an_answer(with_pumps(true));
}

// Source of truth: conservation, over the whole yard, and in each tank and header.
RC_GTEST_PROP(PumpedLedger, ClosesEverywhere, ()) {
  const Parts yard = *random_yards(with_pumps());
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  const double allowed = 1e-9 * record.ledger.passed_m3 + 1e-12;
  close_to("closing error, m3", record.ledger.closing_error_m3(), 0.0, allowed);

  std::vector<double> tank_m3;
  for (const TankRecord& tank : record.tanks) {
    tank_m3.push_back(tank.start_m3 + tank.roof_m3 + tank.topped_up_m3 + tank.overflowed_in_m3 -
                      tank.overflowed_out_m3 - tank.over_rim_m3 - tank.end_m3);
  }
  std::vector<double> header_m3(yard.headers.size(), 0.0);
  const auto goes_to = [&](Place place, double volume_m3) {
    if (const auto* tank = std::get_if<TankId>(&place)) tank_m3[tank->index] += volume_m3;
    if (const auto* header = std::get_if<HeaderId>(&place)) header_m3[header->index] += volume_m3;
  };
  for (std::size_t i = 0; i < yard.hoses.size(); ++i) {
    goes_to(yard.hoses[i].from.place, -record.hoses[i].carried_m3);
    goes_to(yard.hoses[i].to.place, record.hoses[i].carried_m3);
  }
  for (std::size_t i = 0; i < yard.pumps.size(); ++i) {
    const PumpRecord& pump = record.pumps[i];
    const double forth = pump.delivered_m3 + pump.ran_on_m3 - pump.ran_back_m3;
    goes_to(yard.pumps[i].from, -forth);
    goes_to(yard.pumps[i].to, forth);
  }
  for (std::size_t i = 0; i < yard.outlets.size(); ++i) {
    if (yard.outlets[i].at) goes_to(yard.outlets[i].at->place, -record.outlets[i].delivered_m3);
  }
  for (std::size_t i = 0; i < yard.leaks.size(); ++i) {
    goes_to(yard.leaks[i].tank, -record.leaks[i].lost_m3);
  }
  for (std::size_t i = 0; i < tank_m3.size(); ++i) {
    close_to(yard.tanks[i].name, tank_m3[i], 0.0, allowed);
  }
  for (std::size_t i = 0; i < header_m3.size(); ++i) {
    close_to(yard.headers[i].name, header_m3[i], 0.0, allowed);
  }
}

RC_GTEST_PROP(PumpRecords, AddUp, ()) {
  const Parts yard = *random_yards(with_pumps());
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  for (std::size_t i = 0; i < yard.pumps.size(); ++i) {
    const PumpRecord& pump = record.pumps[i];
    RC_ASSERT(pump.delivered_m3 >= -1e-12);
    RC_ASSERT(pump.energy_kwh >= 0.0);
    RC_ASSERT(pump.ran_s <= day.lasts_s * (1.0 + 1e-12));
    RC_ASSERT(pump.dry_s <= pump.ran_s * (1.0 + 1e-12));
    if (pump.ran_s == 0.0) RC_ASSERT(pump.delivered_m3 == 0.0 && pump.energy_kwh == 0.0);
    if (pump.dry_s == pump.ran_s) RC_ASSERT(pump.delivered_m3 == 0.0);
    if (!lets_back(yard.pumps[i])) RC_ASSERT(pump.ran_back_m3 == 0.0);
  }
}

/// Whether water could go round through the pump without a tank: by hoses between headers, and
/// other pumps. Hoses and headers are taken as full, so that it does, however dry the tanks.
bool may_go_round(const Parts& yard, std::size_t pump) {
  std::vector<Place> reached = {yard.pumps[pump].to};
  const auto reach = [&](Place from, Place to) {
    const auto in = [&](Place place) {
      return std::find(reached.begin(), reached.end(), place) != reached.end();
    };
    if (!std::holds_alternative<HeaderId>(from) || !std::holds_alternative<HeaderId>(to)) return;
    if (in(from) && !in(to)) reached.push_back(to);
    if (in(to) && !in(from)) reached.push_back(from);
  };
  for (std::size_t turn = 0; turn < yard.headers.size(); ++turn) {
    for (const Hose& hose : yard.hoses) reach(hose.from.place, hose.to.place);
    for (std::size_t i = 0; i < yard.pumps.size(); ++i) {
      if (i != pump) reach(yard.pumps[i].from, yard.pumps[i].to);
    }
  }
  return std::find(reached.begin(), reached.end(), yard.pumps[pump].from) != reached.end();
}

// No pump delivers from a yard in which no tank holds water and none comes in.
RC_GTEST_PROP(Pumps, DeliverNothingFromADryYard, ()) {
  YardMayHold may = with_pumps();
  may.supplies = false;
  Parts yard = *random_yards(may);
  for (Tank& tank : yard.tanks) tank.water_m3 = 0.0;
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  for (std::size_t i = 0; i < yard.pumps.size(); ++i) {
    const bool round = may_go_round(yard, i);
    RC_CLASSIFY(round, "may go round");
    if (!round) at_most("pumped", record.pumps[i].delivered_m3, 0.0, 1e-12);
  }
}

/// A big tank, a suction hose, a pump, a delivery hose into another big tank.
Parts pumped_across(double suction_k, double bore_m, double to_base_m) {
  Parts yard;
  for (int i = 0; i < 2; ++i) {
    Tank tank;
    tank.name = random_yard::numbered("tank", static_cast<std::size_t>(i));
    tank.shape = Prism{10.0, 2.0};
    tank.base_m = i == 0 ? 0.0 : to_base_m;
    tank.water_m3 = 15.0;
    yard.tanks.push_back(tank);
  }
  yard.headers = {{"in", 0.0, std::nullopt}, {"out", 0.0, std::nullopt}};
  const auto join = [&](const char* name, Place from, Place to, double k) {
    Hose hose;
    hose.name = name;
    hose.from.place = from;
    hose.to.place = to;
    hose.bore_m = bore_m;
    hose.length_m = 5.0;
    hose.loss_k = k;
    yard.hoses.push_back(hose);
  };
  join("suction", TankId{0}, HeaderId{0}, suction_k);
  join("delivery", HeaderId{1}, TankId{1}, 0.0);
  Pump pump;
  pump.name = "pump";
  pump.from = HeaderId{0};
  pump.to = HeaderId{1};
  pump.running = true;
  yard.pumps.push_back(pump);
  return yard;
}

std::vector<CurvePoint> any_curve() {
  return *rc::gen::exec([] {
    const double flow = random_yard::spread(1e-4, 2e-3);
    const double head = random_yard::spread(5.0, 60.0);
    return std::vector<CurvePoint>{
        {0.0, head}, {0.5 * flow, head * random_yard::between(0.5, 0.95)}, {flow, head * 0.1}};
  });
}

double flow_of(const Parts& yard, RunRecord& record) {
  RunOptions options;
  options.depth_tolerance_m = 1e-9;
  options.record_every_s = 1.0;
  record = run_of(yard, quiet_day(1.0), options);
  return record.trace.pump_flow_m3_per_s.back()[0];
}

// Duty on both curves: the head between its headers is the curve's at the flow, and the hoses carry
// that flow.
RC_GTEST_PROP(Duty, LiesOnThePumpsCurveAndTheHoses, ()) {
  Parts yard =
      pumped_across(any_between(0.0, 5.0), any_spread(0.015, 0.05), any_between(0.0, 20.0));
  yard.pumps[0].curve = any_curve();
  RunRecord record;
  const double flow = flow_of(yard, record);
  RC_PRE(record.pumps[0].scarcest.has_value());
  RC_PRE(record.pumps[0].scarcest->npsh_available_m > record.pumps[0].scarcest->npsh_required_m);
  const std::span<const double> heads = record.trace.header_head_m.back();
  const PumpCurve curve(yard.pumps[0].curve);
  if (flow > 1e-9) {
    close_to("head, m", heads[1] - heads[0], curve.head_at(flow).head_m,
             1e-5 * curve.shut_off_head_m());
  }
  close_to("suction", record.trace.hose_flow_m3_per_s.back()[0], flow, 1e-9);
  close_to("delivery", record.trace.hose_flow_m3_per_s.back()[1], flow, 1e-9);
}

RC_GTEST_PROP(Suction, NeverRaisesTheFlowByMoreResistance, ()) {
  const double k = any_spread(0.1, 1e4);
  const double bore = any_spread(0.010, 0.05);
  const double base = any_between(0.0, 10.0);
  Parts easy = pumped_across(k, bore, base);
  easy.pumps[0].curve = any_curve();
  Parts hard = easy;
  hard.hoses[0].loss_k *= any_spread(1.0, 100.0);
  RunRecord record;
  const double with_less = flow_of(easy, record);
  const double with_more = flow_of(hard, record);
  at_most("flow, m3/s", with_more, with_less, 1e-9 + 1e-6 * with_less);
}

// Stranded, delivered and what is left elsewhere are what there was, at the moment it draws air.
RC_GTEST_PROP(AirDrawn, CountsEveryLitre, ()) {
  YardMayHold may = with_pumps();
  may.supplies = false;
  may.leaks = false;
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  const RunRecord record = run_of(yard, day);
  double start = 0.0;
  for (const Tank& tank : yard.tanks) start += tank.water_m3;
  for (const PumpRecord& pump : record.pumps) {
    if (!pump.air_drawn) continue;
    double held = 0.0;
    for (const double water : pump.air_drawn->water_m3) held += water;
    at_most("held, m3", held, start, 1e-9 * start);
    const double gone = record.ledger.delivered_m3 + record.ledger.overflowed_m3;
    at_most("gone by then, m3", start - held, gone, 1e-9 * start + 1e-12);
  }
}

}  // namespace pumps_test
}  // namespace tankyard
