// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

namespace tankyard {

/// Heads and flows at one instant.
struct Instant {
  std::vector<double> head_m;             ///< per place, above the datum
  std::vector<double> way_m3_per_s;       ///< per open way, `from` to `to`
  std::vector<double> draw_m3_per_s;      ///< per fixed draw
  std::vector<double> overflow_m3_per_s;  ///< per tank, out through its overflow
  std::vector<double> over_rim_m3_per_s;  ///< per tank, over its rim or out of its lid's holes
  std::vector<double>
      turned_away_m3_per_s;          ///< per tank, inflow that a pressed headspace holds back
  bool spills = false;               ///< whether any of the last three is not nought
  std::vector<double> level_m;       ///< per tank, of the water's surface above the datum
  std::vector<double> gas_m;         ///< per tank, gauge pressure of the headspace as head
  std::vector<double> air_kg_per_s;  ///< per tank, air into the headspace
  /// Per tank, the water that `gas_m` was found over, and what more of it would do to `gas_m` and
  /// `air_kg_per_s`.
  std::vector<double> volume_m3;
  std::vector<double> gas_per_m3_m;
  std::vector<double> air_per_m3_kg_per_s;

  /// Where the water of a place stands: the level of a tank, the head of anything else. The last
  /// five lists are empty while every lid is open, and a tank's level is then its head.
  double level(std::size_t place) const {
    return place < level_m.size() ? level_m[place] : head_m[place];
  }

  /// Takes over what a search for an instant sets out from; the rest it finds anew. Requires: both
  /// of one array and setting.
  void guess_as(const Instant& other) {
    head_m = other.head_m;
    way_m3_per_s = other.way_m3_per_s;
    gas_m = other.gas_m;
  }
  void swap(Instant& other) noexcept;
};

}  // namespace tankyard
