// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "solver/findings.h"
#include "solver/options.h"
#include "solver/run.h"
#include "solver/studies/faults_changes.h"
#include "solver/studies/faults_day.h"
#include "solver/studies/faults_list.h"
#include "solver/studies/many.h"

namespace tankyard {

/// Harm that a failure brings and the healthy day does not.
struct FaultDanger {
  /// vacuum_collapse or pressure_bulge of a tank, or pump_runs_dry for ten seconds or more.
  FindingKind kind = FindingKind::vacuum_collapse;
  std::size_t part = 0;  ///< the tank, or the pump
  double at_s = 0.0;
  double pa = 0.0;  ///< under a lid: the deepest, or the highest, gauge

  bool same_as(const FaultDanger& other) const { return kind == other.kind && part == other.part; }
};

/// The first thing that a person who walks by would see, hear or miss.
struct FirstSign {
  enum class Kind {
    none,
    water_runs,   ///< `part` a hose: water runs to the ground where it came off
    sucked_in,    ///< `part` a tank: its wall bows or folds
    blown_up,     ///< `part` a tank
    gutter_over,  ///< `part` a roof: rain runs over its gutter
    pump_dry,     ///< `part` a pump: turns without water
    spills,       ///< `part` a tank: earlier than it would, or though it would not
    dry,          ///< `part` an outlet: likewise
    weak,         ///< `part` an outlet: less than four fifths of what it would give
    lower,        ///< `part` a tank: stands 100 mm lower than it would
    higher,
    by_morning,  ///< `part` a tank: in the morning it stands 20 mm or more off, `depth_m`
  };
  Kind kind = Kind::none;
  std::size_t part = 0;
  double at_s = 0.0;
  double depth_m = 0.0;  ///< of lower, higher, by_morning: how far off, lower is negative
};

/// What one failure, or two at once, do to the day. Everything is against the healthy day, run on
/// to the same end.
struct FaultOutcome {
  std::vector<Fault> faults;  ///< one or two
  bool reckoned = false;
  std::string why_not;  ///< the solver's reason, where it is not

  std::vector<FaultDanger> dangers;
  /// Tanks sucked in or blown up and pumps run dry, also those that the healthy day harms.
  std::size_t harmed = 0;
  double lost_m3 = 0.0;   ///< more water to the ground, and rain not caught; below 0: less
  double short_m3 = 0.0;  ///< less at the outlets, added up over those that get less
  std::optional<OutletId> shortest;  ///< the one that misses most
  std::vector<TankId>
      emptied;  ///< have lost nine tenths of what they could give, and at least 10 L
  FirstSign sign;
};

/// How failures stand with a yard: to compare it before and after a change.
struct FaultToll {
  std::size_t harmed = 0;  ///< added up over all single failures
  double cost_m3 = 0.0;    ///< lost and short, over all single failures; none counts below 0
  double worst_m3 = 0.0;   ///< the dearest failure
};

struct TriedChange {
  Change change;
  FaultToll toll;  ///< with it
  /// What the day without any failure then loses and misses that it did not before.
  double healthy_cost_m3 = 0.0;
};

struct FaultStudy {
  FaultDay day;
  RunRecord healthy;
  std::vector<FaultOutcome> singles;  ///< worst first: danger, then litres lost, then litres short
  std::size_t singles_in_all = 0;
  FaultToll toll;  ///< as the yard is

  std::vector<TriedChange> tried;  ///< each alone; what removes most first
  /// Parts to fit, one after the other: each is the one that removes most beside those before it.
  std::vector<TriedChange> best;

  std::vector<FaultOutcome> pairs;  ///< worse than their parts; worst first
  std::size_t pairs_tried = 0;
  std::size_t pairs_in_all = 0;

  bool stopped = false;           ///< asked to: what is here is so, but not all
  bool changes_left_out = false;  ///< more runs than `most_change_runs`
  long long runs = 0;
};

struct FaultOptions {
  RunOptions run;
  ManyOptions many;  ///< its `progress` is not used
  bool pairs = true;
  bool changes = true;
  std::size_t most_change_runs = 20'000;  ///< to try changes; beyond it none is tried
  /// Told how far each of the three pieces of work is: "failures", "changes", "pairs".
  std::function<void(const char* doing, std::size_t done, std::size_t count)> progress = {};
};

/// Every single failure of a yard (faults_list.h), and every pair, on the plan's day and night
/// (faults_day.h), beside the day on which nothing fails.
///
/// A pair is no worse than its parts, and left out, if it brings no danger that neither of them
/// brings, and neither loses nor misses more than both together by 5 L and a twentieth; what either
/// keeps from the outlets counts as theirs if the pair loses it.
///
/// Changes (faults_changes.h) are found by trying them: every single failure is run again with
/// each. The failures stay those of the yard as it is: a valve that is fitted may fail in its turn.
/// Where the change makes the day without failures worse, that counts against it, for outcomes stay
/// beside the yard as it is.
///
/// The answer is the same with one thread or many. Asked to stop, it comes back with what is known,
/// singles first, then changes, then pairs; what is not known is left out and `stopped` set.
///
/// Requires: as `run` does. If the healthy day fails, its troubles come back; a failure whose day
/// fails is told of as not reckoned. Cost: one run for each failure; about half the square of that
/// for the pairs, and that many for each change.
Result<FaultStudy> study_faults(const Array& array, const DaySheet& sheet,
                                const FaultOptions& options = {});

/// Tanks that are sucked in or blown up on a day.
std::vector<TankId> harmed_on(const RunRecord& record);

/// What the study says in the words of findings: each tank that the healthy day harms, each tank
/// that a single failure can suck in or blow up (danger), and each hose without a valve whose loss
/// empties more than one tank (burst-drains).
std::vector<Finding> find_in_faults(const Array& array, const FaultStudy& study);

}  // namespace tankyard
