// SPDX-License-Identifier: MIT
#include "plain_switches.h"

#include <algorithm>
#include <cmath>
#include <variant>

#include "plain_ways.h"

namespace plain {

using tankyard::HeaderId;
using tankyard::Hose;
using tankyard::Outlet;
using tankyard::Parts;
using tankyard::Tank;
using tankyard::TankId;

namespace {

constexpr double water_pa_per_m = 998.207 * 9.80665;  // 20 degC
constexpr double never = 1e6;
constexpr double fills_after_s = 60.0;
constexpr double pressure_holds_s = 10.0;
constexpr double pump_mouth_m = 0.025;
constexpr double spills_m = 1e-3;

}  // namespace

Switchboard::Switchboard(const Parts& parts, Moments& moments, const Bears& bears)
    : parts_(parts), moments_(moments) {
  header_lost_s_.assign(parts.headers.size(), -1e30);
  pumps_.resize(parts.pumps.size());
  for (std::size_t k = 0; k < parts.pumps.size(); ++k) pumps_[k].ordered = parts.pumps[k].running;
  watch_top_ups();
  watch_crests();
  watch_headers();
  watch_pumps();
  watch_tanks(bears);
  watch_outlets();
}

void Switchboard::watch_tanks(const Bears& bears) {
  for (std::size_t i = 0; i < parts_.tanks.size(); ++i) {
    const Tank& tank = parts_.tanks[i];
    const auto always = [] { return true; };
    // Told of once water stands a millimetre over a lip, until half of that.
    if (tank.overflow) {
      const double lip = tank.base_m + tank.overflow->height_m;
      watch_mark(What::overflow_ends, What::overflow_starts, i, std::nullopt, lip + 0.5 * spills_m,
                 lip + spills_m, false, always);
    }
    const double rim = tankyard::rim_m(tank);
    watch_mark(What::nothing, What::rim_reached, i, std::nullopt, rim + 0.5 * spills_m,
               rim + spills_m, false, always);
    // A mouth is bare with half its bore out of the water, and covered under all of it.
    const double level = tank.base_m + depth_of(tank.shape, tank.water_m3);
    for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
      const Hose& hose = parts_.hoses[k];
      for (const auto* end : {&hose.from, &hose.to}) {
        if (end->place != tankyard::Place(tankyard::id_at<TankId>(i))) continue;
        const double mouth = tankyard::mouth_m(parts_, *end);
        watch_mark(What::port_uncovers, What::port_covers, i, k, mouth + 0.5 * hose.bore_m,
                   mouth + hose.bore_m, level >= mouth + 0.5 * hose.bore_m,
                   [this, k] { return bool(moments_.state.hose_open[k]); });
      }
    }
    if (i < bears.vacuum_pa.size() && bears.vacuum_pa[i]) {
      const double most = *bears.vacuum_pa[i];
      watches_.push_back(
          {What::folds, What::nothing, i, std::nullopt,
           [this, i, most](const Instant& now) { return now.pa[i] - moments_.outside_pa() + most; },
           nullptr});
    }
    if (i < bears.pressure_pa.size() && bears.pressure_pa[i]) {
      const double most = *bears.pressure_pa[i];
      watches_.push_back(
          {What::bulges, What::nothing, i, std::nullopt,
           [this, i, most](const Instant& now) { return most - now.pa[i] + moments_.outside_pa(); },
           nullptr});
    }
  }
}

void Switchboard::watch_mark(What falls, What rises, std::size_t tank,
                             std::optional<std::size_t> hose, double falls_below_m,
                             double rises_above_m, bool starts_above, std::function<bool()> seen) {
  above_.push_back(starts_above);
  bool& above = above_.back();
  Watch watch;
  watch.part = tank;
  watch.hose = hose;
  watch.number = [tank, falls_below_m, rises_above_m, &above, seen](const Instant& now) {
    if (!seen()) return never;
    return above ? now.level[tank] - falls_below_m : rises_above_m - now.level[tank];
  };
  watch.turn = [falls, rises, &above](const Instant&) {
    above = !above;
    return above ? rises : falls;
  };
  watch.told_only = true;
  watches_.push_back(watch);
}

void Switchboard::watch_outlets() {
  // x (2 - x) = 0.01 of a draw's last centimetre.
  constexpr double dry_m = 0.01 * 0.00501256289338;
  for (std::size_t o = 0; o < parts_.outlets.size(); ++o) {
    const Outlet& outlet = parts_.outlets[o];
    if (!outlet.draw_m3_per_s) continue;
    const tankyard::Place place =
        outlet.at ? outlet.at->place : tankyard::Place(tankyard::id_at<tankyard::OutletId>(o));
    const std::size_t node = moments_.node_at(place);
    watches_.push_back({What::outlet_dry, What::outlet_wet, o, std::nullopt,
                        [this, o, node, place](const Instant& now) {
                          const Outlet& one = parts_.outlets[o];
                          if (!moments_.state.outlet_open[o]) return never;
                          if (const auto* tank = std::get_if<TankId>(&place)) {
                            return now.level[tank->index] +
                                   std::min(0.0, moments_.gas_m(tank->index, now)) -
                                   tankyard::mouth_m(parts_, *one.at) - dry_m;
                          }
                          return now.node_head[node] -
                                 one.height_m.value_or(moments_.nodes()[node].height_m) - dry_m;
                        },
                        nullptr});
  }
}

void Switchboard::watch_top_ups() {
  for (std::size_t k = 0; k < parts_.top_ups.size(); ++k) {
    watches_.push_back({What::nothing, What::nothing, k, std::nullopt,
                        [this, k](const Instant& now) {
                          const tankyard::TopUp& top_up = parts_.top_ups[k];
                          const double depth = now.level[top_up.into.index] -
                                               tankyard::part(parts_.tanks, top_up.into).base_m;
                          return moments_.state.top_up_runs[k] ? top_up.stops_above_m - depth
                                                               : depth - top_up.starts_below_m;
                        },
                        [this, k](const Instant&) {
                          const bool runs = moments_.state.top_up_runs[k];
                          moments_.state.top_up_runs[k] = !runs;
                          return runs ? What::top_up_stops : What::top_up_starts;
                        }});
  }
}

/// How far an end stands above half bare; of a header, above half bare at its own height.
double Switchboard::bare_by_m(const tankyard::HoseEnd& end, double bore_m,
                              const Instant& now) const {
  if (const auto* tank = std::get_if<TankId>(&end.place)) {
    return now.level[tank->index] - tankyard::mouth_m(parts_, end) - 0.5 * bore_m;
  }
  if (const auto* header = std::get_if<HeaderId>(&end.place)) {
    if (moments_.state.header_full[header->index]) return never;
    return now.node_head[header->index] - parts_.headers[header->index].height_m - 0.5 * bore_m;
  }
  return never;
}

void Switchboard::watch_crests() {
  for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
    if (!parts_.hoses[k].crest_m) continue;
    watches_.push_back({What::nothing, What::nothing, k, std::nullopt,
                        [this, k](const Instant& now) {
                          const Hose& hose = parts_.hoses[k];
                          if (!moments_.state.hose_open[k]) return never;
                          double bare = never;
                          double under_crest = -never;
                          for (const auto* end : {&hose.from, &hose.to}) {
                            bare = std::min(bare, bare_by_m(*end, hose.bore_m, now));
                            double head = 0.0;
                            if (const auto* tank = std::get_if<TankId>(&end->place)) {
                              head = now.level[tank->index];
                              under_crest = std::max(under_crest, tankyard::mouth_m(parts_, *end) +
                                                                      hose.bore_m - head);
                            } else {
                              const std::size_t node = moments_.node_at(end->place);
                              if (node == Moments::nowhere)
                                return never;  // a free end: never fills by itself
                              head = now.node_head[node];
                            }
                            under_crest = std::max(under_crest, *hose.crest_m - head);
                          }
                          return moments_.state.crest_full[k] ? bare : under_crest;
                        },
                        [this, k](const Instant&) {
                          const bool full = moments_.state.crest_full[k];
                          moments_.state.crest_full[k] = !full;
                          return full ? What::prime_lost : What::primed;
                        }});
  }
}

bool Switchboard::holds_its_water(std::size_t header) const {
  const tankyard::Place place = tankyard::id_at<HeaderId>(header);
  if (std::none_of(parts_.pumps.begin(), parts_.pumps.end(),
                   [&](const auto& pump) { return pump.from == place; })) {
    return false;
  }
  bool any = false;
  for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
    const Hose& hose = parts_.hoses[k];
    if (!moments_.state.hose_open[k]) continue;
    if (hose.from.place != place && hose.to.place != place) continue;
    if (!hose.one_way || hose.from.place == place) return false;
    any = true;
  }
  return any;
}

// Below nought once air can reach a full header: down an open hose, or a standing pump, from a
// bare mouth, or in by an open nozzle, while its head is below that opening and its own height. One
// that holds its water only gives it up to a pump.
double Switchboard::loses_m(std::size_t header, const Instant& now) const {
  const tankyard::Place place = tankyard::id_at<HeaderId>(header);
  const State& state = moments_.state;
  const double head = now.node_head[header];
  const double height = parts_.headers[header].height_m;
  if (holds_its_water(header)) {
    bool pulled = false;
    for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
      pulled =
          pulled || (parts_.pumps[k].from == place && state.pump_runs[k] && state.pump_primed[k]);
    }
    if (!pulled) return never;
  }
  double least = never;
  const auto opening = [&](double over_bare_m, double mouth) {
    least = std::min(least, std::max({over_bare_m, head - height, head - mouth}));
  };
  for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
    const Hose& hose = parts_.hoses[k];
    if (!state.hose_open[k]) continue;
    if (hose.from.place != place && hose.to.place != place) continue;
    const bool leads_away = hose.from.place == place;
    if (leads_away && hose.one_way) continue;
    const tankyard::HoseEnd& end = leads_away ? hose.to : hose.from;
    if (is_hose_nozzle(parts_, end.place)) {
      const auto id = std::get<tankyard::OutletId>(end.place);
      if (!state.outlet_open[id.index]) continue;
      opening(-never, *tankyard::part(parts_.outlets, id).height_m);
    } else if (std::holds_alternative<TankId>(end.place)) {
      opening(bare_by_m(end, hose.bore_m, now), tankyard::mouth_m(parts_, end));
    }
  }
  for (const std::size_t o : moments_.nodes()[header].nozzles) {
    if (state.outlet_open[o]) opening(-never, parts_.outlets[o].height_m.value_or(height));
  }
  for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
    const tankyard::Pump& pump = parts_.pumps[k];
    if (state.pump_runs[k] || (pump.from != place && pump.to != place)) continue;
    const bool leads_away = pump.from == place;
    if (leads_away && !tankyard::lets_back(pump)) continue;
    const tankyard::Place other = leads_away ? pump.to : pump.from;
    if (std::holds_alternative<TankId>(other)) {
      const tankyard::HoseEnd end{other, std::nullopt};
      opening(bare_by_m(end, pump_mouth_m, now), tankyard::mouth_m(parts_, end));
    } else if (const auto* id = std::get_if<tankyard::OutletId>(&other)) {
      const Outlet& outlet = tankyard::part(parts_.outlets, *id);
      if (leads_away && outlet.bore_m && state.outlet_open[id->index]) {
        opening(-never, *outlet.height_m);
      }
    }
  }
  return least;
}

// Below nought once an empty header has filled: a minute has gone by, no hose or standing pump
// brings a bare end, and, but for one that holds its water, its head is a bore above it.
double Switchboard::fills_m(std::size_t header, const Instant& now) const {
  const tankyard::Place place = tankyard::id_at<HeaderId>(header);
  double most = -never;
  double bore = 0.0;
  const auto join = [&](tankyard::HoseEnd end, double bore_m) {
    bore = std::max(bore, bore_m);
    if (const auto* tank = std::get_if<TankId>(&end.place)) {
      most = std::max(most, tankyard::mouth_m(parts_, end) + bore_m - now.level[tank->index]);
    }
  };
  for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
    const Hose& hose = parts_.hoses[k];
    if (!moments_.state.hose_open[k]) continue;
    if (is_hose_nozzle(parts_, hose.to.place)) {
      const auto id = std::get<tankyard::OutletId>(hose.to.place);
      if (!moments_.state.outlet_open[id.index]) continue;
    }
    if (hose.from.place == place) join(hose.to, hose.bore_m);
    if (hose.to.place == place) join(hose.from, hose.bore_m);
  }
  for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
    const tankyard::Pump& pump = parts_.pumps[k];
    if (moments_.state.pump_runs[k]) {
      if (pump.from == place || pump.to == place) bore = std::max(bore, pump_mouth_m);
      continue;
    }
    if (pump.from == place) join({pump.to, std::nullopt}, pump_mouth_m);
    if (pump.to == place) join({pump.from, std::nullopt}, pump_mouth_m);
  }
  if (bore == 0.0) return never;
  const double waits_s = header_lost_s_[header] + fills_after_s - now.t;
  if (holds_its_water(header)) return std::max(most, waits_s);
  return std::max({most, parts_.headers[header].height_m + bore - now.node_head[header], waits_s});
}

void Switchboard::watch_headers() {
  for (std::size_t h = 0; h < parts_.headers.size(); ++h) {
    watches_.push_back({What::nothing, What::nothing, h, std::nullopt,
                        [this, h](const Instant& now) {
                          return moments_.state.header_full[h] ? loses_m(h, now) : fills_m(h, now);
                        },
                        [this, h](const Instant& now) {
                          const bool full = moments_.state.header_full[h];
                          if (full) header_lost_s_[h] = now.t;
                          moments_.state.header_full[h] = !full;
                          return full ? What::prime_lost : What::primed;
                        },
                        true});
  }
}

void Switchboard::begin(const Instant& now, std::vector<Happening>& happened) {
  for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
    const Hose& hose = parts_.hoses[k];
    const auto stands_over = [&](const tankyard::HoseEnd& end) {
      const auto* tank = std::get_if<TankId>(&end.place);
      return tank && now.level[tank->index] >
                         std::max(*hose.crest_m, tankyard::mouth_m(parts_, end) + hose.bore_m);
    };
    if (hose.crest_m && stands_over(hose.from) && stands_over(hose.to)) {
      moments_.state.crest_full[k] = true;
    }
  }
  for (std::size_t k = 0; k < pumps_.size(); ++k) {
    const auto& stop = parts_.pumps[k].stops_below;
    if (!stop) continue;
    const Tank& tank = tankyard::part(parts_.tanks, stop->tank);
    pumps_[k].low = now.level[stop->tank.index] - tank.base_m < stop->depth_m;
    if (pumps_[k].low) moments_.state.pump_runs[k] = false;
  }
  for (std::size_t h = 0; h < parts_.headers.size(); ++h) {
    const tankyard::Place place = tankyard::id_at<HeaderId>(h);
    bool full = holds_its_water(h);
    for (const auto& pump : parts_.pumps) full = full || (pump.from == place && pump.primed);
    // Every place that open hoses lead to from here.
    std::vector<tankyard::Place> reached{place};
    for (std::size_t at = 0; at < reached.size(); ++at) {
      if (const auto* tank = std::get_if<TankId>(&reached[at])) {
        full = full || now.level[tank->index] > parts_.headers[h].height_m;
        continue;
      }
      for (std::size_t k = 0; k < parts_.hoses.size(); ++k) {
        if (!moments_.state.hose_open[k]) continue;
        const Hose& hose = parts_.hoses[k];
        for (const auto& [one, other] : {std::pair(hose.from.place, hose.to.place),
                                         std::pair(hose.to.place, hose.from.place)}) {
          if (one != reached[at]) continue;
          if (std::find(reached.begin(), reached.end(), other) == reached.end()) {
            reached.push_back(other);
            break;
          }
        }
      }
    }
    moments_.state.header_full[h] = full;
  }
  for (std::size_t k = 0; k < pumps_.size(); ++k) {
    if (!moments_.state.pump_runs[k]) continue;
    Happening one;
    one.part = k;
    one.what = What::pump_starts;
    happened.push_back(one);
    moments_.state.pump_primed[k] = water_at_inlet(k, now);
    one.what = What::pump_starts_dry;
    if (!moments_.state.pump_primed[k]) happened.push_back(one);
  }
  ++moments_.state.turned;
}

void Switchboard::watch_pumps() {
  for (std::size_t k = 0; k < parts_.pumps.size(); ++k) {
    const tankyard::Pump& pump = parts_.pumps[k];
    if (pump.stops_below) {
      watches_.push_back({What::nothing, What::nothing, k, std::nullopt,
                          [this, k](const Instant& now) {
                            const auto& stop = *parts_.pumps[k].stops_below;
                            const double depth = now.level[stop.tank.index] -
                                                 tankyard::part(parts_.tanks, stop.tank).base_m;
                            return pumps_[k].low ? stop.resumes_depth_m - depth
                                                 : depth - stop.depth_m;
                          },
                          [this, k](const Instant&) {
                            pumps_[k].low = !pumps_[k].low;
                            return What::nothing;
                          }});
    }
    if (pump.pressure_switch) {
      watches_.push_back({What::nothing, What::nothing, k, std::nullopt,
                          [this, k](const Instant& now) {
                            const auto& at = *parts_.pumps[k].pressure_switch;
                            const tankyard::Place from = parts_.pumps[k].from;
                            const auto* header = std::get_if<HeaderId>(&from);
                            const double own_m =
                                header ? parts_.headers[header->index].height_m
                                       : tankyard::mouth_m(parts_, {from, std::nullopt});
                            const double pa =
                                water_pa_per_m * (moments_.delivery_head_m(k, now) - own_m);
                            const PumpState& its = pumps_[k];
                            if (!its.ordered) return never;
                            if (its.pressed) {
                              return std::max((pa - at.cut_in_pa) / water_pa_per_m,
                                              its.pressed_s + pressure_holds_s - now.t);
                            }
                            if (!moments_.state.pump_runs[k] || !moments_.state.pump_primed[k]) {
                              return never;
                            }
                            return std::max((at.cut_out_pa - pa) / water_pa_per_m,
                                            its.started_s + pressure_holds_s - now.t);
                          },
                          [this, k](const Instant& now) {
                            pumps_[k].pressed = !pumps_[k].pressed;
                            pumps_[k].pressed_s = now.t;
                            return What::nothing;
                          }});
    }
    if (pump.runs_at_most_s) {
      watches_.push_back({What::nothing, What::nothing, k, std::nullopt,
                          [this, k](const Instant& now) {
                            if (!moments_.state.pump_runs[k]) return never;
                            return pumps_[k].started_s + *parts_.pumps[k].runs_at_most_s - now.t;
                          },
                          [this, k](const Instant&) {
                            pumps_[k].timed_out = true;
                            return What::nothing;
                          }});
    }
    if (const auto* tank = std::get_if<TankId>(&pump.from)) {
      const double mouth = tankyard::mouth_m(parts_, {*tank, std::nullopt});
      watches_.push_back({What::nothing, What::nothing, k, std::nullopt,
                          [this, k, mouth, i = tank->index](const Instant& now) {
                            if (!moments_.state.pump_runs[k] || !moments_.state.pump_primed[k]) {
                              return never;
                            }
                            return now.level[i] - mouth - 0.5 * pump_mouth_m;
                          },
                          [this, k](const Instant&) {
                            pumps_[k].draws_air = true;
                            return What::nothing;
                          }});
    }
  }
}

bool Switchboard::water_at_inlet(std::size_t k, const Instant& now) const {
  const tankyard::Place from = parts_.pumps[k].from;
  if (const auto* tank = std::get_if<TankId>(&from)) {
    return !pumps_[k].draws_air &&
           now.level[tank->index] >
               tankyard::mouth_m(parts_, {from, std::nullopt}) + 0.5 * pump_mouth_m;
  }
  if (moments_.state.header_full[std::get<HeaderId>(from).index]) return true;
  for (std::size_t other = 0; other < parts_.pumps.size(); ++other) {
    if (other != k && parts_.pumps[other].to == from && moments_.state.pump_runs[other] &&
        moments_.state.pump_primed[other]) {
      return true;
    }
  }
  return false;
}

bool Switchboard::follow(const Instant& now, std::vector<Happening>& happened) {
  State& state = moments_.state;
  bool any = false;
  const auto tell = [&](What what, std::size_t pump) {
    Happening one;
    one.what = what;
    one.part = pump;
    one.at_s = now.t;
    happened.push_back(one);
    any = true;
  };
  for (std::size_t k = 0; k < pumps_.size(); ++k) {
    const PumpState& pump = pumps_[k];
    const bool runs = pump.ordered && !pump.low && !pump.pressed && !pump.timed_out;
    if (runs == state.pump_runs[k]) continue;
    state.pump_runs[k] = runs;
    if (!runs) {
      tell(!pump.ordered    ? What::pump_stops
           : pump.timed_out ? What::pump_cut_out_by_time
           : pump.low       ? What::pump_cut_out_low
                            : What::pump_cut_out_by_pressure,
           k);
      continue;
    }
    pumps_[k].started_s = now.t;
    pumps_[k].draws_air = false;
    state.pump_primed[k] = water_at_inlet(k, now);
    tell(What::pump_starts, k);
    if (!state.pump_primed[k]) tell(What::pump_starts_dry, k);
  }
  for (std::size_t k = 0; k < pumps_.size(); ++k) {
    if (!state.pump_runs[k] || !state.pump_primed[k] || water_at_inlet(k, now)) continue;
    state.pump_primed[k] = false;
    tell(What::pump_draws_air, k);
  }
  if (any) ++state.turned;
  return any;
}

void Switchboard::order(std::size_t pump, bool runs, const Instant& now,
                        std::vector<Happening>& happened) {
  pumps_[pump].ordered = runs;
  pumps_[pump].timed_out = false;
  pumps_[pump].pressed = false;
  pumps_[pump].started_s = now.t;
  follow(now, happened);
}

bool Switchboard::passed(std::size_t k, bool downwards, const Instant& now,
                         std::vector<Happening>& happened) {
  const Watch& watch = watches_[k];
  Happening one;
  one.part = watch.part;
  one.hose = watch.hose;
  one.at_header = watch.at_header;
  one.at_s = now.t;
  one.watch = k;
  one.told_only = !watch.turn || watch.told_only;
  one.what = downwards ? watch.falls : watch.rises;
  bool turned = false;
  if (watch.turn && downwards) {
    one.what = watch.turn(now);
    turned = !watch.told_only;
    if (turned) ++moments_.state.turned;
  }
  if (one.what != What::nothing) happened.push_back(one);
  return follow(now, happened) || turned;
}

bool Switchboard::turn_all_due(const Instant& now, std::vector<Happening>& happened) {
  for (std::size_t k = 0; k < watches_.size(); ++k) {
    if (watches_[k].turn && watches_[k].number(now) < 0.0) {
      if (passed(k, true, now, happened)) return true;  // heads are others now
    }
  }
  return follow(now, happened);
}

}  // namespace plain
