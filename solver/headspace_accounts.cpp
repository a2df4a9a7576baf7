// SPDX-License-Identifier: MIT
#include "solver/headspace_accounts.h"

#include <algorithm>
#include <cmath>

#include "solver/crossing.h"
#include "solver/shell.h"

namespace tankyard {

HeadspaceAccounts::HeadspaceAccounts(const Network& network, RunRecord& record)
    : network_(network),
      record_(record),
      weight_n_per_m3_(network.water.density_kg_per_m3 * gravity_m_per_s2),
      bears_(network.tanks.size()) {
  const std::vector<Tank>& tanks = network.array.tanks();
  for (std::size_t i = 0; i < tanks.size(); ++i) {
    if (tanks[i].lid.kind == Lid::Kind::open) continue;
    closed_.push_back(i);
    bears_[i] = {allowed_vacuum(tanks[i]).pa, allowed_pressure(tanks[i]).pa};
  }
}

ShellMoment HeadspaceAccounts::moment_of(const Stepper& stepper, std::size_t tank, double start_s,
                                         double share, const Leaving& leaving) const {
  ShellMoment moment;
  moment.at_s = start_s + share * stepper.length_s();
  moment.level_m = Stepper::between(stepper.now().level(tank), stepper.middle().level(tank),
                                    stepper.end().level(tank), share);
  const TankLaw& law = network_.tanks[tank];
  moment.out_m3 =
      record_.tanks[tank].start_m3 - law.volume_at(std::max(moment.level_m, law.base_m)).m3;
  moment.out_m3_per_s =
      (stepper.volume_m3()[tank] - stepper.end_volume_m3()[tank]) / stepper.length_s();

  // Only what shares water with this tank pulls on it.
  const std::vector<int>& group = stepper.ways().group;
  const auto joined = [&](int place) {
    return group[static_cast<std::size_t>(place)] == group[tank];
  };
  moment.outlet_m3_per_s.assign(leaving.outlet_m3_per_s.size(), 0.0);
  moment.pump_m3_per_s.assign(leaving.pump_m3_per_s.size(), 0.0);
  moment.leak_m3_per_s.assign(leaving.leak_m3_per_s.size(), 0.0);
  moment.pump_ran.assign(leaving.pump_m3_per_s.size(), false);
  for (const Way& way : stepper.ways().open) {
    if (way.is_pump) moment.pump_ran[*way.pump] = true;
  }
  for (const Link& link : network_.links) {
    if (!joined(link.from)) continue;
    if (link.kind == Link::Kind::leak) {
      moment.leak_m3_per_s[link.part] = leaving.leak_m3_per_s[link.part];
    } else if (link.kind == Link::Kind::pump) {
      moment.pump_m3_per_s[link.part] = std::max(0.0, leaving.pump_m3_per_s[link.part]);
    } else if (link.kind == Link::Kind::outlet) {
      moment.outlet_m3_per_s[link.part] = leaving.outlet_m3_per_s[link.part];
    } else if (link.nozzle) {
      moment.outlet_m3_per_s[*link.nozzle] = leaving.outlet_m3_per_s[*link.nozzle];
    }
  }
  for (const Draw& draw : network_.draws) {
    if (joined(draw.place)) {
      moment.outlet_m3_per_s[draw.outlet] = leaving.outlet_m3_per_s[draw.outlet];
    }
  }
  return moment;
}

void HeadspaceAccounts::watch(const Stepper& stepper, std::size_t tank, double start_s,
                              const Leaving& leaving, double sign, double bears_pa, double& past_s,
                              std::optional<ShellMoment>& first) {
  const auto past_pa = [&](const Instant& instant) {
    return sign * instant.gas_m[tank] * weight_n_per_m3_ - bears_pa;
  };
  const double at_start = past_pa(stepper.now());
  const double at_end = past_pa(stepper.end());
  if (at_start <= 0.0 && at_end <= 0.0) return;
  double from = 0.0;
  double until = 1.0;
  if ((at_start > 0.0) != (at_end > 0.0)) {
    const double at_middle = past_pa(stepper.middle());
    const double turns =
        crossing([&](double share) { return Stepper::between(at_start, at_middle, at_end, share); },
                 stepper.length_s());
    (at_start > 0.0 ? until : from) = turns;
  }
  past_s += (until - from) * stepper.length_s();
  if (!first) first = moment_of(stepper, tank, start_s, from, leaving);
}

void HeadspaceAccounts::enter(const Stepper& stepper, double start_s, const Leaving& leaving) {
  if (stepper.end().gas_m.empty()) return;
  const double end_s = start_s + stepper.length_s();
  for (const std::size_t i : closed_) {
    HeadspaceRecord& record = record_.tanks[i].headspace;
    const double pa = stepper.end().gas_m[i] * weight_n_per_m3_;
    if (pa < record.lowest_pa) record.lowest_pa = pa, record.lowest_at_s = end_s;
    if (pa > record.highest_pa) record.highest_pa = pa, record.highest_at_s = end_s;
    record.turned_away_m3 += stepper.moved().turned_away_m3[i];
    record.out_of_lid_m3 += stepper.moved().over_rim_m3[i];
    const double least_pa = std::min(pa, stepper.now().gas_m[i] * weight_n_per_m3_);
    const double most_pa = std::max(pa, stepper.now().gas_m[i] * weight_n_per_m3_);
    if (least_pa > -bears_[i].vacuum_pa && most_pa < bears_[i].pressure_pa) continue;
    watch(stepper, i, start_s, leaving, -1.0, bears_[i].vacuum_pa, record.past_vacuum_s,
          record.folds);
    watch(stepper, i, start_s, leaving, 1.0, bears_[i].pressure_pa, record.past_pressure_s,
          record.bulges);
  }
}

void HeadspaceAccounts::finish(const Stepper& stepper) {
  for (std::size_t i = 0; i < stepper.now().gas_m.size(); ++i) {
    record_.tanks[i].headspace.end_pa = stepper.now().gas_m[i] * weight_n_per_m3_;
  }
}

}  // namespace tankyard
