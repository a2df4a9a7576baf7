// SPDX-License-Identifier: MIT
#include "solver/studies/isolate_compare.h"

#include <algorithm>
#include <string>
#include <utility>

#include "solver/lid_words.h"
#include "solver/sentences.h"

namespace tankyard {
namespace {

using EffectKind = IsolateEffect::Kind;

constexpr double least_told_m3 = 1e-3;
constexpr double least_missed_s = 10.0;

// A column of a trace between its rows.
double at(const std::vector<double>& time_s, const Rows& rows, std::size_t column, double when_s) {
  const auto after = std::upper_bound(time_s.begin(), time_s.end(), when_s);
  if (after == time_s.begin()) return rows.front()[column];
  if (after == time_s.end()) return rows.back()[column];
  const auto row = static_cast<std::size_t>(after - time_s.begin());
  const double share = (when_s - time_s[row - 1]) / (time_s[row] - time_s[row - 1]);
  return rows[row - 1][column] + share * (rows[row][column] - rows[row - 1][column]);
}

// When an outlet first gets clearly less than on the other day; the start of the piece where the
// traces show nothing.
double gets_less_from_s(const DayPiece& piece, std::size_t outlet) {
  const Trace& with = piece.with.trace;
  const Trace& without = piece.without.trace;
  for (std::size_t row = 0; row < without.time_s.size(); ++row) {
    const double asked = without.outlet_flow_m3_per_s[row][outlet];
    const double got = at(with.time_s, with.outlet_flow_m3_per_s, outlet, without.time_s[row]);
    if (asked > 1e-8 && got < 0.95 * asked) return piece.from_s + without.time_s[row];
  }
  return piece.from_s;
}

void compare_supply(const Array& array, const std::vector<DayPiece>& pieces,
                    std::vector<IsolateEffect>& effects, IsolateCost& cost) {
  for (std::size_t i = 0; i < array.outlets().size(); ++i) {
    double without_m3 = 0.0;
    double missed_m3 = 0.0;
    double first_s = -1.0;
    for (const DayPiece& piece : pieces) {
      const double less_m3 =
          piece.without.outlets[i].delivered_m3 - piece.with.outlets[i].delivered_m3;
      without_m3 += piece.without.outlets[i].delivered_m3;
      missed_m3 += less_m3;
      if (first_s < 0.0 && less_m3 > 0.5 * least_told_m3) first_s = gets_less_from_s(piece, i);
    }
    if (missed_m3 < least_told_m3 || first_s < 0.0) continue;
    cost.short_m3 += missed_m3;
    const std::string& name = array.outlets()[i].name;
    effects.push_back({EffectKind::loses_supply, name, first_s, missed_m3,
                       named(name) + " gets " + in_litres(without_m3 - missed_m3) + " instead of " +
                           in_litres(without_m3) + " that day"});
  }
  for (std::size_t i = 0; i < array.pumps().size(); ++i) {
    double without_m3 = 0.0;
    double missed_m3 = 0.0;
    double first_s = -1.0;
    for (const DayPiece& piece : pieces) {
      const double less_m3 = piece.without.pumps[i].delivered_m3 - piece.with.pumps[i].delivered_m3;
      without_m3 += piece.without.pumps[i].delivered_m3;
      missed_m3 += less_m3;
      if (first_s < 0.0 && less_m3 > 0.5 * least_told_m3) first_s = piece.from_s;
    }
    // What an outlet does not get has been told.
    const bool to_outlet = std::holds_alternative<OutletId>(array.pumps()[i].to);
    if (missed_m3 < least_told_m3 || to_outlet) continue;
    const std::string& name = array.pumps()[i].name;
    effects.push_back({EffectKind::loses_supply, name, first_s, missed_m3,
                       "pump " + named(name) + " delivers " + in_litres(without_m3 - missed_m3) +
                           " instead of " + in_litres(without_m3) + " that day"});
  }
}

void compare_pumps(const Array& array, const std::vector<DayPiece>& pieces,
                   std::vector<IsolateEffect>& effects) {
  for (std::size_t i = 0; i < array.pumps().size(); ++i) {
    const std::string& name = array.pumps()[i].name;
    bool drew = false;
    bool dry = false;
    for (const DayPiece& piece : pieces) {
      const PumpRecord& with = piece.with.pumps[i];
      const PumpRecord& without = piece.without.pumps[i];
      if (!drew && with.air_drawn && with.lost_prime > without.lost_prime) {
        drew = true;
        effects.push_back({EffectKind::draws_air, name, piece.from_s + with.air_drawn->at_s, 0.0,
                           "pump " + named(name) +
                               " draws air and loses its prime, and passes nothing more until it "
                               "is started with water at its inlet"});
      }
      if (!dry && with.started_dry && with.first_dry_at_s &&
          with.dry_s > without.dry_s + least_missed_s) {
        dry = true;
        effects.push_back({EffectKind::runs_dry, name, piece.from_s + *with.first_dry_at_s,
                           with.dry_s,
                           "pump " + named(name) + " runs dry for " + in_minutes(with.dry_s)});
      }
    }
  }
}

void compare_spills(const Array& array, const std::vector<DayPiece>& pieces,
                    std::vector<IsolateEffect>& effects) {
  for (std::size_t i = 0; i < array.tanks().size(); ++i) {
    double more_m3 = 0.0;
    double first_s = -1.0;
    for (const DayPiece& piece : pieces) {
      const double here_m3 = piece.with.tanks[i].spilt_m3 - piece.without.tanks[i].spilt_m3;
      more_m3 += here_m3;
      if (first_s < 0.0 && here_m3 > 0.5 * least_told_m3) {
        first_s = piece.from_s + piece.with.tanks[i].first_spilt_at_s.value_or(0.0);
      }
    }
    if (more_m3 < least_told_m3 || first_s < 0.0) continue;
    const std::string& name = array.tanks()[i].name;
    effects.push_back(
        {EffectKind::spills, name, first_s, more_m3,
         named(name) + " spills " + in_litres(more_m3) + " more than on a day without the work"});
  }
}

void compare_air(const Array& array, const std::vector<DayPiece>& pieces,
                 std::vector<IsolateEffect>& effects) {
  for (std::size_t i = 0; i < array.tanks().size(); ++i) {
    const std::string& name = array.tanks()[i].name;
    bool folds = false;
    bool bulges = false;
    bool folds_anyway = false;
    bool bulges_anyway = false;
    for (const DayPiece& piece : pieces) {
      folds_anyway = folds_anyway || piece.without.tanks[i].headspace.folds;
      bulges_anyway = bulges_anyway || piece.without.tanks[i].headspace.bulges;
    }
    for (const DayPiece& piece : pieces) {
      const HeadspaceRecord& air = piece.with.tanks[i].headspace;
      if (air.folds && !folds && !folds_anyway) {
        folds = true;
        effects.push_back({EffectKind::sucked_in, name, piece.from_s + air.folds->at_s,
                           -air.lowest_pa,
                           named(name) + " is sucked in: the air under its lid comes to " +
                               in_pascals(air.lowest_pa) + " below that outside, and it may bear " +
                               in_pascals(allowed_vacuum(array.tanks()[i]).pa)});
      }
      if (air.bulges && !bulges && !bulges_anyway) {
        bulges = true;
        effects.push_back({EffectKind::blown_up, name, piece.from_s + air.bulges->at_s,
                           air.highest_pa,
                           named(name) + " is blown up: the air under its lid comes to " +
                               in_pascals(air.highest_pa) + " over that outside, and it may bear " +
                               in_pascals(allowed_pressure(array.tanks()[i]).pa)});
      }
    }
  }
}

void compare_primes(const Array& array, const std::vector<DayPiece>& pieces, const Between& with,
                    const Between& without, std::vector<IsolateEffect>& effects) {
  for (std::size_t i = 0; i < array.hoses().size(); ++i) {
    if (!array.hoses()[i].crest_m || with.crest_full[i] || !without.crest_full[i]) continue;
    double lost_s = pieces.front().from_s;
    for (const DayPiece& piece : pieces) {
      for (const Event& event : piece.with.events) {
        if (event.kind == Event::Kind::prime_lost && !event.at_header && event.part == i) {
          lost_s = piece.from_s + event.at_s;
        }
      }
    }
    const std::string& name = array.hoses()[i].name;
    effects.push_back({EffectKind::loses_prime, name, lost_s, 0.0,
                       "the hump of hose " + named(name) +
                           " lets air in and holds it at the end: fill it again"});
  }
}

// Rain that would have run into the tanks that are out. A top-up that is shut off gives nothing up.
double turned_away_m3(const Array& array, const IsolateStudy& study, const DayPiece& piece) {
  const std::vector<bool> out = taken_out(array, study.tanks);
  const auto& roofs = array.parts().roofs;
  double m3 = 0.0;
  for (std::size_t i = 0; i < roofs.size(); ++i) {
    if (out[roofs[i].into.index]) m3 += piece.without.roofs[i].caught_m3;
  }
  return m3;
}

}  // namespace

void put_effects_beside(const Array& array, const std::vector<DayPiece>& pieces,
                        const Between& with, const Between& without, std::size_t first_drain,
                        IsolateStudy& study) {
  IsolateCost& cost = study.cost;
  std::vector<IsolateEffect> effects;
  compare_supply(array, pieces, effects, cost);
  compare_pumps(array, pieces, effects);
  compare_spills(array, pieces, effects);
  compare_air(array, pieces, effects);
  compare_primes(array, pieces, with, without, effects);
  for (const DayPiece& piece : pieces) {
    for (std::size_t i = 0; i < study.tanks.size(); ++i) {
      cost.drained_m3 += piece.with.outlets[first_drain + i].delivered_m3;
    }
    cost.spilt_m3 += piece.with.ledger.overflowed_m3 - piece.without.ledger.overflowed_m3;
    if (piece.inflows_away) cost.turned_away_m3 += turned_away_m3(array, study, piece);
  }
  for (std::size_t i = 0; i < array.tanks().size(); ++i) {
    cost.stands_less_m3 += without.water_m3[i] - with.water_m3[i];
  }
  std::stable_sort(effects.begin(), effects.end(),
                   [](const IsolateEffect& a, const IsolateEffect& b) { return a.at_s < b.at_s; });
  for (IsolateEffect& effect : effects) {
    IsolateStep* during = &study.steps.front();
    for (IsolateStep& step : study.steps) {
      if (step.at_s <= effect.at_s) during = &step;
    }
    during->meanwhile.push_back(std::move(effect));
  }
}

}  // namespace tankyard
