// SPDX-License-Identifier: MIT
#pragma once

#include <rapidcheck.h>

#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <iostream>
#include <limits>
#include <sstream>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "graph/array.h"
#include "random_arrays.h"
#include "solver/run.h"

// What the random tests share: a day run or refused in words, and a few readings of its record.

namespace tankyard {

inline std::string all_of(const Troubles& troubles) {
  std::string words;
  for (const Trouble& trouble : troubles) {
    words += trouble.message;
    for (const std::string& note : trouble.notes) words += "; " + note;
    words += "; " + trouble.help + "\n";
  }
  return words;
}

/// Fails where no answer is found; `Days.AllHaveAnAnswer` asks for that with these.
inline RunRecord must_run(const Parts& yard, const DaySheet& day, const RunOptions& options = {}) {
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  Result<RunRecord> record = run(*array, day, options);
  if (!record) RC_FAIL(all_of(record.error()));
  return std::move(*record);
}

/// Source of truth: a stage has one answer, always (solver/README.md). A refusal fails the test.
/// With `COUNT_REFUSALS=1` it is told on standard output instead, so that many days can be drawn on
/// end: `tests/proof.sh days` counts them. An answer that does not reach the day's end fails
/// always.
inline void day_has_an_answer(const YardMayHold& may) {
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

/// Passes over a day that finds no answer: that is one fault, and told once.
inline RunRecord run_of(const Parts& yard, const DaySheet& day, const RunOptions& options = {}) {
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  Result<RunRecord> record = run(*array, day, options);
  if (!record) RC_DISCARD(all_of(record.error()));
  return std::move(*record);
}

/// Lids that are open, sealed, or have a hole.
inline YardMayHold with_closed_lids(YardMayHold may = {}) {
  may.closed_lids = true;
  return may;
}

/// The same without air hoses: full sealed tanks with air hoses between them take many small steps.
inline YardMayHold without_air_lines(YardMayHold may = {}) {
  may = with_closed_lids(may);
  may.air_lines = false;
  return may;
}

/// A day on which nobody does anything.
inline DaySheet quiet_day(double lasts_s) {
  DaySheet day;
  day.lasts_s = lasts_s;
  return day;
}

inline RunOptions with_rows(double lasts_s, int rows, double depth_tolerance_m = 1e-4) {
  RunOptions options;
  options.depth_tolerance_m = depth_tolerance_m;
  options.record_every_s = lasts_s / rows;
  return options;
}

/// A quiet day seen at some moments, evenly apart, by runs that end at them: rows of a trace are
/// interpolated between steps, and what they are off by is not what is asked about here.
inline std::vector<RunRecord> seen_at(const Parts& yard, double lasts_s, int moments,
                                      const RunOptions& options) {
  std::vector<RunRecord> records;
  for (int k = 1; k <= moments; ++k) {
    records.push_back(run_of(yard, quiet_day(lasts_s * k / moments), options));
  }
  return records;
}

/// Fails with both numbers, their difference and what it may be.
inline void close_to(const std::string& what, double got, double want, double allowed) {
  if (std::fabs(got - want) <= allowed) return;
  std::ostringstream words;
  words.precision(17);
  words << what << ": got " << got << ", want " << want << ", off by " << got - want << ", allowed "
        << allowed;
  RC_FAIL(words.str());
}

/// got <= most, with a little room.
inline void at_most(const std::string& what, double got, double most, double room) {
  if (got <= most + room) return;
  std::ostringstream words;
  words.precision(17);
  words << what << ": got " << got << ", at most " << most << ", over by " << got - most
        << ", allowed " << room;
  RC_FAIL(words.str());
}

// Picks that a failing test prints as what they are.

inline double any_between(double low, double high) {
  return *rc::gen::exec([=] { return random_yard::between(low, high); });
}

inline double any_spread(double low, double high) {
  return *rc::gen::exec([=] { return random_yard::spread(low, high); });
}

namespace random_yard {

inline std::vector<std::size_t> order_of(std::size_t size) {
  std::vector<std::size_t> order(size);
  for (std::size_t i = 0; i < size; ++i) order[i] = i;
  for (std::size_t i = size; i > 1; --i) {
    const auto other = static_cast<std::size_t>(whole(0, static_cast<int>(i) - 1));
    std::swap(order[i - 1], order[other]);
  }
  return order;
}

}  // namespace random_yard

/// A row of numbers from 0 in a random order.
inline std::vector<std::size_t> shuffled(std::size_t size) {
  return *rc::gen::exec([size] { return random_yard::order_of(size); });
}

}  // namespace tankyard
