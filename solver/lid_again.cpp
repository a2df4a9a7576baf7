// SPDX-License-Identifier: MIT
#include "solver/lid_again.h"

#include <cmath>
#include <iterator>

#include "solver/drills.h"

namespace tankyard {
namespace {

constexpr long long most_times_the_steps = 20;
constexpr long long steps_to_spare = 10'000;

}  // namespace

Parts with_hole(const Parts& parts, TankId tank, double bore_m) {
  Parts drilled = parts;
  Lid& lid = part(drilled.tanks, tank).lid;
  lid.kind = Lid::Kind::holed;
  lid.hole_m = bore_m;
  lid.count = 1;
  return drilled;
}

Parts with_lid_blocked(const Parts& parts, TankId tank) {
  Parts blocked = parts;
  part(blocked.tanks, tank).lid.kind = Lid::Kind::sealed;
  return blocked;
}

double as_one_hole_m(const Lid& lid) {
  if (lid.kind == Lid::Kind::sealed) return 0.0;
  return lid.hole_m * std::sqrt(static_cast<double>(lid.count));
}

std::optional<double> smallest_drill_m(const std::function<bool(double bore_m)>& will_do) {
  const auto bore_m = [](std::size_t k) { return drills_mm[k] / 1000.0; };
  std::size_t high = std::size(drills_mm) - 1;
  if (!will_do(bore_m(high))) return std::nullopt;
  std::size_t low = 0;  // the answer lies from low to high
  while (low < high) {
    const std::size_t middle = low + (high - low) / 2;
    if (will_do(bore_m(middle))) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return bore_m(high);
}

const HeadspaceRecord* LidAgain::with(TankId tank, double bore_m) {
  const auto key = std::make_pair(std::size_t{tank.index}, bore_m);
  const auto kept = kept_.find(key);
  if (kept != kept_.end()) return kept->second ? &*kept->second : nullptr;
  const long long most_steps =
      most_times_the_steps * tries_.as_it_is().effort.steps + steps_to_spare;
  const std::optional<RunRecord> again =
      tries_.with(with_hole(tries_.array().parts(), tank, bore_m), most_steps);
  if (!again && tries_.over()) return nullptr;  // not known, so not kept
  std::optional<HeadspaceRecord>& record = kept_[key];
  if (again) record = again->tanks[tank.index].headspace;
  return record ? &*record : nullptr;
}

std::optional<double> LidAgain::smallest_that_will_do(
    TankId tank, const std::function<bool(const HeadspaceRecord&)>& will_do) {
  if (!worth_trying()) return std::nullopt;
  bool known = true;
  const std::optional<double> smallest_m = smallest_drill_m([&](double bore_m) {
    const HeadspaceRecord* record = with(tank, bore_m);
    known = known && (record || !tries_.over());
    return record && will_do(*record);
  });
  return known ? smallest_m : std::nullopt;
}

}  // namespace tankyard
