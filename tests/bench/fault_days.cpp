// SPDX-License-Identifier: MIT
#include "fault_days.h"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "graph/array.h"
#include "solver/studies/faults_study.h"

namespace bench {
namespace {

using namespace tankyard;

constexpr double hour_s = 3600.0;

/// Twelve unlike tanks on a header, a valve and an overflow each, two roofs, a tap at the end of a
/// hose; watered twice, with a thunderstorm between.
struct Twelve {
  Parts parts;
  DaySheet sheet;
};

Twelve twelve() {
  Twelve yard;
  yard.parts.headers.push_back({"header", 0.05, std::nullopt});
  for (std::size_t k = 0; k < 12; ++k) {
    Tank tank;
    tank.name = "tank-" + std::to_string(k + 1);
    tank.shape = Prism{0.5 + 0.1 * static_cast<double>(5 * k % 12), 1.0};
    tank.base_m = 0.1;
    tank.water_m3 = 0.3 * std::get<Prism>(tank.shape).area_m2;
    tank.overflow = Overflow{0.9, 0.050, 0.6, std::nullopt};
    yard.parts.tanks.push_back(tank);
    Hose hose;
    hose.name = "hose-" + std::to_string(k + 1);
    hose.from.place = id_at<TankId>(k);
    hose.to.place = id_at<HeaderId>(0);
    hose.bore_m = k % 3 == 0 ? 0.019 : 0.025;
    hose.length_m = 2.0;
    hose.valve = Valve{"V" + std::to_string(k + 1), true, 0.05};
    yard.parts.hoses.push_back(hose);
  }
  Outlet tap;
  tap.name = "tap";
  tap.height_m = 0.0;
  tap.draw_m3_per_s = 0.015 / 60.0;
  yard.parts.outlets.push_back(tap);
  Hose line;
  line.name = "line";
  line.from.place = id_at<HeaderId>(0);
  line.to.place = id_at<OutletId>(0);
  line.bore_m = 0.025;
  line.length_m = 12.0;
  yard.parts.hoses.push_back(line);
  for (std::size_t k = 0; k < 2; ++k) {
    Roof roof;
    roof.name = "roof-" + std::to_string(k + 1);
    roof.area_m2 = 60.0;
    roof.into = id_at<TankId>(6 * k);
    yard.parts.roofs.push_back(roof);
  }
  const auto turn = [&](double clock_h, Action::Does does) {
    yard.sheet.steps.push_back({(clock_h - 5.0) * hour_s, {{does, id_at<OutletId>(0)}}, {}});
  };
  const auto rain = [&](double clock_h, double mm_an_hour) {
    yard.sheet.steps.push_back({(clock_h - 5.0) * hour_s, {}, mm_an_hour / 3.6e6});
  };
  yard.sheet.starts_clock_s = 5.0 * hour_s;
  turn(6.5, Action::Does::open);
  turn(8.5, Action::Does::close);
  rain(14.0, 25.0);
  rain(15.0, 0.0);
  turn(18.5, Action::Does::open);
  turn(19.25, Action::Does::close);
  return yard;
}

struct Took {
  double wall_s = 0.0;
  long long days = 0;
  std::size_t failures = 0;
};

Took time_study(const Array& array, const DaySheet& sheet, unsigned threads, bool pairs) {
  FaultOptions options;
  options.changes = false;
  options.pairs = pairs;
  options.many.threads = threads;
  const auto start = std::chrono::steady_clock::now();
  const Result<FaultStudy> study = study_faults(array, sheet, options);
  const auto end = std::chrono::steady_clock::now();
  if (!study) {
    std::printf("    not measured: %s\n", study.error().front().message.c_str());
    std::exit(1);
  }
  return {std::chrono::duration<double>(end - start).count(), study->runs, study->singles.size()};
}

}  // namespace

void fault_days(std::vector<Figure>& figures) {
  const Twelve yard = twelve();
  const Result<Array> array = Array::make(yard.parts);
  if (!array) std::exit(1);
  std::printf(
      "\n(h) failures of 12 unlike tanks on a header, a day with two waterings and a storm\n");
  Took singles;
  Took one;
  Took two;
  for (int k = 0; k < 3; ++k) {  // wall time: the best of three, by turns
    const auto keep = [k](Took& best, const Took& took) {
      if (k == 0 || took.wall_s < best.wall_s) best = took;
    };
    keep(singles, time_study(*array, yard.sheet, 2, false));
    keep(one, time_study(*array, yard.sheet, 1, true));
    keep(two, time_study(*array, yard.sheet, 2, true));
  }
  const double days_a_second = static_cast<double>(two.days) / two.wall_s;
  const double gain = one.wall_s / two.wall_s;
  std::printf("    %zu single failures on two threads: %.2f s on the wall; goal 1 s: %s\n",
              singles.failures, singles.wall_s, singles.wall_s < 1.0 ? "met" : "MISSED");
  std::printf(
      "    with every pair, %lld days: %.2f s on two threads, %.2f s on one; goal 20 s: %s\n",
      two.days, two.wall_s, one.wall_s, two.wall_s < 20.0 ? "met" : "MISSED");
  std::printf("    %.0f scenario-days a second; two threads over one: %.2f\n", days_a_second, gain);
  figures.push_back({"h.singles", 1e3 * singles.wall_s, "ms"});
  figures.push_back({"h.pairs", two.wall_s, "s"});
  figures.push_back({"h.days_a_second", days_a_second, "1/s"});
  figures.push_back({"h.two_over_one", gain, "1"});
}

}  // namespace bench
