// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace tankyard {

/// How bad a finding is. Danger: somebody or something can come to harm, exit status 1.
enum class Severity { note, warning, danger };

/// The things the tool notices. The names people read and type stand in solver/finding_kinds.cpp.
enum class FindingKind {
  spill_with_room,
  stranded_water,
  uneven_rims,
  slow_link,
  air_lock,
  no_overflow,
  dead_water,
  back_flow,
  vacuum_collapse,
  pressure_bulge,
  vent_too_small,
  no_vent,
  cannot_isolate,
  pump_draws_air,
  pump_runs_dry,
  low_suction,
  outlet_out_of_reach,
  burst_drains,
  pump_starts_often,
};

/// What the array does that its owner should know: ordinary data, not an error.
struct Finding {
  FindingKind kind = FindingKind::dead_water;
  Severity severity = Severity::note;
  std::string where;            ///< name of the part
  std::optional<double> at_s;   ///< when it began, after the start of the run; none: always so
  double value = 0.0;           ///< what was found, in `unit`
  std::optional<double> limit;  ///< what it was held against, in `unit`
  std::string unit;     ///< "L", "mm", "starts/h": the only numbers in solver/ that are not SI,
                        ///< since they are read, not reckoned with
  std::string says;     ///< one sentence: what happens, with names and numbers
  std::string do_this;  ///< one sentence: what to do about it
};

/// Everything there is to say about a kind, for `explain`.
struct KindOfFinding {
  FindingKind kind;
  const char* name;     ///< "spill-with-room"
  const char* means;    ///< what was seen, and by which rule it counts as a finding
  const char* matters;  ///< why it matters
  const char* remedy;   ///< what to do
};
const std::vector<KindOfFinding>& kinds_of_finding();
const KindOfFinding& about(FindingKind kind);

/// Worst first; equal severity by time, then by kind and place.
void sort_worst_first(std::vector<Finding>& findings);

}  // namespace tankyard
