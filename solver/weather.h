// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "solver/run.h"

namespace tankyard {

/// Rain on the roofs: what reaches each tank now, and how long that stays so.
///
/// A roof gives rain x plan area x runoff fraction (the rational formula, in any drainage text),
/// after its first flush has been turned away, and no more than its gutter passes; what is over
/// runs past the tank. First flush is reckoned in depth of rain and turned away once a run.
class Weather {
 public:
  explicit Weather(const Parts& parts);

  void set_rain(double rain_m_per_s) { rain_m_per_s_ = rain_m_per_s; }

  /// The roofs have dried: the first flush of the next rain is turned away again.
  void dry_roofs();

  /// Adds what the roofs bring to each tank's inflow.
  void add_inflow(std::vector<double>& inflow_m3_per_s) const;

  /// How long until some roof's first flush is through, s; infinite if none is under way.
  double changes_in_s() const;

  /// Lets rain fall for a time over which nothing changes, and enters it in the records.
  /// `taken_share`: per tank, how much of what comes to it a pressed headspace lets in; empty: all.
  void fall(double for_s, const std::vector<double>& taken_share, std::vector<RoofRecord>& records,
            std::vector<TankRecord>& tanks);

 private:
  struct Stream {
    double runs_off_m3_per_s = 0.0;
    double into_tank_m3_per_s = 0.0;
  };
  Stream stream_of(std::size_t roof) const;

  const Parts& parts_;
  double rain_m_per_s_ = 0.0;
  std::vector<double> flush_left_m_;
};

}  // namespace tankyard
