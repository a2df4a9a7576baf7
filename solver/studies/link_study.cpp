// SPDX-License-Identifier: MIT
#include "solver/studies/link_study.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "graph/critical_hoses.h"
#include "graph/isolating_valves.h"
#include "solver/air_temperature.h"
#include "solver/drills.h"
#include "solver/in_breathing.h"
#include "solver/lid_again.h"
#include "solver/run.h"
#include "solver/sentences.h"
#include "solver/studies/link_rank.h"
#include "solver/water.h"

namespace tankyard {
namespace {

constexpr double worth_a_stand_m = 0.02;
constexpr double stand_steps_per_m = 100.0;
constexpr double worth_saying_m3 = 5e-3;
constexpr double half_in_hand = 0.5;

std::vector<HoseOnOffer> sorted_offer(std::vector<HoseOnOffer> hoses) {
  std::sort(hoses.begin(), hoses.end(), [](const HoseOnOffer& a, const HoseOnOffer& b) {
    return std::tie(a.bore_m, a.price_per_m) < std::tie(b.bore_m, b.price_per_m);
  });
  hoses.erase(
      std::unique(hoses.begin(), hoses.end(),
                  [](const HoseOnOffer& a, const HoseOnOffer& b) { return a.bore_m == b.bore_m; }),
      hoses.end());
  return hoses;
}

LinkKeeping keeping_of(const Array& array, TankId tank) {
  LinkKeeping keeping;
  const OpenHoses open = array.open_at_start();
  for (std::size_t i = 0; i < array.tanks().size(); ++i) {
    const auto id = id_at<TankId>(i);
    const Isolation isolation = isolating_valves(array, open, {id});
    if (isolation.smallest.empty()) continue;
    const std::size_t valves = isolation.smallest.front().shut.size();
    ++keeping.isolable;
    keeping.most_valves = std::max(keeping.most_valves, valves);
    if (id == tank) keeping.valves_for_new = valves;
  }
  keeping.sole_hoses = critical_hoses(array, open).size();
  return keeping;
}

/// Ways that share what does not depend on bores: the water of a full yard.
using SameWater = std::pair<std::vector<Place>, double>;

SameWater same_water(const WayToJoin& way) {
  std::vector<Place> places;
  for (const Spur& spur : way.spurs) places.push_back(spur.place);
  return {places, way.base_m};
}

class LinkInHand {
 public:
  LinkInHand(const Array& array, const DaySheet& sheet, TankId tank, const LinkOptions& options)
      : array_(array), sheet_(sheet), options_(options) {
    study_.tank = tank;
  }

  Result<LinkStudy> done() {
    if (auto trouble = why_not()) return refuse(std::move(*trouble));
    prepare();
    Result<LinkTrials> trials = link_trials(*studied_, sheet_, study_.tank, options_.run);
    if (!trials) return tl::unexpected<Troubles>(std::move(trials.error()));
    study_.trials = std::move(*trials);
    Result<LinkFigures> without = figures_of(study_.parts, study_.trials, study_.trials.full_m3, 0);
    if (!without) return tl::unexpected<Troubles>(std::move(without.error()));
    study_.without = *without;
    study_.keeping_without = keeping_of(*studied_, study_.tank);
    study_.runs += without->runs + 2;

    std::vector<WayToJoin> ways = on_planned_stand();
    const std::size_t first_round = ways.size();
    to_do_ = ways.size();
    try_all(ways);
    if (options_.stands && !study_.stopped) {
      std::vector<WayToJoin> more = on_other_stands(ways, first_round);
      to_do_ += more.size();
      try_all(more);
    }
    rank(study_);
    if (!study_.stopped) find_old_hose();
    return std::move(study_);
  }

 private:
  std::optional<Trouble> why_not() const {
    const std::vector<std::string> joins = joined_by(array_.parts(), study_.tank);
    Trouble trouble;
    trouble.about = {"tank", study_.tank.index, ""};
    if (!joins.empty()) {
      trouble.message = "tank " + named(part(array_.tanks(), study_.tank).name) +
                        " is joined already, by " + listed(joins);
      trouble.help = "take " + std::string(joins.size() == 1 ? "it" : "them") +
                     " out of the plan, and all ways to join the tank are tried";
      return trouble;
    }
    if (spurs_of(array_, study_.tank, options_.run_per_metre).empty()) {
      trouble.message =
          "there is nothing to join tank " + named(part(array_.tanks(), study_.tank).name) + " to";
      trouble.help = "put the tanks that stand in the yard into the plan";
      return trouble;
    }
    return std::nullopt;
  }

  void prepare() {
    study_.parts = array_.parts();
    Tank& own = part(study_.parts.tanks, study_.tank);
    if (own.lid.kind != Lid::Kind::open) {
      own.lid = Lid{};
      study_.lid_assumed = true;
    }
    studied_ = *Array::make(study_.parts);
    study_.offered = options_.hoses;
    if (study_.offered.empty()) {
      study_.offered_assumed = true;
      for (const double bore_m : assumed_bores_m()) study_.offered.push_back({bore_m, 0.0});
    }
    study_.offered = sorted_offer(std::move(study_.offered));
    study_.priced = std::any_of(study_.offered.begin(), study_.offered.end(),
                                [](const HoseOnOffer& hose) { return hose.price_per_m > 0.0; });
    study_.spurs = spurs_of(*studied_, study_.tank, options_.run_per_metre);
    if (study_.spurs.size() > options_.most_places) {
      study_.places_left_out = study_.spurs.size() - options_.most_places;
      study_.spurs.resize(options_.most_places);
    }
  }

  std::vector<std::vector<Spur>> one_or_two_places() const {
    std::vector<std::vector<Spur>> all;
    for (const Spur& spur : study_.spurs) all.push_back({spur});
    const std::size_t near = std::min(study_.spurs.size(), options_.most_places * 2 / 3);
    for (std::size_t i = 0; i < near; ++i) {
      for (std::size_t k = i + 1; k < near; ++k) {
        all.push_back({study_.spurs[i], study_.spurs[k]});
      }
    }
    return all;
  }

  std::vector<WayToJoin> on_planned_stand() const {
    std::vector<WayToJoin> ways;
    for (const std::vector<Spur>& spurs : one_or_two_places()) {
      for (std::size_t hose = 0; hose < study_.offered.size(); ++hose) {
        for (int side_by_side = 1; side_by_side <= (spurs.size() == 1 ? 2 : 1); ++side_by_side) {
          WayToJoin way;
          way.spurs = spurs;
          way.hose = hose;
          way.side_by_side = side_by_side;
          way.base_m = part(study_.parts.tanks, study_.tank).base_m;
          ways.push_back(std::move(way));
        }
      }
    }
    return ways;
  }

  /// The same joins on other stands, one hose each: single places, and pairs that are not beaten.
  std::vector<WayToJoin> on_other_stands(const std::vector<WayToJoin>& ways, std::size_t count) {
    rank(study_);
    std::set<std::vector<Place>> worth;
    for (const LinkOption& option : study_.options) {
      if (!option.beaten) worth.insert(same_water(option.way).first);
    }
    const double planned_m = part(study_.parts.tanks, study_.tank).base_m;
    double ground_m = planned_m;
    for (const Tank& tank : study_.parts.tanks) ground_m = std::min(ground_m, tank.base_m);
    std::vector<WayToJoin> more;
    for (std::size_t i = 0; i < count; ++i) {
      if (ways[i].side_by_side > 1) continue;
      if (ways[i].two_places() && worth.count(same_water(ways[i]).first) == 0) {
        ++study_.stands_left_out;
        continue;
      }
      std::vector<double> bases = {planned_m};
      for (const Stand stand : {Stand::lips_level, Stand::mouths_level}) {
        const double exact_m = base_for(*studied_, study_.tank, ways[i].spurs, stand);
        const double base_m = std::round(exact_m * stand_steps_per_m) / stand_steps_per_m;
        if (base_m < ground_m) continue;
        const bool near = std::any_of(bases.begin(), bases.end(), [&](double other_m) {
          return std::fabs(base_m - other_m) < worth_a_stand_m;
        });
        if (near) continue;
        bases.push_back(base_m);
        WayToJoin way = ways[i];
        way.stand = stand;
        way.base_m = base_m;
        more.push_back(std::move(way));
      }
    }
    return more;
  }

  void try_all(const std::vector<WayToJoin>& ways) {
    std::vector<SameWater> waters;
    for (const WayToJoin& way : ways) {
      const SameWater water = same_water(way);
      if (full_.emplace(water, std::nullopt).second) waters.push_back(water);
      keep(way);
    }
    std::vector<std::optional<std::vector<double>>> filled(waters.size());
    for_each(
        waters.size(), [&](std::size_t i) { filled[i] = fill(ways, waters[i]); }, false);
    for (std::size_t i = 0; i < waters.size(); ++i) full_[waters[i]] = filled[i];
    study_.runs += static_cast<long long>(waters.size());

    std::vector<std::optional<Result<LinkFigures>>> figures(ways.size());
    for_each(
        ways.size(),
        [&](std::size_t i) {
          const auto& full_m3 = full_.at(same_water(ways[i]));
          if (!full_m3) return;
          const Parts joined = with_way(study_.parts, study_.tank, ways[i], study_.offered);
          if (!Array::make(joined)) return;
          const std::size_t hoses = joined.hoses.size() - study_.parts.hoses.size();
          figures[i] = figures_of(joined, study_.trials, *full_m3, hoses);
        },
        true);
    for (std::size_t i = 0; i < ways.size(); ++i) take(ways[i], figures[i]);
  }

  /// Fills the yard of one of the ways that share its water; none if no bore fits.
  std::optional<std::vector<double>> fill(const std::vector<WayToJoin>& ways,
                                          const SameWater& water) const {
    for (std::size_t i = ways.size(); i-- > 0;) {  // widest first: it settles soonest
      if (ways[i].side_by_side > 1 || same_water(ways[i]) != water) continue;
      const Result<std::vector<double>> full_m3 =
          full_when_joined(with_way(study_.parts, study_.tank, ways[i], study_.offered));
      if (full_m3) return *full_m3;
    }
    return std::nullopt;
  }

  /// Some tries on the cores; whatever a stop leaves undone stays empty.
  void for_each(std::size_t count, const std::function<void(std::size_t)>& work, bool told) {
    if (study_.stopped) return;
    ManyOptions many = options_.many;
    if (many.progress) {
      many.progress = [&](std::size_t done, std::size_t) {
        if (told) options_.many.progress(done_ + done, to_do_);
      };
    }
    const std::size_t tried = try_each(count, work, many);
    if (told) done_ += tried;
    if (tried < count) study_.stopped = true;
  }

  using SameJoins = std::tuple<std::vector<Place>, int, bool>;
  static SameJoins same_joins(const WayToJoin& way) {
    return {same_water(way).first, way.side_by_side, way.valved};
  }

  void keep(WayToJoin way) {
    for (const bool valved : {true, false}) {
      way.valved = valved;
      const SameJoins joins = same_joins(way);
      if (keeping_.count(joins) > 0) continue;
      way.hose = 0;
      const Result<Array> joined =
          Array::make(with_way(study_.parts, study_.tank, way, study_.offered));
      if (joined) keeping_[joins] = keeping_of(*joined, study_.tank);
    }
  }

  void take(WayToJoin way, const std::optional<Result<LinkFigures>>& figures) {
    if (!figures) {
      if (!study_.stopped) study_.unfit += 2;
      return;
    }
    if (!*figures) {
      study_.failed.push_back({way, figures->error().front().message});
      return;
    }
    for (const bool valved : {true, false}) {
      way.valved = valved;
      const auto kept = keeping_.find(same_joins(way));
      if (kept == keeping_.end()) continue;
      LinkOption option;
      option.way = way;
      option.figures = **figures;
      option.keeping = kept->second;
      option.metres = hose_metres(way);
      const HoseOnOffer& hose = study_.offered[way.hose];
      option.price = option.metres * (study_.priced ? hose.price_per_m : hose.bore_m * 1000.0);
      for (const SpurFittings& spur : fittings_of(study_.parts, study_.tank, way)) {
        for (const auto& each : spur.per_hose) option.pieces += each.size() + (valved ? 1U : 0U);
      }
      option.gained_m3 = option.figures.drawn_m3 - study_.without.drawn_m3;
      option.kept_m3 = study_.without.storm_spilt_m3 - option.figures.storm_spilt_m3;
      option.saved_m3 =
          option.gained_m3 + option.kept_m3 +
          saved_on_the_day(option.figures.day_spilt_m3, option.figures.day_delivered_m3);
      option.lid_hole_m = hole_for(option.figures.peak_m3_per_s);
      study_.options.push_back(std::move(option));
    }
    study_.runs += (*figures)->runs;
  }

  std::optional<double> hole_for(double peak_m3_per_s) const {
    const Tank& planned = part(array_.tanks(), study_.tank);
    if (planned.lid.kind == Lid::Kind::open) return std::nullopt;
    const Site& site = study_.parts.site;
    const double outside_pa = atmosphere_pa(site.altitude_m);
    const double air_k = zero_degc_k + site.air_temperature_degc;
    const double spare_pa = half_in_hand * allowed_vacuum(planned).pa;
    const double free = planned.lid.coefficient * planned.lid.screen;
    const double needed_m =
        hole_for_pull_m(peak_m3_per_s, spare_pa, free, outside_pa, air_k, air_k);
    if (as_one_hole_m(planned.lid) >= needed_m) return std::nullopt;
    return next_drill_m(needed_m);
  }

  double saved_on_the_day(double spilt_m3, double delivered_m3) const {
    return study_.without.day_spilt_m3 - spilt_m3 + delivered_m3 - study_.without.day_delivered_m3;
  }

  /// Whether an old hose, widened to the widest on offer, would help the plan's own day.
  void find_old_hose() {
    double best_way_m3 = 0.0;
    for (const LinkOption& option : study_.options) {
      best_way_m3 = std::max(best_way_m3, saved_on_the_day(option.figures.day_spilt_m3,
                                                           option.figures.day_delivered_m3));
    }
    for (std::size_t i = 0; i < study_.parts.hoses.size(); ++i) {
      for (std::size_t k = study_.offered.size(); k-- > 0;) {
        const double bore_m = study_.offered[k].bore_m;
        if (bore_m <= study_.parts.hoses[i].bore_m) break;
        Parts wider = study_.parts;
        wider.hoses[i].bore_m = bore_m;
        const Result<Array> array = Array::make(std::move(wider));
        if (!array) continue;  // it does not fit: the next narrower one
        const Result<RunRecord> day = run(*array, sheet_, options_.run);
        ++study_.runs;
        if (!day) break;
        const double saves_m3 =
            saved_on_the_day(day->ledger.overflowed_m3, day->ledger.delivered_m3);
        if (saves_m3 < worth_saying_m3) break;
        if (study_.old_hose && study_.old_hose->saves_m3 >= saves_m3) break;
        study_.old_hose = OldHose{id_at<HoseId>(i), bore_m, saves_m3, best_way_m3,
                                  saves_m3 > best_way_m3 + worth_saying_m3};
        break;
      }
    }
  }

  const Array& array_;
  const DaySheet& sheet_;
  const LinkOptions& options_;
  LinkStudy study_;
  std::optional<Array> studied_;
  std::map<SameWater, std::optional<std::vector<double>>> full_;
  std::map<SameJoins, LinkKeeping> keeping_;
  std::size_t to_do_ = 0;
  std::size_t done_ = 0;
};

}  // namespace

const std::vector<double>& assumed_bores_m() {
  static const std::vector<double> bores = {0.013, 0.019, 0.025, 0.032, 0.050};
  return bores;
}

std::vector<std::string> joined_by(const Parts& parts, TankId tank) {
  std::vector<std::string> names;
  const auto here = [&](const Place& place) {
    const auto* id = std::get_if<TankId>(&place);
    return id && *id == tank;
  };
  for (const Hose& hose : parts.hoses) {
    if (here(hose.from.place) || here(hose.to.place)) names.push_back(hose.name);
  }
  for (const Pump& pump : parts.pumps) {
    if (here(pump.from) || here(pump.to)) names.push_back(pump.name);
  }
  return names;
}

Result<LinkStudy> study_link(const Array& array, const DaySheet& sheet, TankId tank,
                             const LinkOptions& options) {
  return LinkInHand(array, sheet, tank, options).done();
}

}  // namespace tankyard
