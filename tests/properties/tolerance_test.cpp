// SPDX-License-Identifier: MIT
// What the depth tolerance buys.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "random_arrays.h"
#include "solver/run.h"

namespace tankyard {
namespace tolerance_test {

/// Prisms and uprights deep under water, joined by hoses at their floors: nothing uncovers, nothing
/// spills, no flow law has a corner but where a flow turns round.
Parts smooth_yard() {
  using namespace random_yard;
  Parts yard;
  const int tanks = whole(2, 5);
  for (int i = 0; i < tanks; ++i) {
    Tank tank;
    tank.name = numbered("tank", static_cast<std::size_t>(i));
    const double capacity = spread(0.2, 5.0);
    if (chance(50))
      tank.shape = Prism{capacity / 2.0, 2.0};
    else
      tank.shape = Upright{std::sqrt(2.0 * capacity / 3.14159), 2.0};
    tank.base_m = between(0.0, 0.2);
    tank.water_m3 = capacity * between(0.4, 0.8);
    yard.tanks.push_back(tank);
    if (i == 0) continue;
    Hose hose;
    hose.name = numbered("hose", static_cast<std::size_t>(i));
    hose.from.place = id_at<TankId>(static_cast<std::size_t>(whole(0, i - 1)));
    hose.to.place = id_at<TankId>(static_cast<std::size_t>(i));
    hose.bore_m = spread(0.01, 0.05);
    hose.length_m = spread(1.0, 30.0);
    yard.hoses.push_back(hose);
  }
  Outlet tap;
  tap.name = "tap";
  tap.at = HoseEnd{id_at<TankId>(0), 0.0};
  tap.bore_m = 0.005;
  tap.open = true;
  yard.outlets.push_back(tap);
  return yard;
}

std::vector<double> end_depths(const Array& array, double lasts_s, double depth_tolerance_m) {
  DaySheet day;
  day.lasts_s = lasts_s;
  RunOptions options;
  options.depth_tolerance_m = depth_tolerance_m;
  const Result<RunRecord> record = run(array, day, options);
  std::vector<double> depths;
  if (!record) return depths;
  for (const TankRecord& tank : record->tanks) depths.push_back(tank.end_depth_m);
  return depths;
}

double largest_difference(const std::vector<double>& a, const std::vector<double>& b) {
  double largest = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) largest = std::max(largest, std::fabs(a[i] - b[i]));
  return largest;
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

// Source of truth: the order of the method. A step's error is of third order, so steps go with the
// cube root of the tolerance and the second-order error of a day with its 2/3 power: 16 for a 64th.
// Half of that is asked, of the median over many yards, against a run at a millionth of the first.
TEST(Tolerance, MovesTheAnswerAsTheOrderSays) {
  rc::Random random(20260117);
  std::vector<double> loose, tight;
  for (int i = 0; i < 60; ++i) {
    const Parts yard = rc::gen::exec(smooth_yard)(random.split(), rc::kNominalSize).value();
    const Result<Array> array = Array::make(yard);
    ASSERT_TRUE(array) << array.error().front().message;
    const double lasts_s = 60.0 * (i % 10 + 1);
    const std::vector<double> reference = end_depths(*array, lasts_s, 1e-10);
    ASSERT_FALSE(reference.empty());
    loose.push_back(largest_difference(end_depths(*array, lasts_s, 6.4e-4), reference));
    tight.push_back(largest_difference(end_depths(*array, lasts_s, 1e-5), reference));
  }
  RecordProperty("median_at_6.4e-4_m", std::to_string(median(loose)));
  EXPECT_GE(median(loose) / median(tight), 8.0) << median(loose) << " m and " << median(tight);
  // The worst yard is no more than ten tolerances off, as options.h says: "a few times".
  EXPECT_LE(*std::max_element(loose.begin(), loose.end()), 10.0 * 6.4e-4);
  EXPECT_LE(*std::max_element(tight.begin(), tight.end()), 10.0 * 1e-5);
}

}  // namespace tolerance_test
}  // namespace tankyard
