// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <vector>

#include "solver/network.h"

namespace tankyard {

/// Everything about an array that holds from one moment to the next without being a level: what is
/// open, what runs, what stands full of water, what the sky and the mains give.
struct Setting {
  std::vector<bool> hose_open;  ///< a hose and its valve
  std::vector<bool> outlet_open;
  std::vector<bool> air_line_open;
  std::vector<bool> crest_primed;   ///< per hose; only read where there is a crest
  std::vector<bool> header_primed;  ///< full of water, so that it siphons
  std::vector<bool> pump_runs;
  std::vector<bool> pump_primed;  ///< only read where it runs; without prime it passes nothing
  std::vector<double> inflow_m3_per_s;  ///< per tank: roofs and top-ups
};

/// A link that can pass water at this moment, with its mouths where the moment puts them. What
/// every turn reads comes first and fills one line of a cache.
struct alignas(64) Way {
  int from = 0;
  int to = outside;
  bool one_way = false;
  bool from_covers = false;  ///< whether water leaving `from` can uncover this mouth
  bool to_covers = false;
  bool over_crest = false;  ///< a crest that holds air stands in place of the mouths: `from_dips_m`
  bool is_pump = false;     ///< `pump` is known
  bool plain = false;       ///< passes both ways by its heads alone, once both mouths are covered
  double from_mouth_m = no_mouth;
  double to_mouth_m = no_mouth;
  double from_full_m = no_mouth;  ///< a level that covers the whole bore
  double to_full_m = no_mouth;
  Elimination::Coupling coupling;
  double per_area_per_m2 = 0.0;  ///< turns litres into the depth they matter in the smaller tank

  double cracking_head_m = 0.0;
  /// The mouth itself, where a crest that holds air stands in its place.
  double from_dips_m = no_mouth;
  double to_dips_m = no_mouth;
  double bore_m = 0.0;
  LossLaw loss;
  std::size_t link = 0;
  std::optional<std::size_t> pump;  ///< a pump that runs: its law takes the place of `loss`
};

/// The ways of a setting, in the order of the links, and the places that simply rest because no
/// storage is in their reach.
///
/// A hose with a crest that holds air acts as if its mouths stood at the crest: water runs over the
/// crest as over a sill, and both ends must stand above it before the hose fills and siphons. A
/// header that holds air does the same at its own height.
struct Ways {
  std::vector<Way> open;
  std::vector<int> group;   ///< per place: the first place it shares water with, or itself; pumps
                            ///< join nothing
  std::vector<bool> rests;  ///< per place
};
Ways ways_of(const Network& network, const Setting& setting);

/// Whether every open hose of a header that a pump draws from has a foot or non-return valve that
/// lets water only in: it then stays full while nothing runs, however low the tanks stand.
bool holds_its_water(const Network& network, const Setting& setting, std::size_t header);

/// The setting a plan starts with, everything open that the plan has open. A crest holds air unless
/// the plan says primed or both its ends stand above it; a header is full if a tank that reaches it
/// stands above it, if it holds its water, or if a pump on it was primed by hand. Pumps that run
/// are taken to be primed; `PumpSwitches` looks after that.
Setting setting_at_start(const Network& network);

}  // namespace tankyard
