// SPDX-License-Identifier: MIT
// One stage of a step has one answer, because every way for water passes more the higher its donor
// stands and less the higher its receiver stands.
#include "solver/balance.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <optional>

#include "properties/days.h"
#include "solver/setting.h"

namespace tankyard {
namespace balance_test {

Array array_of(const Parts& yard) {
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  return *array;
}

/// Where the levels of a plan stand, and heads of headers midway.
Instant levels_of(const Network& network) {
  Instant instant;
  instant.head_m.assign(static_cast<std::size_t>(network.places()), 0.5);
  for (std::size_t i = 0; i < network.tanks.size(); ++i) {
    instant.head_m[i] = network.tanks[i].head_of(network.array.tanks()[i].water_m3);
  }
  return instant;
}

// Source of truth: two methods that share no algebra. Newton turns solve for heads and flows
// together; bracketed sweeps find the head of one place after the other.
RC_GTEST_PROP(Balance, IsTheSameByTurnsAndBySweeps, ()) {
  YardMayHold may;
  may.most_tanks = 5;
  may.most_headers = 2;
  const Parts yard = *random_yards(may);
  const Network network(array_of(yard));
  Setting setting = setting_at_start(network);
  for (double& inflow : setting.inflow_m3_per_s) {
    inflow = any_between(0.0, 1.0) < 0.5 ? 0.0 : any_spread(1e-6, 1e-3);
  }
  Balance balance(network);
  std::vector<double> wanted_m3;
  for (const Tank& tank : yard.tanks) wanted_m3.push_back(tank.water_m3);
  Balance::Ask ask;
  ask.weight_s = any_spread(1.0, 32400.0);
  ask.worth_s = ask.weight_s;
  ask.depth_tolerance_m = 1e-7;
  ask.wanted_m3 = &wanted_m3;

  Instant turned = levels_of(network);
  balance.take(setting, turned);
  Instant swept = turned;
  if (any_between(0.0, 1.0) < 0.5) {
    // As a step meets it: from the answer to another moment, when other tanks gave.
    Balance::Ask before = ask;
    std::vector<double> before_m3;
    for (const TankLaw& tank : network.tanks) {
      before_m3.push_back(any_between(0.0, 1.0) * tank.volume_at(tank.rim_m).m3);
    }
    before.wanted_m3 = &before_m3;
    balance.settle(before, turned);
  }
  const Instant start = turned;
  // A stage that does not settle has its step quartered, here as in the stepper.
  while (!balance.settle(ask, turned).settled) {
    ask.weight_s *= 0.25;
    RC_PRE(ask.weight_s > 1e-4);  // so cold a start the stepper leaves to the sweeps alone
    turned = start;
  }
  ask.worth_s = ask.weight_s;
  // Sweeps creep, and stop where one moves little, which is not yet where little is left.
  ask.depth_tolerance_m = 1e-10;
  ask.most_sweeps = 1000;
  RC_PRE(balance.sweep(ask, swept).settled);
  for (std::size_t i = 0; i < yard.tanks.size(); ++i) {
    // Ten times what was asked: a lying tank has no surface at its bottom and its top, and turns
    // towards those only halve what is left.
    close_to(yard.tanks[i].name, turned.head_m[i], swept.head_m[i], 1e-6);
    const auto alike = [&](const char* what, double got_m3_per_s, double want_m3_per_s,
                           double per_area_per_m2) {
      const double want_m = ask.weight_s * want_m3_per_s * per_area_per_m2;
      close_to(what, ask.weight_s * got_m3_per_s * per_area_per_m2, want_m,
               1e-6 * std::fabs(want_m) + 1e-5);
    };
    const double per_area = 1.0 / network.tanks[i].scale_area_m2;
    alike("over its rim, m of depth", turned.over_rim_m3_per_s[i], swept.over_rim_m3_per_s[i],
          per_area);
    alike("overflow, m of depth", turned.overflow_m3_per_s[i], swept.overflow_m3_per_s[i],
          per_area);
  }
  for (std::size_t k = 0; k < balance.ways().open.size(); ++k) {
    const Way& way = balance.ways().open[k];
    close_to("flow, m of depth", ask.weight_s * turned.way_m3_per_s[k] * way.per_area_per_m2,
             ask.weight_s * swept.way_m3_per_s[k] * way.per_area_per_m2, 1e-4);
  }
}

/// Two tanks on two stands with one way of any kind out of the first, and nothing else.
Parts one_way_for_water() {
  using namespace random_yard;
  YardMayHold may;
  may.off_hoses = false;
  may.overflows = false;
  Levels levels;
  levels.shared = {0.0, between(0.1, 0.6)};
  Parts yard;
  yard.tanks = {tank(0, 2, levels, may), tank(1, 2, levels, may)};
  const Place first = id_at<TankId>(0);
  const Place second = id_at<TankId>(1);
  switch (whole(0, 6)) {
    case 0: {
      Overflow overflow;
      const double height = height_m(yard.tanks[0].shape);
      overflow.bore_m = std::min(spread(0.005, 0.2), 0.9 * height);
      overflow.height_m = (height - overflow.bore_m) * between(0.0, 1.0);
      if (chance(50)) overflow.to = id_at<TankId>(1);
      yard.tanks[0].overflow = overflow;
      break;
    }
    case 1: {
      Leak leak;
      leak.name = "leak";
      leak.tank = id_at<TankId>(0);
      leak.bore_m = spread(0.0005, 0.05);
      leak.height_m = (height_m(yard.tanks[0].shape) - leak.bore_m) * between(0.0, 1.0);
      yard.leaks.push_back(leak);
      break;
    }
    case 2: {
      Outlet outlet;
      outlet.name = "outlet";
      outlet.open = true;
      const double bore = spread(0.002, 0.05);
      outlet.at = end_at(yard, first, bore);
      if (chance(50))
        outlet.bore_m = bore;
      else
        outlet.draw_m3_per_s = spread(1e-7, 2e-3);
      yard.outlets.push_back(outlet);
      break;
    }
    case 3: {  // a nozzle at the end of a hose
      Outlet outlet;
      outlet.name = "outlet";
      outlet.open = true;
      outlet.bore_m = spread(0.002, 0.05);
      outlet.height_m = levels.any();
      yard.outlets.push_back(outlet);
      yard.hoses.push_back(hose(yard, first, id_at<OutletId>(0), outlet.height_m, may));
      break;
    }
    case 4:
    case 5:  // running or standing, short of suction or not, with a non-return valve or none
      yard.pumps.push_back(pump(yard, first, second));
      yard.pumps[0].stops_below.reset();
      yard.site.altitude_m = between(0.0, 3000.0);
      break;
    default:
      yard.hoses.push_back(hose(yard, first, second, std::nullopt, may));
  }
  return yard;
}

/// What leaves the first tank with the water standing so.
double leaving_m3_per_s(Balance& balance, const Setting& setting, const Network& network,
                        double first_m, double second_m) {
  Instant instant;
  instant.head_m.assign(static_cast<std::size_t>(network.places()), 0.0);
  instant.head_m[0] = network.tanks[0].base_m + first_m;
  instant.head_m[1] = network.tanks[1].base_m + second_m;
  const std::vector<double> wanted_m3 = {network.tanks[0].volume_at(instant.head_m[0]).m3,
                                         network.tanks[1].volume_at(instant.head_m[1]).m3};
  balance.take(setting, instant);
  Balance::Ask ask;
  ask.weight_s = 1e-9;  // no time: levels stay where they are
  ask.worth_s = 60.0;
  ask.depth_tolerance_m = 1e-8;
  ask.wanted_m3 = &wanted_m3;
  if (!balance.settle(ask, instant).settled) RC_FAIL("found no balance");
  double leaving = instant.overflow_m3_per_s[0] + instant.over_rim_m3_per_s[0];
  for (const double flow : instant.way_m3_per_s) leaving += flow;
  for (const double flow : instant.draw_m3_per_s) leaving += flow;
  return leaving;
}

RC_GTEST_PROP(EveryWay, PassesMoreTheHigherItsDonorAndLessTheHigherItsReceiver, ()) {
  const Parts yard = *rc::gen::exec(one_way_for_water);
  const Network network(array_of(yard));
  Setting setting = setting_at_start(network);
  for (std::size_t i = 0; i < setting.crest_primed.size(); ++i) {
    setting.crest_primed[i] = yard.hoses[i].primed;  // as picked, wherever the water stands
  }
  Balance balance(network);
  const double first_top = 1.1 * height_m(yard.tanks[0].shape);
  const double second_top = 1.1 * height_m(yard.tanks[1].shape);
  const double kept = any_between(0.0, 1.0);
  const double from = any_between(0.0, 1.0);
  const double step = any_spread(1e-5, 0.03);
  double before_up = -1.0, before_down = 1.0;
  for (int k = 0; k < 60; ++k) {
    const double at = std::min(1.0, from + step * k);
    const double up =
        leaving_m3_per_s(balance, setting, network, first_top * at, second_top * kept);
    const double down =
        leaving_m3_per_s(balance, setting, network, first_top * kept, second_top * at);
    // What the turns may leave, a fiftieth of their tolerance over a minute, is 4e-12 m/s.
    const auto rounding = [&](double flow) {
      return 1e-6 * std::fabs(flow) +
             1e-11 * std::max(network.tanks[0].scale_area_m2, network.tanks[1].scale_area_m2);
    };
    if (k > 0) {
      at_most("flow at a lower donor", before_up, up, rounding(up));
      at_most("flow at a higher receiver", down, before_down, rounding(down));
    }
    before_up = up;
    before_down = down;
  }
}

}  // namespace balance_test
}  // namespace tankyard
