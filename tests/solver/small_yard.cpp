// SPDX-License-Identifier: MIT
#include "solver/small_yard.h"

#include <gtest/gtest.h>

namespace tankyard {

SmallYard::SmallYard() { sheet.lasts_s = 3600.0; }

TankId SmallYard::box(const std::string& name, double area_m2, double height_m, double base_m,
                      double water_m3) {
  Tank tank;
  tank.name = name;
  tank.shape = Prism{area_m2, height_m};
  tank.base_m = base_m;
  tank.water_m3 = water_m3;
  parts.tanks.push_back(tank);
  return id_at<TankId>(parts.tanks.size() - 1);
}

Tank& SmallYard::at(TankId id) { return part(parts.tanks, id); }

void SmallYard::overflow(TankId id, double height_m, double bore_m, std::optional<TankId> to) {
  Overflow overflow;
  overflow.height_m = height_m;
  overflow.bore_m = bore_m;
  overflow.to = to;
  at(id).overflow = overflow;
}

HeaderId SmallYard::header(const std::string& name, double height_m) {
  parts.headers.push_back({name, height_m, std::nullopt});
  return id_at<HeaderId>(parts.headers.size() - 1);
}

Hose& SmallYard::hose(const std::string& name, Place from, Place to, double bore_m,
                      double total_k) {
  Hose hose;
  hose.name = name;
  hose.from.place = from;
  hose.to.place = to;
  hose.bore_m = bore_m;
  hose.length_m = 0.0;
  hose.loss_k = total_k - 1.5;
  parts.hoses.push_back(hose);
  return parts.hoses.back();
}

OutletId SmallYard::draw(const std::string& name, TankId tank, double height_m,
                         double litres_a_second) {
  Outlet outlet;
  outlet.name = name;
  outlet.at = HoseEnd{tank, height_m};
  outlet.draw_m3_per_s = litres_a_second * 1e-3;
  outlet.open = true;
  parts.outlets.push_back(outlet);
  return id_at<OutletId>(parts.outlets.size() - 1);
}

OutletId SmallYard::tap(const std::string& name, double height_m, double bore_m) {
  Outlet outlet;
  outlet.name = name;
  outlet.height_m = height_m;
  outlet.bore_m = bore_m;
  outlet.open = true;
  parts.outlets.push_back(outlet);
  return id_at<OutletId>(parts.outlets.size() - 1);
}

void SmallYard::roof(const std::string& name, TankId into, double area_m2) {
  Roof roof;
  roof.name = name;
  roof.area_m2 = area_m2;
  roof.runoff_fraction = 1.0;
  roof.into = into;
  parts.roofs.push_back(roof);
}

void SmallYard::rain(double from_s, double until_s, double mm_an_hour) {
  sheet.steps.push_back({from_s, {}, mm_an_hour * 1e-3 / 3600.0});
  sheet.steps.push_back({until_s, {}, 0.0});
}

std::optional<Array> SmallYard::array() const {
  const Result<Array> made = Array::make(parts);
  if (made) return *made;
  for (const Trouble& trouble : made.error()) ADD_FAILURE() << trouble.message;
  return std::nullopt;
}

std::vector<Finding> SmallYard::found_at_rest() const {
  const std::optional<Array> made = array();
  return made ? find_at_rest(*made) : std::vector<Finding>{};
}

std::optional<RunRecord> SmallYard::record() const {
  const std::optional<Array> made = array();
  if (!made) return std::nullopt;
  const Result<RunRecord> done = run(*made, sheet);
  if (done) return *done;
  for (const Trouble& trouble : done.error()) ADD_FAILURE() << trouble.message;
  return std::nullopt;
}

std::vector<Finding> SmallYard::found_in_run(const TryWatch& watch) const {
  const std::optional<RunRecord> done = record();
  return done ? find_in_run(*array(), sheet, {}, *done, watch) : std::vector<Finding>{};
}

std::vector<Finding> of_kind(const std::vector<Finding>& findings, FindingKind kind) {
  std::vector<Finding> some;
  for (const Finding& finding : findings) {
    if (finding.kind == kind) some.push_back(finding);
  }
  return some;
}

Finding the_one(const std::vector<Finding>& findings, FindingKind kind) {
  const std::vector<Finding> some = of_kind(findings, kind);
  EXPECT_EQ(some.size(), 1U) << about(kind).name;
  return some.size() == 1 ? some.front() : Finding{};
}

}  // namespace tankyard
