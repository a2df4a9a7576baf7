// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "graph/array.h"
#include "solver/run.h"
#include "solver/shell.h"

namespace tankyard {

// Words about lids and the air under them, shared by the findings of a run and by the vent study.
// All of them clauses without a full stop.

std::string in_pascals(double pa);     ///< "250 Pa", "1.50 kPa", "23.2 kPa"; without a sign
std::string in_drill(double bore_m);   ///< "12 mm", "11.5 mm": drills go by half millimetres
std::string in_moments(double s);      ///< "less than a second", "4.2 s", then as `in_minutes`
std::string in_words(const Lid& lid);  ///< "sealed", "a hole of 4 mm", "3 holes of 4 mm under ..."

/// "in its sealed lid", "in its lid in place of its hole of 4 mm"
std::string in_place_of(const Lid& lid);

/// What the plan says of an insect screen, for whoever is about to drill: that it is counted, or
/// that one would take half of the hole.
std::string about_screen(const Lid& lid, double bore_m);

/// What took water out of the yard at a moment: "while `tap` drew 25 L/min and `crack` leaked 0.5
/// L/min"; failing that, the tanks joined to it, or the air that cooled.
std::string what_pulled(const Array& array, TankId tank, const ShellMoment& moment);

/// "while `tap` stood open", for a moment of which no flows were kept.
std::string what_was_open(const Array& array, const DaySheet& sheet, TankId tank, double at_s);

/// How a tank from which nothing draws but hoses is pulled all the same: "no outlet, pump or leak
/// is at `far` itself: it is pulled through `far-rail` and `rail-near`". Empty where something
/// draws from the tank itself, or nothing draws at all. The hoses are those open at the moment; of
/// all that draws, the one fewest hoses away.
std::string pulled_through(const Array& array, const DaySheet& sheet, TankId tank, double at_s);

/// What pushed water or air into a tank at a moment: "while rain came in from roof `shed`".
std::string what_pushed(const Array& array, const DaySheet& sheet, const RunRecord& record,
                        TankId tank, double at_s);

}  // namespace tankyard
