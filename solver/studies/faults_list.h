// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"

namespace tankyard {

/// One thing that fails in a yard, or is left as it should not be.
struct Fault {
  enum class Kind {
    lid_blocked,            ///< one of the holes in a lid: a wasp nest, ice, a bag
    air_line_blocked,       ///< kinked, or water in its sag
    hose_throttled,         ///< a kink, slime or a leaf leaves a tenth of its bore's area
    valve_left_open,        ///< never shut, though the day sheet shuts it
    valve_left_shut,        ///< never opened
    pump_left_on,           ///< runs from the start, and nobody stops it
    pump_left_off,          ///< is never started
    cut_out_stuck,          ///< the low-level cut-out does not stop its pump
    float_stuck_open,       ///< a top-up runs from the start, however high the water
    overflow_blocked,       ///< leaves, a frog
    non_return_stuck_open,  ///< lets water back
    gutter_blocked,         ///< what falls on the roof runs over the gutter
    hose_off_at_from,       ///< slips off its `from` end, or splits there
    hose_off_at_to,
  };
  Kind kind = Kind::hose_off_at_from;
  std::size_t part = 0;  ///< its place in the list of tanks, hoses, ... that the kind speaks of

  /// How much of it, 0 to 1. A blocked hole, overflow or gutter loses this share of its area (a
  /// roof: of its rain); a throttled hose nine tenths of it; a hose that does not come off entirely
  /// splits at that end and gapes by this share of its bore's area. What a person does or a flap
  /// does has no more or less: there anything over 0 counts as 1. 0 changes nothing.
  double share = 1.0;

  friend bool operator==(const Fault& a, const Fault& b) {
    return a.kind == b.kind && a.part == b.part && a.share == b.share;
  }
};

/// Whether it is a hose that comes off: sudden, and taken to happen at night (faults_day.h). Every
/// other fault stands from the start.
bool is_burst(const Fault& fault);

/// What can fail, each in full: by kind in the order above, within a kind in plan order, `from`
/// before `to`. What the yard has not is left out, and so is what would change nothing: a valve
/// left shut that is never opened.
std::vector<Fault> single_faults(const Array& array, const DaySheet& sheet);

/// False for two that cannot both be so, or are one: a valve both open and shut, a hose off at both
/// ends.
bool can_go_together(const Fault& a, const Fault& b);

/// "`bed-hose` off at `rail`", "hole in the lid of `cage-2` blocked": a phrase.
std::string in_words(const Parts& parts, const Fault& fault);

/// "hose_off_at_from", for programs and tables.
const char* word_for(Fault::Kind kind);

/// Name of the part that fails: of a hose rather than of its valve.
const std::string& part_name(const Parts& parts, const Fault& fault);

}  // namespace tankyard
