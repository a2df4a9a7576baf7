// SPDX-License-Identifier: MIT
#include "draw_parts.h"

#include <optional>
#include <string>
#include <vector>

namespace peers {

using namespace tankyard;

void lead_overflows(Dice& dice, Parts& parts) {
  for (std::size_t i = 0; i < parts.tanks.size(); ++i) {
    if (!parts.tanks[i].overflow) continue;
    std::vector<std::size_t> lower;
    for (std::size_t k = 0; k < parts.tanks.size(); ++k) {
      if (k != i && rim_m(parts.tanks[k]) < lip_m(parts.tanks[i])) lower.push_back(k);
    }
    if (!lower.empty() && dice.chance(0.7)) {
      parts.tanks[i].overflow->to = id_at<TankId>(lower[dice.below(lower.size())]);
    }
  }
}

Hose draw_hose(Dice& dice, std::size_t index, double widest_m) {
  Hose hose;
  hose.name = "hose-" + std::to_string(index + 1);
  hose.bore_m = dice.spread(0.008, widest_m);
  hose.length_m = dice.spread(0.5, 20.0);
  hose.roughness_m = dice.spread(1.5e-6, 2e-4);
  hose.loss_k = dice.between(0.0, 5.0);
  return hose;
}

void draw_steps(Dice& dice, const Parts& parts, std::size_t fewer_than, double most_rain_m_per_s,
                DaySheet& sheet) {
  const std::size_t many = dice.below(fewer_than);
  for (std::size_t k = 0; k < many; ++k) {
    TimedStep step;
    step.at_s = sheet.lasts_s * (static_cast<double>(k) + dice.between(0.0, 0.9)) /
                static_cast<double>(many);
    if (!parts.hoses.empty() && dice.chance(0.5)) {
      const auto does = dice.chance(0.5) ? Action::Does::close : Action::Does::open;
      step.actions.push_back({does, id_at<HoseId>(dice.below(parts.hoses.size()))});
    }
    if (!parts.outlets.empty() && dice.chance(0.7)) {
      const auto does = dice.chance(0.4) ? Action::Does::close : Action::Does::open;
      step.actions.push_back({does, id_at<OutletId>(dice.below(parts.outlets.size()))});
    }
    if (!parts.air_lines.empty() && dice.chance(0.3)) {
      const auto does = dice.chance(0.5) ? Action::Does::close : Action::Does::open;
      step.actions.push_back({does, id_at<AirLineId>(dice.below(parts.air_lines.size()))});
    }
    if (!parts.roofs.empty() && dice.chance(0.7)) {
      step.rain_m_per_s = dice.chance(0.3) ? 0.0 : dice.spread(1e-7, most_rain_m_per_s);
    }
    sheet.steps.push_back(step);
  }
}

HoseEnd end_at(Dice& dice, const Parts& parts, std::size_t tank, double bore_m) {
  HoseEnd end{id_at<TankId>(tank), std::nullopt};
  if (dice.chance(0.4)) {
    end.height_m = dice.between(0.0, 0.6) * (height_m(parts.tanks[tank].shape) - bore_m);
  }
  return end;
}

}  // namespace peers
