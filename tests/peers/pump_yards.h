// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

#include "yards.h"

namespace peers {

/// A yard with a pump and its day, drawn at random from a number. One to four tanks joined by
/// hoses, roofs and overflows; a pump that draws straight from a tank, or from a header below the
/// tanks, or from one above them by foot valves, and delivers to a nozzle, into a tank, or into a
/// header with sprinklers, drip lines and tanks on it. Some with low-level cut-outs, time limits,
/// pressure switches and non-return valves. Lasts a quarter of an hour to two hours, in which the
/// pump is started and stopped and tanks run low.
///
/// `lids`: some tanks sealed, some with holes.
Drawn draw_pump_yard(std::uint64_t number, bool lids);

}  // namespace peers
