// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "io/elevation_picture.h"

namespace tankyard {

/// A side view as an SVG 1.1 file that needs nothing else: its styles are inside, light and dark by
/// `prefers-color-scheme`. Text stays text, names are in `data-name`.
///
/// For scripts: every part is `<g id="tank-0" class="tank" data-name="...">`. A tank's water is
/// `<rect class="water">` with data-floor-y and data-px-per-m: for a depth d, set y to floor_y -
/// d * px_per_m; its surface and level mark, `<g class="level">`, move by the same transform. A
/// hose has `<path class="run">`, drawn from its `from` to its `to`, and takes the class `shut`.
/// Texts are `<text data-of="tank-0" data-role="holds">`.
std::string svg_of(const elevation::Picture& picture);

}  // namespace tankyard
