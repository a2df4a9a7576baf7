// SPDX-License-Identifier: MIT
#pragma once

#include <rapidcheck.h>

#include <cstddef>
#include <optional>
#include <ostream>
#include <string>
#include <vector>

#include "graph/array.h"

// Random yards that pass every check and could be built, but that nobody would want to calculate:
// hoses of 2 to 200 mm on tanks of 5 L to 50 000 L, mouths at the same height as each other or
// flush with the rim, tanks brimful or empty, doubled hoses, headers with nothing behind them,
// everything shut.
//
//   RC_GTEST_PROP(Run, LosesNoLitre, ()) {
//     const Parts yard = *random_yards();
//     const DaySheet day = *random_days(yard);
//     ...

namespace tankyard {

/// What a random yard may hold besides tanks, headers and hoses.
struct YardMayHold {
  bool outlets = true;
  bool supplies = true;  ///< roofs, top-ups
  bool leaks = true;
  bool overflows = true;
  bool crests = true;
  bool one_way = true;
  bool tables = true;  ///< tanks by a depth table
  bool pumps = false;
  bool closed_lids = false;  ///< sealed, or with a hole; air lines then too, ...
  bool air_lines = true;     ///< ... unless these are left out
  bool off_hoses = true;     ///< valves shut, hoses taken off, now and then all of them
  int most_tanks = 8;
  int most_headers = 3;
};

namespace random_yard {

// All picks go through these, inside rc::gen::exec: whole numbers, so that a failing yard shrinks.
// Only counts grow with the test's size; every other pick is as wild in the first yard as in the
// last.

int count(int low, int high);
int whole(int low, int high);
bool chance(int percent);
double between(double low, double high);

/// Evenly spread over the powers of ten.
double spread(double low, double high);

template <class T>
T one_of(const std::vector<T>& list) {
  return list[static_cast<std::size_t>(whole(0, static_cast<int>(list.size()) - 1))];
}

std::string numbered(const char* kind, std::size_t index);

struct Levels {
  std::vector<double> shared;  ///< above the datum; many things stand at the same height

  double any() const;
};

Shape shape(const YardMayHold& may);
Lid lid();
Tank tank(std::size_t index, std::size_t count, const Levels& levels, const YardMayHold& may);

/// A tank or header.
Place any_place(const Parts& parts);

/// Narrows a bore until it fits the wall of the tank at that place.
double fitting_bore_m(const Parts& parts, Place place, double bore_m);

/// A mouth of this bore somewhere in the wall: at the bottom, flush with the rim, or between.
HoseEnd end_at(const Parts& parts, Place place, double bore_m);

Hose hose(const Parts& parts, Place from, Place to, std::optional<double> to_mouth_m,
          const YardMayHold& may);
Pump pump(const Parts& parts, Place from, Place to);

}  // namespace random_yard

/// Yards that `check_array` has nothing against.
rc::Gen<Parts> random_yards(const YardMayHold& may = {});

/// Days that `check_day_sheet` has nothing against.
rc::Gen<DaySheet> random_days(const Parts& parts);

}  // namespace tankyard

// Drawing one is compiled once, in random_arrays.cpp.
extern template class rc::Gen<tankyard::Parts>;
extern template class rc::Gen<tankyard::DaySheet>;

namespace tankyard {

// What a failing test prints: enough to build the yard again.

void showValue(const Shape& shape, std::ostream& out);
void showValue(const Parts& parts, std::ostream& out);
void showValue(const DaySheet& sheet, std::ostream& out);

}  // namespace tankyard
