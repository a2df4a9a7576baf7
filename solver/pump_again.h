// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <vector>

#include "graph/array.h"
#include "solver/run.h"
#include "solver/tries.h"

namespace tankyard {

/// The tank by whose bare mouth a pump drew air: its own, or one joined to its header by an open
/// hose whose mouth there is bare (the barest, then the first by name). None: no such tank.
std::optional<TankId> drew_air_by(const Array& array, PumpId pump, const AirDrawn& moment);

/// A valve on a pump's delivery, part shut: the maker's points less k Q^2, with k such that no more
/// than this flow passes at no head. Requires: over 0 and below the pump's own free flow.
Pump throttled(const Pump& pump, double most_m3_per_s);

/// Runs a day again and again, each time with one thing about a pump's suction changed, until it
/// draws no air any more.
class PumpAgain {
 public:
  explicit PumpAgain(Tries& tries) : tries_(tries) {}

  /// False for a yard so large that running it again would keep people waiting: more than two
  /// million steps times places.
  bool worth_trying() const { return tries_.worth_trying(2e6); }
  const Tries& tries() const { return tries_; }

  // What is not known because `tries().over()` before it was found is none, too.

  /// The smallest trade bore that does when all these hoses have at least it.
  std::optional<double> bore_of_all_m(PumpId pump, const std::vector<HoseId>& hoses) const;

  struct CutOut {
    double depth_m = 0.0;  ///< in that tank, to the next 5 mm
    double left_m3 = 0.0;  ///< in all tanks, when it stops the pump for the last time that day
    double delivered_m3 = 0.0;
  };
  /// The lowest set point of a low-level cut-out in a tank with which the pump draws no air on this
  /// day; it starts again 50 mm higher. None: no depth of the tank does.
  std::optional<CutOut> cut_out(PumpId pump, TankId tank) const;

  struct Throttled {
    double peak_m3_per_s = 0.0;  ///< the most it then passed
    double delivered_m3 = 0.0;
  };
  /// The most flow, in tenths of what it passed at its peak, to which it may be throttled so that
  /// it draws no air. None: not even a tenth does.
  std::optional<Throttled> throttle(PumpId pump) const;

 private:
  Tries& tries_;
};

}  // namespace tankyard
