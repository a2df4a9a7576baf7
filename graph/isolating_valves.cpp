// SPDX-License-Identifier: MIT
#include "graph/isolating_valves.h"

#include <algorithm>
#include <numeric>
#include <string>
#include <tuple>
#include <utility>

#include "graph/breach.h"
#include "graph/points.h"
#include "graph/reach.h"
#include "graph/smallest_cuts.h"

namespace tankyard {
namespace {

// One flag a point, hose or pump.
using Flags = std::vector<bool>;

// An array, and the tanks that are to come out of it.
struct Yard {
  const Array& array;
  const IsolatingOptions& options;
  Points points;
  std::vector<PointLine> lines;              // hoses first, see lines_of
  std::vector<std::vector<std::size_t>> at;  // lines at each point
  std::vector<std::size_t> ranks;            // of each point, by name
  OpenHoses open;                            // when work begins
  OpenHoses joined;                          // what counts as joined
  Flags taken;                               // points: the tanks that come out
  Flags staying;                             // points: the other tanks
  Flags pump_ends;                           // points, of pumps that are not straight on a tank
                                             // that comes out

  Yard(const Array& of, const OpenHoses& open_hoses, const std::vector<TankId>& tanks,
       const IsolatingOptions& asked)
      : array(of),
        options(asked),
        points(of.parts()),
        lines(lines_of(of.parts(), points)),
        at(points.count()),
        ranks(points.count()),
        open(open_hoses),
        joined(asked.shut_hoses_count ? OpenHoses(of.hoses().size(), true) : open_hoses),
        taken(points.count(), false),
        staying(points.count(), false),
        pump_ends(points.count(), false) {
    for (std::size_t i = 0; i < lines.size(); ++i) {
      at[lines[i].from].push_back(i);
      at[lines[i].to].push_back(i);
    }
    for (std::size_t tank = 0; tank < of.tanks().size(); ++tank) staying[tank] = true;
    for (const TankId tank : tanks) {
      taken[tank.index] = true;
      staying[tank.index] = false;
    }
    for (const Pump& pump : of.pumps()) {
      if (touches(pump, taken)) continue;
      pump_ends[points.of(pump.from)] = true;
      pump_ends[points.of(pump.to)] = true;
    }
    std::vector<std::size_t> by_name(points.count());
    std::iota(by_name.begin(), by_name.end(), std::size_t{0});
    std::sort(by_name.begin(), by_name.end(), [&](std::size_t a, std::size_t b) {
      return name_of(of.parts(), points.place(a)) < name_of(of.parts(), points.place(b));
    });
    for (std::size_t rank = 0; rank < by_name.size(); ++rank) ranks[by_name[rank]] = rank;
  }

  bool touches(const Pump& pump, const Flags& reached) const {
    return reached[points.of(pump.from)] || reached[points.of(pump.to)];
  }

  // Other water, which the tanks must not stay joined to.
  Flags other_water() const {
    Flags other = staying;
    for (std::size_t point = 0; options.pumps_count && point < other.size(); ++point) {
      if (pump_ends[point]) other[point] = true;
    }
    return other;
  }
};

// Every point that water standing at `reached` gets to: along hoses that pass and straight lines
// both ways, through pumps that run from suction to delivery only.
Flags spread(const Yard& yard, Flags reached, const OpenHoses& passes, const Flags& runs) {
  const auto& pumps = yard.array.pumps();
  std::vector<std::vector<std::size_t>> pumped_from(yard.points.count());
  for (std::size_t i = 0; i < pumps.size(); ++i) {
    if (runs[i]) pumped_from[yard.points.of(pumps[i].from)].push_back(yard.points.of(pumps[i].to));
  }
  std::vector<std::size_t> to_follow;
  const auto reach = [&](std::size_t point) {
    if (reached[point]) return;
    reached[point] = true;
    to_follow.push_back(point);
  };
  for (std::size_t point = 0; point < reached.size(); ++point) {
    if (reached[point]) to_follow.push_back(point);
  }
  while (!to_follow.empty()) {
    const std::size_t here = to_follow.back();
    to_follow.pop_back();
    for (const std::size_t line : yard.at[here]) {
      if (line < passes.size() && !passes[line]) continue;
      reach(yard.lines[line].from == here ? yard.lines[line].to : yard.lines[line].from);
    }
    for (const std::size_t there : pumped_from[here]) reach(there);
  }
  return reached;
}

ValveSet valve_set(const Yard& yard, const Cut& cut) {
  const Array& array = yard.array;
  const auto& pumps = array.pumps();
  ValveSet set;
  OpenHoses left = yard.open;
  for (const std::size_t line : cut.lines) {
    set.shut.push_back(id_at<HoseId>(line));
    left[line] = false;
  }
  for (std::size_t point = array.tanks().size(); point < cut.inside.size(); ++point) {
    if (cut.inside[point]) set.goes_along.push_back(yard.points.place(point));
  }
  Flags all_tanks = yard.staying;
  for (std::size_t tank = 0; tank < array.tanks().size(); ++tank) all_tanks[tank] = true;
  Flags runs(pumps.size(), true);
  const Flags before = spread(yard, all_tanks, yard.open, runs);
  for (std::size_t i = 0; i < pumps.size(); ++i) {
    if (!yard.touches(pumps[i], cut.inside)) continue;
    runs[i] = false;
    set.pumps_stopped.push_back(id_at<PumpId>(i));
  }
  const Flags after = spread(yard, yard.staying, left, runs);
  for (std::size_t i = 0; i < array.outlets().size(); ++i) {
    const auto outlet = id_at<OutletId>(i);
    const std::size_t point = yard.points.of(outlet);
    if (after[point]) {
      set.outlets_supplied.push_back(outlet);
    } else if (before[point]) {
      set.outlets_lost.push_back(outlet);
    }
  }
  for (std::size_t i = 0; i < pumps.size(); ++i) {
    const std::size_t suction = yard.points.of(pumps[i].from);
    if (runs[i] && after[suction]) {
      set.pumps_supplied.push_back(id_at<PumpId>(i));
    } else if (before[suction]) {
      set.pumps_lost.push_back(id_at<PumpId>(i));
    }
  }
  for (const auto& group : joined_tanks(array, left)) {
    std::vector<TankId> stay;
    for (const TankId tank : group) {
      if (yard.staying[tank.index]) stay.push_back(tank);
    }
    if (!stay.empty()) set.tanks_sharing.push_back(std::move(stay));
  }
  return set;
}

std::vector<std::string> names_in_order(const Array& array, const std::vector<HoseId>& hoses) {
  std::vector<std::string> names;
  for (const HoseId id : hoses) {
    const Hose& hose = part(array.hoses(), id);
    names.push_back(hose.valve ? hose.valve->name : hose.name);
  }
  std::sort(names.begin(), names.end());
  return names;
}

// Sorts a list by a key that is reckoned once for each.
template <class T, class KeyOf>
void sort_by(std::vector<T>& list, const KeyOf& key_of) {
  std::vector<std::pair<decltype(key_of(list[0])), std::size_t>> keys;
  for (std::size_t i = 0; i < list.size(); ++i) keys.emplace_back(key_of(list[i]), i);
  std::sort(keys.begin(), keys.end());
  std::vector<T> sorted;
  sorted.reserve(keys.size());
  for (const auto& key : keys) sorted.push_back(std::move(list[key.second]));
  list = std::move(sorted);
}

// Cuts through the hoses that can be shut; other hoses stand fast if they count, and are left out
// if they do not.
SmallestCuts cuts_through(const Yard& yard, const Flags& can_be_shut, const Flags& counts,
                          std::size_t most) {
  CutQuestion question;
  std::vector<std::size_t> line_of_question;
  for (std::size_t i = 0; i < yard.lines.size(); ++i) {
    const bool is_hose = i < counts.size();
    if (is_hose && !counts[i]) continue;
    question.lines.push_back({yard.lines[i].from, yard.lines[i].to, is_hose && can_be_shut[i]});
    line_of_question.push_back(i);
  }
  question.inside = yard.taken;
  question.outside = yard.other_water();
  question.ranks = yard.ranks;
  SmallestCuts found = smallest_cuts(question, most);
  for (Cut& cut : found.cuts) {
    for (std::size_t& line : cut.lines) line = line_of_question[line];
  }
  return found;
}

// Fewer first: what is missing counts, so that all keys rise.
//
// The cut with the smallest inside comes first by this order, whatever the yard: whoever stays
// outside with it loses no way that another set would leave, and less goes along. So the best set
// is known even when not all are listed.
void better_first(const Array& array, std::vector<ValveSet>& sets) {
  sort_by(sets, [&](const ValveSet& set) {
    const std::size_t without = array.outlets().size() + array.pumps().size() -
                                set.outlets_supplied.size() - set.pumps_supplied.size();
    return std::tuple(without, set.tanks_sharing.size(), set.goes_along.size(),
                      names_in_order(array, set.shut));
  });
}

Inflows inflows_of(const Yard& yard) {
  const Parts& parts = yard.array.parts();
  Inflows inflows;
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    const auto& overflow = parts.tanks[i].overflow;
    if (yard.staying[i] && overflow && overflow->to && yard.taken[overflow->to->index]) {
      inflows.overflows.push_back(id_at<TankId>(i));
    }
  }
  for (std::size_t i = 0; i < parts.roofs.size(); ++i) {
    if (yard.taken[parts.roofs[i].into.index]) inflows.roofs.push_back(id_at<RoofId>(i));
  }
  for (std::size_t i = 0; i < parts.top_ups.size(); ++i) {
    if (yard.taken[parts.top_ups[i].into.index]) inflows.top_ups.push_back(id_at<TopUpId>(i));
  }
  for (std::size_t i = 0; i < parts.pumps.size(); ++i) {
    if (yard.taken[yard.points.of(parts.pumps[i].to)]) inflows.pumps.push_back(id_at<PumpId>(i));
  }
  return inflows;
}

// The smallest first, so that the last digit does not hang on the order of the plan.
double sum(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return std::accumulate(values.begin(), values.end(), 0.0);
}

// Only hoses without a valve are in question: those that have one can be shut for nothing.
void find_valves_to_fit(const Yard& yard, Isolation& answer) {
  const Array& array = yard.array;
  const auto& hoses = array.hoses();
  const std::vector<double>& all_prices = yard.options.valve_prices;
  const OpenHoses no_valve = with_every_valve_shut(array, yard.joined);
  const SmallestCuts cuts =
      cuts_through(yard, Flags(hoses.size(), true), no_valve, yard.options.most_sets);
  if (!cuts.possible) breach("isolating_valves", "tanks that no hose could be shut for");
  answer.all_to_fit_listed = cuts.all_listed;
  for (const Cut& cut : cuts.cuts) {
    ValvesToFit fit;
    std::vector<double> bores_m, lengths_m, prices;
    Flags can_be_shut(hoses.size());
    for (std::size_t i = 0; i < hoses.size(); ++i) can_be_shut[i] = hoses[i].valve.has_value();
    for (const std::size_t line : cut.lines) {
      can_be_shut[line] = true;
      fit.hoses.push_back(id_at<HoseId>(line));
      bores_m.push_back(hoses[line].bore_m);
      lengths_m.push_back(hoses[line].length_m);
      if (!all_prices.empty()) prices.push_back(all_prices[line]);
    }
    fit.bores_m = sum(std::move(bores_m));
    fit.lengths_m = sum(std::move(lengths_m));
    if (!prices.empty()) fit.price = sum(std::move(prices));
    const SmallestCuts then = cuts_through(yard, can_be_shut, yard.joined, 1);
    if (!then.possible) breach("isolating_valves", "valves to fit that would not do");
    fit.then = valve_set(yard, then.cuts.front());
    answer.to_fit.push_back(std::move(fit));
  }
  sort_by(answer.to_fit, [&](const ValvesToFit& fit) {
    return std::tuple(fit.price.value_or(0.0), fit.bores_m, fit.lengths_m,
                      names_in_order(array, fit.hoses));
  });
}

void find_what_is_joined(const Yard& yard, Isolation& answer) {
  const auto& pumps = yard.array.pumps();
  const Flags piece = spread(yard, yard.taken, with_every_valve_shut(yard.array, yard.joined),
                             Flags(pumps.size(), false));
  for (std::size_t i = 0; i < yard.array.tanks().size(); ++i) {
    if (piece[i] && yard.staying[i]) answer.emptied_with.push_back(id_at<TankId>(i));
  }
  for (std::size_t i = 0; i < pumps.size(); ++i) {
    if (yard.touches(pumps[i], piece)) answer.pumps_joined.push_back(id_at<PumpId>(i));
  }
}

void check(const Array& array, const OpenHoses& open, const std::vector<TankId>& tanks,
           const IsolatingOptions& options) {
  const char* const here = "isolating_valves";
  const std::size_t hoses = array.hoses().size();
  const auto entries = [&](std::size_t count) {
    return std::to_string(count) + " entries for " + std::to_string(hoses) + " hoses";
  };
  if (open.size() != hoses) breach(here, entries(open.size()));
  if (tanks.empty()) breach(here, "no tank");
  for (const TankId tank : tanks) {
    if (tank.index >= array.tanks().size()) breach(here, "no tank " + std::to_string(tank.index));
  }
  if (options.most_sets == 0) breach(here, "no set may be listed");
  if (!options.valve_prices.empty() && options.valve_prices.size() != hoses) {
    breach(here, "prices: " + entries(options.valve_prices.size()));
  }
}

}  // namespace

OpenHoses with_every_valve_shut(const Array& array, const OpenHoses& open) {
  const auto& hoses = array.hoses();
  if (open.size() != hoses.size()) {
    breach("with_every_valve_shut",
           std::to_string(open.size()) + " entries for " + std::to_string(hoses.size()) + " hoses");
  }
  OpenHoses left = open;
  for (std::size_t i = 0; i < hoses.size(); ++i) {
    if (hoses[i].valve) left[i] = false;
  }
  return left;
}

Isolation isolating_valves(const Array& array, const OpenHoses& open,
                           const std::vector<TankId>& tanks, const IsolatingOptions& options) {
  check(array, open, tanks, options);
  const Yard yard(array, open, tanks, options);
  Isolation answer;
  for (std::size_t i = 0; i < array.tanks().size(); ++i) {
    if (yard.taken[i]) answer.tanks.push_back(id_at<TankId>(i));
  }
  answer.inflows = inflows_of(yard);
  const auto& leaks = array.parts().leaks;
  for (std::size_t i = 0; i < leaks.size(); ++i) {
    if (yard.taken[leaks[i].tank.index]) answer.leaks.push_back(id_at<LeakId>(i));
  }

  Flags can_be_shut;
  for (const Hose& hose : array.hoses()) can_be_shut.push_back(hose.valve.has_value());
  const SmallestCuts cuts = cuts_through(yard, can_be_shut, yard.joined, options.most_sets);
  answer.all_listed = cuts.all_listed;
  for (const Cut& cut : cuts.cuts) answer.smallest.push_back(valve_set(yard, cut));
  better_first(array, answer.smallest);
  if (!cuts.possible) {
    find_what_is_joined(yard, answer);
    find_valves_to_fit(yard, answer);
  }
  return answer;
}

}  // namespace tankyard
