// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

namespace plain {

/// A system of differential and algebraic equations F(t, y, y') = 0 of index one, with numbers that
/// are only counted (their rates depend on t and y, and nothing depends on them) and with moments
/// at which to stop.
struct DaeSystem {
  std::vector<bool> differential;  ///< per unknown: whether its y' stands in F
  std::vector<double> absolute;    ///< per unknown: what of it does not matter
  std::size_t counted = 0;
  double absolute_counted = 0.0;
  std::size_t watched = 0;

  using Row = const double*;
  std::function<void(double t, Row y, Row slope, double* amiss)> amiss;  ///< F
  std::function<void(double t, Row y, double* rate)> rates;              ///< of what is counted
  std::function<void(double t, Row y, double* value)> watch;  ///< stops where one passes nought
};

/// Steps such a system forward by the variable-order backward differentiation of IDAS (Hindmarsh et
/// al., ACM Trans. Math. Softw. 31 (2005) 363), Jacobians from differences.
class DaeWalk {
 public:
  DaeWalk(DaeSystem system, double relative);
  ~DaeWalk();
  DaeWalk(const DaeWalk&) = delete;
  DaeWalk& operator=(const DaeWalk&) = delete;

  /// Sets out from values that meet F. What has been counted stays.
  void start(double t, const std::vector<double>& y, const std::vector<double>& slope,
             std::optional<double> first_step_s = std::nullopt);

  enum class Got { step, stop, watched, stuck };
  /// One step, no further than `stop_s`.
  Got step(double stop_s);

  double now() const;
  const std::vector<double>& y() const;
  const std::vector<double>& counted() const;
  /// Unknowns at a moment within the last step.
  std::vector<double> y_at(double t) const;
  double last_step_s() const;
  /// End of the last step; later than `now` where a watched value passed nought within it.
  double stepped_to_s() const;
  /// Which watched values passed nought: -1 downwards, 1 upwards, 0 not.
  std::vector<int> passed() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace plain
