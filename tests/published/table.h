// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace published {

/// How sure we are of a figure from outside.
enum class Sure {
  seen,      ///< the printed figure was seen, at least in an excerpt
  memory,    ///< recalled, not seen
  computed,  ///< worked out for this check from the named source's formula or data, by other means
             ///< than ours
  practice,  ///< common practice, no source
};

/// What ours may be, and how that is said.
struct Band {
  double low = 0.0;
  double high = 0.0;
  std::string text;
};
Band percent(double published, double percents);
/// That many in the figure's own unit: half of its last printed digit, or a chart's reading error.
Band give_or_take(double published, double amount);
/// For figures that print gives as a range.
Band between(double low, double high);

/// One line of the table.
struct Row {
  std::string what;    ///< short: "viscosity at 10 degC"
  std::string source;  ///< author, title, number of the example
  Sure sure = Sure::seen;
  double published = 0.0;
  double ours = 0.0;
  std::string unit;  ///< empty: a bare number
  Band band;
};

/// Keeps the row for the table that the test program prints at its end, under the running test
/// suite's name, and fails the test if ours lies outside the band.
void row(const Row& row);

}  // namespace published
