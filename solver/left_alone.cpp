// SPDX-License-Identifier: MIT
#include "solver/left_alone.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace tankyard {

Parts left_alone(const Parts& parts) {
  Parts alone = parts;
  for (Outlet& outlet : alone.outlets) outlet.open = false;
  for (Pump& pump : alone.pumps) pump.running = false;
  alone.roofs.clear();
  alone.top_ups.clear();
  alone.leaks.clear();
  return alone;
}

Result<RunRecord> let_stand(Parts parts, double for_s) {
  const Result<Array> array = Array::make(std::move(parts));
  if (!array) return tl::unexpected<Troubles>(array.error());
  DaySheet sheet;
  sheet.lasts_s = for_s;
  RunOptions options;
  options.event_tolerance_s = 0.1;
  options.record_every_s = for_s;
  options.most_steps = 10'000;  // a hundred times what an ordinary yard takes
  return run(*array, sheet, options);
}

Result<RunRecord> standing_full(const Array& array) {
  Parts brimful = left_alone(array.parts());
  for (Tank& tank : brimful.tanks) {
    tank.water_m3 =
        tank.overflow ? volume_m3(tank.shape, tank.overflow->height_m) : capacity_m3(tank.shape);
  }
  return let_stand(std::move(brimful), settles_within_s);
}

std::vector<double> water_in(const Array& array, const RunRecord& standing_full) {
  std::vector<double> water_m3;
  for (std::size_t i = 0; i < array.tanks().size(); ++i) {
    // A tank that has just spilt may stand a hair over its rim; that much is no part of it.
    water_m3.push_back(
        std::min(standing_full.tanks[i].end_m3, capacity_m3(array.tanks()[i].shape)));
  }
  return water_m3;
}

Result<std::vector<double>> water_when_full(const Array& array) {
  const Result<RunRecord> settled = standing_full(array);
  if (!settled) return tl::unexpected<Troubles>(settled.error());
  return water_in(array, *settled);
}

}  // namespace tankyard
