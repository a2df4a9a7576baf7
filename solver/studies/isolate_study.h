// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "solver/findings.h"
#include "solver/options.h"
#include "solver/shell.h"
#include "solver/studies/isolate_cut.h"
#include "solver/studies/isolate_drain.h"

namespace tankyard {

// Taking tanks out of a yard that goes on working: which valves, in which order, how long, and what
// the yard's day is like meanwhile.

struct IsolateOptions {
  RunOptions run;
  /// When work begins, after the start of the plan's run, s; none: the time that costs least is
  /// looked for.
  std::optional<double> starts_at_s;
  /// How long the tank stays empty for its cleaning, s. An hour for scrubbing is an assumption.
  double work_s = 3600.0;
  /// Bore of the drain valve that is assumed where a tank has no outlet at its lowest mouth, m.
  double drain_bore_m = 0.025;
  /// Hours of the day at which work may begin where the time is looked for.
  int every_hours = 1;
};

/// A hand takes about this long to reach and turn a valve, s: an assumption.
inline constexpr double hand_s = 120.0;
/// How long a mark on the tank is watched, s.
inline constexpr double watched_s = 600.0;
/// How far the water is lowered before it is watched, m: a tank that stands level with its
/// neighbours shows no leaking valve.
inline constexpr double lowered_by_m = 0.100;
/// A valve that leaks so much is worth stopping for, m3/s: 1 L/min, an assumption.
inline constexpr double leaking_m3_per_s = 1.0 / 60000.0;
/// Water got out by bucket or siphon, m3/s: 10 L/min, an assumption.
inline constexpr double bailed_m3_per_s = 10.0 / 60000.0;
/// Neighbours' levels are waited for no longer than this before the last valves are opened, s.
inline constexpr double longest_refill_s = 4.0 * 3600.0;

/// What the work changes for the yard, against the same day without it.
struct IsolateEffect {
  enum class Kind {
    loses_supply,  ///< an outlet or pump gets less
    spills,        ///< a tank spills more
    sucked_in,     ///< a lid passes what its tank may bear
    blown_up,      ///< likewise, the other way
    loses_prime,   ///< a hose with a crest holds air at the end, and would not have
    draws_air,     ///< a pump loses its prime
    runs_dry,      ///< a pump runs with nothing at its inlet
  };
  Kind kind = Kind::loses_supply;
  std::string where;
  double at_s = 0.0;   ///< after the start of the plan's run
  double value = 0.0;  ///< m3, or Pa
  std::string says;
};

/// One line of the sheet.
struct IsolateStep {
  enum class Does {
    turn_away,
    stop_pump,
    open_lid,
    air_line,
    shut_outlet,
    shut_valve,
    leave_shut,
    lower,
    watch,
    drain,
    bail,
    clean,
    shut_drain,
    give_back,
    loosen_lid,
    open_slowly,
    open_rest,
    put_back
  };
  Does does = Does::turn_away;
  double at_s = 0.0;  ///< after the start of the plan's run
  double takes_s = 0.0;
  std::string say;                       ///< what to do, one action, without full stop
  std::string because;                   ///< the reason, without full stop
  std::optional<TankId> of;              ///< the tank whose lid it is about
  std::vector<Action> actions;           ///< what it does to parts of the plan, in the rehearsal
  std::vector<IsolateEffect> meanwhile;  ///< in order of time
};

/// What a drain does, from the level at which it is opened.
struct TankDrains {
  DrainPoint point;
  double from_m3 = 0.0;                    ///< in the tank when valves are shut
  std::optional<double> takes_s;           ///< under an open lid
  std::optional<double> as_it_is_s;        ///< with the lid as it is; none: it does not drain
  AllowedVacuum vacuum;                    ///< what it may bear
  double as_it_is_lowest_pa = 0.0;         ///< with the lid as it is
  std::optional<double> as_it_is_folds_s;  ///< then passes what it may bear after
  bool lid_is_closed = false;
};

/// How water comes back into one tank, or into tanks joined to each other.
struct Refill {
  std::vector<TankId> tanks;
  std::optional<HoseId> first;   ///< whose valve is opened first; none: nothing stands open behind
  double loss_k = 0.0;           ///< of that valve in the rehearsal: how far it is opened
  bool held_back = false;        ///< opened only a little, for the neighbours' lids
  std::vector<TankId> loosened;  ///< neighbours whose lids are loosened before it is opened
  double full_m3_per_s = 0.0;    ///< ran at first, were it opened wide
  double first_m3_per_s = 0.0;   ///< runs at first as rehearsed
  double level_after_s = 0.0;    ///< until it stands within 10 mm of where it comes to
  double comes_to_m3 = 0.0;      ///< then in it
  std::vector<double> lost_m3;   ///< per tank of the yard: what it gives; negative: it gains
};

/// What it costs against the day without the work, m3.
struct IsolateCost {
  double drained_m3 = 0.0;      ///< through the drains
  double bailed_m3 = 0.0;       ///< got out from below the drains
  double turned_away_m3 = 0.0;  ///< rain that would have come into the tanks
  double short_m3 = 0.0;        ///< that outlets did not get
  double spilt_m3 = 0.0;        ///< spilt more than without the work, overflows turned away in it
  double stands_less_m3 = 0.0;  ///< in the yard at the end; negative: more
};

struct IsolateStudy {
  std::vector<TankId> tanks;  ///< in plan order, each once
  IsolateCut cut;
  // The rest is filled in only where the tanks can be cut off.

  bool time_was_given = false;
  double starts_at_s = 0.0;
  double empty_from_s = 0.0;  ///< clean begins
  double empty_until_s = 0.0;
  double back_at_s = 0.0;          ///< all valves as the plan has them again
  double ends_at_s = 0.0;          ///< of the rehearsal
  std::vector<double> depth_m;     ///< per tank of the yard, when the first valve is shut
  double lowered_by_m = 0.0;       ///< before the mark is watched; 0: there was nothing to lower
  std::vector<TankDrains> drains;  ///< one a tank
  std::vector<Refill> refills;
  std::vector<IsolateStep> steps;
  IsolateCost cost;
  std::vector<OutletId> still_supplied;  ///< reached by tanks that stay
  int times_tried = 0;

  double drains_m3() const;
  double left_kg() const;
  std::vector<IsolateEffect> effects() const;  ///< of all steps, by time
};

/// Cuts the tanks off, drains, cleans and refills them on the plan's day, and holds it against the
/// same day without. Where no time is given, work begins at the full hour from 07:00 to 16:00 of
/// the run's first day that costs least: no danger first, then least water missed at outlets, then
/// least given up, then the earliest. The rehearsal takes as much of the plan's day as it needs,
/// and ends a day after the work at most; a plan's day that is too short goes on as it ended.
///
/// Requires: at least one tank, ids of the array; options within their ranges. Cost: some twenty
/// runs of a day for each time that is tried.
Result<IsolateStudy> study_isolation(const Array& array, const DaySheet& sheet,
                                     const std::vector<TankId>& tanks,
                                     const IsolateOptions& options = {});

/// cannot-isolate (warning) where no valves do; vacuum-collapse and pressure-bulge (dangers) of a
/// lid that fails in the rehearsal, or that would if its tank were drained with the lid on.
/// What pumps do stands beside the steps alone.
std::vector<Finding> find_in_isolation(const Array& array, const IsolateStudy& study);

}  // namespace tankyard
