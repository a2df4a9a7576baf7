// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "plain_air.h"

namespace plain {
namespace {

constexpr double pi = 3.141592653589793;
constexpr double gravity = 9.80665;
constexpr double air_gas_constant = 287.05287;  // J/(kg K), ISO 2533
constexpr double heat_ratio = 1.4;
constexpr double vapour_pa = 2339.2;  // of water at 20 degC, IAPWS SR1-86

}  // namespace

double outside_pa(double altitude_m) {
  constexpr double lapse = 0.0065;
  return 101325.0 * std::pow(1.0 - lapse * altitude_m / 288.15, gravity / air_gas_constant / lapse);
}

double warmth(double clock_s, double warmest_hour, double coldest_hour) {
  const auto hours_since = [&](double hour) {
    const double since = std::fmod(clock_s / 3600.0 - hour, 24.0);
    return since < 0.0 ? since + 24.0 : since;
  };
  const double rise = std::fmod(warmest_hour - coldest_hour + 24.0, 24.0);
  const double since_coldest = hours_since(coldest_hour);
  if (since_coldest < rise) return -std::cos(pi * since_coldest / rise);
  return std::cos(pi * hours_since(warmest_hour) / (24.0 - rise));
}

double gas_pa(double air_kg, double room_m3, double kelvin) {
  return std::max(vapour_pa, air_kg * air_gas_constant * kelvin / room_m3);
}

double air_kg(double pa, double room_m3, double kelvin) {
  return pa * room_m3 / (air_gas_constant * kelvin);
}

double air_kg_per_s(double area_m2, double a_pa, double a_kelvin, double b_pa, double b_kelvin,
                    double laminar_pa) {
  if (a_pa < b_pa) return -air_kg_per_s(area_m2, b_pa, b_kelvin, a_pa, a_kelvin, laminar_pa);
  if (a_pa == b_pa) return 0.0;
  constexpr double g = heat_ratio;
  // Sonic at the throat, 2/(g+1) ^ g/(g-1): no lower pressure behind it draws more.
  const double choked = std::pow(2.0 / (g + 1.0), g / (g - 1.0));
  const double log_r = std::max(std::log(choked), std::log1p((b_pa - a_pa) / a_pa));
  // r^(2/g) - r^((g+1)/g), of which little is left near r = 1.
  const double bracket = -std::exp(2.0 / g * log_r) * std::expm1((g - 1.0) / g * log_r);
  const double laminar = laminar_pa * 288.15 / a_kelvin / (a_pa - b_pa);
  return area_m2 * a_pa * std::sqrt(2.0 * g / (g - 1.0) / (air_gas_constant * a_kelvin) * bracket) /
         std::pow(1.0 + std::pow(laminar, 4.0), 0.125);
}

double line_area_m2(double bore_m, double length_m) {
  return pi / 4.0 * bore_m * bore_m / std::sqrt(0.03 * length_m / bore_m + 1.5);
}

double line_laminar_pa(double bore_m, double length_m) {
  constexpr double viscosity_m2_per_s = 1.46e-5;  // air at 15 degC, 1.225 kg/m3: ISO 2533
  const double velocity = 2300.0 * viscosity_m2_per_s / bore_m;
  return (0.03 * length_m / bore_m + 1.5) * 1.225 / 2.0 * velocity * velocity;
}

// Cd integral b(y) sqrt(2g (H - y)) dy with b = 2 sqrt(y (D - y)) and H = height + gas, up to the
// water, the top of the mouth, or H, whichever comes first. With u = sqrt(H - y) from u0 at the top
// to U at the bottom, and U - u = (U - u0) sin^2(x), all roots at the ends are gone.
double overflow_m3_per_s(double height_m, double gas_m, double bore_m, double coefficient) {
  const double head = height_m + gas_m;
  if (height_m <= 0.0 || head <= 0.0) return 0.0;
  const double top = std::min({height_m, head, bore_m});
  const double u_top = std::sqrt(head - top);
  const double span = std::sqrt(head) - u_top;
  constexpr int strips = 100;
  double sum = 0.0;
  for (int k = 0; k < strips; ++k) {
    const double x = (k + 0.5) * pi / 2.0 / strips;
    const double sine = std::sin(x);
    const double u = u_top + span * std::cos(x) * std::cos(x);
    const double y = span * sine * sine * (std::sqrt(head) + u);
    const double breadth = 2.0 * std::sqrt(y * std::max(0.0, bore_m - y));
    sum += breadth * u * 2.0 * u * 2.0 * span * sine * std::cos(x);
  }
  return coefficient * std::sqrt(2.0 * gravity) * sum * pi / 2.0 / strips;
}

}  // namespace plain
