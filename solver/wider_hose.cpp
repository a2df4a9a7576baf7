// SPDX-License-Identifier: MIT
#include "solver/wider_hose.h"

#include <cmath>

#include "solver/sentences.h"

namespace tankyard {
namespace {

constexpr double most_place_steps = 2e6;
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

DayAgain::DayAgain(const Array& array, const DaySheet& sheet, const RunOptions& options,
                   const RunRecord& as_it_is)
    : array_(array), sheet_(sheet), options_(options) {
  options_.record_every_s = 0.0;
  const double places = static_cast<double>(array.tanks().size() + array.headers().size());
  worth_trying_ = static_cast<double>(as_it_is.effort.steps) * places <= most_place_steps;
}

bool DayAgain::fits(HoseId hose, double bore_m) const {
  return Array::make(with_bore(array_, hose, bore_m)).has_value();
}

const RunRecord* DayAgain::with(HoseId hose, double bore_m) {
  const auto key = std::make_pair(std::size_t{hose.index}, bore_m);
  const auto kept = kept_.find(key);
  if (kept != kept_.end()) return kept->second ? &*kept->second : nullptr;
  std::optional<RunRecord>& record = kept_[key];
  if (const Result<Array> array = Array::make(with_bore(array_, hose, bore_m))) {
    Result<RunRecord> again = run(*array, sheet_, options_);
    if (again) record = std::move(*again);
  }
  return record ? &*record : nullptr;
}

std::optional<DayAgain::Tried> DayAgain::smallest_that_will_do(
    HoseId hose, const std::function<bool(const RunRecord&)>& will_do) {
  if (!worth_trying_) return std::nullopt;
  std::vector<double> bores;
  for (const double bore_m : trade_bores_m()) {
    if (bore_m > part(array_.parts().hoses, hose).bore_m && fits(hose, bore_m)) {
      bores.push_back(bore_m);
    }
  }
  const auto tried = [&](std::size_t k) -> std::optional<Tried> {
    const RunRecord* record = with(hose, bores[k]);
    if (!record || !will_do(*record)) return std::nullopt;
    return Tried{bores[k], record};
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
    } else {
      low = middle + 1;
    }
  }
  return best;
}

Change change_between(const RunRecord& before, const RunRecord& after) {
  return {after.ledger.overflowed_m3 - before.ledger.overflowed_m3,
          after.ledger.delivered_m3 - before.ledger.delivered_m3};
}

std::string in_words(const Change& change) {
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
