// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "graph/site.h"

namespace tankyard {

/// A manifold: a pipe that several hoses share. It has a head and no storage of its own.
struct Header {
  std::string name;
  double height_m = 0.0;  ///< above the yard's datum
  std::optional<Position> position;
};

}  // namespace tankyard
