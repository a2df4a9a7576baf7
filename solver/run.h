// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "solver/options.h"
#include "solver/rows.h"

namespace tankyard {

/// When a closed tank's headspace first went past what its shell is allowed to bear.
struct ShellMoment {
  double at_s = 0.0;
  double out_m3 = 0.0;        ///< water that had left the tank by then, net of what came in
  double level_m = 0.0;       ///< of its water, above the datum
  double out_m3_per_s = 0.0;  ///< net, at that moment
  /// What took water out of the yard then, per outlet, pump and leak in plan order, m3/s; counted
  /// only where it shares water with the tank. All zero: the night air did it, or the tank's
  /// neighbours.
  std::vector<double> outlet_m3_per_s;
  std::vector<double> pump_m3_per_s;
  std::vector<double> leak_m3_per_s;
  std::vector<bool> pump_ran;  ///< per pump; water may run on through one that stands
};

/// The air above a closed tank's water over a run. Pressures are gauge: below zero under vacuum. An
/// open tank's are all zero.
struct HeadspaceRecord {
  double lowest_pa = 0.0;
  double lowest_at_s = 0.0;
  double highest_pa = 0.0;
  double highest_at_s = 0.0;
  double end_pa = 0.0;
  double past_vacuum_s = 0.0;         ///< how long it stood past the allowed vacuum
  double past_pressure_s = 0.0;       ///< and past the allowed pressure
  double turned_away_m3 = 0.0;        ///< rain and top-up that its pressure would not let in
  double out_of_lid_m3 = 0.0;         ///< water that a full tank lost through its lid's holes
  std::optional<ShellMoment> folds;   ///< when it first passed the allowed vacuum (solver/shell.h)
  std::optional<ShellMoment> bulges;  ///< when it first passed the allowed pressure
};

/// What one tank did over a run. Depths are above its inside bottom.
struct TankRecord {
  double start_m3 = 0.0;
  double end_m3 = 0.0;
  double end_depth_m = 0.0;
  double lowest_depth_m = 0.0;
  double lowest_at_s = 0.0;
  double highest_depth_m = 0.0;
  double highest_at_s = 0.0;
  double roof_m3 = 0.0;  ///< rain that came in
  double topped_up_m3 = 0.0;
  double overflowed_in_m3 = 0.0;   ///< from other tanks' overflows
  double overflowed_out_m3 = 0.0;  ///< through its overflow, to the ground or to another tank
  double over_rim_m3 = 0.0;        ///< over its rim or out of its lid's holes, to the ground
  double spilt_m3 = 0.0;           ///< all it lost to the ground by overflow and rim
  std::optional<double> first_spilt_at_s;
  double spilt_with_room_m3 = 0.0;  ///< of that, while a tank joined to it stood over 20 mm
                                    ///< below the lips of both
  std::optional<double> first_spilt_with_room_at_s;
  std::optional<TankId>
      room_was_in;       ///< the one of them that had the most room at that moment, ...
  double room_m3 = 0.0;  ///< ... and how much
  HeadspaceRecord headspace;
};

struct HoseRecord {
  double carried_m3 = 0.0;     ///< net, `from` to `to`; negative: the other way
  double moved_m3 = 0.0;       ///< both ways added up
  double peak_m3_per_s = 0.0;  ///< largest flow by size, with its sign
  double peak_at_s = 0.0;
};

/// How a yard stood at some moment.
struct YardMoment {
  std::vector<double> level_m;  ///< per tank, above the datum
  /// Per tank, what its headspace presses on the water, as head; below 0: it holds the water back.
  /// Empty where every lid is open.
  std::vector<double> gas_m;
  std::vector<bool> hose_open;
  std::vector<bool> crest_full;   ///< per hose; only read where there is a crest
  std::vector<bool> header_full;  ///< per header
};

/// When an outlet ran dry beside water that stands higher than its mouth.
struct DryMoment : YardMoment {
  std::vector<double> stranded_per_tank_m3;  ///< per tank: water above the outlet's mouth
};

struct OutletRecord {
  double delivered_m3 = 0.0;
  double asked_m3 = 0.0;  ///< what a fixed draw asked for while open; a nozzle asks nothing
  double short_m3 = 0.0;  ///< asked less delivered
  double open_s = 0.0;    ///< how long it stood open
  double dry_s = 0.0;     ///< of that, how long less than a hundredth came of what was asked,
                          ///< or of a nozzle's best
  std::optional<double> first_dry_at_s;
  double stranded_m3 = 0.0;  ///< when it first ran dry: water above its mouth that could not come
  std::optional<DryMoment> stranded_while;  ///< that moment, if any water was stranded
  double peak_m3_per_s = 0.0;
};

struct RoofRecord {
  double fell_m3 = 0.0;         ///< rain on its area times the runoff fraction
  double first_flush_m3 = 0.0;  ///< of that, turned away
  double over_gutter_m3 = 0.0;  ///< of that, more than the gutter passes
  double caught_m3 = 0.0;       ///< of that, into the tank
};

struct TopUpRecord {
  double let_in_m3 = 0.0;
  int starts = 0;
};

struct LeakRecord {
  double lost_m3 = 0.0;
};

/// When a pump drew air; its header as it was just before.
struct AirDrawn : YardMoment {
  double at_s = 0.0;
  std::vector<double> water_m3;  ///< per tank
};

struct PumpRecord {
  double delivered_m3 = 0.0;  ///< while it ran
  double ran_back_m3 = 0.0;   ///< while it stood, from its delivery side
  double ran_on_m3 = 0.0;     ///< while it stood, forth by gravity
  double ran_s = 0.0;
  double peak_m3_per_s = 0.0;
  double energy_kwh = 0.0;
  int starts = 0;
  int cut_outs = 0;  ///< how often one of its own switches stopped it
  std::optional<double> first_started_at_s;
  std::optional<double> last_stopped_at_s;
  double dry_s = 0.0;  ///< of the time it ran: nothing at its inlet, by want of prime or of a way
  std::optional<double> first_dry_at_s;
  bool started_dry = false;           ///< the first time it was dry it had just been started
  double shut_s = 0.0;                ///< of the time it ran: against more than it can push, primed
  int lost_prime = 0;                 ///< how often it drew air
  std::optional<AirDrawn> air_drawn;  ///< the first time

  /// At its inlet while it ran and had its prime; none if it never did.
  struct Inlet {
    double at_s = 0.0;
    double gauge_pa = 0.0;
    double npsh_available_m = 0.0;
    double npsh_required_m = 0.0;  ///< at the flow of that moment
    double flow_m3_per_s = 0.0;
  };
  std::optional<Inlet> lowest;    ///< the least it had available
  std::optional<Inlet> scarcest;  ///< the least share available of what was required
  double throttled_s = 0.0;       ///< how long less was available than required
};

/// Where every litre went: start + rain + topped up = delivered + overflowed + leaked + end.
struct Ledger {
  double start_m3 = 0.0;
  double rain_m3 = 0.0;
  double topped_up_m3 = 0.0;
  double delivered_m3 = 0.0;
  double overflowed_m3 = 0.0;  ///< to the ground, by overflows and over rims
  double leaked_m3 = 0.0;
  double end_m3 = 0.0;
  double passed_m3 = 0.0;  ///< start + rain + topped up: what the error is held against

  double closing_error_m3() const {
    return start_m3 + rain_m3 + topped_up_m3 - delivered_m3 - overflowed_m3 - leaked_m3 - end_m3;
  }
};

/// Something that happened at a moment that the solver located.
struct Event {
  enum class Kind {
    port_uncovers,    ///< `part` a tank: the mouth of hose `hose` comes half out of its water
    port_covers,      ///< and is all under water again
    overflow_starts,  ///< `part` a tank: its water stands a millimetre over the lip
    overflow_ends,    ///< and half a millimetre
    rim_reached,      ///< a millimetre over the rim
    top_up_starts,    ///< `part` a top-up
    top_up_stops,
    primed,      ///< `part` a hose with a crest, or a header: now full of water
    prime_lost,  ///< air got in
    outlet_dry,  ///< `part` an outlet: open, and nothing comes
    outlet_wet,
    pump_starts,               ///< `part` a pump
    pump_stops,                ///< told to
    pump_starts_dry,           ///< no water at its inlet
    pump_draws_air,            ///< loses its prime, passes nothing until it is started anew
    pump_cut_out_low,          ///< by its low-level cut-out
    pump_cut_out_by_pressure,  ///< by its pressure switch
    pump_cut_out_by_time,      ///< has run as long as it may
    step                       ///< `part` the step's place on the day sheet
  };
  double at_s = 0.0;
  Kind kind = Kind::step;
  std::size_t part = 0;
  std::optional<HoseId> hose;
  bool at_header = false;  ///< for primed and prime_lost: `part` is a header
};

/// Levels and flows over time, one row a recorded moment, columns in plan order.
struct Trace {
  std::vector<double> time_s;
  Rows depth_m;             ///< per row, one entry a tank
  Rows headspace_pa;        ///< per row, one entry a tank, gauge
  Rows header_head_m;       ///< per row, one entry a header, above the datum
  Rows hose_flow_m3_per_s;  ///< per row, one entry a hose
  Rows outlet_flow_m3_per_s;
  Rows pump_flow_m3_per_s;
};

/// What a run cost and how close it stayed; counters are for people who tune.
struct Effort {
  long long steps = 0;
  long long rejected = 0;   ///< steps taken back because their error was too large
  long long turns = 0;      ///< Newton turns
  long long quartered = 0;  ///< steps shortened because the turns did not settle
  long long swept = 0;      ///< stages that only the bracketed sweeps could settle
};

/// The most head one hose used up while both its ends stood under water: how far the levels it
/// joins were apart because of it.
struct HoseLag {
  double head_lost_m = 0.0;
  double at_s = 0.0;
  double flow_m3_per_s = 0.0;  ///< what the hose carried then

  /// The most of it after the first ten minutes of a stretch in which the hose carried water and
  /// its ends stood more than 100 mm apart without a break; 0 if there was no such stretch.
  double kept_up_m = 0.0;
  double kept_up_since_s = 0.0;  ///< when that stretch began

  /// How long an air-filled crest let nothing pass while the levels at the ends were more than 50
  /// mm apart and the higher one stood above the hose's mouth, and the most they were apart
  /// meanwhile.
  double air_held_s = 0.0;
  double air_held_m = 0.0;
  double air_held_from_s = 0.0;  ///< when it first did
};

struct RunRecord {
  double lasted_s = 0.0;
  std::vector<TankRecord> tanks;
  std::vector<HoseRecord> hoses;
  std::vector<HoseLag> lags;  ///< one entry a hose
  std::vector<OutletRecord> outlets;
  std::vector<PumpRecord> pumps;
  std::vector<RoofRecord> roofs;
  std::vector<TopUpRecord> top_ups;
  std::vector<LeakRecord> leaks;
  Ledger ledger;
  std::vector<Event> events;  ///< in order of time; the first 100 000
  Trace trace;                ///< empty unless asked for
  Effort effort;
};

/// Steps an array through a day sheet.
///
/// Requires: `sheet` passes `check_day_sheet`, `options` pass `check`; otherwise their troubles
/// come back. A solve that fails comes back as one trouble that says when, where, which value and
/// which limit. Cost: proportional to parts times steps; memory flat in time unless a trace is
/// asked for.
Result<RunRecord> run(const Array& array, const DaySheet& sheet, const RunOptions& options = {});

/// A run in stretches: each goes on from where the one before left everything, so that a long time
/// can be stepped with a look at the books in between, and what is done next may depend on them.
/// Water, air, crests, float valves, whatever is open, running or falling stay as they are.
class RunInStretches {
 public:
  explicit RunInStretches(const Array& array, const RunOptions& options = {});
  RunInStretches(RunInStretches&&) noexcept;
  RunInStretches& operator=(RunInStretches&&) noexcept;
  ~RunInStretches();

  /// Steps the next stretch. Times of the sheet and of the record count from the stretch's start,
  /// and the record holds this stretch alone, but for `effort`, which is that of all so far. The
  /// same troubles as `run`; after one, no further stretch may be asked for.
  Result<RunRecord> go_on(const DaySheet& sheet);

  /// The roofs have dried: the first flush of the next rain is turned away again.
  void dry_roofs();

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace tankyard
