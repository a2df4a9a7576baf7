// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "solver/findings.h"
#include "solver/options.h"
#include "solver/shell.h"
#include "solver/studies/vent_trials.h"

namespace tankyard {

/// What a hole is to leave of the vacuum, or the pressure, that a tank may bear.
inline constexpr double kept_in_hand = 0.5;

/// What one trial did to the air under one lid. Pressures are gauge, times count from the trial's
/// start.
struct LidTrial {
  std::size_t trial = 0;  ///< in `VentStudy::trials`
  double lowest_pa = 0.0;
  double highest_pa = 0.0;
  std::optional<double> folds_after_s;
  std::optional<double> bulges_after_s;
  double out_by_then_m3 = 0.0;     ///< water that had left when it folded
  double peak_out_m3_per_s = 0.0;  ///< the most that its hoses and outlets took from it, each at
                                   ///< its own peak
};

/// A hole that was looked for.
struct HoleNeeded {
  bool tried = false;                     ///< false: the yard is too large
  bool beyond_drills = false;             ///< not even the widest drill does
  double bore_m = 0.0;                    ///< a drill; 0: none is needed, the lid may stay sealed
  std::optional<std::size_t> decided_by;  ///< the trial that asks for the most
};

/// What one of the published rules asks for, beside the hole that the array asks for.
struct RuleOfInBreathing {
  double air_m3_per_s = 0.0;  ///< at 0 degC and 101 325 Pa
  double hole_m = 0.0;        ///< that passes it at the vacuum of the study, not rounded to a drill
};

/// One closed lid.
struct LidNeeds {
  TankId tank;
  AllowedVacuum vacuum;
  AllowedPressure pressure;
  std::vector<LidTrial> as_it_is;  ///< one for each trial that could be reckoned
  std::size_t worst_vacuum = 0;    ///< its place in `as_it_is`
  std::size_t worst_pressure = 0;
  /// The trial that passes the allowed vacuum first, the plan's own day only if no other does,
  /// since its pull does not begin at its start.
  std::optional<std::size_t> first_to_fold;

  HoleNeeded for_vacuum;
  HoleNeeded for_pressure;
  /// The wider of both: what to drill, and what stays in hand with it. None: not tried, or no drill
  /// will do.
  std::optional<double> hole_m;
  bool drill_now = false;  ///< the lid as it is does not keep half in hand

  /// With that hole alone and all other lids as they are.
  std::optional<double> lowest_alone_pa;
  double pull_alone_m3_per_s = 0.0;  ///< the most that was drawn from it then
  RuleOfInBreathing api_2000_5th;
  RuleOfInBreathing iso_28300;

  /// The lid as it is, and the hole it would need, with all the other tanks shut off so that this
  /// one feeds every outlet: never less than `hole_m`. None: no valves for that. It counts for
  /// advice and not for what must be drilled, since the plan's valves stand otherwise.
  std::optional<LidTrial> feeding_alone;
  HoleNeeded for_feeding_alone;
  std::optional<double> hole_feeding_alone_m;

  /// With the holes of all lids as said.
  std::optional<double> lowest_together_pa;
  std::optional<double> highest_together_pa;

  /// The holes of all lids as said, but this one's blocked.
  bool blocked_tried = false;
  std::optional<LidTrial> blocked;  ///< the trial that passes the allowed vacuum first; none: none
                                    ///< does
  bool can_fold() const { return as_it_is[worst_vacuum].folds_after_s.has_value(); }
  bool can_bulge() const { return as_it_is[worst_pressure].bulges_after_s.has_value(); }
};

/// A trial that gave no answer, and the solver's reason.
struct NotReckoned {
  std::size_t trial = 0;
  std::string why;
};

struct VentStudy {
  std::vector<Trial> trials;
  std::vector<LidNeeds> lids;             ///< closed lids, in plan order; open ones need nothing
  std::vector<NotReckoned> not_reckoned;  ///< with the lids as they are
  bool all_tried = true;                  ///< false: the yard is too large to try every hole
  bool holds_together = true;  ///< with all holes as said, no lid passed half; false also where a
                               ///< hole is not known
  long long runs = 0;
};

/// Puts every lid through every trial (vent_trials.h), and looks for the holes it needs.
///
/// The hole of a lid is the smallest drill with which this tank keeps half of its allowed vacuum in
/// hand through every trial, **while all other lids stay as they are**: the hole to drill first.
/// Then all holes together go through every trial. A hole in one lid changes what its neighbours
/// have to give, and either way: it takes water off them, and it runs its own tank dry sooner and
/// leaves the rest to them. So neither can be concluded from the other, and both are run; a hole
/// that turns out too small gives way to the next drill, and the runs are taken again. What is
/// said of a lid therefore holds whether it is the first to be drilled or the last one.
///
/// Where several outlets are tried one by one and all at once, each hole alone is run against all
/// at once only, and all holes together against every one of them.
///
/// For all lids at once smaller holes would often do. They would do only once all are drilled, and
/// fail when a neighbour's is blocked.
///
/// The hole that keeps half of the allowed pressure in hand is found likewise, from rain, top-ups
/// and warm afternoons; the plan's own day is left out of it, since a tank that runs full needs an
/// overflow and no hole. In a full tank water has to get out.
///
/// `kept_in_hand` of both is what a hole keeps. The hole has the lid's own coefficient and screen.
///
/// Requires: as `run` does. A trial that fails is told of in `not_reckoned`; a hole with which one
/// fails counts as too small. If the plan's own day fails, its troubles come back. Cost: some N (2
/// + L) runs of a day for N trials and L closed lids; bounded by `most_place_steps`, beyond which
/// nothing more is tried.
struct VentOptions {
  RunOptions run;
  double most_place_steps = 4e6;  ///< steps times places over all runs; about a minute
};
Result<VentStudy> study_vents(const Array& array, const DaySheet& sheet,
                              const VentOptions& options = {});

/// What the study found, as findings: vacuum-collapse and pressure-bulge (dangers) of the worst
/// trial, vent-too-small (warning) of those that come to more than half, no-vent of sealed lids
/// that nothing tried. Times are none: a trial is no part of the plan's day. Worst first.
std::vector<Finding> find_in_vents(const Array& array, const VentStudy& study);

}  // namespace tankyard
