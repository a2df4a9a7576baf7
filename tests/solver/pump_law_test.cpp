// SPDX-License-Identifier: MIT
#include "solver/pump_law.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "near.h"
#include "solver/random_pumps.h"
#include "solver/water.h"

namespace tankyard {
namespace pump_law_test {

constexpr double litre_a_minute = 1.0 / 60000.0;
const Water water = water_at(10.0, 0.0);

// An invented garden pump at the datum.
PumpLaw garden_pump() {
  return {PumpCurve({{0.0, 40.0},
                     {20.0 * litre_a_minute, 35.0},
                     {40.0 * litre_a_minute, 21.0},
                     {55.0 * litre_a_minute, 4.0}}),
          Suction{boils_at_head_m(water, 0.0), NpshRequired({{0.0, 3.0}})}};
}

PumpLaw any_pump(const std::vector<CurvePoint>& points = any_pump_points()) {
  std::vector<CurvePoint> needs;
  const int count = *rc::gen::inRange(0, 4);
  for (int i = 0; i < count; ++i) {
    needs.push_back({(needs.empty() ? 0.0 : needs.back().flow_m3_per_s) +
                         5e-4 * *rc::gen::inRange(1, 1001) / 1e3,
                     0.01 * *rc::gen::inRange(0, 901)});
  }
  return {PumpCurve(points), Suction{boils_at_head_m(water, 0.0), NpshRequired(needs)}};
}

// Inlet heads from under boiling to 10 m; outlet heads about what the pump can lift.
double any_inlet_m() { return -11.0 + 0.001 * *rc::gen::inRange(0, 21001); }
double any_outlet_m(const PumpLaw& pump, double inlet_m) {
  return inlet_m + pump.curve.shut_off_head_m() * (-0.5 + 0.0002 * *rc::gen::inRange(0, 10001));
}

double any_share() { return *rc::gen::inRange(0, 100001) / 1e5; }

// Source of truth: the curve itself, wherever suction is in hand.
TEST(PumpLaw, IsTheCurveWhereSuctionIsInHand) {
  const PumpLaw pump = garden_pump();
  for (const double flow : {1.0, 15.0, 33.0, 50.0, 60.0}) {
    const double head = pump.curve.head_at(flow * litre_a_minute).head_m;
    const PumpTerms terms = pump_terms(pump, flow * litre_a_minute, -2.0, -2.0 + head);
    EXPECT_TRUE(near(terms.residual_m, 0.0, {0.0, 1e-13})) << flow;
    EXPECT_EQ(terms.with_inlet, -1.0);
    EXPECT_EQ(terms.with_outlet, 1.0);
    EXPECT_TRUE(near(pump_flow(pump, -2.0, -2.0 + head), flow * litre_a_minute, {1e-13, 0.0}));
  }
}

// Source of truth: the maker's shut-off head.
TEST(PumpLaw, PassesNothingBackwards) {
  const PumpLaw pump = garden_pump();
  EXPECT_EQ(pump_flow(pump, 1.0, 41.0), 0.0);
  EXPECT_EQ(pump_flow(pump, 1.0, 60.0), 0.0);
  EXPECT_GT(pump_flow(pump, 1.0, 40.999), 0.0);
  const PumpTerms held = pump_terms(pump, 0.0, 1.0, 60.0);
  EXPECT_EQ(held.residual_m, 0.0);
  EXPECT_EQ(held.with_inlet, 0.0);
  EXPECT_EQ(held.with_outlet, 0.0);
  EXPECT_GT(held.with_flow_m_per_m3_per_s, 0.0);
}

// Source of truth: the edges as told: beyond them, with something still flowing, a turn leads back.
TEST(PumpLaw, LeadsBackToItsEdges) {
  const PumpLaw pump = garden_pump();
  const double boils = pump.suction.boils_at_m;
  const double flow = 10.0 * litre_a_minute;
  const PumpTerms boiling = pump_terms(pump, flow, boils - 0.5, 0.0);
  EXPECT_GT(boiling.residual_m, pump_terms(pump, flow, boils, 0.0).residual_m);
  EXPECT_LT(boiling.with_inlet, 0.0);
  EXPECT_EQ(boiling.with_outlet, 0.0);
  const PumpTerms overpowered = pump_terms(pump, flow, 0.0, 45.0);
  EXPECT_GT(overpowered.residual_m, 5.0);
  EXPECT_EQ(overpowered.with_inlet, -1.0);
  EXPECT_EQ(overpowered.with_outlet, 1.0);
  const PumpTerms dry = pump_terms(pump, 0.0, boils - 0.5, 0.0);
  EXPECT_EQ(dry.residual_m, 0.0);
  EXPECT_EQ(dry.with_inlet, 0.0);
}

// Source of truth: the throttle's ends. At boiling nothing passes, though a lower outlet pulls.
TEST(PumpLaw, DeliversNothingWhereTheWaterBoils) {
  const PumpLaw pump = garden_pump();
  const double boils = pump.suction.boils_at_m;
  EXPECT_EQ(pump_flow(pump, boils, boils - 5.0), 0.0);
  EXPECT_EQ(pump_flow(pump, boils - 1.0, boils - 5.0), 0.0);
  const double full = pump_flow(pump, boils + 3.0, boils + 23.0);
  EXPECT_EQ(full, pump.curve.flow_at(20.0));
  EXPECT_LT(pump_flow(pump, boils + 1.0, boils + 21.0), 0.95 * full);
}

// Source of truth: the law, put in again.
RC_GTEST_PROP(AnyPump, FlowMeetsItsLaw, ()) {
  const PumpLaw pump = any_pump();
  const double inlet = any_inlet_m();
  const double outlet = any_outlet_m(pump, inlet);
  const double flow = pump_flow(pump, inlet, outlet);
  RC_ASSERT(flow >= 0.0);
  const PumpTerms terms = pump_terms(pump, flow, inlet, outlet);
  const double scale = pump.curve.shut_off_head_m() + std::fabs(inlet) + std::fabs(outlet);
  RC_ASSERT(near(terms.residual_m, 0.0,
                 {0.0, 1e-14 * scale + 1e-14 * flow * terms.with_flow_m_per_m3_per_s}));
}

// Source of truth: central differences, away from the edges at which slopes' slopes jump.
RC_GTEST_PROP(AnyPump, HasTheSlopesOfItsLaw, ()) {
  const PumpLaw pump = any_pump();
  const double inlet = any_inlet_m();
  const double outlet = any_outlet_m(pump, inlet);
  const double drive = pump.curve.shut_off_head_m() + inlet - outlet;
  const double flow = 1.5 * pump.curve.free_flow_m3_per_s() * (0.001 + any_share());
  const double needed = pump.suction.required.at(flow).value;
  const double x = npsh_available_m(inlet, pump.suction.boils_at_m) / needed;
  RC_PRE(drive > 1e-3 && x > 1e-3 && std::fabs(x - 1.0) > 1e-3);
  const auto residual = [&](double q, double a, double b) {
    return pump_terms(pump, q, a, b).residual_m;
  };
  const PumpTerms here = pump_terms(pump, flow, inlet, outlet);
  const double dh = 1e-5;
  const double told_m = 1e-15 * (pump.curve.shut_off_head_m() + drive + std::fabs(here.residual_m));
  RC_ASSERT(
      near((residual(flow, inlet + dh, outlet) - residual(flow, inlet - dh, outlet)) / (2.0 * dh),
           here.with_inlet, {1e-6, 1e-7 + 4.0 * told_m / dh}));
  RC_ASSERT(
      near((residual(flow, inlet, outlet + dh) - residual(flow, inlet, outlet - dh)) / (2.0 * dh),
           here.with_outlet, {1e-6, 4.0 * told_m / dh}));
  const double dq = 1e-7 * pump.curve.free_flow_m3_per_s();
  RC_ASSERT(
      near((residual(flow + dq, inlet, outlet) - residual(flow - dq, inlet, outlet)) / (2.0 * dq),
           here.with_flow_m_per_m3_per_s, {1e-3, 4.0 * told_m / dq}));
}

// Source of truth: what keeps the array solvable; see solver/README.md.
RC_GTEST_PROP(AnyPump, NeverFallsWithItsInletNorRisesWithItsOutlet, ()) {
  const PumpLaw pump = any_pump();
  const double inlet = any_inlet_m();
  const double outlet = any_outlet_m(pump, inlet);
  const double more = std::pow(10.0, *rc::gen::inRange(-600, 101) / 100.0);
  const double flow = pump_flow(pump, inlet, outlet);
  const double rounding = 1e-12 * pump.curve.free_flow_m3_per_s();
  RC_ASSERT(pump_flow(pump, inlet + more, outlet) >= flow - rounding);
  RC_ASSERT(pump_flow(pump, inlet, outlet + more) <= flow + rounding);
  // At any flow, not only at the root.
  const double any = 1.5 * pump.curve.free_flow_m3_per_s() * any_share();
  const PumpTerms terms = pump_terms(pump, any, inlet, outlet);
  RC_ASSERT(terms.with_flow_m_per_m3_per_s > 0.0);
  RC_ASSERT(terms.with_inlet <= 0.0);
  RC_ASSERT(terms.with_outlet >= 0.0);
}

// A pump between two reservoirs of fixed level:
//
//     |~~~|== suction hose ==(a) pump (b)== delivery hose ==|~~~|
struct Yard {
  PumpLaw pump;
  double from_m, to_m;
  LossLaw suction, delivery;
};

Yard any_yard(const std::vector<CurvePoint>& points = any_pump_points()) {
  const auto hose = [] {
    const double bore_m = 0.008 * std::pow(10.0, any_share());
    return hose_law(bore_m, 0.5 + 30.0 * any_share(), 1e-5, 1.5 + 10.0 * any_share(),
                    water.kinematic_viscosity_m2_per_s);
  };
  PumpLaw pump = any_pump(points);
  const double from_m = -9.0 + 14.0 * any_share();
  const double to_m = from_m + pump.curve.shut_off_head_m() * (1.3 * any_share() - 0.2);
  return {pump, from_m, to_m, hose(), hose()};
}

// The duty point by halving: what the law has too much rises with the flow along both hoses.
double duty_m3_per_s(const Yard& yard) {
  if (pump_flow(yard.pump, yard.from_m, yard.to_m) == 0.0) return 0.0;
  double low = 0.0;
  double high = 1.0;
  for (int halving = 0; halving < 300; ++halving) {
    const double flow = 0.5 * (low + high);
    const double inlet = yard.from_m - head_lost(yard.suction, flow).head_m;
    const double outlet = yard.to_m + head_lost(yard.delivery, flow).head_m;
    (pump_flow(yard.pump, inlet, outlet) > flow ? low : high) = flow;
  }
  return low;
}

// Source of truth: the curve and the hoses, each asked alone.
RC_GTEST_PROP(AnyPump, WorksOnItsCurveAndOnItsHoses, ()) {
  const Yard yard = any_yard();
  const double flow = duty_m3_per_s(yard);
  RC_PRE(flow > 0.0);
  const double inlet = yard.from_m - head_lost(yard.suction, flow).head_m;
  const double given = yard.to_m - yard.from_m + head_lost(yard.suction, flow).head_m +
                       head_lost(yard.delivery, flow).head_m;
  const double curve_m = yard.pump.curve.head_at(flow).head_m;
  const double band = 1e-9 * (1.0 + yard.pump.curve.shut_off_head_m());
  if (throttle(yard.pump.suction, inlet, flow).share == 1.0) {
    RC_ASSERT(near(given, curve_m, {0.0, band}));
  } else {
    RC_ASSERT(given <= curve_m + band);
    RC_ASSERT(inlet > yard.pump.suction.boils_at_m);
  }
}

// Source of truth: nobody gets more water through a narrower hose.
RC_GTEST_PROP(AnyPump, NeverGainsByALongerSuctionHose, ()) {
  const Yard yard = any_yard();
  Yard longer = yard;
  longer.suction.hose.fittings *= 1.0 + 10.0 * any_share();
  Yard lower = yard;
  lower.from_m -= 5.0 * any_share();
  const double flow = duty_m3_per_s(yard);
  RC_ASSERT(duty_m3_per_s(longer) <= flow * (1.0 + 1e-12));
  RC_ASSERT(duty_m3_per_s(lower) <= flow * (1.0 + 1e-12));
}

// The balance's own way to an answer, for this yard alone: heads at inlet and outlet and three
// flows, flows eliminated way by way, as the header of the law proposes.
struct Turned {
  bool settled = false;
  int turns = 0;
  double flow_m3_per_s = 0.0;
};

Turned turn_to_rest(const Yard& yard) {
  const PumpLaw& pump = yard.pump;
  const double shut_off_m = pump.curve.shut_off_head_m();
  double inlet = yard.from_m;  // cold
  double outlet = yard.to_m;
  double in = 0.0, through = 0.0, out = 0.0;
  Turned answer;
  const auto hose = [](const LossLaw& law, double drive_m, double& flow, double& shift) {
    if (flow == 0.0) flow = flow_at(law, drive_m);
    const HeadLoss loss = head_lost(law, flow);
    shift = (drive_m - loss.head_m) / loss.slope_m_per_m3_per_s;
    return 1.0 / loss.slope_m_per_m3_per_s;
  };
  while (answer.turns < 200) {
    ++answer.turns;
    double in_shift = 0.0, out_shift = 0.0;
    const double in_slope = hose(yard.suction, yard.from_m - inlet, in, in_shift);
    const double out_slope = hose(yard.delivery, outlet - yard.to_m, out, out_shift);
    const double drive_m = shut_off_m + inlet - outlet;
    PumpTerms terms = pump_terms(pump, through, inlet, outlet);
    if (through == 0.0 && drive_m > 0.0) {
      through = pump_flow(pump, inlet, outlet);
      terms = pump_terms(pump, through, inlet, outlet);
    }
    const double per = 1.0 / terms.with_flow_m_per_m3_per_s;
    const double of_inlet = -terms.with_inlet * per;
    const double of_outlet = terms.with_outlet * per;
    const double shift = -terms.residual_m * per;
    // Inlet:  in + in_shift - in_slope x = through + shift + of_inlet x - of_outlet y
    // Outlet: through + shift + of_inlet x - of_outlet y = out + out_shift + out_slope y
    const double r_inlet = in + in_shift - through - shift;
    const double r_outlet = through + shift - out - out_shift;
    const double a11 = in_slope + of_inlet;
    const double a22 = out_slope + of_outlet;
    const double det = a11 * a22 - of_inlet * of_outlet;
    double x = (r_inlet * a22 + of_outlet * r_outlet) / det;
    double y = (a11 * r_outlet + of_inlet * r_inlet) / det;
    const double wanted = std::max(std::fabs(x), std::fabs(y));
    x = std::clamp(x, -3.0, 3.0);
    y = std::clamp(y, -3.0, 3.0);
    // Turns that go round in circles are halved, and spiral in.
    const double keep = answer.turns > 25 ? 0.5 : 1.0;
    x *= keep;
    y *= keep;
    inlet += x;
    outlet += y;
    const double change = keep * shift + of_inlet * x - of_outlet * y;
    in += keep * in_shift - in_slope * x;
    out += keep * out_shift + out_slope * y;
    through = std::max(0.0, through + change);
    if (wanted < 1e-9 && std::fabs(change) <= 1e-9 * pump.curve.free_flow_m3_per_s()) {
      answer.settled = true;
      break;
    }
  }
  answer.flow_m3_per_s = through;
  return answer;
}

// Source of truth: the same yard by halving.
RC_GTEST_PROP(AnyPump, IsFoundByTurnsFromCold, ()) {
  const Yard yard = any_yard(any_sound_pump_points());
  const Turned turned = turn_to_rest(yard);
  RC_ASSERT(turned.settled);
  RC_ASSERT(near(turned.flow_m3_per_s, duty_m3_per_s(yard),
                 {1e-6, 1e-8 * yard.pump.curve.free_flow_m3_per_s()}));
}

// Source of truth: common practice, no source: a small pump hardly notices a nozzle held a metre
// or two higher; half a metre of gravity is done with at half a metre.
TEST(PumpLaw, HoldsItsOwnWhenTheNozzleIsRaised) {
  Yard yard{garden_pump(), 0.5, 1.0,
            hose_law(0.025, 2.0, 1e-5, 1.5, water.kinematic_viscosity_m2_per_s),
            hose_law(0.0125, 15.0, 1e-5, 4.0, water.kinematic_viscosity_m2_per_s)};
  const double low = duty_m3_per_s(yard);
  yard.to_m = 3.0;
  const double high = duty_m3_per_s(yard);
  EXPECT_LT(high, low);
  EXPECT_GT(high, 0.95 * low);
}

// Source of truth: by hand. A suction hose so thin that at boiling (10.2 m under the datum, from a
// surface at the datum) it carries Q: no pump draws more, and this one all but that.
TEST(PumpLaw, DrawsNoMoreThanTheSuctionHoseCarries) {
  const Yard yard{garden_pump(), 0.0, 1.0,
                  hose_law(0.008, 10.0, 1e-5, 1.5, water.kinematic_viscosity_m2_per_s),
                  hose_law(0.025, 1.0, 1e-5, 1.5, water.kinematic_viscosity_m2_per_s)};
  const double most = flow_at(yard.suction, -yard.pump.suction.boils_at_m);
  const double flow = duty_m3_per_s(yard);
  EXPECT_LT(flow, most);
  EXPECT_GT(flow, flow_at(yard.suction, -yard.pump.suction.boils_at_m - 3.0));
}

}  // namespace pump_law_test
}  // namespace tankyard
