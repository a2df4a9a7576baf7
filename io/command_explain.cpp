// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include "io/commands.h"
#include "io/json.h"
#include "io/nearest.h"
#include "io/report.h"

namespace tankyard {

Answer answer_explain(const Asked& asked, const Desk& desk) {
  const std::vector<KindOfFinding>& kinds = kinds_of_finding();
  if (asked.first.empty()) {
    return {Exit::done, asked.json ? kinds_json(kinds) : kinds_text(kinds, desk.columns)};
  }
  std::vector<std::string> names;
  for (const KindOfFinding& kind : kinds) {
    names.emplace_back(kind.name);
    if (kind.name != asked.first) continue;
    return {Exit::done, asked.json ? kinds_json({kind}) : explain_text(kind, desk.columns)};
  }
  const auto near = nearest_name(asked.first, names);
  complain(desk.err, fmt::format("this version knows no kind of finding `{}`", asked.first),
           near ? fmt::format("there is a kind with a similar name: `{}`", *near)
                : "`tankyard explain` lists all kinds");
  return {Exit::unusable, {}};
}

}  // namespace tankyard
