// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "graph/array.h"
#include "solver/run.h"

namespace published {

/// Builds the small yards of textbooks: bluff vessels of constant floor area, holes, pipes.
struct Yard {
  tankyard::Parts parts;
  tankyard::DaySheet sheet;

  /// Water temperature sets the viscosity; textbooks say 10 or 20 degC.
  explicit Yard(double water_degc = 10.0) { parts.site.water_temperature_degc = water_degc; }

  /// A vessel with upright walls, its floor at `base_m`; it stands a metre higher than its water.
  tankyard::TankId vessel(double area_m2, double depth_m, double base_m = 0.0);

  tankyard::HeaderId header(double height_m);

  /// A pipe of total loss coefficient `total_k` on its own velocity: entry 0.5 and exit 1 included,
  /// which is why it cannot be less than 1.5.
  tankyard::HoseId pipe(tankyard::Place from, tankyard::Place to, double bore_m, double length_m,
                        double roughness_m, double total_k);

  /// An orifice between two vessels, all velocity head lost behind it: K = 1 / Cd^2 on its own
  /// area.
  tankyard::HoseId orifice(tankyard::Place from, tankyard::Place to, double area_m2,
                           double coefficient);

  /// An orifice out of a vessel's floor level, whose jet meets the air `mouth_m` above that floor.
  /// A mouth that stands higher than its hole keeps the hole drowned to the end, as Torricelli has
  /// it.
  void drain(tankyard::TankId vessel, double area_m2, double coefficient, double mouth_m);

  /// Runs it and keeps `rows` rows of trace. A refusal fails the test with its words.
  std::optional<tankyard::RunRecord> run(double lasts_s, int rows = 2000,
                                         double depth_tolerance_m = 1e-6) const;
};

/// Something read off one row of the trace.
using Reading = std::function<double(const tankyard::Trace& trace, std::size_t row)>;

/// When a falling reading first comes down to a value: straight between two rows. Fails the test if
/// it never does.
double when_down_to(const tankyard::Trace& trace, const Reading& reading, double value);

/// When a reading whose square root falls evenly, as a head does that drains through a hole, is
/// gone: the straight line through the roots at a 25th and a 100th of the start. The last
/// hundredth itself is left out, since there a real hole turns laminar.
double when_gone(const tankyard::Trace& trace, const Reading& reading);

/// How much higher the water stands in one vessel than in another, bases counted.
Reading difference_between(const Yard& yard, tankyard::TankId high, tankyard::TankId low);
Reading depth_over(tankyard::TankId vessel, double mouth_m);

}  // namespace published
