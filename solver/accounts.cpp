// SPDX-License-Identifier: MIT
#include "solver/accounts.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "solver/apart.h"
#include "solver/crossing.h"

namespace tankyard {
namespace {

constexpr std::size_t most_events = 100'000;
constexpr double room_counts_from_m = 0.02;  // headroom below both lips that counts as room
constexpr double dry_share = 0.01;  // of what a draw asks for, or a nozzle has given at its best
constexpr double dry_nozzle_m3_per_s = 1e-7;  // 6 mL a minute: drops
constexpr double spill_starts_m = 1e-3;       // over the lip; half of it when it ends
constexpr double carries_m3_per_s = 1e-7;     // less than this is not carrying water

/// Whether a hose's own loss is what parts the heads at its ends: water stands over its whole mouth
/// at the end that gives, and at the mouth where it goes. A tank that has merely drained to its
/// mouth says nothing about the hose.
bool both_ends_under_water(const Way& way, double from_m, double to_m) {
  const bool forth = from_m > to_m;
  return from_m > way.from_mouth_m + (forth ? way.bore_m : 0.0) &&
         to_m > way.to_mouth_m + (forth ? 0.0 : way.bore_m);
}

/// A level above which a tank has begun to spill over a lip, or below which it no longer does.
double spill_mark_m(double lip_m, bool spills) {
  return lip_m + (spills ? 0.5 : 1.0) * spill_starts_m;
}

/// Bare at half a bore, covered at a whole one, so that a level that rests at the mouth does not
/// chatter.
double bare_mark_m(double mouth_m, double bore_m, bool bare) {
  return mouth_m + (bare ? 1.0 : 0.5) * bore_m;
}

}  // namespace

Accounts::Accounts(const Network& network, RunRecord& record)
    : network_(network), record_(record), headspaces_(network, record), pumps_(network, record) {
  begin_anew();
}

void Accounts::begin_anew() {
  const Parts& parts = network_.array.parts();
  record_.tanks.resize(parts.tanks.size());
  record_.hoses.resize(parts.hoses.size());
  record_.lags.resize(parts.hoses.size());
  record_.outlets.resize(parts.outlets.size());
  record_.pumps.resize(parts.pumps.size());
  record_.roofs.resize(parts.roofs.size());
  record_.top_ups.resize(parts.top_ups.size());
  record_.leaks.resize(parts.leaks.size());
  outlet_dry_.assign(parts.outlets.size(), false);
  overflowing_.assign(parts.tanks.size(), false);
  over_rim_.assign(parts.tanks.size(), false);
  bare_.assign(2 * parts.hoses.size(), false);
  apart_since_s_.assign(parts.hoses.size(), -1.0);
  extremes_.assign(parts.tanks.size(), {});
  look_anew_ = true;
}

void Accounts::note(const Event& event) {
  if (record_.events.size() < most_events) record_.events.push_back(event);
}

void Accounts::note_pump(const Stepper& stepper, const Setting& setting,
                         const std::vector<bool>& header_was_full, const Event& event) {
  pumps_.note(stepper, setting, header_was_full, event);
  note(event);
}

void Accounts::start(const Stepper& stepper) {
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    TankRecord& tank = record_.tanks[i];
    tank.start_m3 = stepper.volume_m3()[i];
    extremes_[i].lowest_m = extremes_[i].highest_m = stepper.now().level(i);
    record_.ledger.start_m3 += tank.start_m3;
    // What runs over from the start does so before the first step is through.
    const TankLaw& law = network_.tanks[i];
    const double level = stepper.now().level(i);
    overflowing_[i] = law.overflow && level > law.overflow_m + spill_starts_m;
    over_rim_[i] = level > law.rim_m + spill_starts_m;
    if (overflowing_[i]) note({0.0, Event::Kind::overflow_starts, i, std::nullopt, false});
    if (over_rim_[i]) note({0.0, Event::Kind::rim_reached, i, std::nullopt, false});
  }
  for (const Link& link : network_.links) {
    if (link.kind != Link::Kind::hose) continue;
    const auto bare = [&](int place, double mouth) {
      return place != outside && mouth != no_mouth &&
             stepper.now().level(static_cast<std::size_t>(place)) < mouth + 0.5 * link.bore_m;
    };
    bare_[2 * link.part] = bare(link.from, link.from_mouth_m);
    bare_[2 * link.part + 1] = bare(link.to, link.to_mouth_m);
  }
}

Accounts::Room Accounts::room_in(const Stepper& stepper, std::size_t tank,
                                 double spills_at_m) const {
  const TankLaw& law = network_.tanks[tank];
  const double top = std::min(law.lip_m, spills_at_m);
  const double start = stepper.now().level(tank);
  const double end = stepper.end().level(tank);
  const double mark = top - room_counts_from_m;
  Room room;
  if (start >= mark && end >= mark) return room;
  room.until_share = 1.0;
  if ((start < mark) != (end < mark)) {
    const double turns = crossing(
        [&](double share) {
          return Stepper::between(start, stepper.middle().level(tank), end, share) - mark;
        },
        stepper.length_s());
    (start < mark ? room.until_share : room.from_share) = turns;
  }
  const double head = std::max(start < mark ? start : end, law.base_m);
  room.m3 = law.volume_at(top).m3 - law.volume_at(head).m3;
  return room;
}

void Accounts::note_room_of_others(const Stepper& stepper, std::size_t tank, double spilt_m3,
                                   double start_s) {
  const std::vector<int>& group = stepper.ways().group;
  const std::vector<Tank>& tanks = network_.array.tanks();
  // Rooms are compared in whole tenths of a litre, then by name, so that the order of the plan does
  // not decide between twins.
  const auto tenths = [](double room_m3) { return std::llround(room_m3 * 1e4); };
  std::size_t roomiest = tank;
  Room most;
  double longest_share = 0.0;
  for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
    if (i == tank || group[i] != group[tank]) continue;
    const Room room = room_in(stepper, i, network_.tanks[tank].lip_m);
    if (room.m3 <= 0.0) continue;
    longest_share = std::max(longest_share, room.until_share - room.from_share);
    const bool more = roomiest == tank || tenths(room.m3) > tenths(most.m3) ||
                      (tenths(room.m3) == tenths(most.m3) && tanks[i].name < tanks[roomiest].name);
    if (more) roomiest = i, most = room;
  }
  if (roomiest == tank) return;
  TankRecord& record = record_.tanks[tank];
  // Within one step water spills evenly, near enough.
  record.spilt_with_room_m3 += spilt_m3 * longest_share;
  if (record.first_spilt_with_room_at_s) return;
  record.first_spilt_with_room_at_s = start_s + most.from_share * stepper.length_s();
  record.room_was_in = id_at<TankId>(roomiest);
  record.room_m3 = most.m3;
}

double Accounts::water_above(const Stepper& stepper, std::size_t tank, double height_m) const {
  const TankLaw& law = network_.tanks[tank];
  const double head = stepper.end().level(tank);
  if (head <= height_m) return 0.0;
  return law.volume_at(head).m3 - law.volume_at(std::max(height_m, law.base_m)).m3;
}

void Accounts::note_dry(const Stepper& stepper, const Setting& setting, std::size_t outlet,
                        double at_s) {
  OutletRecord& record = record_.outlets[outlet];
  const Parts& parts = network_.array.parts();
  const double mouth = mouth_m(parts, parts.outlets[outlet]);
  record.first_dry_at_s = at_s;
  DryMoment moment;
  for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
    const double above = water_above(stepper, i, mouth);
    record.stranded_m3 += above;
    moment.stranded_per_tank_m3.push_back(above);
    moment.level_m.push_back(stepper.end().level(i));
  }
  if (record.stranded_m3 <= 0.0) return;
  moment.gas_m = stepper.end().gas_m;
  moment.hose_open = setting.hose_open;
  moment.crest_full = setting.crest_primed;
  moment.header_full = setting.header_primed;
  record.stranded_while = std::move(moment);
}

void Accounts::look_at_ways(const Stepper& stepper) {
  std::vector<bool> open(apart_since_s_.size(), false);
  of_way_.clear();
  for (const Way& way : stepper.ways().open) {
    const Link& link = network_.links[way.link];
    OfWay& of = of_way_.emplace_back();
    if (link.kind != Link::Kind::hose) continue;
    of.hose = static_cast<std::uint32_t>(link.part);
    of.plain = !link.nozzle && way.to != outside && link.crest_m == no_mouth;
    open[link.part] = true;
  }
  for (std::size_t h = 0; h < open.size(); ++h) {
    if (!open[h]) apart_since_s_[h] = -1.0;
  }
  find_quiet_levels(stepper);
}

void Accounts::enter_ways(const Stepper& stepper, const Setting& setting, double start_s) {
  const double end_s = start_s + stepper.length_s();
  const auto& ways = stepper.ways().open;
  const double* const now_m = stepper.now().head_m.data();
  const double* const end_m = stepper.end().head_m.data();
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const OfWay of = of_way_[k];
    if (!of.plain) {
      enter_hose(stepper, k, end_s);
      enter_lag(stepper, setting, k, start_s);
      continue;
    }
    const double moved = stepper.moved().way_m3[k];
    HoseRecord& hose = record_.hoses[of.hose];
    hose.carried_m3 += moved;
    hose.moved_m3 += std::fabs(moved);
    const auto from = static_cast<std::size_t>(ways[k].from);
    const auto to = static_cast<std::size_t>(ways[k].to);
    const double fastest = std::max(std::fabs(stepper.now().way_m3_per_s[k]),
                                    std::fabs(stepper.end().way_m3_per_s[k]));
    if (fastest > std::fabs(hose.peak_m3_per_s)) enter_peak(stepper, k, end_s, hose);
    const double before_m = std::fabs(now_m[from] - now_m[to]);
    const double after_m = std::fabs(end_m[from] - end_m[to]);
    if (after_m > record_.lags[of.hose].head_lost_m) enter_head_lost(stepper, k, end_s);
    if (before_m > apart_m || after_m > apart_m || apart_since_s_[of.hose] >= 0.0) {
      enter_lag(stepper, setting, k, start_s);
    }
  }
}

void Accounts::enter_peak(const Stepper& stepper, std::size_t k, double end_s, HoseRecord& hose) {
  const double after = stepper.end().way_m3_per_s[k];
  for (const double flow : {stepper.now().way_m3_per_s[k], after}) {
    if (std::fabs(flow) <= std::fabs(hose.peak_m3_per_s)) continue;
    hose.peak_m3_per_s = flow;
    hose.peak_at_s = flow == after ? end_s : end_s - stepper.length_s();
  }
}

void Accounts::enter_head_lost(const Stepper& stepper, std::size_t k, double end_s) {
  const Way& way = stepper.ways().open[k];
  const double from = stepper.end().head_m[static_cast<std::size_t>(way.from)];
  const double to = stepper.end().head_m[static_cast<std::size_t>(way.to)];
  HoseLag& lag = record_.lags[network_.links[way.link].part];
  if (both_ends_under_water(way, from, to) && std::fabs(from - to) > lag.head_lost_m) {
    lag.head_lost_m = std::fabs(from - to);
    lag.at_s = end_s;
    lag.flow_m3_per_s = stepper.end().way_m3_per_s[k];
  }
}

void Accounts::enter_hose(const Stepper& stepper, std::size_t k, double end_s) {
  const Way& way = stepper.ways().open[k];
  const Link& link = network_.links[way.link];
  const double moved = stepper.moved().way_m3[k];
  const double flow = stepper.end().way_m3_per_s[k];
  if (link.kind == Link::Kind::pump) return;  // pumps_
  if (link.kind == Link::Kind::leak) {
    record_.leaks[link.part].lost_m3 += moved;
    leak_m3_per_s_[link.part] = flow;
    record_.ledger.leaked_m3 += moved;
    return;
  }
  const std::size_t outlet = link.kind == Link::Kind::outlet ? link.part : link.nozzle.value_or(0);
  if (link.kind == Link::Kind::outlet || link.nozzle) {
    outlet_moved_m3_[outlet] += moved;
    outlet_m3_per_s_[outlet] += flow;
    outlet_before_m3_per_s_[outlet] += stepper.now().way_m3_per_s[k];
    outlet_between_m3_per_s_[outlet] += stepper.middle().way_m3_per_s[k];
  }
  if (link.kind == Link::Kind::outlet) return;

  HoseRecord& hose = record_.hoses[link.part];
  hose.carried_m3 += moved;
  hose.moved_m3 += std::fabs(moved);
  enter_peak(stepper, k, end_s, hose);
  if (way.to != outside) enter_head_lost(stepper, k, end_s);
}

void Accounts::enter_lag(const Stepper& stepper, const Setting& setting, std::size_t k,
                         double start_s) {
  const Way& way = stepper.ways().open[k];
  const Link& link = network_.links[way.link];
  if (link.kind != Link::Kind::hose) return;
  const auto from = static_cast<std::size_t>(way.from);
  const auto to_head = [&](const Instant& instant) {
    return way.to == outside ? way.to_mouth_m : instant.head_m[static_cast<std::size_t>(way.to)];
  };
  const auto apart = [&](const Instant& instant) {
    return instant.head_m[from] - to_head(instant);
  };
  const Apart ends{apart(stepper.now()), apart(stepper.middle()), apart(stepper.end())};
  const double from_m = stepper.end().head_m[from];
  const double to_m = to_head(stepper.end());
  const bool carries = std::fabs(stepper.end().way_m3_per_s[k]) > carries_m3_per_s;
  if (link.crest_m != no_mouth && !setting.crest_primed[link.part] && !carries) {
    const double mouth = from_m > to_m ? link.from_mouth_m : link.to_mouth_m;
    const bool covered_there = std::max(from_m, to_m) > mouth + link.bore_m;
    const bool may_go = from_m > to_m || !(link.one_way || way.to == outside);
    if (covered_there && may_go) enter_held_by_air(link.part, ends, start_s, stepper.length_s());
  }
  if (way.to == outside) return;
  const bool lags = carries && both_ends_under_water(way, from_m, to_m);
  enter_kept_up(link.part, lags, ends, start_s, stepper.length_s());
}

void Accounts::enter_held_by_air(std::size_t hose, const Apart& apart, double start_s,
                                 double length_s) {
  const double before = std::fabs(apart.start_m);
  const double after = std::fabs(apart.end_m);
  if (after <= held_apart_m) return;
  HoseLag& lag = record_.lags[hose];
  const double from_share =
      before > held_apart_m
          ? 0.0
          : crossing([&](double share) { return apart.at_m(share) - held_apart_m; }, length_s);
  if (lag.air_held_s == 0.0) lag.air_held_from_s = start_s + from_share * length_s;
  lag.air_held_s += (1.0 - from_share) * length_s;
  lag.air_held_m = std::max(lag.air_held_m, after);
}

void Accounts::enter_kept_up(std::size_t hose, bool lags, const Apart& apart, double start_s,
                             double length_s) {
  double& since = apart_since_s_[hose];
  const bool at_start = std::fabs(apart.start_m) > apart_m;
  const bool at_end = std::fabs(apart.end_m) > apart_m;
  if (!at_start) since = -1.0;
  if (!lags || (!at_start && !at_end)) {
    since = -1.0;
    return;
  }
  const double turns_share =
      at_start == at_end
          ? 1.0
          : crossing([&](double share) { return apart.at_m(share) - apart_m; }, length_s);
  if (since < 0.0) since = at_start ? start_s : start_s + turns_share * length_s;
  const double until_share = at_end ? 1.0 : turns_share;
  const double kept_from_share = std::max(0.0, (since + apart_for_s - start_s) / length_s);
  if (kept_from_share < until_share) {
    HoseLag& lag = record_.lags[hose];
    const double most = std::max(apart.at_m(kept_from_share), apart.at_m(until_share));
    if (most > lag.kept_up_m) {
      lag.kept_up_m = most;
      lag.kept_up_since_s = since;
    }
  }
  if (!at_end) since = -1.0;
}

void Accounts::enter_lips(const Stepper& stepper, double start_s, double end_s) {
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    const TankLaw& law = network_.tanks[i];
    const auto passes = [&](double mark, double head_start, double head_middle, double head_end) {
      return start_s + stepper.length_s() *
                           crossing(
                               [&](double share) {
                                 return Stepper::between(head_start, head_middle, head_end, share) -
                                        mark;
                               },
                               stepper.length_s());
    };
    const auto watch = [&](std::vector<bool>& state, double lip, Event::Kind on, bool say_off) {
      const double head = stepper.end().level(i);
      const double mark = spill_mark_m(lip, state[i]);
      if ((head > mark) == state[i]) return;
      const double before = stepper.now().level(i);
      const double at = (before > mark) == (head > mark)
                            ? end_s
                            : passes(mark, before, stepper.middle().level(i), head);
      state[i] = !state[i];
      if (state[i])
        note({at, on, i, std::nullopt, false});
      else if (say_off)
        note({at, Event::Kind::overflow_ends, i, std::nullopt, false});
    };
    if (law.overflow) watch(overflowing_, law.overflow_m, Event::Kind::overflow_starts, true);
    watch(over_rim_, law.rim_m, Event::Kind::rim_reached, false);
  }
}

void Accounts::enter_spills(const Stepper& stepper, double start_s) {
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    const double overflowed = stepper.moved().overflow_m3[i];
    const double rim = stepper.moved().over_rim_m3[i];
    if (overflowed == 0.0 && rim == 0.0) continue;
    const TankLaw& law = network_.tanks[i];
    TankRecord& tank = record_.tanks[i];
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
    note_room_of_others(stepper, i, to_ground, start_s);
  }
}

void Accounts::enter_outlets(const Stepper& stepper, const Setting& setting, double start_s,
                             double end_s) {
  const Parts& parts = network_.array.parts();
  for (std::size_t d = 0; d < network_.draws.size(); ++d) {
    outlet_moved_m3_[network_.draws[d].outlet] += stepper.moved().draw_m3[d];
    outlet_m3_per_s_[network_.draws[d].outlet] += stepper.end().draw_m3_per_s[d];
    outlet_before_m3_per_s_[network_.draws[d].outlet] += stepper.now().draw_m3_per_s[d];
    outlet_between_m3_per_s_[network_.draws[d].outlet] += stepper.middle().draw_m3_per_s[d];
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
    double least = std::max(dry_nozzle_m3_per_s, dry_share * outlet.peak_m3_per_s);
    if (const auto& asked = parts.outlets[i].draw_m3_per_s) {
      outlet.asked_m3 += *asked * length;
      outlet.short_m3 += *asked * length - outlet_moved_m3_[i];
      least = dry_share * *asked;
    }
    const double before = outlet_before_m3_per_s_[i];
    const double between = outlet_between_m3_per_s_[i];
    const double after = outlet_m3_per_s_[i];
    const bool was_dry = before < least;
    const bool dry = after < least;
    double turns_share = 1.0;
    if (was_dry != dry) {
      turns_share = crossing(
          [&](double share) { return Stepper::between(before, between, after, share) - least; },
          length);
    }
    if (was_dry) outlet.dry_s += turns_share * length;
    if (dry) outlet.dry_s += (1.0 - turns_share) * length;
    if (dry && !outlet.first_dry_at_s) {
      note_dry(stepper, setting, i, was_dry ? start_s : start_s + turns_share * length);
    }
    if (dry != outlet_dry_[i]) {
      outlet_dry_[i] = dry;
      const double at_s = was_dry == dry ? start_s : start_s + turns_share * length;
      note({at_s, dry ? Event::Kind::outlet_dry : Event::Kind::outlet_wet, i, std::nullopt, false});
    }
  }
}

void Accounts::enter_extremes(const Stepper& stepper, double end_s) {
  const Instant& end = stepper.end();
  const double* const level_m = end.level_m.empty() ? end.head_m.data() : end.level_m.data();
  for (std::size_t i = 0; i < extremes_.size(); ++i) {
    Extremes& of = extremes_[i];
    const double level = level_m[i];
    if (level < of.lowest_m) of.lowest_m = level, of.lowest_at_s = end_s;
    if (level > of.highest_m) of.highest_m = level, of.highest_at_s = end_s;
    if (!(level > of.quiet_from_m && level < of.quiet_to_m)) loud_ = true;
  }
}

void Accounts::find_quiet_levels(const Stepper& stepper) {
  constexpr double far = std::numeric_limits<double>::infinity();
  const auto not_below = [&](std::size_t tank, double m) {
    extremes_[tank].quiet_from_m = std::max(extremes_[tank].quiet_from_m, m);
  };
  const auto not_above = [&](std::size_t tank, double m) {
    extremes_[tank].quiet_to_m = std::min(extremes_[tank].quiet_to_m, m);
  };
  for (std::size_t i = 0; i < extremes_.size(); ++i) {
    const TankLaw& law = network_.tanks[i];
    extremes_[i].quiet_from_m = -far;
    extremes_[i].quiet_to_m = far;
    const auto lip = [&](bool over, double lip_m) {
      over ? not_below(i, spill_mark_m(lip_m, over)) : not_above(i, spill_mark_m(lip_m, over));
    };
    if (law.overflow) lip(overflowing_[i], law.overflow_m);
    lip(over_rim_[i], law.rim_m);
  }
  for_each_mouth(stepper, [&](std::size_t place, const Link& link, double mouth, std::size_t at) {
    const double mark = bare_mark_m(mouth, link.bore_m, bare_[at]);
    bare_[at] ? not_above(place, mark) : not_below(place, mark);
  });
}

template <class Does>
void Accounts::for_each_mouth(const Stepper& stepper, Does does) const {
  for (const Way& way : stepper.ways().open) {
    const Link& link = network_.links[way.link];
    if (link.kind != Link::Kind::hose) continue;
    const auto mouth_at = [&](int place, double mouth, std::size_t at) {
      if (place != outside && mouth != no_mouth) {
        does(static_cast<std::size_t>(place), link, mouth, at);
      }
    };
    mouth_at(way.from, link.from_mouth_m, 2 * link.part);
    mouth_at(way.to, link.to_mouth_m, 2 * link.part + 1);
  }
}

void Accounts::enter_mouths(const Stepper& stepper, double start_s, double end_s) {
  for_each_mouth(stepper, [&](std::size_t p, const Link& link, double mouth, std::size_t at) {
    const double mark = bare_mark_m(mouth, link.bore_m, bare_[at]);
    const double head = stepper.end().level(p);
    if ((head < mark) == bare_[at]) return;
    bare_[at] = !bare_[at];
    const double before = stepper.now().level(p);
    double when = end_s;
    if ((before < mark) != (head < mark)) {
      when =
          start_s +
          stepper.length_s() *
              crossing(
                  [&](double share) {
                    return Stepper::between(before, stepper.middle().level(p), head, share) - mark;
                  },
                  stepper.length_s());
    }
    note({when, bare_[at] ? Event::Kind::port_uncovers : Event::Kind::port_covers, p,
          HoseId{static_cast<std::uint32_t>(link.part)}, false});
  });
}

void Accounts::enter(const Stepper& stepper, const Setting& setting, double start_s) {
  const double end_s = start_s + stepper.length_s();
  outlet_moved_m3_.assign(record_.outlets.size(), 0.0);
  outlet_m3_per_s_.assign(record_.outlets.size(), 0.0);
  outlet_before_m3_per_s_.assign(record_.outlets.size(), 0.0);
  outlet_between_m3_per_s_.assign(record_.outlets.size(), 0.0);
  pump_m3_per_s_.assign(record_.pumps.size(), 0.0);
  leak_m3_per_s_.assign(record_.leaks.size(), 0.0);
  if (look_anew_) look_at_ways(stepper);
  look_anew_ = false;
  loud_ = false;
  enter_extremes(stepper, end_s);
  enter_ways(stepper, setting, start_s);
  pumps_.enter(stepper, setting, start_s, pump_m3_per_s_);
  if (loud_) enter_lips(stepper, start_s, end_s);
  if (stepper.moved().spilt) enter_spills(stepper, start_s);
  enter_outlets(stepper, setting, start_s, end_s);
  if (loud_) {
    enter_mouths(stepper, start_s, end_s);
    find_quiet_levels(stepper);
  }
  headspaces_.enter(stepper, start_s, {outlet_m3_per_s_, pump_m3_per_s_, leak_m3_per_s_});
}

void Accounts::finish(const Stepper& stepper, double end_s) {
  record_.lasted_s = end_s;
  headspaces_.finish(stepper);
  Ledger& ledger = record_.ledger;
  for (std::size_t i = 0; i < record_.tanks.size(); ++i) {
    TankRecord& tank = record_.tanks[i];
    tank.end_m3 = stepper.volume_m3()[i];
    const double base_m = network_.tanks[i].base_m;
    tank.end_depth_m = stepper.now().level(i) - base_m;
    tank.lowest_depth_m = extremes_[i].lowest_m - base_m;
    tank.lowest_at_s = extremes_[i].lowest_at_s;
    tank.highest_depth_m = extremes_[i].highest_m - base_m;
    tank.highest_at_s = extremes_[i].highest_at_s;
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
