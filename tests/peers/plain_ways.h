// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "graph/array.h"
#include "plain_yard.h"

namespace plain {

inline bool closed(const tankyard::Tank& tank) {
  return tank.lid.kind != tankyard::Lid::Kind::open;
}

/// A place without storage: a header, or an outlet at the end of hoses or a pump; but not the
/// nozzle at the end of one hose, which is part of that hose.
struct Node {
  tankyard::Place place;
  double height_m = 0.0;
  std::vector<std::size_t> hoses;
  std::vector<std::size_t> pumps;
  std::vector<std::size_t> draws;    ///< outlets with a fixed draw
  std::vector<std::size_t> nozzles;  ///< outlets with a bore
};

/// A hole that water leaves a tank by: a nozzle straight on it, or a leak.
struct Hole {
  std::size_t tank = 0;
  double mouth_m = 0.0;
  double jet_m = 0.0;
  Pipe pipe;
  std::optional<std::size_t> outlet;
  std::size_t leak = 0;
};

/// Air's way between two headspaces, or a headspace and outside.
struct AirWay {
  std::size_t from = 0;
  std::optional<std::size_t> to;  ///< none: outside
  double area_m2 = 0.0;
  std::optional<std::size_t> line;  ///< which air line it is
  double laminar_pa = 0.0;          ///< of a line from one closed headspace to another
};

/// Whether an outlet is the nozzle at the end of one hose and of nothing else.
bool is_hose_nozzle(const tankyard::Parts& parts, tankyard::Place place);

std::vector<Node> find_nodes(const tankyard::Parts& parts);
std::vector<Hole> find_holes(const tankyard::Parts& parts);
std::vector<AirWay> find_air_ways(const tankyard::Parts& parts);

}  // namespace plain
