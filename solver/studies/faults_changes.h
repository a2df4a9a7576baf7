// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "solver/studies/faults_yard.h"

namespace tankyard {

/// Something its owner could do so that failures cost less: a habit, or a part to fit.
struct Change {
  enum class Kind {
    all_valves_at_night,  ///< every valve that stands open is shut when the night begins
    valve_at_night,       ///< one of them
    second_hole,          ///< like the one in a lid, so that one may be blocked
    hole,                 ///< in a sealed lid
    valve_at_from,        ///< a new one right at the `from` end of a hose without, shut at night
    valve_at_to,
    non_return,  ///< a new one in a hose, passing `from` to `to`
  };
  Kind kind = Kind::all_valves_at_night;
  std::size_t part = 0;  ///< hose or tank; nothing for all valves
  double bore_m = 0.0;   ///< of a hole

  bool is_habit() const {
    return kind == Kind::all_valves_at_night || kind == Kind::valve_at_night;
  }
};

/// What may be tried in a yard, habits first, then what costs little. Valves only in hoses that
/// stand open at night and end at a tank or header there; a non-return valve only in hoses that
/// leave a tank; holes only for `tanks_in_danger`.
std::vector<Change> changes_to_try(const FaultYard& yard,
                                   const std::vector<TankId>& tanks_in_danger);

/// The yard with it. Whatever is shut at night is opened again in the morning.
FaultYard with_change(const FaultYard& yard, const Change& change);

/// "a valve in `bed-hose` at `rail`, shut at night": what to do, as a phrase.
std::string in_words(const Parts& parts, const Change& change);

/// "valve_at_from", for programs.
const char* word_for(Change::Kind kind);

}  // namespace tankyard
