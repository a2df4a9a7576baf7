// SPDX-License-Identifier: MIT
#pragma once

#include "graph/array.h"

namespace tankyard {

/// A yard with every kind of part and every field filled in, against which nothing can be said.
///
///     shed roof
///        |
///      [box]--overflow-->[butt]----can-tap       [pond]
///        |                 |                       ^
///      box-rail (V1)   butt-rail (V2, crest)       | drum-pond, one way
///        |                 |                       |
///     ===+======rail=======+===---booster-->spray [drum]
///               |
///           rail-nozzle --> nozzle
///
/// An air line, box-drum-air, joins the headspaces of box and drum.
Parts sound_yard();

}  // namespace tankyard
