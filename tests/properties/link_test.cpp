// SPDX-License-Identifier: MIT
// What the link study promises of any yard to which one more tank is to be joined.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "properties/days.h"
#include "random_arrays.h"
#include "solver/studies/link_study.h"

namespace tankyard {
namespace link_test {

YardMayHold small() {
  YardMayHold may;
  may.most_tanks = 3;
  may.most_headers = 1;
  return may;
}

/// The yard with one more tank, which nothing joins.
Parts with_a_new_tank(Parts yard) {
  Tank tank;
  tank.name = "the new one";
  tank.shape = Prism{random_yard::between(0.3, 2.0), random_yard::between(0.5, 1.2)};
  tank.base_m = yard.tanks.front().base_m + random_yard::between(-0.3, 0.3);
  yard.tanks.push_back(tank);
  return yard;
}

LinkOptions two_hoses() {
  LinkOptions options;
  options.hoses = {{0.013, 1.0}, {0.032, 3.0}};
  options.stands = false;
  options.many.threads = 1;
  options.most_places = 3;
  return options;
}

Result<LinkStudy> study_of(const Parts& yard, const DaySheet& day, const LinkOptions& options) {
  const Result<Array> array = Array::make(yard);
  if (!array) RC_FAIL(all_of(array.error()));
  return study_link(*array, day, id_at<TankId>(yard.tanks.size() - 1), options);
}

RC_GTEST_PROP(LinkInAnyYard, EveryWayMakesASoundYardAndIsRanked, ()) {
  const Parts yard = with_a_new_tank(*random_yards(small()));
  const Result<LinkStudy> study = study_of(yard, *random_days(yard), two_hoses());
  if (!study) RC_DISCARD(all_of(study.error()));
  for (std::size_t i = 0; i < study->options.size(); ++i) {
    const LinkOption& option = study->options[i];
    RC_ASSERT(option.rank == i + 1);
    RC_ASSERT(option.beaten == (i >= study->unbeaten));
    RC_ASSERT(
        Array::make(with_way(study->parts, study->tank, option.way, study->offered)).has_value());
    const LinkFigures& did = option.figures;
    RC_ASSERT(!did.levels_in_s || *did.levels_in_s >= 0.0);
    RC_ASSERT(did.stranded_m3 >= -1e-9 && did.storm_spilt_m3 >= -1e-9);
    RC_ASSERT(did.storm_missed_m3 >= 0.0 && did.lag_filling_m >= 0.0 && did.lag_drawing_m >= 0.0);
    RC_ASSERT(did.storm_missed_m3 <= did.storm_with_room_m3 + 1e-12);
    RC_ASSERT(option.keeping.isolable <= yard.tanks.size());
    RC_ASSERT(std::isfinite(option.saved_m3) && option.price > 0.0);
  }
}

RC_GTEST_PROP(LinkInAnyYard, TheOrderOfTheStockDoesNotMatter, ()) {
  const Parts yard = with_a_new_tank(*random_yards(small()));
  const DaySheet day = *random_days(yard);
  LinkOptions options = two_hoses();
  const Result<LinkStudy> one = study_of(yard, day, options);
  std::reverse(options.hoses.begin(), options.hoses.end());
  const Result<LinkStudy> other = study_of(yard, day, options);
  RC_ASSERT(one.has_value() == other.has_value());
  if (!one) RC_DISCARD(all_of(one.error()));
  RC_ASSERT(one->options.size() == other->options.size());
  for (std::size_t i = 0; i < one->options.size(); ++i) {
    RC_ASSERT(one->options[i].price == other->options[i].price);
    RC_ASSERT(one->options[i].saved_m3 == other->options[i].saved_m3);
    RC_ASSERT(one->options[i].figures.levels_in_s == other->options[i].figures.levels_in_s);
  }
}

/// Two tanks of any shape: with a third on a hose of its own, a wider hose can level the new tank
/// sooner and leave the third behind for longer, so more than two promise nothing.
RC_GTEST_PROP(LinkInAnyYard, AWiderHoseNeverLevelsLater, ()) {
  YardMayHold may = small();
  Parts yard = *random_yards(may);
  yard.tanks.resize(1);
  yard.tanks[0].overflow.reset();
  yard.tanks[0].lid = Lid{};
  yard.headers.clear(), yard.hoses.clear(), yard.pumps.clear(), yard.outlets.clear();
  yard.roofs.clear(), yard.top_ups.clear(), yard.leaks.clear(), yard.air_lines.clear();
  yard = with_a_new_tank(yard);
  LinkOptions options = two_hoses();
  options.hoses = {{0.010, 1.0}, {0.016, 1.0}, {0.025, 1.0}, {0.040, 1.0}};
  const Result<LinkStudy> study = study_of(yard, quiet_day(60.0), options);
  if (!study) RC_DISCARD(all_of(study.error()));
  for (const LinkOption& narrow : study->options) {
    for (const LinkOption& wide : study->options) {
      if (narrow.way.hose >= wide.way.hose || narrow.way.side_by_side != wide.way.side_by_side ||
          narrow.way.valved != wide.way.valved) {
        continue;
      }
      if (!narrow.figures.levels_in_s) continue;
      RC_ASSERT(wide.figures.levels_in_s.has_value());
      RC_ASSERT(*wide.figures.levels_in_s <= 1.002 * *narrow.figures.levels_in_s + 0.5);
    }
  }
}

}  // namespace link_test
}  // namespace tankyard
