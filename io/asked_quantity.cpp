// SPDX-License-Identifier: MIT
#include "io/asked_quantity.h"

#include <fmt/format.h>

namespace tankyard {

std::optional<double> quantity_or_complain(const char* option, const std::string& text,
                                           Dimension dimension, const Desk& desk) {
  const auto value = parse_quantity(text, dimension);
  if (value) return *value;
  complain(desk.err, fmt::format("`{}` {}", option, value.error().message), value.error().help);
  return std::nullopt;
}

bool take_tolerance(const Asked& asked, const Desk& desk, RunOptions& options) {
  if (!asked.tolerance) return true;
  const auto tolerance =
      quantity_or_complain("--tolerance", *asked.tolerance, Dimension::length, desk);
  if (!tolerance) return false;
  options.depth_tolerance_m = *tolerance;
  for (const Trouble& trouble : check(options)) {
    complain(desk.err, fmt::format("`--tolerance` is `{}`", *asked.tolerance), trouble.help + " m");
    return false;
  }
  return true;
}

}  // namespace tankyard
