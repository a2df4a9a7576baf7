// SPDX-License-Identifier: MIT
#include "io/isolate_words.h"

#include "io/report_words.h"

namespace tankyard {

std::vector<std::string> tank_names(const Plan& plan, const std::vector<TankId>& tanks) {
  std::vector<std::string> names;
  names.reserve(tanks.size());
  for (const TankId id : tanks) names.push_back(part(plan.array.tanks(), id).name);
  return names;
}

const char* them(const IsolateStudy& study) { return study.tanks.size() == 1 ? "it" : "them"; }

ClockAndDay clock_and_day(const Plan& plan, double at_s) {
  const std::string text = clock_of(plan, at_s);
  const std::string between = " on ";
  const std::size_t at = text.find(between);
  if (at == std::string::npos) return {text, {}};
  return {text.substr(0, at), text.substr(at + between.size())};
}

std::string plain_list(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

}  // namespace tankyard
