// SPDX-License-Identifier: MIT
#include "solver/studies/faults_outcome.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <variant>

namespace tankyard {
namespace {

using Sign = FirstSign::Kind;

constexpr double plainly_off_m = 0.1;
constexpr double off_by_morning_m = 0.02;
constexpr double sooner_by_s = 60.0;
constexpr double dry_least_s = 10.0;
constexpr double weak_share = 0.8;
constexpr double emptied_share = 0.9;
constexpr double emptied_least_m3 = 0.010;

/// Keeps the earliest of what it is shown; of equals the first.
class Earliest {
 public:
  void see(const FirstSign& sign) {
    if (first_.kind == Sign::none || sign.at_s < first_.at_s) first_ = sign;
  }
  /// Seen when it happens at all and would not, or would later.
  void see(Sign kind, std::size_t part, const std::optional<double>& at_s,
           const std::optional<double>& otherwise_s) {
    if (!at_s) return;
    if (otherwise_s && *at_s > *otherwise_s - sooner_by_s) return;
    see({kind, part, *at_s, 0.0});
  }
  const FirstSign& first() const { return first_; }

 private:
  FirstSign first_;
};

/// As the finding pump-runs-dry has it.
bool runs_dry(const PumpRecord& pump) { return pump.dry_s >= dry_least_s; }

std::optional<double> moment(const std::optional<ShellMoment>& when) {
  return when ? std::optional<double>(when->at_s) : std::nullopt;
}

void see_rows(const RunRecord& record, const RunRecord& healthy, std::size_t outlets,
              Earliest& signs) {
  const Trace& now = record.trace;
  const Trace& well = healthy.trace;
  const std::size_t rows = std::min(now.time_s.size(), well.time_s.size());
  for (std::size_t row = 0; row < rows; ++row) {
    for (std::size_t o = 0; o < outlets; ++o) {
      const double would = well.outlet_flow_m3_per_s[row][o];
      if (would > 1e-6 && now.outlet_flow_m3_per_s[row][o] < weak_share * would) {
        signs.see({Sign::weak, o, now.time_s[row], 0.0});
      }
    }
    std::size_t most = 0;
    double most_off = 0.0;
    for (std::size_t t = 0; t < now.depth_m[row].size(); ++t) {
      const double off = now.depth_m[row][t] - well.depth_m[row][t];
      if (std::fabs(off) > std::fabs(most_off)) most = t, most_off = off;
    }
    if (std::fabs(most_off) >= plainly_off_m) {
      signs.see({most_off < 0.0 ? Sign::lower : Sign::higher, most, now.time_s[row], most_off});
      return;
    }
  }
}

std::optional<double> first_rain_s(const DaySheet& sheet) {
  for (const TimedStep& step : sheet.steps) {
    if (step.rain_m_per_s && *step.rain_m_per_s > 0.0) return step.at_s;
  }
  return std::nullopt;
}

FirstSign first_sign(const FaultYard& yard, const std::vector<Fault>& faults,
                     const FaultyYard& made, const RunRecord& record, const RunRecord& healthy) {
  Earliest signs;
  for (std::size_t i = 0; i < yard.parts.tanks.size(); ++i) {
    const HeadspaceRecord& air = record.tanks[i].headspace;
    const HeadspaceRecord& well = healthy.tanks[i].headspace;
    signs.see(Sign::sucked_in, i, moment(air.folds), moment(well.folds));
    signs.see(Sign::blown_up, i, moment(air.bulges), moment(well.bulges));
  }
  double ran_m3 = 0.0;
  for (const OutletId id : made.to_ground) ran_m3 += record.outlets[id.index].delivered_m3;
  for (const Fault& fault : faults) {
    if (is_burst(fault) && ran_m3 > 1e-4) {
      signs.see({Sign::water_runs, fault.part, yard.day.night_s, 0.0});
    }
    if (fault.kind == Fault::Kind::gutter_blocked && fault.share > 0.0 &&
        healthy.roofs[fault.part].caught_m3 > 0.0) {
      if (const auto at_s = first_rain_s(made.sheet)) {
        signs.see({Sign::gutter_over, fault.part, *at_s, 0.0});
      }
    }
  }
  for (std::size_t i = 0; i < yard.parts.pumps.size(); ++i) {
    if (!runs_dry(record.pumps[i]) || runs_dry(healthy.pumps[i])) continue;
    signs.see({Sign::pump_dry, i, record.pumps[i].first_dry_at_s.value_or(0.0), 0.0});
  }
  for (std::size_t i = 0; i < yard.parts.tanks.size(); ++i) {
    signs.see(Sign::spills, i, record.tanks[i].first_spilt_at_s, healthy.tanks[i].first_spilt_at_s);
  }
  for (std::size_t i = 0; i < yard.parts.outlets.size(); ++i) {
    signs.see(Sign::dry, i, record.outlets[i].first_dry_at_s, healthy.outlets[i].first_dry_at_s);
  }
  see_rows(record, healthy, yard.parts.outlets.size(), signs);
  if (signs.first().kind != Sign::none) return signs.first();

  FirstSign sign;
  for (std::size_t i = 0; i < record.tanks.size(); ++i) {
    const double off = record.tanks[i].end_depth_m - healthy.tanks[i].end_depth_m;
    if (std::fabs(off) < off_by_morning_m || std::fabs(off) <= std::fabs(sign.depth_m)) continue;
    sign = {Sign::by_morning, i, record.lasted_s, off};
  }
  return sign;
}

void find_dangers(const RunRecord& record, const RunRecord& healthy, FaultOutcome& outcome) {
  for (std::size_t i = 0; i < healthy.tanks.size(); ++i) {
    const HeadspaceRecord& air = record.tanks[i].headspace;
    const HeadspaceRecord& well = healthy.tanks[i].headspace;
    if (air.folds && !well.folds) {
      outcome.dangers.push_back({FindingKind::vacuum_collapse, i, air.folds->at_s, air.lowest_pa});
    }
    if (air.bulges && !well.bulges) {
      outcome.dangers.push_back({FindingKind::pressure_bulge, i, air.bulges->at_s, air.highest_pa});
    }
  }
  for (std::size_t i = 0; i < healthy.pumps.size(); ++i) {
    if (!runs_dry(record.pumps[i]) || runs_dry(healthy.pumps[i])) continue;
    outcome.dangers.push_back(
        {FindingKind::pump_runs_dry, i, record.pumps[i].first_dry_at_s.value_or(0.0), 0.0});
  }
}

/// Water that a tank holds below the lowest mouth by which it could give any.
double below_mouths_m3(const Parts& parts, std::size_t tank) {
  double lowest_m = std::numeric_limits<double>::infinity();
  const auto at = [&](const HoseEnd& end) {
    const auto* id = std::get_if<TankId>(&end.place);
    if (id != nullptr && id->index == tank) {
      lowest_m = std::min(lowest_m, mouth_m(parts, end) - parts.tanks[tank].base_m);
    }
  };
  for (const Hose& hose : parts.hoses) at(hose.from), at(hose.to);
  for (const Outlet& outlet : parts.outlets) {
    if (outlet.at) at(*outlet.at);
  }
  if (!std::isfinite(lowest_m)) return 0.0;
  return volume_m3(parts.tanks[tank].shape, std::max(lowest_m, 0.0));
}

}  // namespace

double lost_m3(const RunRecord& record, const std::vector<OutletId>& to_ground,
               const RunRecord& healthy) {
  // Term by term, so that equal days differ by nothing at all.
  const Ledger& now = record.ledger;
  const Ledger& well = healthy.ledger;
  double more_m3 = (now.overflowed_m3 - well.overflowed_m3) + (now.leaked_m3 - well.leaked_m3) +
                   (well.rain_m3 - now.rain_m3);
  for (const OutletId id : to_ground) more_m3 += record.outlets[id.index].delivered_m3;
  return more_m3;
}

FaultOutcome outcome_of(const FaultYard& yard, const std::vector<Fault>& faults,
                        const RunRecord& healthy, const RunOptions& options) {
  FaultOutcome outcome;
  outcome.faults = faults;
  const FaultyYard made = with_faults(yard, faults);
  const Result<Array> array = Array::make(made.parts);
  if (!array) {
    outcome.why_not = array.error().front().message;
    return outcome;
  }
  RunOptions with_rows = options;
  with_rows.record_every_s = fault_row_s;
  const Result<RunRecord> record = run(*array, made.sheet, with_rows);
  if (!record) {
    outcome.why_not = record.error().front().message;
    return outcome;
  }
  outcome.reckoned = true;
  find_dangers(*record, healthy, outcome);
  outcome.harmed = harmed_on(*record).size();
  for (const PumpRecord& pump : record->pumps) outcome.harmed += runs_dry(pump) ? 1u : 0u;
  outcome.lost_m3 = lost_m3(*record, made.to_ground, healthy);
  double most_m3 = 0.0;
  for (std::size_t i = 0; i < healthy.outlets.size(); ++i) {
    const double missed_m3 = healthy.outlets[i].delivered_m3 - record->outlets[i].delivered_m3;
    if (missed_m3 <= 0.0) continue;
    outcome.short_m3 += missed_m3;
    if (missed_m3 > most_m3) most_m3 = missed_m3, outcome.shortest = id_at<OutletId>(i);
  }
  for (std::size_t i = 0; i < healthy.tanks.size(); ++i) {
    const double could_m3 = healthy.tanks[i].end_m3 - below_mouths_m3(yard.parts, i);
    const double gone_m3 = healthy.tanks[i].end_m3 - record->tanks[i].end_m3;
    if (gone_m3 >= emptied_least_m3 && gone_m3 >= emptied_share * could_m3) {
      outcome.emptied.push_back(id_at<TankId>(i));
    }
  }
  outcome.sign = first_sign(yard, faults, made, *record, healthy);
  return outcome;
}

std::vector<TankId> harmed_on(const RunRecord& record) {
  std::vector<TankId> harmed;
  for (std::size_t i = 0; i < record.tanks.size(); ++i) {
    const HeadspaceRecord& air = record.tanks[i].headspace;
    if (air.folds || air.bulges) harmed.push_back(id_at<TankId>(i));
  }
  return harmed;
}

double cost_m3(const FaultOutcome& outcome) {
  return std::max(outcome.lost_m3, 0.0) + std::max(outcome.short_m3, 0.0);
}

void rank(std::vector<FaultOutcome>& outcomes) {
  std::stable_sort(outcomes.begin(), outcomes.end(),
                   [](const FaultOutcome& a, const FaultOutcome& b) {
                     if (a.dangers.size() != b.dangers.size()) {
                       return a.dangers.size() > b.dangers.size();
                     }
                     if (a.lost_m3 != b.lost_m3) return a.lost_m3 > b.lost_m3;
                     return a.short_m3 > b.short_m3;
                   });
}

}  // namespace tankyard
