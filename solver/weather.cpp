// SPDX-License-Identifier: MIT
#include "solver/weather.h"

#include <algorithm>
#include <limits>

namespace tankyard {

Weather::Weather(const Parts& parts) : parts_(parts) { dry_roofs(); }

void Weather::dry_roofs() {
  flush_left_m_.clear();
  for (const Roof& roof : parts_.roofs) flush_left_m_.push_back(roof.first_flush_m);
}

Weather::Stream Weather::stream_of(std::size_t roof) const {
  const Roof& r = parts_.roofs[roof];
  Stream stream;
  stream.runs_off_m3_per_s = rain_m_per_s_ * r.area_m2 * r.runoff_fraction;
  if (flush_left_m_[roof] > 0.0) return stream;
  stream.into_tank_m3_per_s = stream.runs_off_m3_per_s;
  if (r.gutter_limit_m3_per_s) {
    stream.into_tank_m3_per_s = std::min(stream.into_tank_m3_per_s, *r.gutter_limit_m3_per_s);
  }
  return stream;
}

void Weather::add_inflow(std::vector<double>& inflow_m3_per_s) const {
  for (std::size_t i = 0; i < parts_.roofs.size(); ++i) {
    inflow_m3_per_s[parts_.roofs[i].into.index] += stream_of(i).into_tank_m3_per_s;
  }
}

double Weather::changes_in_s() const {
  double soonest = std::numeric_limits<double>::infinity();
  if (rain_m_per_s_ <= 0.0) return soonest;
  for (double left_m : flush_left_m_) {
    if (left_m > 0.0) soonest = std::min(soonest, left_m / rain_m_per_s_);
  }
  return soonest;
}

void Weather::fall(double for_s, const std::vector<double>& taken_share,
                   std::vector<RoofRecord>& records, std::vector<TankRecord>& tanks) {
  if (rain_m_per_s_ <= 0.0) return;
  for (std::size_t i = 0; i < parts_.roofs.size(); ++i) {
    Stream stream = stream_of(i);
    if (!taken_share.empty()) stream.into_tank_m3_per_s *= taken_share[parts_.roofs[i].into.index];
    RoofRecord& record = records[i];
    record.fell_m3 += stream.runs_off_m3_per_s * for_s;
    record.caught_m3 += stream.into_tank_m3_per_s * for_s;
    if (flush_left_m_[i] > 0.0) {
      record.first_flush_m3 += stream.runs_off_m3_per_s * for_s;
      flush_left_m_[i] -= rain_m_per_s_ * for_s;
      // The step ends where the flush does; what rounding leaves is no rain.
      if (flush_left_m_[i] < 1e-12) flush_left_m_[i] = 0.0;
    } else {
      record.over_gutter_m3 += (stream.runs_off_m3_per_s - stream.into_tank_m3_per_s) * for_s;
    }
    tanks[parts_.roofs[i].into.index].roof_m3 += stream.into_tank_m3_per_s * for_s;
  }
}

}  // namespace tankyard
