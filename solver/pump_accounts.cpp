// SPDX-License-Identifier: MIT
#include "solver/pump_accounts.h"

#include <algorithm>
#include <cmath>

#include "solver/pump_energy.h"

namespace tankyard {
namespace {

constexpr double nothing_share = 0.01;  // of its free flow: less is as good as nothing

}  // namespace

PumpAccounts::PumpAccounts(const Network& network, RunRecord& record)
    : network_(network), record_(record) {
  record.pumps.resize(network.pumps.size());
}

PumpRecord::Inlet PumpAccounts::inlet_at(const Instant& instant, std::size_t way, const Way& of,
                                         double at_s) const {
  const PumpWay& pump = network_.pumps[*of.pump];
  const double head_m = instant.head_m[static_cast<std::size_t>(of.from)];
  PumpRecord::Inlet inlet;
  inlet.at_s = at_s;
  inlet.flow_m3_per_s = instant.way_m3_per_s[way];
  inlet.gauge_pa = (head_m - pump.inlet_m) * network_.water.density_kg_per_m3 * gravity_m_per_s2;
  inlet.npsh_available_m = std::max(0.0, npsh_available_m(head_m, pump.running.suction.boils_at_m));
  inlet.npsh_required_m = pump.running.suction.required.at(inlet.flow_m3_per_s).value;
  return inlet;
}

void PumpAccounts::enter_running(const Stepper& stepper, std::size_t k, double start_s) {
  const Way& way = stepper.ways().open[k];
  const PumpWay& pump = network_.pumps[*way.pump];
  const Pump& part = network_.array.pumps()[*way.pump];
  PumpRecord& record = record_.pumps[*way.pump];
  const double length_s = stepper.length_s();
  record.delivered_m3 += stepper.moved().way_m3[k];

  // By the same shares of a step by which water is moved (solver/stepper.h).
  const auto power_w = [&](const Instant& instant) {
    const double given_m = instant.head_m[static_cast<std::size_t>(way.to)] -
                           instant.head_m[static_cast<std::size_t>(way.from)];
    const double flow = std::max(0.0, instant.way_m3_per_s[k]);
    return electrical_power_w(network_.water.density_kg_per_m3, flow, given_m, part.efficiency);
  };
  const double w = 0.25 * std::sqrt(2.0);
  record.energy_kwh += energy_kwh(w * (power_w(stepper.now()) + power_w(stepper.middle())) +
                                      (1.0 - 2.0 * w) * power_w(stepper.end()),
                                  length_s);

  const double nothing = nothing_share * pump.running.curve.free_flow_m3_per_s();
  const auto pushes_in_vain = [&](const Instant& instant) {
    return instant.way_m3_per_s[k] < nothing &&
           instant.head_m[static_cast<std::size_t>(way.to)] -
                   instant.head_m[static_cast<std::size_t>(way.from)] >
               0.95 * pump.running.curve.shut_off_head_m();
  };
  if (pushes_in_vain(stepper.end())) record.shut_s += length_s;
  for (const Instant* instant : {&stepper.now(), &stepper.end()}) {
    const double at_s = instant == &stepper.end() ? start_s + length_s : start_s;
    record.peak_m3_per_s = std::max(record.peak_m3_per_s, instant->way_m3_per_s[k]);
    const PumpRecord::Inlet inlet = inlet_at(*instant, k, way, at_s);
    if (!record.lowest || inlet.npsh_available_m < record.lowest->npsh_available_m) {
      record.lowest = inlet;
    }
    const auto share = [](const PumpRecord::Inlet& of) {
      return of.npsh_available_m / of.npsh_required_m;
    };
    if (!record.scarcest || share(inlet) < share(*record.scarcest)) record.scarcest = inlet;
    if (share(inlet) < 1.0) record.throttled_s += 0.5 * length_s;
  }
}

void PumpAccounts::enter(const Stepper& stepper, const Setting& setting, double start_s,
                         std::vector<double>& m3_per_s) {
  if (record_.pumps.empty()) return;
  std::vector<bool> passes(record_.pumps.size(), false);
  const auto& ways = stepper.ways().open;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const Link& link = network_.links[ways[k].link];
    if (link.kind != Link::Kind::pump) continue;
    m3_per_s[link.part] = stepper.end().way_m3_per_s[k];
    if (ways[k].pump) {
      passes[link.part] = true;
      enter_running(stepper, k, start_s);
      continue;
    }
    const double moved = stepper.moved().way_m3[k];
    PumpRecord& record = record_.pumps[link.part];
    (moved > 0.0 ? record.ran_on_m3 : record.ran_back_m3) += std::fabs(moved);
  }
  for (std::size_t i = 0; i < passes.size(); ++i) {
    if (!setting.pump_runs[i]) continue;
    PumpRecord& record = record_.pumps[i];
    record.ran_s += stepper.length_s();
    if (passes[i]) continue;
    record.dry_s += stepper.length_s();
    if (!record.first_dry_at_s) record.first_dry_at_s = start_s;
  }
}

void PumpAccounts::note(const Stepper& stepper, const Setting& setting,
                        const std::vector<bool>& header_was_full, const Event& event) {
  PumpRecord& record = record_.pumps[event.part];
  switch (event.kind) {
    case Event::Kind::pump_starts:
      ++record.starts;
      if (!record.first_started_at_s) record.first_started_at_s = event.at_s;
      record.last_stopped_at_s.reset();
      return;
    case Event::Kind::pump_starts_dry:
      if (!record.first_dry_at_s) record.started_dry = true;
      return;
    case Event::Kind::pump_draws_air:
      ++record.lost_prime;
      if (record.air_drawn) return;
      record.air_drawn.emplace();
      record.air_drawn->at_s = event.at_s;
      record.air_drawn->water_m3 = stepper.volume_m3();
      for (std::size_t i = 0; i < network_.tanks.size(); ++i) {
        record.air_drawn->level_m.push_back(stepper.now().level(i));
      }
      record.air_drawn->gas_m = stepper.now().gas_m;
      record.air_drawn->hose_open = setting.hose_open;
      record.air_drawn->crest_full = setting.crest_primed;
      record.air_drawn->header_full = header_was_full;
      return;
    case Event::Kind::pump_cut_out_low:
    case Event::Kind::pump_cut_out_by_pressure:
    case Event::Kind::pump_cut_out_by_time:
      ++record.cut_outs;
      record.last_stopped_at_s = event.at_s;
      return;
    case Event::Kind::pump_stops:
      record.last_stopped_at_s = event.at_s;
      return;
    default:
      return;
  }
}

}  // namespace tankyard
