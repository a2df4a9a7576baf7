// SPDX-License-Identifier: MIT
#include "seasons.h"

#include <cmath>
#include <cstdint>
#include <string>

namespace bench {

using namespace tankyard;

SeasonCase six_on_a_rail(int years) {
  SeasonCase it;
  it.parts.headers.push_back({"rail", 0.1, std::nullopt});
  for (std::size_t k = 0; k < 6; ++k) {
    Tank tank;
    tank.name = "tank-" + std::to_string(k + 1);
    tank.shape = Prism{0.8 + 0.1 * static_cast<double>(5 * k % 6), 1.0};
    tank.base_m = 0.3 + 0.01 * static_cast<double>(k % 3);
    tank.water_m3 = 0.5;
    Overflow overflow;
    overflow.height_m = 0.9;
    overflow.bore_m = 0.05;
    tank.overflow = overflow;
    it.parts.tanks.push_back(tank);
    Hose hose;
    hose.name = "hose-" + std::to_string(k + 1);
    hose.from.place = id_at<TankId>(k);
    hose.to.place = id_at<HeaderId>(0);
    hose.bore_m = k % 3 == 2 ? 0.019 : 0.025;
    hose.length_m = 1.5 + static_cast<double>(k);
    hose.loss_k = 2.0;
    it.parts.hoses.push_back(hose);
  }
  Outlet tap;
  tap.name = "tap";
  tap.at = HoseEnd{id_at<HeaderId>(0), std::nullopt};
  tap.draw_m3_per_s = 0.015 / 60.0;
  it.parts.outlets.push_back(tap);
  Roof roof;
  roof.name = "roof";
  roof.area_m2 = 90.0;
  roof.first_flush_m = 0.0005;
  roof.into = id_at<TankId>(0);
  it.parts.roofs.push_back(roof);
  Use use;
  use.outlet = id_at<OutletId>(0);
  use.daily_m3 = 0.250;
  it.uses.push_back(use);

  // Numbers by lot that are the same everywhere: a linear congruence (Knuth, vol. 2, MMIX).
  std::uint64_t lot = 20261125;
  const auto share = [&] {
    lot = lot * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(lot >> 11) / 9007199254740992.0;
  };
  it.rain.first = std::chrono::sys_days(std::chrono::year(2001) / 1 / 1);
  it.rain.days.resize(static_cast<std::size_t>(std::lround(365.25 * years)));
  constexpr double mean_wet_m = 1.2 / (0.4 * 365.25);
  for (RainDay& day : it.rain.days) {
    const bool wet = share() < 0.4;
    const double drawn = share();
    if (wet) day.depth_m = -mean_wet_m * std::log(1.0 - drawn);
  }
  return it;
}

}  // namespace bench
