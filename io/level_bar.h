// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace tankyard {

/// 0.05 L: less shows as 0 in a column of litres, and is worth no word.
inline constexpr double noticed_m3 = 0.00005;

/// How full a tank is, to be seen at a glance: a bar of ten cells in eighths of a cell, beside the
/// number it stands for and never in its place.
///
///     ███████▏░░░   the same where there is no UTF-8:   #######-..

/// Part of `capacity_m3` that is water. What a table of litres shows as 0, less than 0.05 L, is
/// none, and a tank that lacks less than that is brimful. Such a table shows whole litres from 10 L
/// on: a tank that lacks up to half of one has all its litres there and is not full here. A level
/// that stands a little over the rim makes it more than 1. Requires: `capacity_m3` > 0.
double part_full(double water_m3, double capacity_m3);

/// The bar of such a part; under 0 it is empty and over 1 it is full. It is empty at 0 and full at
/// 1 alone: a drop shows, and so does a drop that is lacking. In between it is off by half an
/// eighth of a cell, 0.6 % of the tank, at most.
std::string level_bar(double part);

/// The same part in per cent: "0", "<1", "45", ">99", "100".
std::string full_cell(double part);

}  // namespace tankyard
