// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "graph/hose.h"
#include "graph/site.h"

namespace tankyard {

/// Where water leaves the yard for use: a tap, a nozzle, a float valve in a trough.
struct Outlet {
  std::string name;
  std::optional<HoseEnd> at;       ///< straight on a tank or header; none: at the end of the hose
                                   ///< or pump that names it
  std::optional<double> height_m;  ///< of its mouth above the yard's datum; none: where it is fixed
  std::optional<double> bore_m;    ///< a nozzle or tap of this bore, or ...
  std::optional<double> draw_m3_per_s;  ///< ... a fixed draw, met only as far as water reaches it
  double coefficient = 0.97;            ///< of the nozzle, over 0, up to 1
  bool open = false;                    ///< at the start
  std::optional<Position> position;
};

}  // namespace tankyard
