// SPDX-License-Identifier: MIT
#include "general_arrays.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <string>

#include "chain.h"
#include "clock.h"
#include "solver/run.h"

namespace bench {
namespace {

using namespace tankyard;

constexpr std::size_t arrays = 100;
constexpr std::size_t tanks = 50;
constexpr std::size_t across = 20;
constexpr std::size_t headers = 2;
constexpr std::size_t taps = 4;
constexpr std::size_t roofs = 5;
constexpr int repeats = 3;
constexpr double hour_s = 3600.0;

/// The same arrays on every machine: a plain linear congruential generator (Knuth, MMIX).
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed) {}
  double share() {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(state_ >> 11) * 0x1p-53;
  }
  double between(double least, double most) { return least + (most - least) * share(); }
  std::size_t below(std::size_t count) {
    return static_cast<std::size_t>(share() * static_cast<double>(count));
  }

 private:
  std::uint64_t state_;
};

Hose hose_between(Dice& dice, Parts& parts, Place from, Place to) {
  constexpr double bores_m[] = {0.0125, 0.019, 0.025, 0.032, 0.050};
  Hose hose;
  hose.name = "hose-" + std::to_string(parts.hoses.size() + 1);
  hose.from.place = from;
  hose.to.place = to;
  hose.bore_m = bores_m[dice.below(5)];
  hose.length_m = dice.between(0.5, 12.0);
  hose.roughness_m = roughness_m;
  hose.loss_k = dice.between(0.5, 6.0);
  for (HoseEnd* end : {&hose.from, &hose.to}) {
    // Most hoses join at the bottom, some higher.
    const bool at_tank = std::holds_alternative<TankId>(end->place);
    if (at_tank && dice.share() < 0.3) end->height_m = dice.between(0.0, 0.5);
  }
  return hose;
}

Parts any_parts(Dice& dice) {
  Parts parts;
  parts.site.water_temperature_degc = degc;
  const auto tank_at = [](std::size_t k) { return id_at<TankId>(k % tanks); };
  for (std::size_t k = 0; k < tanks; ++k) {
    Tank tank;
    tank.name = "tank-" + std::to_string(k + 1);
    const double area_m2 = dice.between(0.2, 4.0);
    tank.shape = Prism{area_m2, 1.0};
    tank.base_m = dice.between(0.0, 0.3);
    tank.water_m3 = area_m2 * dice.between(0.1, 0.95);
    parts.tanks.push_back(tank);
  }
  for (std::size_t k = 0; k < headers; ++k) {
    parts.headers.push_back({"header-" + std::to_string(k + 1), 0.0, std::nullopt});
  }
  for (std::size_t k = 0; k < tanks; ++k) {
    parts.hoses.push_back(hose_between(dice, parts, tank_at(k), tank_at(k + 1)));
  }
  for (std::size_t k = 0; k < across; ++k) {
    const std::size_t from = dice.below(tanks);
    const std::size_t to = from + 2 + dice.below(tanks - 3);
    parts.hoses.push_back(hose_between(dice, parts, tank_at(from), tank_at(to)));
  }
  for (std::size_t k = 0; k < headers; ++k) {
    const std::size_t first = dice.below(tanks);
    for (std::size_t n = 0; n < 3; ++n) {
      const Place tank = tank_at(first + 7 * n);
      parts.hoses.push_back(hose_between(dice, parts, tank, id_at<HeaderId>(k)));
    }
  }
  for (std::size_t k = 0; k < taps; ++k) {
    Outlet tap;
    tap.name = "tap-" + std::to_string(k + 1);
    const Place at = k < headers ? Place{id_at<HeaderId>(k)} : Place{tank_at(dice.below(tanks))};
    tap.at = HoseEnd{at, std::nullopt};
    tap.draw_m3_per_s = dice.between(2.0, 20.0) / 60000.0;
    parts.outlets.push_back(tap);
  }
  for (std::size_t k = 0; k < roofs; ++k) {
    Roof roof;
    roof.name = "roof-" + std::to_string(k + 1);
    roof.area_m2 = dice.between(10.0, 120.0);
    roof.into = tank_at(dice.below(tanks));
    parts.roofs.push_back(roof);
  }
  return parts;
}

DaySheet any_day(Dice& dice) {
  DaySheet sheet;
  sheet.lasts_s = 24.0 * hour_s;
  const auto turn = [&](double at_s, Action::Does does, std::size_t tap) {
    sheet.steps.push_back({at_s, {{does, id_at<OutletId>(tap)}}, {}});
  };
  for (std::size_t k = 0; k < taps; ++k) {
    const double opens_h = dice.between(0.5, 20.0);
    turn(opens_h * hour_s, Action::Does::open, k);
    turn((opens_h + dice.between(0.2, 3.0)) * hour_s, Action::Does::close, k);
  }
  const double rains_h = dice.between(1.0, 20.0);
  sheet.steps.push_back({rains_h * hour_s, {}, dice.between(0.5, 20.0) / 3.6e6});
  sheet.steps.push_back({(rains_h + 2.0) * hour_s, {}, 0.0});
  std::stable_sort(sheet.steps.begin(), sheet.steps.end(),
                   [](const TimedStep& a, const TimedStep& b) { return a.at_s < b.at_s; });
  return sheet;
}

}  // namespace

void general_arrays(std::vector<Figure>& figures) {
  std::printf(
      "\n(k) %zu random arrays of %zu tanks in rings with %zu hoses across and %zu headers, a day "
      "each\n",
      arrays, tanks, across, headers);
  std::vector<double> per_tank_s;
  int refused = 0;
  for (std::size_t k = 0; k < arrays; ++k) {
    Dice dice(1000 + k);
    for (int warm = 0; warm < 8; ++warm) dice.share();
    const auto array = Array::make(any_parts(dice));
    const DaySheet day = any_day(dice);
    if (!array) {
      std::fprintf(stderr, "tankyard_bench: %s\n", array.error().front().message.c_str());
      return;
    }
    Times takes;
    bool answered = true;
    for (int n = 0; n < repeats && answered; ++n) {
      const double start = processor_s();
      answered = run(*array, day).has_value();
      takes.add(processor_s() - start);
    }
    if (!answered) {
      ++refused;
      continue;
    }
    per_tank_s.push_back(takes.best_s / static_cast<double>(tanks));
  }
  std::sort(per_tank_s.begin(), per_tank_s.end());
  const double median = per_tank_s[per_tank_s.size() / 2];
  const double ratio = per_tank_s.back() / median;
  std::printf("    median %.1f us a tank, worst %.1f us; %d found no answer\n", 1e6 * median,
              1e6 * per_tank_s.back(), refused);
  std::printf("    goal, worst over median under 5: %s, %.2f\n", ratio < 5.0 ? "met" : "MISSED",
              ratio);
  figures.push_back({"k.median", 1e6 * median, "us a tank"});
  figures.push_back({"k.worst_over_median", ratio, "1"});
  figures.push_back({"k.refused", static_cast<double>(refused), "arrays"});
}

}  // namespace bench
