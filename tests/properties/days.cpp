// SPDX-License-Identifier: MIT
#include "properties/days.h"

#include <cmath>
#include <cstdlib>
#include <iostream>
#include <sstream>
#include <utility>

namespace tankyard {

std::string all_of(const Troubles& troubles) {
  std::string words;
  for (const Trouble& trouble : troubles) {
    words += trouble.message;
    for (const std::string& note : trouble.notes) words += "; " + note;
    words += "; " + trouble.help + "\n";
  }
  return words;
}

RunRecord must_run(const Parts& yard, const DaySheet& day, const RunOptions& options) {
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  Result<RunRecord> record = run(*array, day, options);
  if (!record) RC_FAIL(all_of(record.error()));
  return std::move(*record);
}

void day_has_an_answer(const YardMayHold& may) {
  const Parts yard = *random_yards(may);
  const DaySheet day = *random_days(yard);
  if (std::getenv("COUNT_REFUSALS")) {
    const Result<Array> array = Array::make(yard);
    if (!array) RC_FAIL(all_of(array.error()));
    const Result<RunRecord> record = run(*array, day);
    if (record)
      RC_ASSERT(record->lasted_s == day.lasts_s);
    else
      std::cout << "refused: " << record.error().front().message << std::endl;
    return;
  }
  RC_ASSERT(must_run(yard, day).lasted_s == day.lasts_s);
}

RunRecord run_of(const Parts& yard, const DaySheet& day, const RunOptions& options) {
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  Result<RunRecord> record = run(*array, day, options);
  if (!record) RC_DISCARD(all_of(record.error()));
  return std::move(*record);
}

YardMayHold with_closed_lids(YardMayHold may) {
  may.closed_lids = true;
  return may;
}

YardMayHold without_air_lines(YardMayHold may) {
  may = with_closed_lids(may);
  may.air_lines = false;
  return may;
}

DaySheet quiet_day(double lasts_s) {
  DaySheet day;
  day.lasts_s = lasts_s;
  return day;
}

RunOptions with_rows(double lasts_s, int rows, double depth_tolerance_m) {
  RunOptions options;
  options.depth_tolerance_m = depth_tolerance_m;
  options.record_every_s = lasts_s / rows;
  return options;
}

std::vector<RunRecord> seen_at(const Parts& yard, double lasts_s, int moments,
                               const RunOptions& options) {
  std::vector<RunRecord> records;
  for (int k = 1; k <= moments; ++k) {
    records.push_back(run_of(yard, quiet_day(lasts_s * k / moments), options));
  }
  return records;
}

void close_to(const std::string& what, double got, double want, double allowed) {
  if (std::fabs(got - want) <= allowed) return;
  std::ostringstream words;
  words.precision(17);
  words << what << ": got " << got << ", want " << want << ", off by " << got - want << ", allowed "
        << allowed;
  RC_FAIL(words.str());
}

void at_most(const std::string& what, double got, double most, double room) {
  if (got <= most + room) return;
  std::ostringstream words;
  words.precision(17);
  words << what << ": got " << got << ", at most " << most << ", over by " << got - most
        << ", allowed " << room;
  RC_FAIL(words.str());
}

double any_between(double low, double high) {
  return *rc::gen::exec([=] { return random_yard::between(low, high); });
}

double any_spread(double low, double high) {
  return *rc::gen::exec([=] { return random_yard::spread(low, high); });
}

namespace {

std::vector<std::size_t> order_of(std::size_t size) {
  std::vector<std::size_t> order(size);
  for (std::size_t i = 0; i < size; ++i) order[i] = i;
  for (std::size_t i = size; i > 1; --i) {
    const auto other = static_cast<std::size_t>(random_yard::whole(0, static_cast<int>(i) - 1));
    std::swap(order[i - 1], order[other]);
  }
  return order;
}

}  // namespace

std::vector<std::size_t> shuffled(std::size_t size) {
  return *rc::gen::exec([size] { return order_of(size); });
}

}  // namespace tankyard
