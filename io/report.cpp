// SPDX-License-Identifier: MIT
#include "io/report.h"

#include <fmt/format.h>

#include <algorithm>

#include "io/report_words.h"
#include "io/tables.h"

namespace tankyard {
namespace {

std::string heading_of(const Plan& plan, const Finding& finding) {
  std::string text = fmt::format("{}: {} at `{}`", word_for(finding.severity),
                                 about(finding.kind).name, finding.where);
  if (finding.at_s) text += fmt::format(", from {}", clock_of(plan, *finding.at_s));
  text += fmt::format(", {}", amount(finding.value, finding.unit));
  if (finding.limit) text += fmt::format(", limit {}", amount(*finding.limit, finding.unit));
  return text;
}

/// Many notes of one kind, one line or two each, so that they do not bury what weighs more.
std::string notes_text(const std::vector<const Finding*>& notes, int prose) {
  const char* kind = about(notes.front()->kind).name;
  std::string text =
      wrapped(fmt::format("note: {} at {} places", kind, notes.size()), prose, "  ", "    ");
  for (const Finding* note : notes) text += wrapped(note->says, prose, "    - ", "      ");
  return text + wrapped(fmt::format("`tankyard explain {}` says what helps", kind), prose,
                        "    do: ", "        ");
}

/// The first sentence of a text.
std::string first_sentence(const std::string& text) {
  const std::size_t stop = text.find(". ");
  return stop == std::string::npos ? text : text.substr(0, stop + 1);
}

}  // namespace

int prose_columns(int columns) { return std::min(columns, 96); }

std::string heading(const std::string& title, int columns) {
  return "\n" + wrapped(title, columns);
}

std::string count_of(const std::vector<Finding>& findings) {
  std::string text;
  std::size_t kinds = 0;
  std::size_t told = 0;
  const auto number_of = [&](Severity severity) {
    return static_cast<std::size_t>(
        std::count_if(findings.begin(), findings.end(),
                      [&](const Finding& finding) { return finding.severity == severity; }));
  };
  const auto order = {Severity::danger, Severity::warning, Severity::note};
  for (const Severity severity : order) {
    if (number_of(severity) > 0) ++kinds;
  }
  for (const Severity severity : order) {
    const std::size_t number = number_of(severity);
    if (number == 0) continue;
    ++told;
    if (told > 1) text += told == kinds ? " and " : ", ";
    text += counted(number, word_for(severity));
  }
  return text.empty() ? "no findings" : text;
}

std::string findings_text(const Plan& plan, const std::vector<Finding>& findings, int columns) {
  constexpr std::size_t many = 3;
  const int prose = prose_columns(columns);
  std::string text = heading("Findings", columns);
  if (findings.empty()) return text + "  none\n";
  std::vector<FindingKind> told_together;
  const auto told = [&](FindingKind kind) {
    return std::find(told_together.begin(), told_together.end(), kind) != told_together.end();
  };
  for (const Finding& finding : findings) {
    std::string piece;
    if (finding.severity == Severity::note) {
      if (told(finding.kind)) continue;
      std::vector<const Finding*> alike;
      for (const Finding& other : findings) {
        if (other.severity == Severity::note && other.kind == finding.kind) alike.push_back(&other);
      }
      if (alike.size() >= many) {
        told_together.push_back(finding.kind);
        piece = notes_text(alike, prose);
      }
    }
    if (piece.empty()) {
      piece = wrapped(heading_of(plan, finding), prose, "  ", "    ") +
              wrapped(finding.says, prose, "    ", "    ") +
              wrapped(finding.do_this, prose, "    do: ", "        ");
    }
    if (&finding != &findings.front()) text += "\n";
    text += piece;
  }
  return text;
}

Chapter assumed_chapter(const Plan& plan) {
  return {"Taken for granted", std::nullopt, {}, assumed_in(plan)};
}

std::string assumed_text(const Plan& plan, int columns) {
  return chapter_text(assumed_chapter(plan), columns);
}

std::string explain_text(const KindOfFinding& kind, int columns) {
  const int prose = prose_columns(columns);
  return fmt::format("{}\n\nWhat it means\n{}\nWhy it matters\n{}\nWhat to do\n{}", kind.name,
                     wrapped(kind.means, prose, "  ", "  "),
                     wrapped(kind.matters, prose, "  ", "  "),
                     wrapped(kind.remedy, prose, "  ", "  "));
}

std::string kinds_text(const std::vector<KindOfFinding>& kinds, int columns) {
  std::string text = wrapped(
      fmt::format("tankyard knows {} kinds of finding. `tankyard explain KIND` says more of each.",
                  kinds.size()),
      prose_columns(columns));
  for (const KindOfFinding& kind : kinds) {
    text += fmt::format("\n  {}\n", kind.name);
    text += wrapped(first_sentence(kind.means), prose_columns(columns), "    ", "    ");
  }
  return text;
}

}  // namespace tankyard
