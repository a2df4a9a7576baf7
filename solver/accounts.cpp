// SPDX-License-Identifier: MIT
#include "solver/accounts.h"

#include <algorithm>
#include <cmath>

namespace tankyard {
namespace {

constexpr std::size_t most_events = 100'000;
constexpr double room_counts_from_m = 0.02;     // headroom below the lip that counts as room
constexpr double dry_share = 0.01;              // of what a draw asks for
constexpr double dry_nozzle_m3_per_s = 1e-7;    // 6 mL a minute: drops
constexpr double spill_starts_m = 1e-3;         // over the lip; half of it when it ends
constexpr double share_precision_s = 1e-3;      // moments are located to a millisecond

/// Share of a step at which a number that has the other sign at the end than at the start passes
/// zero, by halving.
template <class Number>
double crossing(Number number, double length_s) {
  double low = 0.0;
  double high = 1.0;
  const bool rises = number(1.0) > 0.0;
  while ((high - low) * length_s > share_precision_s) {
    const double middle = 0.5 * (low + high);
    ((number(middle) > 0.0) == rises ? high : low) = middle;
  }
  return high;
}

}  // namespace

Accounts::Accounts(const Network& network, RunRecord& record)
    : network_(network), record_(record) {
  const Parts& parts = network.array.parts();
  record.tanks.resize(parts.tanks.size());
  record.hoses.resize(parts.hoses.size());
  record.lags.resize(parts.hoses.size());
  record.outlets.resize(parts.outlets.size());
  record.pumps.resize(parts.pumps.size());
  record.roofs.resize(parts.roofs.size());
  record.top_ups.resize(parts.top_ups.size());
  record.leaks.resize(parts.leaks.size());
  outlet_dry_.assign(parts.outlets.size(), false);
  overflowing_.assign(parts.tanks.size(), false);
  over_rim_.assign(parts.tanks.size(), false);
  bare_.assign(2 * parts.hoses.size(), false);
}

void Accounts::note(const Event& event) {
  if (record_.events.size() < most_events) record_.events.push_back(event);
}

void Accounts::start(const Stepper& stepper) {
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    TankRecord& tank = record_.tanks[i];
    tank.start_m3 = stepper.volume_m3()[i];
    const double depth = stepper.now().head_m[i] - network_.tanks[i].base_m;
    tank.lowest_depth_m = tank.highest_depth_m = depth;
    record_.ledger.start_m3 += tank.start_m3;
  }
  for (const Link& link : network_.links) {
    if (link.kind != Link::Kind::hose) continue;
    const auto bare = [&](int place, double mouth) {
      return place != outside && mouth != no_mouth &&
             stepper.now().head_m[static_cast<std::size_t>(place)] < mouth + 0.5 * link.bore_m;
    };
    bare_[2 * link.part] = bare(link.from, link.from_mouth_m);
    bare_[2 * link.part + 1] = bare(link.to, link.to_mouth_m);
  }
}

double Accounts::room_of_others(const Stepper& stepper, std::size_t tank) const {
  double room = 0.0;
  const std::vector<int>& group = stepper.ways().group;
  for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
    if (i == tank || group[i] != group[tank]) continue;
    const TankLaw& other = network_.tanks[i];
    const double head = stepper.end().head_m[i];
    if (head < other.lip_m - room_counts_from_m) {
      room += other.volume_at(other.lip_m).m3 - other.volume_at(head).m3;
    }
  }
  return room;
}

double Accounts::water_above(const Stepper& stepper, double height_m) const {
  double water = 0.0;
  for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
    const TankLaw& tank = network_.tanks[i];
    const double head = stepper.end().head_m[i];
    if (head > height_m) {
      water += tank.volume_at(head).m3 - tank.volume_at(std::max(height_m, tank.base_m)).m3;
    }
  }
  return water;
}

void Accounts::enter_ways(const Stepper& stepper, double end_s) {
  const auto& ways = stepper.ways().open;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const Way& way = ways[k];
    const Link& link = network_.links[way.link];
    const double moved = stepper.moved().way_m3[k];
    const double flow = stepper.end().way_m3_per_s[k];
    if (link.kind == Link::Kind::leak) {
      record_.leaks[link.part].lost_m3 += moved;
      record_.ledger.leaked_m3 += moved;
      continue;
    }
    const std::size_t outlet = link.kind == Link::Kind::outlet ? link.part : link.nozzle.value_or(0);
    if (link.kind == Link::Kind::outlet || link.nozzle) {
      outlet_moved_m3_[outlet] += moved;
      outlet_m3_per_s_[outlet] += flow;
    }
    if (link.kind == Link::Kind::outlet) continue;

    HoseRecord& hose = record_.hoses[link.part];
    hose.carried_m3 += moved;
    hose.moved_m3 += std::fabs(moved);
    const double before = stepper.now().way_m3_per_s[k];
    for (const double f : {before, flow}) {
      if (std::fabs(f) > std::fabs(hose.peak_m3_per_s)) {
        hose.peak_m3_per_s = f;
        hose.peak_at_s = f == flow ? end_s : end_s - stepper.length_s();
      }
    }
    if (way.to == outside) continue;
    const double from = stepper.end().head_m[static_cast<std::size_t>(way.from)];
    const double to = stepper.end().head_m[static_cast<std::size_t>(way.to)];
    HoseLag& lag = record_.lags[link.part];
    if (from > way.from_mouth_m && to > way.to_mouth_m && std::fabs(from - to) > lag.head_lost_m) {
      lag = {std::fabs(from - to), end_s, flow};
    }
  }
}

void Accounts::enter_spills(const Stepper& stepper, double start_s, double end_s) {
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    const double overflowed = stepper.moved().overflow_m3[i];
    const double rim = stepper.moved().over_rim_m3[i];
    const TankLaw& law = network_.tanks[i];
    TankRecord& tank = record_.tanks[i];
    const auto passes = [&](double mark, double head_start, double head_middle, double head_end) {
      return start_s + stepper.length_s() * crossing(
                           [&](double share) {
                             return Stepper::between(head_start, head_middle, head_end, share) - mark;
                           },
                           stepper.length_s());
    };
    const auto watch = [&](std::vector<bool>& state, double lip, Event::Kind on, bool say_off) {
      const double head = stepper.end().head_m[i];
      const double mark = lip + (state[i] ? 0.5 : 1.0) * spill_starts_m;
      if ((head > mark) == state[i]) return;
      const double before = stepper.now().head_m[i];
      const double at = (before > mark) == (head > mark)
                            ? end_s
                            : passes(mark, before, stepper.middle().head_m[i], head);
      state[i] = !state[i];
      if (state[i]) note({at, on, i, std::nullopt, false});
      else if (say_off) note({at, Event::Kind::overflow_ends, i, std::nullopt, false});
    };
    if (law.overflow) watch(overflowing_, law.overflow_m, Event::Kind::overflow_starts, true);
    watch(over_rim_, law.rim_m, Event::Kind::rim_reached, false);
    if (overflowed == 0.0 && rim == 0.0) continue;

    tank.overflowed_out_m3 += overflowed;
    tank.over_rim_m3 += rim;
    double to_ground = rim;
    if (law.overflow && law.overflow->to) {
      record_.tanks[law.overflow->to->index].overflowed_in_m3 += overflowed;
    } else {
      to_ground += overflowed;
    }
    if (to_ground == 0.0) continue;
    record_.ledger.overflowed_m3 += to_ground;
    tank.spilt_m3 += to_ground;
    if (!tank.first_spilt_at_s) tank.first_spilt_at_s = start_s;
    if (room_of_others(stepper, i) > 0.0) {
      tank.spilt_with_room_m3 += to_ground;
      if (!tank.first_spilt_with_room_at_s) tank.first_spilt_with_room_at_s = start_s;
    }
  }
}

void Accounts::enter_outlets(const Stepper& stepper, const Setting& setting, double start_s,
                             double end_s) {
  const Parts& parts = network_.array.parts();
  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    outlet_moved_m3_[network_.draws[d].outlet] += stepper.moved().draw_m3[d];
    outlet_m3_per_s_[network_.draws[d].outlet] += stepper.end().draw_m3_per_s[d];
  }
  for (std::size_t i = 0; i < record_.outlets.size(); ++i) {
    OutletRecord& outlet = record_.outlets[i];
    const double length = end_s - start_s;
    outlet.delivered_m3 += outlet_moved_m3_[i];
    record_.ledger.delivered_m3 += outlet_moved_m3_[i];
    if (!setting.outlet_open[i]) {
      outlet_dry_[i] = false;
      continue;
    }
    outlet.open_s += length;
    outlet.peak_m3_per_s = std::max(outlet.peak_m3_per_s, outlet_m3_per_s_[i]);
    double least = dry_nozzle_m3_per_s;
    if (const auto& asked = parts.outlets[i].draw_m3_per_s) {
      outlet.asked_m3 += *asked * length;
      outlet.short_m3 += *asked * length - outlet_moved_m3_[i];
      least = dry_share * *asked;
    }
    const bool dry = outlet_m3_per_s_[i] < least;
    if (dry) outlet.dry_s += length;
    if (dry && !outlet.first_dry_at_s) {
      outlet.first_dry_at_s = end_s;
      outlet.stranded_m3 = water_above(stepper, mouth_m(parts, parts.outlets[i]));
    }
    if (dry != outlet_dry_[i]) {
      outlet_dry_[i] = dry;
      note({end_s, dry ? Event::Kind::outlet_dry : Event::Kind::outlet_wet, i, std::nullopt, false});
    }
  }
}

void Accounts::enter_levels(const Stepper& stepper, double start_s, double end_s) {
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    const double depth = stepper.end().head_m[i] - network_.tanks[i].base_m;
    TankRecord& tank = record_.tanks[i];
    if (depth < tank.lowest_depth_m) tank.lowest_depth_m = depth, tank.lowest_at_s = end_s;
    if (depth > tank.highest_depth_m) tank.highest_depth_m = depth, tank.highest_at_s = end_s;
  }
  for (const Way& way : stepper.ways().open) {
    const Link& link = network_.links[way.link];
    if (link.kind != Link::Kind::hose) continue;
    const auto watch = [&](int place, double mouth, std::size_t at) {
      if (place == outside || mouth == no_mouth) return;
      const auto p = static_cast<std::size_t>(place);
      // Bare at half a bore, covered at a whole one, so that a level that rests at the mouth does
      // not chatter.
      const double mark = mouth + (bare_[at] ? 1.0 : 0.5) * link.bore_m;
      const double head = stepper.end().head_m[p];
      if ((head < mark) == bare_[at]) return;
      bare_[at] = !bare_[at];
      const double before = stepper.now().head_m[p];
      double when = end_s;
      if ((before < mark) != (head < mark)) {
        when = start_s + stepper.length_s() *
                             crossing(
                                 [&](double share) {
                                   return Stepper::between(before, stepper.middle().head_m[p], head,
                                                           share) -
                                          mark;
                                 },
                                 stepper.length_s());
      }
      note({when, bare_[at] ? Event::Kind::port_uncovers : Event::Kind::port_covers, p,
            HoseId{static_cast<std::uint32_t>(link.part)}, false});
    };
    watch(way.from, link.from_mouth_m, 2 * link.part);
    watch(way.to, link.to_mouth_m, 2 * link.part + 1);
  }
}

void Accounts::enter(const Stepper& stepper, const Setting& setting, double start_s) {
  const double end_s = start_s + stepper.length_s();
  outlet_moved_m3_.assign(record_.outlets.size(), 0.0);
  outlet_m3_per_s_.assign(record_.outlets.size(), 0.0);
  enter_ways(stepper, end_s);
  enter_spills(stepper, start_s, end_s);
  enter_outlets(stepper, setting, start_s, end_s);
  enter_levels(stepper, start_s, end_s);
}

void Accounts::finish(const Stepper& stepper, double end_s) {
  record_.lasted_s = end_s;
  Ledger& ledger = record_.ledger;
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    TankRecord& tank = record_.tanks[i];
    tank.end_m3 = stepper.volume_m3()[i];
    tank.end_depth_m = stepper.now().head_m[i] - network_.tanks[i].base_m;
    ledger.end_m3 += tank.end_m3;
    ledger.rain_m3 += tank.roof_m3;
    ledger.topped_up_m3 += tank.topped_up_m3;
  }
  ledger.passed_m3 = ledger.start_m3 + ledger.rain_m3 + ledger.topped_up_m3;
  record_.effort = stepper.effort();
  std::stable_sort(record_.events.begin(), record_.events.end(),
                   [](const Event& a, const Event& b) { return a.at_s < b.at_s; });
}

}  // namespace tankyard
