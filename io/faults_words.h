// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "io/plan_file.h"
#include "solver/studies/faults_study.h"

namespace tankyard {

/// The small words about failures that the readable report and the JSON share.

/// "`a` off at `b`", of two "`a` off at `b`, and `V1` left shut".
std::string in_words(const Parts& parts, const FaultOutcome& outcome);

/// "22:00 water runs from `bed-hose`"; "nothing to see".
std::string sign_in_words(const Plan& plan, const FaultStudy& study, const FirstSign& sign);

const char* word_for(FirstSign::Kind kind);  ///< "water_runs", as in the code: for programs

/// Clock time of a moment of the day that was rehearsed, to the minute.
std::string clock_of(const Plan& plan, const FaultStudy& study, double at_s);

}  // namespace tankyard
