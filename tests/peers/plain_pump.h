// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/pump.h"

namespace plain {

/// A line through points, bent as little as it may so that it has no corner and never turns back
/// (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238): slopes of parabolas through three
/// neighbours, lowered where a stretch would overshoot, and lifted to `least_share` of the less
/// steep stretch beside a point.
class Bent {
 public:
  Bent(std::vector<double> x, std::vector<double> y, double least_share);

  /// Anywhere: straight on before the first point and after the last.
  double at(double x) const;
  /// Sets out level instead.
  void start_level() { slope_.front() = 0.0; }
  double start_x() const { return x_.front(); }
  double end_slope() const { return slope_.back(); }
  double end_x() const { return x_.back(); }
  double end_y() const { return y_.back(); }

 private:
  std::vector<double> x_, y_, slope_;
};

/// What a pump does to water, running and standing. Water is at 20 degC.
class PlainPump {
 public:
  /// `boils_m`: the head at its inlet at which water boils there.
  PlainPump(const tankyard::Pump& pump, double boils_m);

  double shut_off_m() const { return shut_off_m_; }
  /// Shut-off head less the head it gives at a flow.
  double lost_inside_m(double flow_m3_per_s) const;
  double npsh_required_m(double flow_m3_per_s) const;
  /// What is left of the drive with so much head at the inlet.
  double left_by_suction(double inlet_m, double flow_m3_per_s) const;

  /// Running and primed, searched for: lost = share^2 left (shut-off + inlet - outlet).
  double running_m3_per_s(double inlet_m, double outlet_m, double share_covered) const;

  /// Standing: the shut-off head at the free flow, as its square, rounded off below a
  /// ten-thousandth of that flow. Odd.
  double standing_m3_per_s(double head_m) const;

 private:
  Bent lost_;
  Bent needed_;
  bool one_need_ = false;
  double shut_off_m_ = 0.0;
  double free_m3_per_s_ = 0.0;
  double boils_m_ = 0.0;
};

}  // namespace plain
