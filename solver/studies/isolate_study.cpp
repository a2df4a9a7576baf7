// SPDX-License-Identifier: MIT
#include "solver/studies/isolate_study.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <tuple>
#include <utility>

#include "graph/breach.h"
#include "graph/time_units.h"
#include "solver/left_alone.h"
#include "solver/studies/day_pieces.h"
#include "solver/studies/isolate_compare.h"
#include "solver/studies/isolate_steps.h"
#include "solver/water.h"
#include "solver/who_meets.h"

namespace tankyard {
namespace {

using Does = IsolateStep::Does;

constexpr double first_hour_s = 7.0 * hour_s;
constexpr double last_hour_s = 16.0 * hour_s;
constexpr double after_work_s = hour_s;  // watched after the last valve, at the least
constexpr double traced_every_s = 120.0;
constexpr double level_within_m = 0.010;
constexpr double longest_drain_s = day_s;  // then it is called not drained
constexpr double refill_watched_s = 12.0 * hour_s;
constexpr double kept_for_neighbours = 0.5;  // of what a neighbour's lid bears
constexpr double taken_off_share = 1e-6;
constexpr double held_back_k[] = {30.0, 300.0, 3000.0};

double surface_m2_at(const Tank& tank, double depth) {
  return std::max(1e-6, surface_m2(tank.shape, depth));
}

/// The plan with everything that would run into the tanks turned away.
Parts turned_away(const Array& array, const IsolateCut& cut) {
  Parts parts = array.parts();
  const std::vector<bool> out = taken_out(array, cut.found.tanks);
  for (Roof& roof : parts.roofs) {
    if (out[roof.into.index]) roof.runoff_fraction = 0.0;
  }
  parts.top_ups.erase(std::remove_if(parts.top_ups.begin(), parts.top_ups.end(),
                                     [&](const TopUp& each) { return out[each.into.index]; }),
                      parts.top_ups.end());
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    Tank& tank = parts.tanks[i];
    const bool runs_in = tank.overflow && tank.overflow->to && out[tank.overflow->to->index];
    if (!out[i] && runs_in) tank.overflow->to.reset();
  }
  return parts;
}

/// A pump that stands lets water through, forth by gravity and, without a non-return valve, back.
/// One that no valve parts from the tanks is taken off: what is left of it passes a millionth.
Parts with_pumps_off(Parts parts, const ValveSet& set) {
  for (const PumpId id : set.pumps_stopped) {
    Pump& pump = part(parts.pumps, id);
    for (CurvePoint& point : pump.curve) point.flow_m3_per_s *= taken_off_share;
    pump.one_way = true;
  }
  return parts;
}

Parts with_lids_off(Parts parts, const std::vector<TankId>& tanks) {
  for (const TankId tank : tanks) part(parts.tanks, tank).lid = Lid{};
  return parts;
}

/// A day with the work in it, and the same day without, cut at the same moments.
class Rehearsal {
 public:
  Rehearsal(const Array& array, const DaySheet& sheet, IsolateStudy study,
            const IsolateOptions& options)
      : array_(array),
        sheet_(sheet),
        options_(options),
        study_(std::move(study)),
        out_(taken_out(array, study_.tanks)),
        traced_(options.run) {
    traced_.record_every_s = traced_every_s;
  }

  Result<IsolateStudy> rehearsed();

 private:
  Troubles until(double to_s, const Parts& parts, const std::vector<IsolateStep>& steps,
                 const std::vector<TimedStep>& drains);
  bool kept(const Action& action) const;
  Troubles watch_drains(const Parts& parts);
  Troubles choose_first_valves(const Parts& parts);
  std::vector<HoseId> valves_to(const std::vector<std::size_t>& group, std::size_t piece) const;
  Result<Refill> refill_by(const Parts& parts, HoseId first, std::vector<TankId> tanks) const;
  Result<RunRecord> refilled(const Parts& parts, HoseId first, double loss_k) const;
  std::vector<TankId> strained(const RunRecord& record) const;
  TimedStep all_drains(double at_s, bool open) const;
  double after(const std::vector<IsolateStep>& steps, double otherwise_s) const {
    return steps.empty() ? otherwise_s : steps.back().at_s + steps.back().takes_s;
  }
  void add(const std::vector<IsolateStep>& steps) {
    study_.steps.insert(study_.steps.end(), steps.begin(), steps.end());
  }

  const Array& array_;
  const DaySheet& sheet_;
  const IsolateOptions& options_;
  IsolateStudy study_;
  std::vector<bool> out_;
  RunOptions traced_;

  double now_s_ = 0.0;
  bool at_work_ = false;
  bool inflows_away_ = false;
  Between with_;     // the yard with the work, outlets of `first_drain_` on being the drains
  Between without_;  // the yard without
  std::size_t first_drain_ = 0;
  std::vector<DrainPoint> points_;
  std::vector<DayPiece> pieces_;
  double lower_s_ = 0.0;  // how long the drains stay open before the mark is watched
  double drain_s_ = 0.0;  // and after
};

// While the tanks are out, nobody does what would join them again, or would waste water on them.
bool Rehearsal::kept(const Action& action) const {
  if (!at_work_) return true;
  const ValveSet& set = study_.cut.best();
  const auto among = [](const auto& list, const auto& id) {
    return std::find(list.begin(), list.end(), id) != list.end();
  };
  if (const auto* hose = std::get_if<HoseId>(&action.part)) {
    return !among(set.shut, *hose) && !among(study_.cut.stay_off, *hose);
  }
  if (const auto* outlet = std::get_if<OutletId>(&action.part)) {
    return !among(set.goes_along, Place{*outlet});
  }
  if (const auto* pump = std::get_if<PumpId>(&action.part)) {
    return !among(set.pumps_stopped, *pump) && !among(set.pumps_lost, *pump);
  }
  const auto* line = std::get_if<AirLineId>(&action.part);
  return std::none_of(study_.cut.air_lines.begin(), study_.cut.air_lines.end(),
                      [&](const AirLineAcross& each) { return each.line == *line; });
}

// Runs both days on to a moment. `parts`: the yard at work, drains and all.
Troubles Rehearsal::until(double to_s, const Parts& parts, const std::vector<IsolateStep>& steps,
                          const std::vector<TimedStep>& drains) {
  if (!(to_s > now_s_)) return {};
  const Result<Array> with = Array::make(as_they_are(parts, with_));
  if (!with) return with.error();
  const Result<Array> without = Array::make(as_they_are(array_.parts(), without_));
  if (!without) return without.error();
  DaySheet with_sheet = piece_of(sheet_, now_s_, to_s, with_.rain_m_per_s,
                                 [this](const Action& action) { return kept(action); });
  std::vector<TimedStep> by_hand = drains;
  for (const IsolateStep& step : steps) {
    if (step.actions.empty() || step.at_s < now_s_ || step.at_s >= to_s) continue;
    by_hand.push_back({step.at_s, step.actions, std::nullopt});
  }
  for (TimedStep& step : by_hand) step.at_s = std::min(step.at_s, to_s) - now_s_;
  add_steps(with_sheet, by_hand);
  const DaySheet without_sheet = piece_of(sheet_, now_s_, to_s, without_.rain_m_per_s);

  DayPiece piece;
  piece.from_s = now_s_;
  piece.to_s = to_s;
  piece.inflows_away = inflows_away_;
  Result<RunRecord> worked = run(*with, with_sheet, traced_);
  if (!worked) return worked.error();
  Result<RunRecord> plain = run(*without, without_sheet, traced_);
  if (!plain) return plain.error();
  with_ = after_piece(with_, *with, with_sheet, *worked);
  without_ = after_piece(without_, *without, without_sheet, *plain);
  // Rain washes a roof whether its gutter is led away or not.
  with_.first_flush_left_m = without_.first_flush_left_m;
  piece.with = std::move(*worked);
  piece.without = std::move(*plain);
  pieces_.push_back(std::move(piece));
  now_s_ = to_s;
  return {};
}

TimedStep Rehearsal::all_drains(double at_s, bool open) const {
  TimedStep step;
  step.at_s = at_s;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    step.actions.push_back(
        {open ? Action::Does::open : Action::Does::close, id_at<OutletId>(first_drain_ + i)});
  }
  return step;
}

// How the tanks drain under open lids and, where they have any, under their own.
Troubles Rehearsal::watch_drains(const Parts& parts) {
  const Parts now = as_they_are(parts, with_);
  std::vector<double> lowered_to_m;
  double fall_m = lowered_by_m;
  for (const DrainPoint& point : points_) {
    const Tank& tank = part(now.tanks, point.tank);
    const double over_m = depth_m(tank.shape, tank.water_m3) - point.height_m;
    if (over_m > 2.0 * drained_within_m) fall_m = std::min(fall_m, 0.5 * over_m);
  }
  bool closed = false;
  bool any = false;
  for (const DrainPoint& point : points_) {
    const Tank& tank = part(now.tanks, point.tank);
    const double depth = depth_m(tank.shape, tank.water_m3);
    const bool drains = depth - point.height_m > 2.0 * drained_within_m;
    any = any || drains;
    lowered_to_m.push_back(drains ? depth - fall_m : depth);
    closed = closed || part(array_.tanks(), point.tank).lid.kind != Lid::Kind::open;
  }
  // Where nothing was shut there is nothing to watch.
  const bool watched = any && !study_.cut.best().shut.empty();
  study_.lowered_by_m = watched ? fall_m : 0.0;
  const Result<DrainTrial> open =
      try_drains(now, points_, first_drain_, lowered_to_m, options_.run);
  if (!open) return open.error();
  std::optional<DrainTrial> lid_on;
  if (closed) {
    Parts as_it_is = now;
    for (std::size_t i = 0; i < array_.tanks().size(); ++i) {
      as_it_is.tanks[i].lid = array_.tanks()[i].lid;
    }
    for (std::size_t i = 0; i < as_it_is.air_lines.size(); ++i) {
      as_it_is.air_lines[i].open = without_.air_line_open[i];
    }
    Result<DrainTrial> tried =
        try_drains(as_it_is, points_, first_drain_, lowered_to_m, options_.run);
    if (!tried) return tried.error();
    lid_on = std::move(*tried);
  }
  lower_s_ = drain_s_ = 0.0;
  for (std::size_t i = 0; i < points_.size(); ++i) {
    TankDrains drains;
    drains.from_m3 = part(now.tanks, points_[i].tank).water_m3;
    drains.point = points_[i];
    drains.point.left_m3 = std::min(
        drains.from_m3, volume_m3(part(now.tanks, points_[i].tank).shape, points_[i].height_m));
    drains.point.left_kg =
        drains.point.left_m3 * water_density_kg_per_m3(now.site.water_temperature_degc);
    drains.takes_s = open->drained_after_s[i];
    drains.vacuum = allowed_vacuum(part(array_.tanks(), points_[i].tank));
    drains.lid_is_closed = part(array_.tanks(), points_[i].tank).lid.kind != Lid::Kind::open;
    if (lid_on) {
      drains.as_it_is_s = lid_on->drained_after_s[i];
      drains.as_it_is_lowest_pa = lid_on->air[i].lowest_pa;
      if (lid_on->air[i].folds) drains.as_it_is_folds_s = lid_on->air[i].folds->at_s;
    } else {
      drains.as_it_is_s = drains.takes_s;
    }
    if (watched) lower_s_ = std::max(lower_s_, open->lowered_after_s[i].value_or(0.0));
    drain_s_ = std::max(drain_s_, drains.takes_s.value_or(longest_drain_s));
    study_.drains.push_back(std::move(drains));
  }
  drain_s_ = any ? std::max(0.0, drain_s_ - lower_s_) : 0.0;
  return {};
}

// The valves that join a piece to other water and stand open in the plan at this time.
std::vector<HoseId> Rehearsal::valves_to(const std::vector<std::size_t>& group,
                                         std::size_t piece) const {
  const Parts& parts = array_.parts();
  const Row row(parts);
  std::vector<HoseId> valves;
  for (const HoseId id : study_.cut.best().shut) {
    const Hose& hose = part(parts.hoses, id);
    if (!without_.hose_open[id.index]) continue;
    if (group[row.of(hose.from.place)] != piece && group[row.of(hose.to.place)] != piece) continue;
    valves.push_back(id);
  }
  return valves;
}

// The yard left alone from now on, with one valve open that far.
Result<RunRecord> Rehearsal::refilled(const Parts& parts, HoseId first, double loss_k) const {
  Parts alone = left_alone(as_they_are(parts, with_));
  Hose& hose = part(alone.hoses, first);
  hose.open = hose.valve->open = true;
  hose.valve->loss_k = loss_k;
  const Result<Array> array = Array::make(std::move(alone));
  if (!array) return tl::unexpected<Troubles>(array.error());
  DaySheet sheet;
  sheet.lasts_s = refill_watched_s;
  sheet.starts_clock_s = std::fmod(sheet_.starts_clock_s + now_s_, day_s);
  return run(*array, sheet, traced_);
}

// Tanks that stay and whose lids would not keep half of what they bear in hand; those that are
// pushed before those that are pulled, for a lid that is let go of pushes the others.
std::vector<TankId> Rehearsal::strained(const RunRecord& record) const {
  std::vector<TankId> pushed;
  std::vector<TankId> pulled;
  for (std::size_t i = 0; i < array_.tanks().size(); ++i) {
    const Tank& tank = array_.tanks()[i];
    if (out_[i] || tank.lid.kind == Lid::Kind::open) continue;
    const HeadspaceRecord& air = record.tanks[i].headspace;
    if (air.highest_pa > kept_for_neighbours * allowed_pressure(tank).pa) {
      pushed.push_back(id_at<TankId>(i));
    } else if (-air.lowest_pa > kept_for_neighbours * allowed_vacuum(tank).pa) {
      pulled.push_back(id_at<TankId>(i));
    }
  }
  pushed.insert(pushed.end(), pulled.begin(), pulled.end());
  return pushed;
}

// When the tanks stand within a finger's breadth of where they come to.
double level_after_s(const RunRecord& record, const std::vector<TankId>& tanks) {
  const Trace& trace = record.trace;
  double level_s = 0.0;
  for (const TankId tank : tanks) {
    const double end_m = record.tanks[tank.index].end_depth_m;
    for (std::size_t k = 0; k < trace.time_s.size(); ++k) {
      if (std::fabs(trace.depth_m[k][tank.index] - end_m) <= level_within_m) continue;
      level_s =
          std::max(level_s, k + 1 < trace.time_s.size() ? trace.time_s[k + 1] : refill_watched_s);
    }
  }
  return level_s;
}

// Refilling by one valve: wide open; where that pulls on a neighbour's lid, opened less, so long as
// it is level in good time; else with those lids loosened.
Result<Refill> Rehearsal::refill_by(const Parts& parts, HoseId first,
                                    std::vector<TankId> tanks) const {
  Refill refill;
  refill.tanks = std::move(tanks);
  refill.first = first;
  const double wide_k = part(array_.hoses(), first).valve->loss_k;
  refill.loss_k = wide_k;
  Result<RunRecord> record = refilled(parts, first, wide_k);
  if (!record) return tl::unexpected<Troubles>(record.error());
  refill.full_m3_per_s = std::fabs(record->hoses[first.index].peak_m3_per_s);
  if (!strained(*record).empty()) {
    bool found = false;
    for (const double loss_k : held_back_k) {
      Result<RunRecord> less = refilled(parts, first, loss_k);
      if (!less) return tl::unexpected<Troubles>(less.error());
      if (!strained(*less).empty()) continue;
      found = level_after_s(*less, refill.tanks) <= longest_refill_s;
      if (found) {
        refill.held_back = true;
        refill.loss_k = loss_k;
        record = std::move(less);
      }
      break;
    }
    Parts loosened = parts;
    // A lid that is loosened lets its tank give more, which may push or pull another.
    for (std::size_t k = 0; !found && k < array_.tanks().size(); ++k) {
      std::vector<TankId> more;
      for (const TankId tank : strained(*record)) {
        if (part(loosened.tanks, tank).lid.kind != Lid::Kind::open) more.push_back(tank);
      }
      if (more.empty()) break;
      for (const TankId tank : more) part(loosened.tanks, tank).lid = Lid{};
      refill.loosened.insert(refill.loosened.begin(), more.begin(), more.end());
      record = refilled(loosened, first, wide_k);
      if (!record) return tl::unexpected<Troubles>(record.error());
    }
  }
  refill.first_m3_per_s = std::fabs(record->hoses[first.index].peak_m3_per_s);
  // Others level among themselves, and give nothing to these.
  OpenHoses open = with_.hose_open;
  open[first.index] = true;
  const std::vector<std::size_t> group = groups_in_row(array_.parts(), open);
  for (std::size_t i = 0; i < record->tanks.size(); ++i) {
    const bool joined = !out_[i] && group[i] == group[refill.tanks.front().index];
    const TankRecord& tank = record->tanks[i];
    refill.lost_m3.push_back(joined ? tank.start_m3 - tank.end_m3 : 0.0);
  }
  for (const TankId tank : refill.tanks) refill.comes_to_m3 += record->tanks[tank.index].end_m3;
  refill.level_after_s = level_after_s(*record, refill.tanks);
  return refill;
}

// For each piece of tanks that hang together: the valve that brings most back, a litre in a hundred
// aside; of equals the quickest.
Troubles Rehearsal::choose_first_valves(const Parts& parts) {
  const std::vector<std::size_t> group = groups_in_row(array_.parts(), with_.hose_open);
  std::vector<std::size_t> pieces;
  for (const TankId tank : study_.tanks) {
    if (std::find(pieces.begin(), pieces.end(), group[tank.index]) == pieces.end()) {
      pieces.push_back(group[tank.index]);
    }
  }
  for (const std::size_t piece : pieces) {
    Refill best;
    for (const TankId tank : study_.tanks) {
      if (group[tank.index] == piece) best.tanks.push_back(tank);
    }
    const std::vector<TankId> tanks = best.tanks;
    for (const HoseId valve : valves_to(group, piece)) {
      Result<Refill> refill = refill_by(parts, valve, tanks);
      if (!refill) return refill.error();
      const double more_m3 = refill->comes_to_m3 - best.comes_to_m3;
      const double same_m3 = 0.01 * best.comes_to_m3;
      if (!best.first || more_m3 > same_m3 ||
          (more_m3 > -same_m3 && refill->level_after_s < best.level_after_s)) {
        best = std::move(*refill);
      }
    }
    study_.refills.push_back(std::move(best));
  }
  return {};
}

Result<IsolateStudy> Rehearsal::rehearsed() {
  for (const TankId tank : study_.tanks) {
    points_.push_back(drain_point(array_, tank, options_.drain_bore_m));
  }
  const Parts planned = with_drains(array_.parts(), points_, first_drain_);
  const Result<Array> whole = Array::make(planned);
  if (!whole) return tl::unexpected<Troubles>(whole.error());
  with_ = between_at_start(*whole);
  without_ = between_at_start(array_);
  const auto refused = [](Troubles troubles) {
    return tl::unexpected<Troubles>(std::move(troubles));
  };

  if (Troubles troubles = until(study_.starts_at_s, planned, {}, {}); !troubles.empty()) {
    return refused(std::move(troubles));
  }
  for (std::size_t i = 0; i < array_.tanks().size(); ++i) {
    study_.depth_m.push_back(depth_m(array_.tanks()[i].shape, with_.water_m3[i]));
  }
  at_work_ = inflows_away_ = true;
  std::size_t same = 0;
  const Parts shutting = with_pumps_off(with_drains(turned_away(array_, study_.cut), points_, same),
                                        study_.cut.best());
  const Parts working = with_lids_off(shutting, study_.tanks);
  const std::vector<IsolateStep> shut = steps_to_shut(array_, study_, with_);
  add(shut);
  const double shut_by_s = after(shut, study_.starts_at_s);
  if (Troubles troubles = until(shut_by_s, shutting, shut, {}); !troubles.empty()) {
    return refused(std::move(troubles));
  }

  if (Troubles troubles = watch_drains(working); !troubles.empty()) {
    return refused(std::move(troubles));
  }
  // A leak moves all tanks that it gets to; the level moves least where most of them hang together.
  const std::vector<std::size_t> group = groups_in_row(array_.parts(), with_.hose_open);
  std::map<std::size_t, double> piece_surface_m2;
  double surface_m2 = 0.0;
  double left_m3 = 0.0;
  for (const TankDrains& drains : study_.drains) {
    const Tank& tank = part(array_.tanks(), drains.point.tank);
    const double over_m = depth_m(tank.shape, drains.from_m3) - study_.lowered_by_m;
    double& piece_m2 = piece_surface_m2[group[drains.point.tank.index]];
    piece_m2 += surface_m2_at(tank, std::max(over_m, drains.point.height_m));
    surface_m2 = std::max(surface_m2, piece_m2);
    left_m3 += drains.point.left_m3;
  }
  const double bail_s = left_m3 < 5e-4 ? 0.0 : std::max(hand_s, left_m3 / bailed_m3_per_s);
  const std::vector<IsolateStep> empty =
      steps_to_empty(array_, study_, shut_by_s, lower_s_, drain_s_, bail_s, surface_m2);
  add(empty);
  study_.empty_from_s = after(empty, shut_by_s);
  std::vector<TimedStep> drains;
  for (const IsolateStep& step : empty) {
    if (step.does == Does::lower || step.does == Does::drain) {
      drains.push_back(all_drains(step.at_s, true));
    }
    if (step.does == Does::lower) drains.push_back(all_drains(step.at_s + step.takes_s, false));
  }
  if (Troubles troubles = until(study_.empty_from_s, working, {}, drains); !troubles.empty()) {
    return refused(std::move(troubles));
  }
  for (const TankId tank : study_.tanks) {
    study_.cost.bailed_m3 += with_.water_m3[tank.index];
    with_.water_m3[tank.index] = 0.0;
  }

  study_.empty_until_s = study_.empty_from_s + options_.work_s + hand_s;
  for (std::size_t i = 0; i < points_.size(); ++i) with_.outlet_open[first_drain_ + i] = true;
  if (Troubles troubles = until(study_.empty_until_s, working, {}, {}); !troubles.empty()) {
    return refused(std::move(troubles));
  }
  for (std::size_t i = 0; i < points_.size(); ++i) with_.outlet_open[first_drain_ + i] = false;

  inflows_away_ = false;
  Parts filling = with_pumps_off(planned, study_.cut.best());
  bool closed = false;
  for (const TankId tank : study_.tanks) {
    closed = closed || part(filling.tanks, tank).lid.kind != Lid::Kind::open;
  }
  filling = with_lids_off(std::move(filling), study_.tanks);
  if (Troubles troubles = choose_first_valves(filling); !troubles.empty()) {
    return refused(std::move(troubles));
  }
  double level_s = 0.0;
  for (const Refill& refill : study_.refills) {
    if (!refill.first) continue;
    part(filling.hoses, *refill.first).valve->loss_k = refill.loss_k;
    for (const TankId tank : refill.loosened) part(filling.tanks, tank).lid = Lid{};
    // Lids stay off until nothing pulls any more.
    const bool lids_off = closed || !refill.loosened.empty();
    level_s = std::max(
        level_s, std::min(refill.level_after_s, lids_off ? refill_watched_s : longest_refill_s));
  }
  const std::vector<IsolateStep> fill = steps_to_refill(array_, study_, options_);
  add(fill);
  const double opened_s = after(fill, study_.empty_until_s);
  if (Troubles troubles = until(opened_s + level_s, filling, fill, {}); !troubles.empty()) {
    return refused(std::move(troubles));
  }

  at_work_ = false;
  const std::vector<IsolateStep> back = steps_back(array_, study_, now_s_, without_);
  add(back);
  study_.back_at_s = after(back, now_s_);
  with_.hose_open = without_.hose_open;
  with_.air_line_open = without_.air_line_open;
  with_.pump_running = without_.pump_running;
  std::copy(without_.outlet_open.begin(), without_.outlet_open.end(), with_.outlet_open.begin());
  study_.ends_at_s =
      std::max(study_.back_at_s + after_work_s, std::min(sheet_.lasts_s, study_.back_at_s + day_s));
  if (Troubles troubles = until(study_.ends_at_s, planned, {}, {}); !troubles.empty()) {
    return refused(std::move(troubles));
  }

  tell_why_lids_are_opened(array_, study_);
  put_effects_beside(array_, pieces_, with_, without_, first_drain_, study_);
  return std::move(study_);
}

// Full hours of the first day's working hours within the run; the start of the run if there are
// none.
std::vector<double> times_to_try(const DaySheet& sheet, int every_hours) {
  std::vector<double> times;
  for (double clock_s = first_hour_s; clock_s <= last_hour_s; clock_s += every_hours * hour_s) {
    const double at_s = std::fmod(clock_s - sheet.starts_clock_s + day_s, day_s);
    if (at_s < sheet.lasts_s) times.push_back(at_s);
  }
  std::sort(times.begin(), times.end());
  if (times.empty()) times.push_back(0.0);
  return times;
}

// Less is better: dangers, litres missed, tens of litres given up, time.
std::tuple<int, long, long, double> cost_of(const IsolateStudy& study) {
  int dangers = 0;
  for (const IsolateEffect& effect : study.effects()) {
    if (effect.kind == IsolateEffect::Kind::sucked_in ||
        effect.kind == IsolateEffect::Kind::blown_up) {
      ++dangers;
    }
  }
  const IsolateCost& cost = study.cost;
  const double given_up_m3 =
      cost.drained_m3 + cost.bailed_m3 + cost.turned_away_m3 + std::max(0.0, cost.spilt_m3);
  return {dangers, std::lround(cost.short_m3 * 1e3), std::lround(given_up_m3 * 1e2),
          study.starts_at_s};
}

}  // namespace

double IsolateStudy::drains_m3() const { return cost.drained_m3; }

double IsolateStudy::left_kg() const {
  double kg = 0.0;
  for (const TankDrains& each : drains) kg += each.point.left_kg;
  return kg;
}

std::vector<IsolateEffect> IsolateStudy::effects() const {
  std::vector<IsolateEffect> all;
  for (const IsolateStep& step : steps) {
    all.insert(all.end(), step.meanwhile.begin(), step.meanwhile.end());
  }
  return all;
}

Result<IsolateStudy> study_isolation(const Array& array, const DaySheet& sheet,
                                     const std::vector<TankId>& tanks,
                                     const IsolateOptions& options) {
  if (Troubles troubles = check(options.run); !troubles.empty()) {
    return tl::unexpected<Troubles>(std::move(troubles));
  }
  if (!(options.work_s >= 0.0 && options.drain_bore_m > 0.0 && options.every_hours > 0)) {
    breach("study_isolation", "options out of range");
  }
  IsolateStudy study;
  study.cut = isolate_cut(array, tanks, sheet);
  study.tanks = study.cut.found.tanks;
  if (!study.cut.possible()) return study;
  study.still_supplied = study.cut.best().outlets_supplied;
  study.time_was_given = options.starts_at_s.has_value();
  const std::vector<double> times = study.time_was_given ? std::vector<double>{*options.starts_at_s}
                                                         : times_to_try(sheet, options.every_hours);
  std::optional<IsolateStudy> best;
  for (const double at_s : times) {
    IsolateStudy trial = study;
    trial.starts_at_s = at_s;
    Result<IsolateStudy> tried = Rehearsal(array, sheet, std::move(trial), options).rehearsed();
    if (!tried) return tl::unexpected<Troubles>(tried.error());
    if (!best || cost_of(*tried) < cost_of(*best)) best = std::move(*tried);
  }
  best->times_tried = static_cast<int>(times.size());
  return std::move(*best);
}

}  // namespace tankyard
