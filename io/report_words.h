// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

#include "io/plan_file.h"
#include "solver/findings.h"
#include "solver/run.h"
#include "solver/shell.h"

namespace tankyard {

/// The small words that the readable report and the JSON share.

const char* word_for(Severity severity);  ///< "danger", "warning", "note"
const char* word_for(BearsFrom from);     ///< "maker", "estimate", "assumed"
const char* word_for(Event::Kind kind);   ///< "port_uncovers", as in the code: for programs

/// "the water in `shed-1` falls to the mouth of `shed-1-rail`"
std::string in_words(const Plan& plan, const Event& event);

/// What a run or a check takes for granted: what the reader filled in, and what this version does
/// not model although the plan has it. One sentence each, without full stop.
std::vector<std::string> assumed_in(const Plan& plan);

/// What a roof brings of the first 10 mm of rain after a dry spell, m3, gutter limit aside.
double yield_of_10_mm_m3(const Roof& roof);

/// "`a`, `b` and `c`"; more than `most`: "`a`, `b` and 7 more".
std::string list_of(const std::vector<std::string>& names, std::size_t most = 6);

/// "1 tank", "3 tanks"; for words that take an s.
std::string counted(std::size_t count, const std::string& word);

/// Numbers for columns whose heading has the unit; a zero is "0".
std::string litres_cell(double m3);      ///< "0.4", "12", "1045"; under 0.05 L: "0"
std::string metres_cell(double m);       ///< "0.62"
std::string flow_cell(double m3_per_s);  ///< L/min: "0.42", "18.3"
std::string pascals_cell(double pa);     ///< "-250", "0" for less than half a pascal

/// A number of any unit, to three digits or whole, and with its unit, which may be empty.
std::string number_text(double value);
std::string amount(double value, const std::string& unit);

/// With its first letter, if it is a plain one, as a capital.
std::string capital(std::string text);

/// Clock time of a moment of the run, to the minute.
std::string clock_of(const Plan& plan, double at_s);

/// The same for a table: "start", "end" or the clock time.
std::string moment_of(const Plan& plan, const RunRecord& record, double at_s);

}  // namespace tankyard
