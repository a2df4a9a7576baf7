// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace peers {

/// Numbers drawn at random from a number: the same ones on any machine.
class Dice {
 public:
  explicit Dice(std::uint64_t number) : state_(number) {}

  /// SplitMix64 (Steele, Lea and Flood, OOPSLA 2014).
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ULL);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(next() >> 11) * 0x1p-53;
  }
  /// Spread evenly in logarithms.
  double spread(double low, double high) {
    return std::exp(between(std::log(low), std::log(high)));
  }
  bool chance(double share) { return between(0.0, 1.0) < share; }
  std::size_t below(std::size_t many) { return static_cast<std::size_t>(next() % many); }

 private:
  std::uint64_t state_;
};

}  // namespace peers
