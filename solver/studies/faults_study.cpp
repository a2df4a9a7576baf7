// SPDX-License-Identifier: MIT
#include "solver/studies/faults_study.h"

#include <algorithm>
#include <utility>

#include "solver/studies/faults_outcome.h"
#include "solver/studies/faults_yard.h"

namespace tankyard {
namespace {

constexpr double worse_least_m3 = 0.005;
constexpr double worse_share = 0.05;
constexpr std::size_t most_best = 3;
/// A change is worth telling of if it takes this share of what failures cost, and so much.
constexpr double worth_share = 0.05;
constexpr double worth_m3 = 0.020;

class FaultsInHand {
 public:
  FaultsInHand(const Array& array, const DaySheet& sheet, const FaultOptions& options)
      : options_(options), yard_{array.parts(), fault_day(sheet), {}} {
    singles_ = single_faults(array, yard_.day.sheet);
  }

  Result<FaultStudy> made() {
    RunOptions with_rows = options_.run;
    with_rows.record_every_s = fault_row_s;
    const Result<Array> array = Array::make(yard_.parts);
    if (!array) return tl::unexpected<Troubles>(array.error());
    Result<RunRecord> healthy = run(*array, yard_.day.sheet, with_rows);
    if (!healthy) return tl::unexpected<Troubles>(healthy.error());
    study_.day = yard_.day;
    study_.healthy = std::move(*healthy);
    study_.runs = 1;

    try_singles();
    if (!study_.stopped && options_.changes) try_changes();
    if (!study_.stopped && options_.pairs) try_pairs();
    rank(study_.singles);
    return std::move(study_);
  }

 private:
  /// Runs so many days at once, or fewer if asked to stop; how many.
  std::size_t run_all(const char* doing, std::size_t count,
                      const std::function<void(std::size_t)>& one) {
    ManyOptions many = options_.many;
    many.progress = nullptr;
    if (options_.progress) {
      many.progress = [&](std::size_t done, std::size_t of) { options_.progress(doing, done, of); };
    }
    const std::size_t done = try_each(count, one, many);
    study_.runs += static_cast<long long>(done);
    if (done < count) study_.stopped = true;
    return done;
  }

  FaultOutcome outcome(const FaultYard& yard, const std::vector<Fault>& faults) const {
    return outcome_of(yard, faults, study_.healthy, options_.run);
  }

  void try_singles() {
    study_.singles_in_all = singles_.size();
    std::vector<FaultOutcome> all(singles_.size());
    const std::size_t done = run_all("failures", singles_.size(), [&](std::size_t i) {
      all[i] = outcome(yard_, {singles_[i]});
    });
    all.resize(done);
    study_.toll = toll_of(all, 0, all.size());
    study_.singles = std::move(all);
  }

  static FaultToll toll_of(const std::vector<FaultOutcome>& all, std::size_t from,
                           std::size_t count) {
    FaultToll toll;
    for (std::size_t i = from; i < from + count; ++i) {
      toll.harmed += all[i].harmed;
      const double cost = cost_m3(all[i]);
      toll.cost_m3 += cost;
      toll.worst_m3 = std::max(toll.worst_m3, cost);
    }
    return toll;
  }

  // Pairs are of plan order, before the singles are ranked.
  void try_pairs() {
    std::vector<std::pair<std::size_t, std::size_t>> pairs;
    for (std::size_t i = 0; i < singles_.size(); ++i) {
      for (std::size_t j = i + 1; j < singles_.size(); ++j) {
        if (can_go_together(singles_[i], singles_[j])) pairs.emplace_back(i, j);
      }
    }
    study_.pairs_in_all = pairs.size();
    std::vector<FaultOutcome> all(pairs.size());
    study_.pairs_tried = run_all("pairs", pairs.size(), [&](std::size_t k) {
      const auto [i, j] = pairs[k];
      FaultOutcome both = outcome(yard_, {singles_[i], singles_[j]});
      if (!both.reckoned || worse(both, study_.singles[i], study_.singles[j])) {
        all[k] = std::move(both);
      }
    });
    all.resize(study_.pairs_tried);
    for (FaultOutcome& both : all) {
      if (!both.faults.empty()) study_.pairs.push_back(std::move(both));
    }
    rank(study_.pairs);
  }

  static bool worse(const FaultOutcome& both, const FaultOutcome& a, const FaultOutcome& b) {
    for (const FaultDanger& danger : both.dangers) {
      const auto same = [&](const FaultDanger& other) { return danger.same_as(other); };
      if (std::none_of(a.dangers.begin(), a.dangers.end(), same) &&
          std::none_of(b.dangers.begin(), b.dangers.end(), same)) {
        return true;
      }
    }
    const auto sum = [](double a_m3, double b_m3) {
      return std::max(a_m3, 0.0) + std::max(b_m3, 0.0);
    };
    const auto more = [](double both_m3, double parts_m3) {
      return both_m3 > (1.0 + worse_share) * parts_m3 + worse_least_m3;
    };
    // Water that one failure kept from the outlets is there for the other to lose.
    const double short_m3 = sum(a.short_m3, b.short_m3);
    return more(both.lost_m3, sum(a.lost_m3, b.lost_m3) + short_m3) ||
           more(both.short_m3, short_m3);
  }

  std::vector<TankId> tanks_in_danger() const {
    std::vector<TankId> tanks = harmed_on(study_.healthy);
    for (const FaultOutcome& single : study_.singles) {
      for (const FaultDanger& danger : single.dangers) {
        if (danger.kind != FindingKind::pump_runs_dry) tanks.push_back(id_at<TankId>(danger.part));
      }
    }
    std::sort(tanks.begin(), tanks.end());
    tanks.erase(std::unique(tanks.begin(), tanks.end()), tanks.end());
    return tanks;
  }

  /// Every change of a list, each alone beside what the yard has already; those that were tried
  /// through. The day without failures is one of the runs.
  std::vector<TriedChange> tries(const FaultYard& yard, const std::vector<Change>& changes) {
    std::vector<FaultYard> changed;
    changed.reserve(changes.size());
    for (const Change& change : changes) changed.push_back(with_change(yard, change));
    const std::size_t each = singles_.size() + 1;
    std::vector<FaultOutcome> all(each * changes.size());
    const std::size_t done = run_all("changes", all.size(), [&](std::size_t k) {
      const std::size_t which = k % each;
      all[k] = outcome(changed[k / each],
                       which == 0 ? std::vector<Fault>{} : std::vector<Fault>{singles_[which - 1]});
    });
    std::vector<TriedChange> tried;
    for (std::size_t c = 0; c < done / each; ++c) {
      const auto first = all.begin() + static_cast<std::ptrdiff_t>(c * each);
      // A change under which a failure gives no answer any more is not one to advise.
      bool sound = first->reckoned && first->dangers.empty();
      for (std::size_t k = 0; k < singles_.size(); ++k) {
        if (study_.singles[k].reckoned && !all[c * each + 1 + k].reckoned) sound = false;
      }
      if (!sound) continue;
      tried.push_back({changes[c], toll_of(all, c * each + 1, singles_.size()), cost_m3(*first)});
    }
    return tried;
  }

  /// Best first. Of two holes in one lid that keep as much from harm the narrower one stays:
  /// what else they differ by is by the way.
  static void sort_best_first(std::vector<TriedChange>& tried) {
    const auto wider_for_nothing = [&](const TriedChange& hole) {
      return hole.change.kind == Change::Kind::hole &&
             std::any_of(tried.begin(), tried.end(), [&](const TriedChange& other) {
               return other.change.kind == Change::Kind::hole &&
                      other.change.part == hole.change.part &&
                      other.change.bore_m < hole.change.bore_m &&
                      other.toll.harmed <= hole.toll.harmed;
             });
    };
    std::vector<TriedChange> kept;
    for (const TriedChange& each : tried) {
      if (!wider_for_nothing(each)) kept.push_back(each);
    }
    std::stable_sort(kept.begin(), kept.end(), [](const TriedChange& a, const TriedChange& b) {
      return better(a.toll, b.toll);
    });
    tried = std::move(kept);
  }

  static bool better(const FaultToll& a, const FaultToll& b) {
    if (a.harmed != b.harmed) return a.harmed < b.harmed;
    return a.cost_m3 < b.cost_m3;
  }

  bool worth_it(const FaultToll& with, const FaultToll& without) const {
    if (with.harmed != without.harmed) return with.harmed < without.harmed;
    const double least = std::max(worth_m3, worth_share * study_.toll.cost_m3);
    return without.cost_m3 - with.cost_m3 >= least;
  }

  void try_changes() {
    const std::vector<Change> changes = changes_to_try(yard_, tanks_in_danger());
    if ((singles_.size() + 1) * changes.size() > options_.most_change_runs) {
      study_.changes_left_out = true;
      return;
    }
    study_.tried = tries(yard_, changes);
    sort_best_first(study_.tried);
    study_.tried.erase(std::remove_if(study_.tried.begin(), study_.tried.end(),
                                      [&](const TriedChange& tried) {
                                        return !worth_it(tried.toll, study_.toll);
                                      }),
                       study_.tried.end());
    find_best();
  }

  /// Of parts to fit, the one that removes most; then beside it the next one; and so on.
  void find_best() {
    FaultYard yard = yard_;
    FaultToll toll = study_.toll;
    std::vector<TriedChange> left;
    for (const TriedChange& tried : study_.tried) {
      if (!tried.change.is_habit()) left.push_back(tried);
    }
    while (!left.empty() && study_.best.size() < most_best) {
      const TriedChange best = left.front();
      if (!worth_it(best.toll, toll)) return;
      study_.best.push_back(best);
      yard = with_change(yard, best.change);
      toll = best.toll;
      std::vector<Change> rest;
      for (std::size_t k = 1; k < left.size(); ++k) rest.push_back(left[k].change);
      if (study_.best.size() == most_best || rest.empty()) return;
      left = tries(yard, rest);
      if (study_.stopped) return;
      sort_best_first(left);
    }
  }

  const FaultOptions& options_;
  FaultYard yard_;
  std::vector<Fault> singles_;
  FaultStudy study_;
};

}  // namespace

Result<FaultStudy> study_faults(const Array& array, const DaySheet& sheet,
                                const FaultOptions& options) {
  return FaultsInHand(array, sheet, options).made();
}

}  // namespace tankyard
