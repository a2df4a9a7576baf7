// SPDX-License-Identifier: MIT
#include "solver/wider_hose.h"

#include <cmath>

#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double worth_saying_m3 = 1e-3;

Parts with_bore(const Array& array, HoseId hose, double bore_m) {
  Parts parts = array.parts();
  part(parts.hoses, hose).bore_m = bore_m;
  return parts;
}

}  // namespace

const std::vector<double>& trade_bores_m() {
  static const std::vector<double> bores = {0.013, 0.016, 0.019, 0.025, 0.032, 0.038,
                                            0.040, 0.050, 0.063, 0.075, 0.090, 0.110};
  return bores;
}

std::vector<double> DayAgain::wider_that_fit(HoseId hose) const {
  const Array& array = tries_.array();
  std::vector<double> bores;
  for (const double bore_m : trade_bores_m()) {
    if (bore_m <= part(array.parts().hoses, hose).bore_m) continue;
    if (Array::make(with_bore(array, hose, bore_m))) bores.push_back(bore_m);
  }
  return bores;
}

const RunRecord* DayAgain::with(HoseId hose, double bore_m) {
  const auto key = std::make_pair(std::size_t{hose.index}, bore_m);
  const auto kept = kept_.find(key);
  if (kept != kept_.end()) return kept->second ? &*kept->second : nullptr;
  std::optional<RunRecord> again = tries_.with(with_bore(tries_.array(), hose, bore_m));
  if (!again && tries_.over()) return nullptr;  // not known, so not kept
  std::optional<RunRecord>& record = kept_[key] = std::move(again);
  return record ? &*record : nullptr;
}

std::optional<DayAgain::Tried> DayAgain::widest(HoseId hose) {
  if (!worth_trying()) return std::nullopt;
  const std::vector<double> bores = wider_that_fit(hose);
  if (bores.empty()) return std::nullopt;
  const RunRecord* record = with(hose, bores.back());
  if (!record) return std::nullopt;
  return Tried{bores.back(), record, true};
}

std::optional<DayAgain::Tried> DayAgain::smallest_that_will_do(
    HoseId hose, const std::function<bool(const RunRecord&)>& will_do) {
  if (!worth_trying()) return std::nullopt;
  const std::vector<double> bores = wider_that_fit(hose);
  const auto tried = [&](std::size_t k) -> std::optional<Tried> {
    const RunRecord* record = with(hose, bores[k]);
    if (!record || !will_do(*record)) return std::nullopt;
    return Tried{bores[k], record, true};
  };
  if (bores.empty()) return std::nullopt;
  std::size_t high = bores.size() - 1;
  std::optional<Tried> best = tried(high);
  if (!best) return std::nullopt;
  std::size_t low = 0;  // the answer lies from low to high
  while (low < high) {
    const std::size_t middle = low + (high - low) / 2;
    if (const std::optional<Tried> found = tried(middle)) {
      best = found;
      high = middle;
    } else if (tries_.over()) {
      best->smallest = false;
      break;
    } else {
      low = middle + 1;
    }
  }
  return best;
}

std::string smaller_not_tried(const DayAgain::Tried& tried, const Tries& tries) {
  return tried.smallest ? std::string() : " (smaller ones " + tries.not_tried() + ")";
}

DayChange change_between(const RunRecord& before, const RunRecord& after) {
  return {after.ledger.overflowed_m3 - before.ledger.overflowed_m3,
          after.ledger.delivered_m3 - before.ledger.delivered_m3};
}

std::string in_words(const DayChange& change) {
  std::string text;
  if (std::fabs(change.spilt_m3) >= worth_saying_m3) {
    text = in_litres(std::fabs(change.spilt_m3)) + (change.spilt_m3 < 0.0 ? " less" : " more") +
           " run to the ground that day";
  }
  if (std::fabs(change.delivered_m3) >= worth_saying_m3) {
    if (!text.empty()) text += " and ";
    text += "the outlets get " + in_litres(std::fabs(change.delivered_m3)) +
            (change.delivered_m3 < 0.0 ? " less" : " more");
  }
  if (text.empty()) return "what is spilt and what the outlets get stay the same that day";
  return text;
}

}  // namespace tankyard
