// SPDX-License-Identifier: MIT
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <sstream>

namespace tankyard {

/// |got - want| <= relative * |want| + absolute, and all three are printed when it is not so. NaN
/// is near nothing.
struct Allowed {
  double relative = 0.0;
  double absolute = 0.0;
};

inline ::testing::AssertionResult near(double got, double want, Allowed allowed) {
  const double band = allowed.relative * std::fabs(want) + allowed.absolute;
  if (std::fabs(got - want) <= band) return ::testing::AssertionSuccess();
  std::ostringstream words;
  words.precision(17);
  words << "got " << got << ", want " << want << ", off by " << got - want << ", allowed " << band;
  return ::testing::AssertionFailure() << words.str();
}

}  // namespace tankyard
