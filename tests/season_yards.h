// SPDX-License-Identifier: MIT
#pragma once

#include <gtest/gtest.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "graph/array.h"
#include "graph/use.h"
#include "solver/studies/season.h"

namespace tankyard {

/// A record of daily totals, in millimetres, from a date on.
inline RainRecord days_of_mm(const std::vector<double>& mm,
                             std::chrono::sys_days first = std::chrono::year(2021) / 1 / 1) {
  RainRecord rain;
  rain.first = first;
  for (const double depth : mm) {
    RainDay day;
    day.depth_m = depth * 1e-3;
    rain.days.push_back(day);
  }
  return rain;
}

/// One box under one roof with one tap that draws from its very floor, so wide that nothing holds
/// water back: as near to a bucket as a yard can be.
struct OneTank {
  Parts parts;
  std::vector<Use> uses;

  OneTank(double holds_l, double starts_l, double roof_m2, double runoff, double daily_l) {
    Tank tank;
    tank.name = "tank";
    tank.shape = Prism{holds_l * 1e-3, 1.0};
    tank.water_m3 = starts_l * 1e-3;
    parts.tanks.push_back(tank);
    Outlet tap;
    tap.name = "tap";
    tap.at = HoseEnd{TankId{0}, 0.0};
    tap.draw_m3_per_s = daily_l * 1e-3 / 1800.0;  // half an hour a day
    parts.outlets.push_back(tap);
    Roof roof;
    roof.name = "roof";
    roof.area_m2 = roof_m2;
    roof.runoff_fraction = runoff;
    roof.into = TankId{0};
    parts.roofs.push_back(roof);
    Use use;
    use.outlet = OutletId{0};
    use.daily_m3 = daily_l * 1e-3;
    uses.push_back(use);
  }

  std::optional<Array> array() const {
    const Result<Array> made = Array::make(parts);
    if (made) return *made;
    for (const Trouble& trouble : made.error()) ADD_FAILURE() << trouble.message;
    return std::nullopt;
  }

  std::optional<Season> season(const RainRecord& rain, const SeasonOptions& options = {}) const {
    const std::optional<Array> made = array();
    if (!made) return std::nullopt;
    Result<Season> done = step_season(*made, uses, rain, options);
    if (done) return std::move(*done);
    for (const Trouble& trouble : done.error()) ADD_FAILURE() << trouble.message;
    return std::nullopt;
  }
};

/// Where the real record lies, fetched from the npm registry the first time (tests/fetch_rain.sh),
/// or why it cannot be had here.
struct RealRain {
  std::string path;  ///< empty: it is not there
  bool cannot_be_fetched = false;

  static RealRain fetch() {
    RealRain found;
    std::FILE* pipe = ::popen("'" TANKYARD_SOURCE_DIR "/tests/fetch_rain.sh'", "r");
    if (pipe == nullptr) return found;
    char line[4096] = "";
    if (std::fgets(line, sizeof line, pipe) != nullptr) found.path = line;
    while (!found.path.empty() && found.path.back() == '\n') found.path.pop_back();
    const int status = ::pclose(pipe);
    if (status != 0) found.path.clear();
    found.cannot_be_fetched = WIFEXITED(status) && WEXITSTATUS(status) == 75;
    return found;
  }

  std::string text() const {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
  }
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
