// SPDX-License-Identifier: MIT
#pragma once

#include <rapidcheck.h>

#include <cstddef>
#include <string>
#include <vector>

#include "graph/array.h"
#include "random_arrays.h"
#include "solver/run.h"

// What the random tests share: a day run or refused in words, and a few readings of its record.

namespace tankyard {

std::string all_of(const Troubles& troubles);

/// Fails where no answer is found; `Days.AllHaveAnAnswer` asks for that with these.
RunRecord must_run(const Parts& yard, const DaySheet& day, const RunOptions& options = {});

/// Source of truth: a stage has one answer, always (solver/README.md). A refusal fails the test.
/// With `COUNT_REFUSALS=1` it is told on standard output instead, so that many days can be drawn on
/// end: `tests/proof.sh days` counts them. An answer that does not reach the day's end fails
/// always.
void day_has_an_answer(const YardMayHold& may);

/// Passes over a day that finds no answer: that is one fault, and told once.
RunRecord run_of(const Parts& yard, const DaySheet& day, const RunOptions& options = {});

/// Lids that are open, sealed, or have a hole.
YardMayHold with_closed_lids(YardMayHold may = {});

/// The same without air hoses: full sealed tanks with air hoses between them take many small steps.
YardMayHold without_air_lines(YardMayHold may = {});

/// A day on which nobody does anything.
DaySheet quiet_day(double lasts_s);

RunOptions with_rows(double lasts_s, int rows, double depth_tolerance_m = 1e-4);

/// A quiet day seen at some moments, evenly apart, by runs that end at them: rows of a trace are
/// interpolated between steps, and what they are off by is not what is asked about here.
std::vector<RunRecord> seen_at(const Parts& yard, double lasts_s, int moments,
                               const RunOptions& options);

/// Fails with both numbers, their difference and what it may be.
void close_to(const std::string& what, double got, double want, double allowed);

/// got <= most, with a little room.
void at_most(const std::string& what, double got, double most, double room);

// Picks that a failing test prints as what they are.

double any_between(double low, double high);
double any_spread(double low, double high);

/// A row of numbers from 0 in a random order.
std::vector<std::size_t> shuffled(std::size_t size);

}  // namespace tankyard
