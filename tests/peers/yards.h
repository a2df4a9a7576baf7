// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>

#include "graph/array.h"
#include "graph/day_sheet.h"

namespace peers {

/// A yard and its day, drawn at random from a number: the same number, the same yard on any
/// machine.
struct Drawn {
  tankyard::Parts parts;
  tankyard::DaySheet sheet;
};

/// What may stand in it besides open tanks of all shapes joined by hoses at any height.
struct MayHold {
  bool spills = false;  ///< overflows, to the ground and to other tanks; low rims; rain on roofs
  bool outlets =
      false;  ///< nozzles and fixed draws, straight on tanks and at the ends of hoses; leaks
  bool switches = false;  ///< non-return valves, crests, top-ups with float valves
  bool header = false;    ///< one, low enough to stay full
};
Drawn draw_yard(std::uint64_t number, const MayHold& may);

/// The yard in a few lines, to be printed where both sides disagree.
std::string in_words(const Drawn& yard);

}  // namespace peers
