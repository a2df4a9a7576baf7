// SPDX-License-Identifier: MIT
#include "io/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <ostream>

#include "io/files.h"
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

bool can_be_written(const char* option, const std::string& file, const Asked& asked,
                    const Desk& desk) {
  if (const auto reason = why_not_write(file, IfThere::replace)) {
    complain(desk.err, reason->message, reason->help);
    return false;
  }
  std::error_code ignored;
  if (!std::filesystem::equivalent(file, asked.first, ignored)) return true;
  complain(desk.err, fmt::format("`{}` would take the place of the plan itself", option),
           fmt::format("give `{}` another name", option));
  return false;
}

bool write_page(const std::string& file, const std::string& html, const Desk& desk) {
  if (const auto reason = write_whole(file, html, IfThere::replace)) {
    complain(desk.err, reason->message, reason->help);
    return false;
  }
  desk.tell(
      fmt::format("wrote {}: {} kB; open it in any browser", file, (html.size() + 999) / 1000));
  return true;
}

Exit exit_for(const std::vector<Finding>& findings) {
  const bool danger = std::any_of(findings.begin(), findings.end(), [](const Finding& finding) {
    return finding.severity == Severity::danger;
  });
  return danger ? Exit::danger : Exit::done;
}

}  // namespace tankyard
