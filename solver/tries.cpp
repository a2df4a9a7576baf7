// SPDX-License-Identifier: MIT
#include "solver/tries.h"

#include <algorithm>
#include <utility>

namespace tankyard {
namespace {

constexpr long long times_the_run = 4;
constexpr double least_place_steps = 2e6;  // in all: some seconds of a pump that switches
constexpr long long looks_up_every = 64;   // steps, to see whether it shall stop

double places_of(const Array& array) {
  return static_cast<double>(array.tanks().size() + array.headers().size());
}

long long steps_of(const RunRecord& record) { return record.effort.steps + record.effort.rejected; }

}  // namespace

Tries::Tries(const Array& array, const DaySheet& sheet, const RunOptions& options,
             const RunRecord& as_it_is, TryWatch watch)
    : array_(array),
      sheet_(sheet),
      options_(options),
      as_it_is_(as_it_is),
      watch_(std::move(watch)),
      most_(watch_.most_steps.value_or(
          std::max(times_the_run * steps_of(as_it_is),
                   static_cast<long long>(least_place_steps / places_of(array))))) {
  options_.record_every_s = 0.0;
}

bool Tries::worth_trying(double most_place_steps) const {
  return static_cast<double>(as_it_is_.effort.steps) * places_of(array_) <= most_place_steps;
}

bool Tries::shall_end(long long steps, long long& looked_at) {
  if (spent_ + steps >= most_) return true;
  if (steps < looked_at + looks_up_every) return false;
  looked_at = steps;
  if (watch_.progress) watch_.progress(spent_ + steps, most_);
  stopped_ = stopped_ || (watch_.stop && watch_.stop());
  return stopped_;
}

std::optional<RunRecord> Tries::with(Parts parts, long long most_steps) {
  if (over()) return std::nullopt;
  const Result<Array> array = Array::make(std::move(parts));
  if (!array) return std::nullopt;
  RunOptions options = options_;
  options.most_steps = std::min(options_.most_steps, most_steps);
  long long steps = 0;
  long long looked_at = 0;
  options.give_up = [&](long long so_far) {
    steps = so_far;
    return shall_end(so_far, looked_at);
  };
  Result<RunRecord> record = run(*array, sheet_, options);
  spent_ += record ? steps_of(*record) : steps;
  if (!record) return std::nullopt;
  return std::move(*record);
}

std::string Tries::not_tried() const {
  return stopped_ ? "not tried: it was stopped"
                  : "not tried: what else was tried that day had used up the steps for it";
}

}  // namespace tankyard
