// SPDX-License-Identifier: MIT
#include "solver/drive.h"

#include <algorithm>

#include "solver/mouth.h"

namespace tankyard {
namespace {

/// What one end of a way stands at.
struct End {
  double head_m = 0.0;  ///< the greater of head and mouth, the mouth bearing the headspace's gas
  double slope = 0.0;   ///< with the head of the place, 0 to 1
};

/// `dips_m`: as in `Way`; where there is one, `mouth_m` is a crest, over which a headspace presses
/// water, not gas.
End end_at(int place, double mouth_m, double dips_m, const std::vector<double>& head_m,
           const std::vector<Headspaces::Point>& points) {
  const auto at = static_cast<std::size_t>(place);
  const double head = head_m[at];
  if (at >= points.size() || dips_m != no_mouth) {
    return head > mouth_m ? End{head, 1.0} : End{mouth_m, 0.0};
  }
  const Headspaces::Point& point = points[at];
  if (point.level_m > mouth_m) return {head, 1.0};
  return {mouth_m + point.gas_m, 1.0 - point.level_slope};
}

/// How far the mouth of a donor is covered, with its slope against the head of the place.
Covered cover_at(int place, double mouth_m, double dips_m, double bore_m,
                 const std::vector<double>& head_m, const std::vector<Headspaces::Point>& points) {
  const auto at = static_cast<std::size_t>(place);
  if (at >= points.size()) return covered(head_m[at], mouth_m, bore_m);
  const Headspaces::Point& point = points[at];
  if (dips_m == no_mouth) {
    Covered mouth = covered(point.level_m, mouth_m, bore_m);
    mouth.slope_per_m *= point.level_slope;
    return mouth;
  }
  // The head must stand over the crest, and the mouth below it in the water.
  const Covered crest = covered(head_m[at], mouth_m, bore_m);
  const Covered mouth = covered(point.level_m, dips_m, bore_m);
  return {crest.share * mouth.share,
          crest.slope_per_m * mouth.share + crest.share * mouth.slope_per_m * point.level_slope};
}

}  // namespace

Drive drive_of(const Way& way, const std::vector<double>& head_m,
               const std::vector<Headspaces::Point>& points, double flow_m3_per_s) {
  const double from_dips_m = way.over_crest ? way.from_dips_m : no_mouth;
  const double to_dips_m = way.over_crest ? way.to_dips_m : no_mouth;
  const End from = end_at(way.from, way.from_mouth_m, from_dips_m, head_m, points);
  const End to = way.to == outside ? End{way.to_mouth_m, 0.0}
                                   : end_at(way.to, way.to_mouth_m, to_dips_m, head_m, points);
  const double difference = from.head_m - to.head_m - way.cracking_head_m;
  if (difference > 0.0 || (way.one_way && flow_m3_per_s > 0.0)) {
    if (!way.from_covers) return {difference, from.slope, to.slope, false};
    const Covered mouth =
        cover_at(way.from, way.from_mouth_m, from_dips_m, way.bore_m, head_m, points);
    if (mouth.share == 0.0 && flow_m3_per_s < 0.0) {
      return {difference, from.slope, to.slope, false, true};
    }
    const double s2 = mouth.share * mouth.share;
    return {s2 * difference,
            s2 * from.slope + 2.0 * mouth.share * mouth.slope_per_m * std::max(0.0, difference),
            s2 * to.slope, mouth.share < 1.0};
  }
  if (difference < 0.0 && !way.one_way) {
    if (!way.to_covers) return {difference, from.slope, to.slope, false};
    const Covered mouth = cover_at(way.to, way.to_mouth_m, to_dips_m, way.bore_m, head_m, points);
    if (mouth.share == 0.0 && flow_m3_per_s > 0.0) {
      return {difference, from.slope, to.slope, false, true};
    }
    const double s2 = mouth.share * mouth.share;
    return {s2 * difference, s2 * from.slope,
            s2 * to.slope - 2.0 * mouth.share * mouth.slope_per_m * difference, mouth.share < 1.0};
  }
  // At the edge a way that may open counts as open.
  if (difference < 0.0) return {0.0, 0.0, 0.0, true};
  return {0.0, from.slope, to.slope, true};
}

PumpEnds pump_ends(const Way& way, const std::vector<double>& head_m,
                   const std::vector<Headspaces::Point>& points) {
  const End from = end_at(way.from, way.from_mouth_m, no_mouth, head_m, points);
  const End to = end_at(way.to, way.to_mouth_m, no_mouth, head_m, points);
  PumpEnds ends{from.head_m, from.slope, to.head_m, to.slope, {1.0, 0.0}};
  if (way.from_covers) {
    ends.mouth = cover_at(way.from, way.from_mouth_m, no_mouth, way.bore_m, head_m, points);
  }
  return ends;
}

}  // namespace tankyard
