// SPDX-License-Identifier: MIT
#include "io/faults_words.h"

#include <fmt/format.h>

#include <cmath>

#include "io/report_words.h"

namespace tankyard {

using Sign = FirstSign::Kind;

std::string in_words(const Parts& parts, const FaultOutcome& outcome) {
  std::string text;
  for (const Fault& fault : outcome.faults) {
    text += (text.empty() ? "" : ", and ") + in_words(parts, fault);
  }
  return text;
}

std::string clock_of(const Plan& plan, const FaultStudy& study, double at_s) {
  Plan rehearsed = plan;
  rehearsed.sheet = study.day.sheet;
  return clock_of(rehearsed, at_s);
}

std::string sign_in_words(const Plan& plan, const FaultStudy& study, const FirstSign& sign) {
  const Parts& parts = plan.array.parts();
  const auto at = [&](const auto& list, const char* does) {
    return fmt::format("{} `{}` {}", clock_of(plan, study, sign.at_s), list[sign.part].name, does);
  };
  const auto stands = [&] {
    return fmt::format("stands {:.0f} mm {}", std::fabs(sign.depth_m) * 1000.0,
                       sign.depth_m < 0.0 ? "lower" : "higher");
  };
  switch (sign.kind) {
    case Sign::none:
      return "nothing to see";
    case Sign::water_runs:
      return fmt::format("{} water runs from `{}`", clock_of(plan, study, sign.at_s),
                         parts.hoses[sign.part].name);
    case Sign::sucked_in:
      return at(parts.tanks, "bows in");
    case Sign::blown_up:
      return at(parts.tanks, "bulges");
    case Sign::gutter_over:
      return fmt::format("{} rain runs over the gutter of `{}`", clock_of(plan, study, sign.at_s),
                         parts.roofs[sign.part].name);
    case Sign::pump_dry:
      return at(parts.pumps, "runs dry");
    case Sign::spills:
      return at(parts.tanks, "runs over");
    case Sign::dry:
      return at(parts.outlets, "gives nothing");
    case Sign::weak:
      return at(parts.outlets, "gives little");
    case Sign::lower:
    case Sign::higher:
      return at(parts.tanks, stands().c_str());
    case Sign::by_morning:
      return fmt::format("in the end `{}` {}", parts.tanks[sign.part].name, stands());
  }
  return "";
}

const char* word_for(Sign kind) {
  switch (kind) {
    case Sign::none:
      return "none";
    case Sign::water_runs:
      return "water_runs";
    case Sign::sucked_in:
      return "sucked_in";
    case Sign::blown_up:
      return "blown_up";
    case Sign::gutter_over:
      return "gutter_over";
    case Sign::pump_dry:
      return "pump_dry";
    case Sign::spills:
      return "spills";
    case Sign::dry:
      return "dry";
    case Sign::weak:
      return "weak";
    case Sign::lower:
      return "lower";
    case Sign::higher:
      return "higher";
    case Sign::by_morning:
      return "by_morning";
  }
  return "";
}

}  // namespace tankyard
