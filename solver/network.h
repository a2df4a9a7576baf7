// SPDX-License-Identifier: MIT
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "graph/array.h"
#include "solver/elimination.h"
#include "solver/link_law.h"
#include "solver/pump_law.h"
#include "solver/water.h"

namespace tankyard {

/// The array made flat for stepping: places with numbers, and the ways between them. Made once per
/// array, never changed, shared by every run of a study.
///
/// Places: tanks first, then headers, each in plan order, then the inner joints of outlets that
/// more than one hose, a pump, or a fixed draw at the end of a hose ask for.

inline constexpr int outside = -1;  ///< where water leaves the yard
inline constexpr double no_mouth = -std::numeric_limits<double>::infinity();

/// How a tank's volume follows the head at its bottom.
struct TankLaw {
  double base_m = 0.0;
  double area_m2 = 0.0;  ///< same at every depth; 0: ask `shape`
  Shape shape;
  double floor_area_m2 = 0.0;  ///< below the inside bottom, where a solve may look but never stay
  double scale_area_m2 = 0.0;  ///< mean floor area: turns a volume error into depth
  double rim_m = 0.0;          ///< above the datum
  double rim_length_m = 0.0;
  std::optional<Overflow> overflow;
  double overflow_m = 0.0;  ///< lowest point of its mouth above the datum
  double lip_m = 0.0;       ///< where it starts to lose water: overflow or rim

  struct Volume {
    double m3 = 0.0;
    double surface_m2 = 0.0;
  };
  Volume volume_at(double head_m) const {
    return area_m2 > 0.0 ? Volume{area_m2 * (head_m - base_m), area_m2} : volume_by_shape(head_m);
  }
  Volume volume_by_shape(double head_m) const;
  double head_of(double volume_m3) const {
    return area_m2 > 0.0 ? base_m + volume_m3 / area_m2 : head_by_shape(volume_m3);
  }
  double head_by_shape(double volume_m3) const;
};

/// What a pump is to water, running and standing.
struct PumpWay {
  PumpLaw running;
  LossLaw standing;
  double inlet_m = 0.0;  ///< its own height above the datum
};

/// One way for water that costs head, or gives it: a hose, a nozzle, a leak, a pump.
struct Link {
  enum class Kind { hose, outlet, leak, pump };
  Kind kind = Kind::hose;
  std::size_t part = 0;               ///< which hose, outlet, leak or pump
  std::optional<std::size_t> nozzle;  ///< a hose that ends in this outlet's nozzle
  int from = 0;
  int to = outside;
  double from_mouth_m = no_mouth;  ///< lowest point of the mouth above the datum, at a tank
  double to_mouth_m = no_mouth;    ///< the same; for the outside, the height water leaves at
  std::optional<std::size_t> from_header;
  std::optional<std::size_t> to_header;
  double bore_m = 0.0;
  double crest_m = no_mouth;
  bool one_way = false;
  double cracking_head_m = 0.0;
  LossLaw loss;
};

/// A fixed draw on a place.
struct Draw {
  std::size_t outlet = 0;
  int place = 0;
  double mouth_m = 0.0;
  double asked_m3_per_s = 0.0;
};

struct Network {
  explicit Network(const Array& array);

  Array array;
  Water water;
  std::vector<TankLaw> tanks;
  std::vector<double> header_height_m;
  std::vector<double> joint_height_m;
  std::vector<Link> links;
  std::vector<Draw> draws;
  std::vector<PumpWay> pumps;
  Elimination elimination;  ///< the pattern; each run works on a copy
  double highest_head_m = 0.0;
  double lowest_head_m = 0.0;
  double all_pumps_lift_m = 0.0;  ///< all shut-off heads added up: pumps may stand in a row
  double smallest_area_m2 = 0.0;

  int places() const {
    return static_cast<int>(tanks.size() + header_height_m.size() + joint_height_m.size());
  }
};

}  // namespace tankyard
