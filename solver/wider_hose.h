// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "graph/array.h"
#include "solver/run.h"
#include "solver/tries.h"

namespace tankyard {

/// The inside bores in which hose and pipe are sold, m, smallest first.
const std::vector<double>& trade_bores_m();

/// Runs a day again and again, each time with one hose of another bore. Runs are kept, so that two
/// findings about one hose share them.
class DayAgain {
 public:
  explicit DayAgain(Tries& tries) : tries_(tries) {}

  /// False for a yard so large that running it again would keep people waiting: more than two
  /// million steps times places.
  bool worth_trying() const { return tries_.worth_trying(2e6); }
  const Tries& tries() const { return tries_; }

  struct Tried {
    double bore_m = 0.0;
    const RunRecord* record = nullptr;  ///< kept as long as this object
    bool smallest = true;               ///< false: trying was over before smaller ones were tried
  };

  /// The smallest trade bore over the hose's own with which the day `will_do`, found by halving the
  /// list: it takes for granted that what does with one bore does with every wider one. Bores that
  /// do not fit a tank's wall are left out; one whose run fails counts as one that will not do.
  /// None: even the widest will not, or the hose is wider than all, or `tries().over()` before the
  /// widest was tried.
  std::optional<Tried> smallest_that_will_do(HoseId hose,
                                             const std::function<bool(const RunRecord&)>& will_do);

  /// The day with the widest trade bore that fits. None: there is none wider than its own, its run
  /// fails, or trying is over.
  std::optional<Tried> widest(HoseId hose);

 private:
  std::vector<double> wider_that_fit(HoseId hose) const;
  const RunRecord* with(HoseId hose, double bore_m);

  Tries& tries_;
  std::map<std::pair<std::size_t, double>, std::optional<RunRecord>> kept_;
};

/// " (smaller ones not tried: ...)" where that is so, else nothing.
std::string smaller_not_tried(const DayAgain::Tried& tried, const Tries& tries);

/// What a changed day saves, as a clause: "then 120 L less run to waste and the outlets get 30 L
/// more". Also says what gets worse.
struct DayChange {
  double spilt_m3 = 0.0;      ///< to the ground; negative: less
  double delivered_m3 = 0.0;  ///< through outlets; negative: less

  double gain_m3() const { return delivered_m3 - spilt_m3; }
};
DayChange change_between(const RunRecord& before, const RunRecord& after);
std::string in_words(const DayChange& change);

}  // namespace tankyard
