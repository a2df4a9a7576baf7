// SPDX-License-Identifier: MIT
#pragma once

#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <vector>

#include "graph/array.h"
#include "solver/find.h"
#include "solver/findings.h"
#include "solver/run.h"

namespace tankyard {

/// Builds the two- and three-tank yards of the tests on findings. Everything is plain to reckon
/// with: tanks are boxes, hoses have no length, so that only their K counts.
struct SmallYard {
  Parts parts;
  DaySheet sheet;

  SmallYard();

  /// A box of this floor area, its bottom at `base_m`.
  TankId box(const std::string& name, double area_m2, double height_m, double base_m,
             double water_m3);

  Tank& at(TankId id);

  void overflow(TankId id, double height_m, double bore_m = 0.050,
                std::optional<TankId> to = std::nullopt);
  HeaderId header(const std::string& name, double height_m);

  /// `total_k`: entry 0.5 and exit 1.0 included, so at least 1.5.
  Hose& hose(const std::string& name, Place from, Place to, double bore_m, double total_k = 1.5);

  /// A fixed draw straight on a tank.
  OutletId draw(const std::string& name, TankId tank, double height_m, double litres_a_second);

  /// A tap at the end of a hose that names it.
  OutletId tap(const std::string& name, double height_m, double bore_m);

  void roof(const std::string& name, TankId into, double area_m2);
  void rain(double from_s, double until_s, double mm_an_hour);

  std::optional<Array> array() const;
  std::vector<Finding> found_at_rest() const;
  std::optional<RunRecord> record() const;
  std::vector<Finding> found_in_run(const TryWatch& watch = {}) const;
};

std::vector<Finding> of_kind(const std::vector<Finding>& findings, FindingKind kind);

/// The one finding of a kind; fails the test, and gives an empty one, if there are none or several.
Finding the_one(const std::vector<Finding>& findings, FindingKind kind);

}  // namespace tankyard
