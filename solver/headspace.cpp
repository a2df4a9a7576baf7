// SPDX-License-Identifier: MIT
#include "solver/headspace.h"

#include <algorithm>
#include <cmath>

namespace tankyard {
namespace {

constexpr int most_turns = 100;
// Of a tank's volume: air that a full one keeps under its lid.
constexpr double bubble_share = 1e-6;

}  // namespace

Headspaces::Headspaces(const Network& network)
    : network_(network),
      weight_n_per_m3_(network.water.density_kg_per_m3 * gravity_m_per_s2),
      atmosphere_pa_(network.water.atmosphere_pa),
      least_pa_(network.water.vapour_pressure_pa) {
  const Parts& parts = network.array.parts();
  for (const Tank& tank : parts.tanks) {
    capacity_m3_.push_back((1.0 + bubble_share) * tankyard::capacity_m3(tank.shape));
    const bool open = tank.lid.kind == Lid::Kind::open;
    vent_area_m2_.push_back(open ? -1.0 : effective_area_m2(tank.lid));
  }
}

std::vector<double> Headspaces::air_at_rest_kg(const std::vector<double>& volume_m3,
                                               const std::vector<double>& tank_air_k) const {
  std::vector<double> mass(volume_m3.size(), 0.0);
  for (std::size_t i = 0; i < mass.size(); ++i) {
    if (!closed(i)) continue;
    const double space = std::max(0.0, capacity_m3_[i] - volume_m3[i]);
    mass[i] = atmosphere_pa_ * space / (air_gas_constant * tank_air_k[i]);
  }
  return mass;
}

Headspaces::Left Headspaces::left_of(std::size_t tank, double space_m3) const {
  const double last_m3 = 1e-3 * capacity_m3_[tank];
  const double x = (space_m3 - bubble_share * capacity_m3_[tank]) / last_m3;
  if (x <= 0.0) return {0.0, 0.0};
  if (x >= 1.0) return {1.0, 0.0};
  return {x * x * (3.0 - 2.0 * x), 6.0 * x * (1.0 - x) / last_m3};
}

TankLaw::Volume Headspaces::volume_under(std::size_t tank, double head_m,
                                         double pressure_pa) const {
  return network_.tanks[tank].volume_at(head_m - (pressure_pa - atmosphere_pa_) / weight_n_per_m3_);
}

Headspaces::Missing Headspaces::missing_air(const Ask& ask, std::size_t tank, double head_m,
                                            double pressure_pa) const {
  Missing missing;
  missing.volume = volume_under(tank, head_m, pressure_pa);
  missing.space_m3 = capacity_m3_[tank] - missing.volume.m3;
  const Left left = left_of(tank, missing.space_m3);
  missing.gone = 1.0 - left.share;
  const double inside_k = (*ask.tank_air_k)[tank];
  AirFlow vent;
  double per_space = 0.0;  // d(vent)/d(space)
  if (vent_area_m2_[tank] > 0.0) {
    vent = air_into(vent_area_m2_[tank], atmosphere_pa_, ask.air_k, pressure_pa, inside_k);
    if (vent.kg_per_s < 0.0) {
      per_space = vent.kg_per_s * left.slope_per_m3;
      vent.kg_per_s *= left.share;
      vent.slope_kg_per_s_pa *= left.share;
    }
  }
  const double gas_constant = air_gas_constant * inside_k;
  const double pull = pressure_pa - gas_constant * ask.weight_s * per_space;
  missing.air_kg_per_s = vent.kg_per_s;
  missing.of_air_j = pressure_pa * missing.space_m3 -
                     gas_constant * ((*ask.air_wanted_kg)[tank] + ask.weight_s * vent.kg_per_s);
  missing.per_head_j_per_m = missing.volume.surface_m2 * pull;
  missing.slope_m3 = missing.space_m3 + missing.per_head_j_per_m / weight_n_per_m3_ -
                     gas_constant * ask.weight_s * vent.slope_kg_per_s_pa;
  return missing;
}

double Headspaces::bracketed_pa(const Ask& ask, std::size_t tank, double head_m,
                                double guess_pa) const {
  // Newton, kept between a pressure with air to spare and one with air too little.
  double low = least_pa_;
  if (missing_air(ask, tank, head_m, low).of_air_j >= 0.0) return low;  // it boils
  double high = std::max(2.0 * guess_pa, 2.0 * atmosphere_pa_);
  while (missing_air(ask, tank, head_m, high).of_air_j < 0.0) {
    low = high;
    high *= 4.0;
  }
  double pressure = guess_pa > low && guess_pa < high ? guess_pa : 0.5 * (low + high);
  for (int turn = 0; turn < most_turns; ++turn) {
    const Missing missing = missing_air(ask, tank, head_m, pressure);
    (missing.of_air_j < 0.0 ? low : high) = pressure;
    double next = missing.slope_m3 > 0.0 ? pressure - missing.of_air_j / missing.slope_m3 : low;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    const double change = std::fabs(next - pressure);
    pressure = next;
    if (change <= 1e-13 * pressure) break;
  }
  return pressure;
}

void Headspaces::fill(const Ask& ask, std::size_t tank, double head_m, double pressure_pa,
                      const Missing& missing, Point& point) const {
  point.gas_m = (pressure_pa - atmosphere_pa_) / weight_n_per_m3_;
  point.level_m = head_m - point.gas_m;
  // The level of a nearly full tank knows its volume to fewer digits than the headspace has left;
  // the gas of a well vented one knows it to fewer than its level.
  const double air_j = air_gas_constant * (*ask.tank_air_k)[tank] *
                       ((*ask.air_wanted_kg)[tank] + ask.weight_s * missing.air_kg_per_s);
  const bool by_gas = missing.space_m3 < 1e-3 * capacity_m3_[tank] && pressure_pa > least_pa_;
  point.volume_m3 = by_gas ? capacity_m3_[tank] - air_j / pressure_pa : missing.volume.m3;
}

void Headspaces::at_heads(const Ask& ask, const std::vector<double>& head_m,
                          std::vector<Point>& points) const {
  for (std::size_t tank = 0; tank < vent_area_m2_.size(); ++tank) {
    if (!closed(tank)) continue;
    Point& point = points[tank];
    const double guess = atmosphere_pa_ + point.gas_m * weight_n_per_m3_;
    const double pressure = bracketed_pa(ask, tank, head_m[tank], guess);
    const Missing missing = missing_air(ask, tank, head_m[tank], pressure);
    fill(ask, tank, head_m[tank], pressure, missing, point);
    // Boiling, the pressure does not follow the head.
    const double gas_slope =
        pressure > least_pa_ ? missing.per_head_j_per_m / missing.slope_m3 / weight_n_per_m3_ : 0.0;
    point.level_slope = std::max(0.0, 1.0 - gas_slope);
    point.volume_slope_m2 = missing.volume.surface_m2 * point.level_slope;
  }
}

}  // namespace tankyard
