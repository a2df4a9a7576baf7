// SPDX-License-Identifier: MIT
#pragma once

#include <gtest/gtest.h>

#include <chrono>
#include <cstdlib>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "graph/use.h"
#include "solver/studies/season.h"

namespace tankyard {

/// A record of daily totals, in millimetres, from a date on.
RainRecord days_of_mm(const std::vector<double>& mm,
                      std::chrono::sys_days first = std::chrono::year(2021) / 1 / 1);

/// One box under one roof with one tap that draws from its very floor, so wide that nothing holds
/// water back: as near to a bucket as a yard can be.
struct OneTank {
  Parts parts;
  std::vector<Use> uses;

  OneTank(double holds_l, double starts_l, double roof_m2, double runoff, double daily_l);
  std::optional<Array> array() const;
  std::optional<Season> season(const RainRecord& rain, const SeasonOptions& options = {}) const;
};

/// Where the real record lies, fetched from the npm registry the first time (tests/fetch_rain.sh),
/// or why it cannot be had here.
struct RealRain {
  std::string path;  ///< empty: it is not there
  bool cannot_be_fetched = false;

  static RealRain fetch();
  std::string text() const;
};

/// Skips a test that cannot have the record, and fails one that got something else. Under CI=true
/// there is no skipping.
#define NEEDS_REAL_RAIN(real)                                                        \
  const ::tankyard::RealRain real = ::tankyard::RealRain::fetch();                   \
  if (real.path.empty()) {                                                           \
    const char* ci = std::getenv("CI");                                              \
    if (real.cannot_be_fetched && (ci == nullptr || std::string(ci) != "true")) {    \
      GTEST_SKIP() << "the rain record cannot be fetched here: tests/fetch_rain.sh"; \
    }                                                                                \
    FAIL() << "the rain record is missing: tests/fetch_rain.sh says why";            \
  }

}  // namespace tankyard
