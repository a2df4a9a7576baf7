// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "io/plan_file.h"
#include "solver/studies/isolate_study.h"

namespace tankyard {

/// The steps as a page to carry outside: one file of HTML that needs nothing else and prints on one
/// A4 page, in the largest type that fits.
struct IsolateSheet {
  std::string html;
  double type_pt = 0.0;      ///< of the steps
  bool with_reasons = true;  ///< false: left out, so that the steps fit
  bool one_page = true;      ///< false: too many steps for one, as far as is reckoned
};

/// Requires: tanks that can be cut off. Names are
/// escaped, whatever they hold.
IsolateSheet isolate_sheet(const Plan& plan, const IsolateStudy& study);

}  // namespace tankyard
