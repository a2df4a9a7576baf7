// SPDX-License-Identifier: MIT
#include "solver/find.h"

#include <iterator>
#include <utility>

#include "solver/find_each.h"

namespace tankyard {
namespace {

void take(std::vector<Finding>& all, std::vector<Finding> more) {
  all.insert(all.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

}  // namespace

std::vector<Finding> find_at_rest(const Array& array) {
  std::vector<Finding> all = find_uneven_rims(array);
  take(all, find_no_overflow(array));
  take(all, find_dead_water(array));
  take(all, find_crest_out_of_reach(array));
  take(all, find_back_flow(array));
  sort_worst_first(all);
  return all;
}

}  // namespace tankyard
