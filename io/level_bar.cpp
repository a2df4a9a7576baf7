// SPDX-License-Identifier: MIT
#include "io/level_bar.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace tankyard {
namespace {

constexpr int bar_cells = 10;
constexpr int eighths = 8 * bar_cells;

}  // namespace

double part_full(double water_m3, double capacity_m3) {
  if (water_m3 < noticed_m3) return 0.0;
  if (std::fabs(capacity_m3 - water_m3) < noticed_m3) return 1.0;
  return water_m3 / capacity_m3;
}

std::string level_bar(double part) {
  static constexpr const char* pieces[] = {"", "▏", "▎", "▍", "▌", "▋", "▊", "▉"};
  int shown = static_cast<int>(std::lround(std::clamp(part, 0.0, 1.0) * eighths));
  if (part > 0.0) shown = std::max(shown, 1);
  if (part < 1.0) shown = std::min(shown, eighths - 1);
  std::string bar;
  for (int k = 0; k < shown / 8; ++k) bar += "█";
  bar += pieces[shown % 8];
  for (int k = (shown + 7) / 8; k < bar_cells; ++k) bar += "░";
  return bar;
}

std::string full_cell(double part) {
  const double percent = part * 100.0;
  if (percent > 0.0 && percent < 1.0) return "<1";
  if (percent < 100.0 && percent > 99.0) return ">99";
  return fmt::format("{:.0f}", percent);
}

}  // namespace tankyard
