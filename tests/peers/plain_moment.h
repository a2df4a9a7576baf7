// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "graph/array.h"
#include "graph/day_sheet.h"
#include "plain_pump.h"
#include "plain_ways.h"

namespace plain {

/// What is open, full or running: changes by the day sheet and by the yard's own switches.
struct State {
  std::vector<bool> hose_open;
  std::vector<bool> outlet_open;
  std::vector<bool> line_open;
  std::vector<bool> crest_full;   ///< per hose
  std::vector<bool> header_full;  ///< else it is a sill at its own height
  std::vector<bool> pump_runs;
  std::vector<bool> pump_primed;  ///< only read where it runs
  std::vector<bool> top_up_runs;
  std::vector<bool> flush_done;
  double rain_m_per_s = 0.0;
  long long turned = 0;  ///< goes up with every change of the above
};
State state_at_start(const tankyard::Parts& parts);

/// How the yard stands: all that follows from volumes and pressures in a state.
struct Instant {
  double t = 0.0;
  std::vector<double> pa;         ///< of the air over each tank's water
  std::vector<double> kelvin;     ///< likewise
  std::vector<double> level;      ///< per tank, over the datum
  std::vector<double> node_head;  ///< per node
};

/// Heads and flows of an instant. Flows are searched for way by way; heads of places without
/// storage within them, one inside the other where several hang together.
class Moments {
 public:
  Moments(const tankyard::Parts& parts, const tankyard::DaySheet& sheet);

  State state;

  Instant instant(double t, const double* volume_m3, const double* pa) const;

  const std::vector<Node>& nodes() const { return nodes_; }
  const std::vector<Hole>& holes() const { return holes_; }
  const std::vector<AirWay>& air_ways() const { return air_ways_; }
  const Pipe& pipe_of(std::size_t hose) const { return pipes_[hose]; }
  /// Whether an end of it has no storage, so that its flow comes out of a search.
  bool at_node(std::size_t hose) const { return at_node_[hose]; }
  const PlainPump& pump(std::size_t k) const { return pumps_[k]; }

  double outside_pa() const { return outside_pa_; }
  double outside_kelvin(double t) const;
  double headspace_kelvin(std::size_t tank, double t) const;
  /// Head of gas on a tank's water.
  double gas_m(std::size_t tank, const Instant& now) const;

  /// Head that a hose's flow uses up, with its sign: nothing where nothing can flow.
  double hose_push_m(std::size_t hose, const Instant& now) const;
  double hole_push_m(std::size_t hole, const Instant& now) const;
  double pump_m3_per_s(std::size_t pump, const Instant& now) const;
  /// Head on a pump's delivery side.
  double delivery_head_m(std::size_t pump, const Instant& now) const;
  double air_kg_per_s(std::size_t way, const Instant& now) const;
  double nozzle_m3_per_s(const Node& node, std::size_t outlet, double head_m) const;
  double draw_m3_per_s(const Node& node, std::size_t outlet, double head_m) const;
  /// A draw straight on a tank: as far as the water stands, and its head, over the mouth.
  double straight_draw_m3_per_s(const tankyard::Outlet& outlet, const Instant& now) const;

  /// The node at a place; none for a tank or a nozzle that a hose has to itself.
  std::size_t node_at(tankyard::Place place) const;
  static constexpr std::size_t nowhere = static_cast<std::size_t>(-1);

 private:
  struct End {
    double head_m = 0.0;
    double gives = 1.0;  ///< share of its mouth that is covered
  };
  struct Found {
    std::vector<double> rests_on;
    std::vector<double> heads_m;
  };
  /// Nodes that hang together, by their places among the nodes.
  struct Cluster {
    std::vector<std::size_t> nodes;
    std::vector<std::size_t> tanks;      ///< whose levels and pressures their heads rest on
    mutable std::array<Found, 3> found;  ///< the last first
  };

  double kelvin(double swing_k, double t) const;
  End end_of(tankyard::Place place, double mouth_m, double bore_m, const Instant& now) const;
  double inflow_m3_per_s(std::size_t node, const Instant& now) const;
  void balance(const Cluster& cluster, std::size_t from, Instant& now) const;
  void find_heads(const Cluster& cluster, Instant& now) const;
  void find_clusters();

  const tankyard::Parts& parts_;
  const tankyard::DaySheet& sheet_;
  double outside_pa_ = 0.0;
  std::vector<Node> nodes_;
  std::vector<Hole> holes_;
  std::vector<AirWay> air_ways_;
  std::vector<Pipe> pipes_;
  std::vector<bool> at_node_;
  std::vector<bool> ends_in_nozzle_;  ///< per hose
  std::vector<PlainPump> pumps_;
  std::vector<Cluster> clusters_;
  mutable std::vector<double> settled_head_m_;  ///< per node, where it last stood
};

}  // namespace plain
