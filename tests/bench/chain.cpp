// SPDX-License-Identifier: MIT
#include "chain.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

namespace bench {
namespace {

constexpr double tap_m3_per_s = 5e-5;  // 3 L/min
constexpr double mean_roof_m3_per_s = 5e-5;
constexpr double roof_area_m2 = 50.0;
constexpr double day_s = 86400.0;
constexpr double hour_s = 3600.0;

/// The same chain on every machine: a plain linear congruential generator (Knuth, MMIX).
class Dice {
 public:
  double share() {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(state_ >> 11) * 0x1p-53;
  }

 private:
  std::uint64_t state_ = 20240229;
};

}  // namespace

Chain make_chain(int tanks, double lasts_s, double uneven_m, int repeats_every) {
  Chain chain;
  chain.tanks = tanks;
  chain.lasts_s = lasts_s;
  chain.uneven_m = uneven_m;
  Dice dice;
  constexpr double bores_m[] = {0.0125, 0.016, 0.019, 0.025};
  for (int k = 0; k < tanks; ++k) {
    if (k % repeats_every == 0) dice = Dice();
    chain.start_m.push_back(2.0 + uneven_m * (2.0 * dice.share() - 1.0));
    if (k + 1 == tanks) break;
    chain.bore_m.push_back(bores_m[static_cast<std::size_t>(4.0 * dice.share())]);
    chain.length_m.push_back(1.5 + 3.5 * dice.share());
  }

  struct Change {
    double hour;
    bool tap;
    bool rain;
  };
  // What runs from each change on; the last row is that of midnight to six.
  constexpr Change changes[] = {{6, true, false},   {8, false, false}, {12, false, true},
                                {16, false, false}, {18, true, false}, {20, false, false}};
  Chain::Stretch now;
  for (int day = 0; day * day_s < lasts_s; ++day) {
    // The mean of a sine over irrational turns is nothing: rain balances the taps in the long run.
    const double rain = mean_roof_m3_per_s * (1.0 + 0.5 * std::sin(2.399963 * day));
    for (const Change& change : changes) {
      now.until_s = day * day_s + change.hour * hour_s;
      if (now.until_s >= lasts_s) break;
      chain.stretches.push_back(now);
      now.tap_m3_per_s = change.tap ? tap_m3_per_s : 0.0;
      now.roof_m3_per_s = change.rain ? rain : 0.0;
    }
  }
  now.until_s = lasts_s;
  chain.stretches.push_back(now);
  return chain;
}

tankyard::Array array_of(const Chain& chain) {
  tankyard::Parts parts;
  parts.site.water_temperature_degc = degc;
  const auto tank_at = [](int k) {
    return tankyard::id_at<tankyard::TankId>(static_cast<std::size_t>(k));
  };
  for (int k = 0; k < chain.tanks; ++k) {
    tankyard::Tank tank;
    tank.name = "tank-" + std::to_string(k + 1);
    tank.shape = tankyard::Prism{tank_area_m2, tank_height_m};
    tank.water_m3 = tank_area_m2 * chain.start_m[static_cast<std::size_t>(k)];
    parts.tanks.push_back(tank);
  }
  for (std::size_t k = 0; k < chain.bore_m.size(); ++k) {
    tankyard::Hose hose;
    hose.name = "hose-" + std::to_string(k + 1);
    hose.from.place = tank_at(static_cast<int>(k));
    hose.to.place = tank_at(static_cast<int>(k) + 1);
    hose.bore_m = chain.bore_m[k];
    hose.length_m = chain.length_m[k];
    hose.roughness_m = roughness_m;
    hose.loss_k = fittings_k;
    parts.hoses.push_back(hose);
  }
  for (int first = 0; first < chain.tanks; first += chain.group()) {
    tankyard::Outlet tap;
    tap.name = "tap-" + std::to_string(first + 1);
    tap.at = tankyard::HoseEnd{tank_at(first), std::nullopt};
    tap.draw_m3_per_s = tap_m3_per_s;
    parts.outlets.push_back(tap);
    tankyard::Roof roof;
    roof.name = "roof-" + std::to_string(first + 1);
    roof.area_m2 = roof_area_m2;
    roof.runoff_fraction = 1.0;
    roof.into = tank_at(first + chain.group() - 1);
    parts.roofs.push_back(roof);
  }
  auto array = tankyard::Array::make(parts);
  if (!array) {
    for (const auto& trouble : array.error()) std::fprintf(stderr, "%s\n", trouble.message.c_str());
    std::abort();
  }
  return *array;
}

tankyard::DaySheet sheet_of(const Chain& chain) {
  tankyard::DaySheet sheet;
  sheet.lasts_s = chain.lasts_s;
  const auto taps = static_cast<std::size_t>(chain.tanks / chain.group());
  for (std::size_t k = 1; k < chain.stretches.size(); ++k) {
    const Chain::Stretch& before = chain.stretches[k - 1];
    const Chain::Stretch& now = chain.stretches[k];
    tankyard::TimedStep step;
    step.at_s = before.until_s;
    if ((now.tap_m3_per_s > 0.0) != (before.tap_m3_per_s > 0.0)) {
      for (std::size_t tap = 0; tap < taps; ++tap) {
        step.actions.push_back(
            {now.tap_m3_per_s > 0.0 ? tankyard::Action::Does::open : tankyard::Action::Does::close,
             tankyard::id_at<tankyard::OutletId>(tap)});
      }
    }
    if (now.roof_m3_per_s != before.roof_m3_per_s) {
      step.rain_m_per_s = now.roof_m3_per_s / roof_area_m2;
    }
    sheet.steps.push_back(step);
  }
  return sheet;
}

double largest_difference(const Depths& a, const Depths& b) {
  if (a.size() != b.size()) {
    std::fprintf(stderr, "depths at %zu and at %zu places and times cannot be compared\n", a.size(),
                 b.size());
    std::abort();
  }
  double largest = 0.0;
  for (std::size_t k = 0; k < a.size(); ++k) largest = std::max(largest, std::fabs(a[k] - b[k]));
  return largest;
}

}  // namespace bench
