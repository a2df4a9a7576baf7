// SPDX-License-Identifier: MIT
#include "io/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "io/plan_text.h"
#include "io/report_words.h"
#include "io/trouble_text.h"

namespace tankyard {

void complain(std::ostream& err, const std::string& message, const std::string& help,
              const std::vector<std::string>& notes) {
  err << "tankyard: error: " << message << "\n";
  for (const std::string& note : notes) err << "note: " << note << "\n";
  if (!help.empty()) err << "help: " << help << "\n";
}

void complain(std::ostream& err, const Troubles& troubles) {
  for (const Trouble& trouble : troubles) {
    complain(err, trouble.message, trouble.help, trouble.notes);
  }
}

std::optional<Plan> plan_or_mistakes(const std::string& path, const Desk& desk) {
  const bool piped = path == "-";
  const std::string shown = piped ? "<standard input>" : path;
  const auto text = plan_text(piped ? "/dev/stdin" : path);
  if (!text) {
    desk.err << in_words(text.error(), {});
    return std::nullopt;
  }
  auto plan = read_plan(*text, shown);
  if (!plan) {
    desk.err << in_words(plan.error(), *text);
    return std::nullopt;
  }
  const Parts& parts = plan->array.parts();
  desk.detail(
      fmt::format("read {}: {}, {}, {}, {}, {}, {} on the day sheet", shown,
                  counted(parts.tanks.size(), "tank"), counted(parts.headers.size(), "header"),
                  counted(parts.hoses.size(), "hose"), counted(parts.outlets.size(), "outlet"),
                  counted(parts.roofs.size(), "roof"), counted(plan->sheet.steps.size(), "step")));
  return std::move(*plan);
}

Exit exit_for(const std::vector<Finding>& findings) {
  const bool danger = std::any_of(findings.begin(), findings.end(), [](const Finding& finding) {
    return finding.severity == Severity::danger;
  });
  return danger ? Exit::danger : Exit::done;
}

}  // namespace tankyard
