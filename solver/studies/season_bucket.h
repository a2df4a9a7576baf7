// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

#include "solver/studies/season.h"

namespace tankyard {

/// A store without hoses, heights or dead water, day by day.
struct Bucket {
  double holds_m3 = 0.0;
  double water_m3 = 0.0;  ///< in it now
};

struct BucketDay {
  double used_m3 = 0.0;
  double spilt_m3 = 0.0;
};

/// One day by yield after spillage, with inflow Q, demand D, store S and V before:
///     Y = min(D, V),  V' = min(V + Q - Y, S - Y)
/// or by yield before spillage:
///     Y = min(D, V + Q),  V' = min(V + Q - Y, S)
/// (Jenkins et al., Water storage capacity optimization, US Army, 1978; Fewkes and Butler, Build.
/// Serv. Eng. Res. Technol. 21 (2000) 99). What is over runs off. The first is the careful rule.
BucketDay yield_after_spillage(Bucket& bucket, double inflow_m3, double demand_m3);
BucketDay yield_before_spillage(Bucket& bucket, double inflow_m3, double demand_m3);

/// The same season with one ideal tank in place of the array's: it holds what all of them hold up
/// to their lips, begins with their water, gets what all roofs give, and gives every use at once
/// all it has. Rain falls and uses begin at the same times of day as in `step_season`, so that what
/// is between the two is what hoses, heights, mouths and overflows cost. Without mains and leaks.
/// Tanks have no entries.
///
/// Requires: what `step_season` requires.
Season ideal_season(const Array& array, const std::vector<Use>& uses, const RainRecord& rain,
                    const SeasonOptions& options = {});

}  // namespace tankyard
