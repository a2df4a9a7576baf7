// SPDX-License-Identifier: MIT
// The library without a plan file: two tanks, a thin hose, a shower on the upper one.
#include <cstdio>

#include "solver/find.h"
#include "solver/run.h"

int main() {
  using namespace tankyard;
  Tank upper;
  upper.name = "upper";
  upper.shape = Prism{1.1, 0.95};
  upper.base_m = 0.5;
  upper.water_m3 = 0.9;
  Tank lower = upper;
  lower.name = "lower";
  lower.water_m3 = 0.1;
  Hose link;
  link.name = "link";
  link.from.place = TankId{0};
  link.to.place = TankId{1};
  link.bore_m = 0.013;
  link.length_m = 4.0;
  Roof shed;
  shed.name = "shed";
  shed.area_m2 = 60.0;
  shed.into = TankId{0};
  Parts parts;
  parts.tanks = {upper, lower};
  parts.hoses = {link};
  parts.roofs = {shed};
  const Result<Array> array = Array::make(parts);
  DaySheet day{3600.0, 0.0, {{0.0, {}, 20e-3 / 3600.0}}};  // an hour of 20 mm/h
  const Result<RunRecord> record = array ? run(*array, day) : tl::make_unexpected(array.error());
  if (!record) return std::puts(record.error().front().message.c_str()), 1;
  for (std::size_t t = 0; t < 2; ++t) {
    std::printf("%s: %.0f L at the end, %.0f L spilt\n", parts.tanks[t].name.c_str(),
                record->tanks[t].end_m3 * 1000.0, record->tanks[t].spilt_m3 * 1000.0);
  }
  for (const Finding& finding : find_in_run(*array, day, {}, *record)) {
    std::printf("%s\n  do: %s\n", finding.says.c_str(), finding.do_this.c_str());
  }
}
