// SPDX-License-Identifier: MIT
#include "solver/studies/vent_study.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <map>
#include <span>
#include <tuple>
#include <utility>

#include "solver/air_temperature.h"
#include "solver/drills.h"
#include "solver/in_breathing.h"
#include "solver/lid_again.h"
#include "solver/run.h"
#include "solver/water.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

constexpr double still_flows_ratio = 0.01;
constexpr double longer_sheet_by = 4.0;
constexpr int most_repairs = 6;
constexpr double most_place_steps_a_run = 1e6;
constexpr double long_day_place_steps = 1e5;  // then it is not run for every hole
constexpr double longest_step_in_a_swing_s = 1800.0;
constexpr double steps_of_a_failure = 1000.0;

/// Tanks whose lids the study is about.
std::vector<TankId> closed_lids(const Array& array) {
  std::vector<TankId> closed;
  for (std::size_t i = 0; i < array.tanks().size(); ++i) {
    if (array.tanks()[i].lid.kind != Lid::Kind::open) closed.push_back(id_at<TankId>(i));
  }
  return closed;
}

/// The most that the hoses and outlets of a tank took from it, each at its own peak.
double peak_out(const Parts& parts, const RunRecord& record, TankId tank) {
  const auto is_here = [&](const Place& place) {
    const auto* id = std::get_if<TankId>(&place);
    return id && *id == tank;
  };
  double out = 0.0;
  for (std::size_t i = 0; i < parts.hoses.size(); ++i) {
    const double peak = record.hoses[i].peak_m3_per_s;
    if (is_here(parts.hoses[i].from.place)) out += std::max(0.0, peak);
    if (is_here(parts.hoses[i].to.place)) out += std::max(0.0, -peak);
  }
  for (std::size_t i = 0; i < parts.outlets.size(); ++i) {
    const Outlet& outlet = parts.outlets[i];
    if (outlet.at && is_here(outlet.at->place)) out += record.outlets[i].peak_m3_per_s;
  }
  return out;
}

/// Whether an outlet that the trial opened, or a hose, still passes more than a hundredth of its
/// best.
bool still_flows(const RunRecord& record) {
  if (record.trace.time_s.empty()) return false;
  const auto flows = [](std::span<const double> last, const auto& records) {
    for (std::size_t i = 0; i < last.size(); ++i) {
      const double peak = std::fabs(records[i].peak_m3_per_s);
      if (peak > 0.0 && std::fabs(last[i]) > still_flows_ratio * peak) return true;
    }
    return false;
  };
  return flows(record.trace.outlet_flow_m3_per_s.back(), record.outlets) ||
         flows(record.trace.hose_flow_m3_per_s.back(), record.hoses);
}

bool has_swing(const Parts& parts) {
  return parts.site.air_swing_k > 0.0 ||
         std::any_of(parts.tanks.begin(), parts.tanks.end(),
                     [](const Tank& tank) { return tank.air_swing_k.value_or(0.0) > 0.0; });
}

bool ran_out_of_steps(const Troubles& troubles) {
  return troubles.front().message.find("more steps than") != std::string::npos;
}

/// Runs trials with other lids than the plan's, within a budget.
class Bench {
 public:
  Bench(const Array& array, std::vector<Trial>& trials, const VentOptions& options)
      : array_(array), trials_(trials), options_(options), left_(options.most_place_steps) {
    places_ = static_cast<double>(array.tanks().size() + array.headers().size());
  }

  using Lids = std::vector<Lid>;  // one a tank

  double left() const { return left_; }
  bool spent() const { return left_ <= 0.0; }
  long long runs() const { return runs_; }

  /// The first moments of a trial under these lids.
  Result<RunRecord> run_until(std::size_t trial, const Lids& lids, double until_s) {
    DaySheet sheet = trials_[trial].sheet;
    if (until_s >= sheet.lasts_s) return run_trial(trial, lids);
    sheet.lasts_s = until_s;
    const auto later = [&](const TimedStep& step) { return step.at_s > until_s; };
    sheet.steps.erase(std::remove_if(sheet.steps.begin(), sheet.steps.end(), later),
                      sheet.steps.end());
    Parts parts = trials_[trial].parts;
    for (std::size_t i = 0; i < lids.size(); ++i) parts.tanks[i].lid = lids[i];
    const Result<Array> array = Array::make(std::move(parts));
    if (!array) return tl::unexpected<Troubles>(array.error());
    return once(*array, sheet);
  }

  /// A trial under these lids, long enough to see what is going to happen.
  Result<RunRecord> run_trial(std::size_t trial, const Lids& lids) {
    Parts parts = trials_[trial].parts;
    for (std::size_t i = 0; i < lids.size(); ++i) parts.tanks[i].lid = lids[i];
    const Result<Array> array = Array::make(std::move(parts));
    if (!array) return tl::unexpected<Troubles>(array.error());
    while (true) {
      Result<RunRecord> record = once(*array, trials_[trial].sheet);
      DaySheet& sheet = trials_[trial].sheet;
      if (!record || sheet.lasts_s >= trials_[trial].lasts_at_most_s) return record;
      if (!still_flows(*record)) return record;
      sheet.lasts_s = std::min(longer_sheet_by * sheet.lasts_s, trials_[trial].lasts_at_most_s);
    }
  }

  LidTrial told(std::size_t trial, TankId tank, const RunRecord& record) const {
    const HeadspaceRecord& air = record.tanks[tank.index].headspace;
    LidTrial told;
    told.trial = trial;
    told.lowest_pa = air.lowest_pa;
    told.highest_pa = air.highest_pa;
    if (air.folds) {
      told.folds_after_s = air.folds->at_s;
      told.out_by_then_m3 = air.folds->out_m3;
    }
    if (air.bulges) told.bulges_after_s = air.bulges->at_s;
    told.peak_out_m3_per_s = peak_out(array_.parts(), record, tank);
    return told;
  }

 private:
  Result<RunRecord> once(const Array& array, const DaySheet& sheet) {
    if (spent()) {
      Trouble trouble;
      trouble.message = "the yard is too large for so many trials";
      return refuse(trouble);
    }
    RunOptions options = options_.run;
    options.record_every_s = sheet.lasts_s;
    // A yard at rest is stepped over in one go, a whole night with it.
    if (has_swing(array.parts())) {
      options.longest_step_s = std::min(options.longest_step_s, longest_step_in_a_swing_s);
    }
    const double steps = std::min(left_, most_place_steps_a_run) / places_;
    options.most_steps = std::min(options.most_steps, static_cast<long long>(steps) + 1);
    ++runs_;
    Result<RunRecord> record = run(array, sheet, options);
    // A run that fails does not say how far it came; most that fail do so early.
    const double taken =
        record ? static_cast<double>(record->effort.steps + record->effort.rejected)
        : ran_out_of_steps(record.error()) ? static_cast<double>(options.most_steps)
                                           : steps_of_a_failure;
    left_ -= places_ * taken;
    return record;
  }

  const Array& array_;
  std::vector<Trial>& trials_;
  const VentOptions& options_;
  double places_ = 1.0;
  double left_ = 0.0;
  long long runs_ = 0;
};

/// The lid with a single hole of this bore; 0: blocked, or sealed.
Lid with_bore(Lid lid, double bore_m) {
  lid.kind = bore_m > 0.0 ? Lid::Kind::holed : Lid::Kind::sealed;
  lid.hole_m = bore_m;
  lid.count = 1;
  return lid;
}

/// The study at work on one yard.
class VentInHand {
 public:
  VentInHand(const Array& array, const DaySheet& sheet, const VentOptions& options)
      : array_(array) {
    study_.trials = vent_trials(array, sheet);
    bench_.emplace(array, study_.trials, options);
    for (const Tank& tank : array.tanks()) as_they_are_.push_back(tank.lid);
    for (const TankId tank : closed_lids(array)) {
      LidNeeds lid;
      lid.tank = tank;
      lid.vacuum = allowed_vacuum(part(array.tanks(), tank));
      lid.pressure = allowed_pressure(part(array.tanks(), tank));
      study_.lids.push_back(lid);
    }
  }

  Result<VentStudy> done() {
    if (study_.lids.empty()) return std::move(study_);
    if (const std::optional<Troubles> troubles = as_they_are()) {
      return tl::unexpected<Troubles>(*troubles);
    }
    for (LidNeeds& lid : study_.lids) find_hole(lid);
    together();
    for (LidNeeds& lid : study_.lids) find_hole_feeding_alone(lid);
    for (LidNeeds& lid : study_.lids) block(lid);
    study_.runs = bench_->runs();
    return std::move(study_);
  }

 private:
  using Lids = Bench::Lids;

  const Lid& present(const LidNeeds& lid) const { return as_they_are_[lid.tank.index]; }

  bool keeps_vacuum(const LidNeeds& lid, const LidTrial& did) const {
    return !did.folds_after_s && -did.lowest_pa <= kept_in_hand * lid.vacuum.pa;
  }
  bool keeps_pressure(const LidNeeds& lid, const LidTrial& did) const {
    return !did.bulges_after_s && did.highest_pa <= kept_in_hand * lid.pressure.pa;
  }
  bool counts_for_pressure(std::size_t trial) const { return !takes_water(study_.trials[trial]); }

  /// Every trial with the lids of the plan, its own day last: it may be a year. Troubles only if
  /// nothing could be reckoned, or the day for another reason than its length.
  std::optional<Troubles> as_they_are() {
    std::optional<Troubles> first;
    for (std::size_t k = 1; k <= study_.trials.size(); ++k) {
      const std::size_t t = k % study_.trials.size();
      const std::optional<TankId> only = study_.trials[t].feeds_alone;
      const double before = bench_->left();
      const Result<RunRecord> record = bench_->run_trial(t, as_they_are_);
      if (t == 0) day_is_long_ = before - bench_->left() > long_day_place_steps;
      if (!record) {
        const bool of_day = study_.trials[t].pull == Trial::Pull::day;
        if (of_day && !ran_out_of_steps(record.error())) return record.error();
        study_.not_reckoned.push_back({t, record.error().front().message});
        if (!first) first = record.error();
        continue;
      }
      for (LidNeeds& lid : study_.lids) {
        const LidTrial did = bench_->told(t, lid.tank, *record);
        if (!only) lid.as_it_is.push_back(did);
        if (only && *only == lid.tank) lid.feeding_alone = did;
      }
    }
    if (study_.lids.front().as_it_is.empty()) return first;
    for (LidNeeds& lid : study_.lids) {
      std::stable_sort(lid.as_it_is.begin(), lid.as_it_is.end(),
                       [](const LidTrial& a, const LidTrial& b) { return a.trial < b.trial; });
    }
    for (LidNeeds& lid : study_.lids) {
      const auto& did = lid.as_it_is;
      for (std::size_t k = 0; k < did.size(); ++k) {
        if (did[k].lowest_pa < did[lid.worst_vacuum].lowest_pa) lid.worst_vacuum = k;
        if (did[k].highest_pa > did[lid.worst_pressure].highest_pa) lid.worst_pressure = k;
        if (did[k].folds_after_s && sooner(did[k], lid)) lid.first_to_fold = k;
      }
      lid.drill_now = !std::all_of(did.begin(), did.end(), [&](const LidTrial& each) {
        return keeps_vacuum(lid, each) &&
               (!counts_for_pressure(each.trial) || keeps_pressure(lid, each));
      });
    }
    return std::nullopt;
  }

  bool of_day(const LidTrial& did) const {
    return study_.trials[did.trial].pull == Trial::Pull::day;
  }
  bool sooner(const LidTrial& did, const LidNeeds& lid) const {
    if (!lid.first_to_fold) return true;
    const LidTrial& first = lid.as_it_is[*lid.first_to_fold];
    if (of_day(did) != of_day(first)) return of_day(first);
    return *did.folds_after_s < *first.folds_after_s;
  }

  using Keeps = std::function<bool(const LidTrial&)>;

  /// What a trial does to one lid that has another hole, the other lids as they are; none if it
  /// cannot be told.
  std::optional<LidTrial> alone(const LidNeeds& lid, double bore_m, std::size_t trial) {
    const auto key = std::make_tuple(std::size_t{lid.tank.index}, bore_m, trial);
    const auto kept = alone_.find(key);
    if (kept != alone_.end()) return kept->second;
    Lids lids = as_they_are_;
    lids[lid.tank.index] = with_bore(present(lid), bore_m);
    const Result<RunRecord> record = bench_->run_trial(trial, lids);
    std::optional<LidTrial> did;
    if (record) did = bench_->told(trial, lid.tank, *record);
    alone_[key] = did;
    return did;
  }

  /// Whether all outlets at once stand for this one, from the same fill and with the same valves:
  /// the more is drawn, the lower every head.
  bool stood_for(const Trial& trial) const {
    return trial.pull == Trial::Pull::outlet &&
           std::any_of(study_.trials.begin(), study_.trials.end(), [&](const Trial& other) {
             return !other.feeds_alone && other.pull == Trial::Pull::outlets &&
                    other.fill == trial.fill && other.valves == trial.valves;
           });
  }

  /// Whether a trial is to be run for a lid alone: not one that another stands for, not a day of
  /// the plan that takes long (it is run with the lids as they are and with all holes together),
  /// and not one that draws from elsewhere and left the lid in peace.
  bool matters(const LidNeeds& lid, const LidTrial& as_it_is) const {
    constexpr double peace_pa = 1.0;
    if (stood_for(study_.trials[as_it_is.trial])) return false;
    if (day_is_long_ && of_day(as_it_is)) return false;
    if (as_it_is.lowest_pa < -peace_pa || as_it_is.highest_pa > peace_pa) return true;
    const Trial& trial = study_.trials[as_it_is.trial];
    if (trial.pull != Trial::Pull::outlet && trial.pull != Trial::Pull::outlets) return true;
    OpenHoses open;
    for (const Hose& hose : trial.parts.hoses) open.push_back(starts_open(hose));
    const std::vector<std::size_t> group = groups_in_row(trial.parts, open);
    const Row row(trial.parts);
    for (std::size_t i = 0; i < trial.parts.outlets.size(); ++i) {
      const Outlet& outlet = trial.parts.outlets[i];
      const Place place = outlet.at ? outlet.at->place : Place(id_at<OutletId>(i));
      if (outlet.open && group[row.of(place)] == group[row.of(lid.tank)]) return true;
    }
    return false;
  }

  /// The smallest drill for some of the trials, worst first, so that most others need one run.
  HoleNeeded smallest(const LidNeeds& lid, std::vector<LidTrial> trials, const Keeps& keeps,
                      const std::function<double(const LidTrial&)>& how_bad) {
    HoleNeeded hole;
    hole.tried = true;
    std::stable_sort(trials.begin(), trials.end(),
                     [&](const LidTrial& a, const LidTrial& b) { return how_bad(a) > how_bad(b); });
    const double now_m = as_one_hole_m(present(lid));
    const auto does = [&](double bore_m, std::size_t trial) {
      const std::optional<LidTrial> did = alone(lid, bore_m, trial);
      return did && keeps(*did);
    };
    for (const LidTrial& as_it_is : trials) {
      if (bench_->spent()) {
        hole.tried = false;
        return hole;
      }
      if (!matters(lid, as_it_is)) continue;
      // A hole no smaller than that of today does what today's does.
      if (hole.bore_m >= now_m && keeps(as_it_is)) continue;
      if (does(hole.bore_m, as_it_is.trial)) continue;
      const auto found = smallest_drill_m(
          [&](double bore_m) { return bore_m > hole.bore_m && does(bore_m, as_it_is.trial); });
      hole.decided_by = as_it_is.trial;
      if (!found) {
        hole.beyond_drills = !bench_->spent();
        hole.tried = !bench_->spent();
        return hole;
      }
      hole.bore_m = *found;
    }
    return hole;
  }

  void find_hole(LidNeeds& lid) {
    const Keeps vacuum = [&](const LidTrial& did) { return keeps_vacuum(lid, did); };
    const Keeps pressure = [&](const LidTrial& did) { return keeps_pressure(lid, did); };
    lid.for_vacuum =
        smallest(lid, lid.as_it_is, vacuum, [](const LidTrial& did) { return -did.lowest_pa; });
    std::vector<LidTrial> pushes;
    for (const LidTrial& did : lid.as_it_is) {
      if (counts_for_pressure(did.trial)) pushes.push_back(did);
    }
    lid.for_pressure =
        smallest(lid, pushes, pressure, [](const LidTrial& did) { return did.highest_pa; });
    settle_hole(lid);
    try_alone(lid);
  }

  void find_hole_feeding_alone(LidNeeds& lid) {
    if (!lid.feeding_alone || !lid.hole_m) return;
    const Keeps vacuum = [&](const LidTrial& did) { return keeps_vacuum(lid, did); };
    lid.for_feeding_alone = smallest(lid, {*lid.feeding_alone}, vacuum,
                                     [](const LidTrial& did) { return -did.lowest_pa; });
    if (!lid.for_feeding_alone.tried) study_.all_tried = false;
    if (!lid.for_feeding_alone.tried || lid.for_feeding_alone.beyond_drills) return;
    lid.hole_feeding_alone_m = std::max(*lid.hole_m, lid.for_feeding_alone.bore_m);
  }

  static void settle_hole(LidNeeds& lid) {
    lid.hole_m.reset();
    if (!lid.for_vacuum.tried || lid.for_vacuum.beyond_drills) return;
    lid.hole_m = lid.for_vacuum.bore_m;
    if (lid.for_pressure.tried && !lid.for_pressure.beyond_drills) {
      lid.hole_m = std::max(*lid.hole_m, lid.for_pressure.bore_m);
    }
  }

  /// Whether the hole does what it is there for; pressure only where a hole was found for it.
  bool keeps(const LidNeeds& lid, const LidTrial& did) const {
    return keeps_vacuum(lid, did) && (!counts_for_pressure(did.trial) || !lid.for_pressure.tried ||
                                      lid.for_pressure.beyond_drills || keeps_pressure(lid, did));
  }

  /// Gives way to the next drill. False: there is none.
  bool widen(LidNeeds& lid, const LidTrial& because_of) const {
    const double at_least_m = std::max(*lid.hole_m, 0.0) + 1e-6;
    const std::optional<double> next = next_drill_m(at_least_m);
    HoleNeeded& hole = keeps_vacuum(lid, because_of) ? lid.for_pressure : lid.for_vacuum;
    hole.decided_by = because_of.trial;
    hole.beyond_drills = !next;
    if (next) hole.bore_m = *next;
    settle_hole(lid);
    return next.has_value();
  }

  /// The hole by itself through every trial; widened where that shows it too small.
  void try_alone(LidNeeds& lid) {
    for (int repair = 0; lid.hole_m && repair < most_repairs; ++repair) {
      double lowest = 0.0;
      double pull = 0.0;
      std::optional<LidTrial> fails;
      for (const LidTrial& as_it_is : lid.as_it_is) {
        if (!matters(lid, as_it_is)) continue;
        const std::optional<LidTrial> did = alone(lid, *lid.hole_m, as_it_is.trial);
        if (bench_->spent()) return give_up(lid);
        if (!did || !keeps(lid, *did)) {
          fails = did ? *did : as_it_is;
          break;
        }
        lowest = std::min(lowest, did->lowest_pa);
        if (takes_water(study_.trials[as_it_is.trial])) {
          pull = std::max(pull, did->peak_out_m3_per_s);
        }
      }
      if (!fails) {
        lid.lowest_alone_pa = lowest;
        lid.pull_alone_m3_per_s = pull;
        lid.api_2000_5th = rule(lid, in_breathing_api_2000_5th);
        lid.iso_28300 = rule(lid, in_breathing_iso_28300);
        return;
      }
      if (!widen(lid, *fails)) return;
    }
    give_up(lid);
  }

  /// What was not shown to do is not said.
  void give_up(LidNeeds& lid) {
    lid.hole_m.reset();
    lid.for_vacuum.tried = false;
    study_.all_tried = false;
  }

  RuleOfInBreathing rule(const LidNeeds& lid, double air_per_water) const {
    RuleOfInBreathing rule;
    rule.air_m3_per_s = air_per_water * lid.pull_alone_m3_per_s;
    const Site& site = array_.parts().site;
    const double outside_pa = atmosphere_pa(site.altitude_m);
    const double outside_k = zero_degc_k + site.air_temperature_degc;
    const double kg_per_m3 = outside_pa / (air_gas_constant * outside_k);
    constexpr double normal_kg_per_m3 = 101325.0 / (air_gas_constant * zero_degc_k);
    const Lid& hole = present(lid);
    rule.hole_m = hole_for_slow_air_m(rule.air_m3_per_s * normal_kg_per_m3 / kg_per_m3,
                                      kept_in_hand * lid.vacuum.pa, hole.coefficient * hole.screen,
                                      kg_per_m3);
    return rule;
  }

  /// The lids as they are to be: each with the hole it needs, or its own where that is wider.
  Lids mended() const {
    Lids lids = as_they_are_;
    for (const LidNeeds& lid : study_.lids) {
      if (!lid.hole_m || *lid.hole_m <= as_one_hole_m(present(lid))) continue;
      lids[lid.tank.index] = with_bore(present(lid), *lid.hole_m);
    }
    return lids;
  }

  void together() {
    for (int repair = 0; repair < most_repairs; ++repair) {
      bool widened = false;
      const Lids lids = mended();
      for (LidNeeds& lid : study_.lids) {
        lid.lowest_together_pa = 0.0;
        lid.highest_together_pa = 0.0;
        if (!lid.hole_m) study_.holds_together = false;
      }
      for (std::size_t t = 0; t < study_.trials.size() && !widened; ++t) {
        if (failed_as_it_is(t) || study_.trials[t].feeds_alone) continue;
        const Result<RunRecord> record = bench_->run_trial(t, lids);
        if (!record) {
          study_.holds_together = false;
          study_.all_tried = study_.all_tried && !bench_->spent();
          for (LidNeeds& lid : study_.lids) lid.lowest_together_pa = lid.highest_together_pa = {};
          return;
        }
        for (LidNeeds& lid : study_.lids) {
          const LidTrial did = bench_->told(t, lid.tank, *record);
          lid.lowest_together_pa = std::min(*lid.lowest_together_pa, did.lowest_pa);
          if (counts_for_pressure(t)) {
            lid.highest_together_pa = std::max(*lid.highest_together_pa, did.highest_pa);
          }
          if (keeps(lid, did) || !lid.hole_m) continue;
          widened = true;
          lid.hole_m = std::max(*lid.hole_m, as_one_hole_m(present(lid)));
          lid.drill_now = true;
          if (widen(lid, did)) {
            try_alone(lid);
          } else {
            study_.holds_together = false;
          }
        }
      }
      if (!widened) return;
    }
    study_.holds_together = false;
  }

  bool failed_as_it_is(std::size_t trial) const {
    return std::any_of(study_.not_reckoned.begin(), study_.not_reckoned.end(),
                       [&](const NotReckoned& each) { return each.trial == trial; });
  }

  /// How soon the tank is past its allowed vacuum with its hole blocked. The plan's own day counts
  /// only where no trial does it, since its pull does not begin at its start. Once one trial is
  /// known to take so long, the others need no longer.
  void block(LidNeeds& lid) {
    Lids lids = mended();
    lids[lid.tank.index] = with_bore(present(lid), 0.0);
    lid.blocked_tried = true;
    std::vector<LidTrial> trials = lid.as_it_is;
    std::stable_sort(trials.begin(), trials.end(), [&](const LidTrial& a, const LidTrial& b) {
      if (of_day(a) != of_day(b)) return of_day(b);
      return a.lowest_pa < b.lowest_pa;
    });
    for (const LidTrial& as_it_is : trials) {
      if ((of_day(as_it_is) && lid.blocked) || !matters(lid, as_it_is)) continue;
      const std::size_t t = as_it_is.trial;
      const Result<RunRecord> record = lid.blocked
                                           ? bench_->run_until(t, lids, *lid.blocked->folds_after_s)
                                           : bench_->run_trial(t, lids);
      if (!record) {
        lid.blocked_tried = false;
        if (bench_->spent()) {
          study_.all_tried = false;
          return;
        }
        continue;
      }
      const LidTrial did = bench_->told(t, lid.tank, *record);
      if (!did.folds_after_s) continue;
      if (!lid.blocked || *did.folds_after_s < *lid.blocked->folds_after_s) lid.blocked = did;
    }
  }

  const Array& array_;
  VentStudy study_;
  std::optional<Bench> bench_;
  bool day_is_long_ = false;
  Lids as_they_are_;
  std::map<std::tuple<std::size_t, double, std::size_t>, std::optional<LidTrial>> alone_;
};

}  // namespace

Result<VentStudy> study_vents(const Array& array, const DaySheet& sheet,
                              const VentOptions& options) {
  return VentInHand(array, sheet, options).done();
}

}  // namespace tankyard
