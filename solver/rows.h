// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace tankyard {

/// Rows of equally many numbers, one after the other in one piece of memory: a study keeps
/// thousands of them, and a vector each would cost more than what stands in it.
class Rows {
 public:
  std::size_t size() const { return rows_; }
  bool empty() const { return rows_ == 0; }

  /// Requires: `row` below `size()`.
  std::span<const double> operator[](std::size_t row) const {
    return {values_.data() + row * columns_, columns_};
  }
  const std::vector<double>& values() const { return values_; }  ///< row by row
  std::span<const double> front() const { return (*this)[0]; }
  std::span<const double> back() const { return (*this)[rows_ - 1]; }

  /// A new last row of noughts, to be filled before the next one is asked for. Requires: as many
  /// columns as any row before.
  std::span<double> add(std::size_t columns) {
    columns_ = columns;
    ++rows_;
    values_.resize(rows_ * columns_);
    return {values_.data() + (rows_ - 1) * columns_, columns_};
  }

 private:
  std::size_t columns_ = 0;
  std::size_t rows_ = 0;
  std::vector<double> values_;
};

}  // namespace tankyard
