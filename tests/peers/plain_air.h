// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"
#include "plain_switches.h"
#include "plain_yard.h"

namespace plain {

/// The second reading with closed lids: the same laws for water as plain_yard.h, and air that is
/// shut in above it. All of it together is a system of differential and algebraic equations
/// (dae_walk.h): volumes and masses of air change, while pressures, heads of headers and every flow
/// stand in balances with them.
///
/// Pumps, crests and headers that run dry are in it (plain_moment.h, plain_switches.h).
///
/// Leaves out: closed tanks more than 99.5 % full, rain or top-ups into a headspace that presses
/// with more than 2 m of water, and crests that near vapour pressure; the outcome says how near it
/// came to the first two. Water is at 20 degC.

/// Air outside, constant over a run: ISO 2533, altitude taken as geopotential.
double outside_pa(double altitude_m);

/// Between -1 at the coldest hour and 1 at the warmest: half a cosine up, half a cosine down, each
/// as long as the clock has it. Hours 0 to 24, not equal.
double warmth(double clock_s, double warmest_hour, double coldest_hour);

/// Ideal gas in what the water leaves of a tank, or vapour where that would lie lower.
double gas_pa(double air_kg, double room_m3, double kelvin);

/// Mass of air that has a pressure in a room.
double air_kg(double pa, double room_m3, double kelvin);

/// Air through a hole, isentropic and choked where it must be. From a to b, kg/s; signed.
/// `laminar_pa`: below about this difference (at 15 degC of the air that comes) the flow falls with
/// the difference itself and not with its root, by the factor (1 + (laminar /
/// difference)^4)^(-1/8).
double air_kg_per_s(double area_m2, double a_pa, double a_kelvin, double b_pa, double b_kelvin,
                    double laminar_pa = 0.0);

/// Area of a hole that passes what a line passes.
double line_area_m2(double bore_m, double length_m);

/// The difference at which air in a line of that bore comes to a Reynolds number of 2300.
double line_laminar_pa(double bore_m, double length_m);

/// Water out of an overflow whose lowest point lies `height_m` under the level, with
/// `gas_m` of head on that level, either sign: strip by strip, each under its own head, as far up
/// as the water stands and has any.
double overflow_m3_per_s(double height_m, double gas_m, double bore_m, double coefficient);

/// What a pump passed.
struct PumpBooks {
  double delivered_m3 = 0.0;  ///< running
  double ran_back_m3 = 0.0;   ///< standing
  double ran_on_m3 = 0.0;     ///< standing, forth
};

struct AirOutcome {
  Outcome books;
  std::vector<PumpBooks> pumps;
  std::vector<Happening> happened;  ///< in order of time
  std::vector<double> lowest_pa;    ///< per tank, gauge; 0 for an open one
  std::vector<double> highest_pa;   ///< likewise
  std::vector<double> end_pa;
  double fullest_share = 0.0;    ///< of any closed tank's capacity, at any time
  double pressed_m = 0.0;        ///< most head of gas on a tank that a roof or a top-up fills
  double header_spare_m = 1e30;  ///< least height of a header's head over the header, at any time
  bool boiled = false;           ///< some headspace stood at vapour pressure
  bool stuck = false;            ///< could not be carried to the end; the rest means nothing
  double stuck_at_s = 0.0;

  /// Whether what this reading leaves out stayed out. If not, the run ended there.
  bool within_reach() const { return fullest_share < 0.995 && pressed_m < 2.0; }
};

/// `relative`: error of one step in any volume or mass, over its size (and 0.01 of it in m3 and
/// kg). `bears`: pressures at which to tell of shells.
AirOutcome run_with_air(const tankyard::Parts& parts, const tankyard::DaySheet& sheet,
                        double relative = 1e-8, const Bears& bears = {});

}  // namespace plain
