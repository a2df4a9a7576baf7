// SPDX-License-Identifier: MIT
#include "solver/pump_again.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "graph/shape.h"
#include "solver/pump_curve.h"
#include "solver/wider_hose.h"

namespace tankyard {
namespace {

constexpr double set_point_step_m = 0.005;
constexpr double dead_band_m = 0.050;

}  // namespace

std::optional<TankId> drew_air_by(const Array& array, PumpId id, const AirDrawn& moment) {
  const Parts& parts = array.parts();
  const Pump& pump = part(parts.pumps, id);
  if (const auto* tank = std::get_if<TankId>(&pump.from)) return *tank;
  std::optional<TankId> barest;
  double least_m = 0.0;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const Hose& hose = parts.hoses[i];
    if (!moment.hose_open[i]) continue;
    for (const auto& [end, other] : {std::pair(&hose.from, &hose.to), {&hose.to, &hose.from}}) {
      const auto* tank = std::get_if<TankId>(&end->place);
      if (!tank || !(other->place == pump.from)) continue;
      const double covered_m =
          moment.level_m[tank->index] - (mouth_m(parts, *end) + 0.5 * hose.bore_m);
      const bool barer =
          !barest || covered_m < least_m ||
          (covered_m == least_m && part(parts.tanks, *tank).name < part(parts.tanks, *barest).name);
      if (barer) barest = *tank, least_m = covered_m;
    }
  }
  return barest;
}

Pump throttled(const Pump& pump, double most_m3_per_s) {
  const PumpCurve curve(pump.curve);
  const double k = curve.head_at(most_m3_per_s).head_m / (most_m3_per_s * most_m3_per_s);
  Pump slower = pump;
  slower.curve.clear();
  constexpr int points = 20;
  for (int i = 0; i <= points; ++i) {
    const double flow = most_m3_per_s * i / points;
    slower.curve.push_back({flow, std::max(0.0, curve.head_at(flow).head_m - k * flow * flow)});
  }
  return slower;
}

std::optional<double> PumpAgain::bore_of_all_m(PumpId pump,
                                               const std::vector<HoseId>& hoses) const {
  if (!worth_trying() || hoses.empty()) return std::nullopt;
  for (const double bore_m : trade_bores_m()) {
    Parts parts = tries_.array().parts();
    bool any = false;
    for (const HoseId id : hoses) {
      double& its_m = part(parts.hoses, id).bore_m;
      any = any || bore_m > its_m;
      its_m = std::max(its_m, bore_m);
    }
    if (!any) continue;
    const std::optional<RunRecord> record = tries_.with(std::move(parts));
    if (record && record->pumps[pump.index].lost_prime == 0) return bore_m;
    if (tries_.over()) return std::nullopt;
  }
  return std::nullopt;
}

std::optional<PumpAgain::CutOut> PumpAgain::cut_out(PumpId pump, TankId tank) const {
  if (!worth_trying()) return std::nullopt;
  const double height_m = tankyard::height_m(part(tries_.array().parts().tanks, tank).shape);
  const int most = static_cast<int>((height_m - dead_band_m) / set_point_step_m) - 1;
  const auto tried = [&](int step) -> std::optional<CutOut> {
    Parts parts = tries_.array().parts();
    const double depth_m = step * set_point_step_m;
    part(parts.pumps, pump).stops_below = LowLevelStop{tank, depth_m, depth_m + dead_band_m};
    const std::optional<RunRecord> record = tries_.with(std::move(parts));
    if (!record) return std::nullopt;
    const PumpRecord& did = record->pumps[pump.index];
    if (did.lost_prime > 0 || did.started_dry) return std::nullopt;
    return CutOut{depth_m, record->ledger.end_m3, did.delivered_m3};
  };
  if (most < 1) return std::nullopt;
  int low = 0;  // does not do, or is not known to
  int high = most;
  std::optional<CutOut> best = tried(high);
  if (!best) return std::nullopt;
  while (high - low > 1) {
    const int middle = low + (high - low) / 2;
    if (const std::optional<CutOut> found = tried(middle)) {
      best = found;
      high = middle;
    } else if (tries_.over()) {
      return std::nullopt;  // the lowest is not known, and a higher one leaves more behind
    } else {
      low = middle;
    }
  }
  if (best->delivered_m3 <= 0.0) return std::nullopt;
  return best;
}

std::optional<PumpAgain::Throttled> PumpAgain::throttle(PumpId pump) const {
  const double peak = tries_.as_it_is().pumps[pump.index].peak_m3_per_s;
  if (!worth_trying() || !(peak > 0.0)) return std::nullopt;
  const double free =
      PumpCurve(part(tries_.array().parts().pumps, pump).curve).free_flow_m3_per_s();
  for (int tenths = 9; tenths >= 1; --tenths) {
    Parts parts = tries_.array().parts();
    Pump& its = part(parts.pumps, pump);
    its = throttled(its, std::min(0.99 * free, peak * tenths / 10.0));
    const std::optional<RunRecord> record = tries_.with(std::move(parts));
    if (!record && tries_.over()) return std::nullopt;
    if (!record || record->pumps[pump.index].lost_prime > 0) continue;
    return Throttled{record->pumps[pump.index].peak_m3_per_s,
                     record->pumps[pump.index].delivered_m3};
  }
  return std::nullopt;
}

}  // namespace tankyard
