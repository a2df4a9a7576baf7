// SPDX-License-Identifier: MIT
// Half the step, a quarter of the error.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "near.h"
#include "small_yard.h"
#include "solver/water.h"

namespace tankyard {
namespace convergence_test {

/// End depths with every step of one length.
std::vector<double> with_steps_of(const SmallYard& yard, double step_s, double tolerance_m) {
  RunOptions options;
  options.depth_tolerance_m = tolerance_m;
  options.longest_step_s = step_s;
  const auto record = run(*yard.array(), yard.sheet, options);
  std::vector<double> depths;
  if (!record) {
    ADD_FAILURE() << record.error().front().message;
    return std::vector<double>(yard.parts.tanks.size(), 0.0);
  }
  EXPECT_EQ(record->effort.rejected, 0);
  // The first step after a change is short, and two make up for it at the end.
  EXPECT_LE(record->effort.steps, std::llround(yard.sheet.lasts_s / step_s) + 3);
  for (const TankRecord& tank : record->tanks) depths.push_back(tank.end_depth_m);
  return depths;
}

double largest_difference(const std::vector<double>& a, const std::vector<double>& b) {
  double largest = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) largest = std::max(largest, std::fabs(a[i] - b[i]));
  return largest;
}

/// Observed order from three step lengths, each half of the one before: the error of a method of
/// order p falls by 2^p each time.
void has_second_order(const SmallYard& yard, double step_s, double tolerance_m) {
  const std::vector<double> reference = with_steps_of(yard, step_s / 64.0, tolerance_m);
  std::vector<double> errors;
  for (double length = step_s; length > 0.2 * step_s; length *= 0.5) {
    errors.push_back(largest_difference(with_steps_of(yard, length, tolerance_m), reference));
  }
  for (std::size_t i = 1; i < errors.size(); ++i) {
    const double order = std::log2(errors[i - 1] / errors[i]);
    EXPECT_GT(order, 1.7) << errors[i - 1] << " m to " << errors[i] << " m";
    EXPECT_LT(order, 2.4) << errors[i - 1] << " m to " << errors[i] << " m";
  }
}

// Source of truth: closed form. A tank that drains through a hole from a mouth that stays covered
// falls along a parabola, sqrt(h) = sqrt(h0) - k t, and a method of second order is exact on it.
TEST(Convergence, IsExactOnADrainingTank) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, 1.8);
  Outlet hole;
  hole.name = "hole";
  hole.at = HoseEnd{a, 0.0};
  hole.height_m = -0.2;
  hole.bore_m = 0.02;
  hole.coefficient = 0.6;
  hole.open = true;
  yard.parts.outlets.push_back(hole);
  yard.sheet.lasts_s = 960.0;
  const double area_m2 = 3.14159265358979323846 / 4.0 * 0.02 * 0.02;
  const double k = 0.5 * 0.6 * area_m2 * std::sqrt(2.0 * gravity_m_per_s2);
  const double want = std::pow(std::sqrt(2.0) - k * 960.0, 2) - 0.2;
  for (const double step_s : {480.0, 60.0}) {
    const double got = with_steps_of(yard, step_s, 1e-5).front();
    // The hole turns laminar at Re = 10, which costs a millionth at its Re of 100 000.
    EXPECT_TRUE(near(got, want, {0.0, 1e-6})) << step_s;
  }
}

// Source of truth: TR-BDF2 is of second order (Bank et al. 1985).

TEST(Convergence, IsOfSecondOrderOnAChainWithAHeader) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, 1.8);
  const TankId b = yard.box("b", 2.0, 2.0, 0.0, 2.0);
  const TankId c = yard.box("c", 0.7, 2.0, 0.0, 0.3);
  const HeaderId m = yard.header("m", -0.5);
  yard.hose("h1", a, m, 0.020).length_m = 10.0;
  yard.hose("h2", b, m, 0.025).length_m = 5.0;
  yard.hose("h3", m, c, 0.020).length_m = 15.0;
  yard.sheet.lasts_s = 640.0;
  has_second_order(yard, 40.0, 1e-5);
}

TEST(Convergence, IsOfSecondOrderInALyingTankUnderRain) {
  SmallYard yard;
  const TankId a = yard.box("a", 1.0, 2.0, 0.0, 1.5);
  Tank lying;
  lying.name = "lying";
  lying.shape = Lying{1.6, 1.5};
  lying.water_m3 = volume_m3(lying.shape, 0.4);
  yard.parts.tanks.push_back(lying);
  yard.hose("h", a, id_at<TankId>(1), 0.020).length_m = 8.0;
  yard.roof("roof", a, 100.0);
  yard.sheet.lasts_s = 1280.0;
  yard.sheet.steps.push_back({0.0, {}, 10e-3 / 3600.0});
  has_second_order(yard, 80.0, 1e-6);
}

}  // namespace convergence_test
}  // namespace tankyard
