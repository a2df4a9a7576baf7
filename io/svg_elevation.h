// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "io/elevation_picture.h"

namespace tankyard {

struct SvgOptions {
  /// Put before every id, so that several pictures can stand in one page: letters, digits, "-".
  std::string id_prefix;
  bool with_styles = true;  ///< of several pictures in one page one is enough: they hold for all
};

/// A side view as an SVG 1.1 file that needs nothing else: its styles are inside, light and dark by
/// `prefers-color-scheme`. Text stays text, names are in `data-name`.
///
/// For scripts. The root is `svg.elevation`. Every part is `<g id="KIND-N" class="KIND"
/// data-name="NAME">`, N its place in the plan's list of its kind: tank-0, hose-3, outlet-1,
/// pump-0, header-0, roof-0, ...
///   water    in tank-N, `<g class="body" data-floor-y data-surface-y data-px-per-m>`; to show
///            a depth d in metres, move it down by floor_y - d * px_per_m - surface_y
///   level    `<g id="level-N" class="level">`, the mark on the surface: by the same; class `empty`
///            hides it
///   hose     `<path class="run">`, one or, where it goes on in another row, two, drawn from
///            `from` to `to`; the class `shut` fills its valve. `outlet` takes `open`, `pump` takes
///            `running`, `tank` has `vacuum` or `pressure`
///   texts    `<text data-of="tank-0" data-role="holds">`; roles: name, holds, depth, lid, air,
///            state, label; in a hose's label `<tspan data-role="valve">` and, if the state has
///            flows, `<tspan data-role="flow">`. Room is kept for whatever may stand there at other
///            moments. Where there are rows, each begins with a text of the role row
std::string svg_of(const elevation::Picture& picture, const SvgOptions& options = {});

}  // namespace tankyard
