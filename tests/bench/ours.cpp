// SPDX-License-Identifier: MIT
#include "ours.h"

#include <cstdio>
#include <cstdlib>

namespace bench {

tankyard::RunRecord Ours::record(const tankyard::RunOptions& options) const {
  auto record = tankyard::run(array_, sheet_, options);
  if (!record) {
    for (const auto& trouble : record.error()) {
      std::fprintf(stderr, "tankyard: %s\n", trouble.message.c_str());
    }
    std::abort();
  }
  return std::move(*record);
}

tankyard::Effort Ours::run(double tolerance_m, Depths* depths) const {
  tankyard::RunOptions options;
  options.depth_tolerance_m = tolerance_m;
  if (depths) options.record_every_s = check_every_s;
  const tankyard::RunRecord it = record(options);
  if (depths) *depths = it.trace.depth_m.values();
  return it.effort;
}

}  // namespace bench
