// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include "io/completions.h"

namespace tankyard {
namespace {

/// Text in a line of a man page: what troff would take for its own is escaped.
std::string roff(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    switch (c) {
      case '\\':
        safe += "\\e";
        break;
      case '-':
        safe += "\\-";
        break;
      case '`':
        safe += "\\(ga";
        break;
      case '\'':
        safe += "\\(aq";
        break;
      default:
        safe += c;
    }
  }
  return !safe.empty() && safe[0] == '.' ? "\\&" + safe : safe;
}

std::string usage_of(const CommandWords& command) {
  std::string text = fmt::format("\\fB{}\\fR ", roff(command.name));
  if (command.first.empty()) return text;
  text += command.needs_first ? fmt::format("\\fI{}\\fR", roff(command.first))
                              : fmt::format("[\\fI{}\\fR]", roff(command.first));
  if (!command.more.empty()) text += fmt::format(" [\\fI{}\\fR]", roff(command.more));
  return text;
}

std::string tagged(const std::string& tag, const std::string& text) {
  return ".TP\n" + tag + "\n" + text + "\n";
}

std::string examples_of(const CommandWords& command) {
  std::string text;
  for (const auto& [line, does] : command.examples) {
    text += tagged(fmt::format("\\fB{}\\fR", roff(line)), roff(does));
  }
  return text;
}

std::string options_of(const CommandWords& command) {
  std::string text;
  for (const OptionWords& option : command.options) {
    std::string tag;
    if (!option.short_flag.empty()) tag = fmt::format("\\fB{}\\fR, ", roff(option.short_flag));
    tag += fmt::format("\\fB{}\\fR", roff(option.long_flag));
    if (!option.value.empty()) tag += fmt::format(" \\fI{}\\fR", roff(option.value));
    text += tagged(tag, roff(option.does));
  }
  return text;
}

}  // namespace

std::string man_page(const std::vector<CommandWords>& commands) {
  std::string text = fmt::format(
      ".\\\" Made by tankyard from its table of commands.\n.TH TANKYARD 1 \"\" \"tankyard {}\" "
      "\"User Commands\"\n.SH NAME\ntankyard \\- {}\n.SH SYNOPSIS\n",
      TANKYARD_VERSION, roff(tool_in_a_line()));
  for (const CommandWords& command : commands) {
    text += fmt::format("\\fBtankyard\\fR {} [\\fIOPTIONS\\fR]\n.br\n", usage_of(command));
  }
  text += "\\fBtankyard help\\fR [\\fICOMMAND\\fR]\n.SH EXAMPLES\n";
  for (const CommandWords& command : commands) text += examples_of(command);
  text += ".SH COMMANDS\n";
  for (const CommandWords& command : commands) {
    text += fmt::format(".SS {}\n{}.\n", usage_of(command), roff(command.does));
    if (command.first == "PLAN") {
      text += ".PP\n\\fIPLAN\\fR may be \\-, for standard input.\n";
    }
    text += options_of(command);
  }
  text += ".SH OPTIONS\n" +
          tagged("\\fB\\-h\\fR, \\fB\\-\\-help\\fR", "show help, of a command or of all") +
          tagged("\\fB\\-\\-version\\fR", "show the version");
  text += ".SH EXIT STATUS\n";
  for (const auto& [status, means] : exit_words()) {
    text += tagged(fmt::format("\\fB{}\\fR", status), roff(means));
  }
  text += ".SH ENVIRONMENT\n" +
          tagged("\\fBCOLUMNS\\fR",
                 "how wide answers are, where standard output goes to no terminal; default 80");
  return text +
         ".SH NOTES\nThe keys of a plan, what is reckoned and how, and what is left out stand in "
         "the "
         "documents that come with tankyard. It certifies nothing.\n";
}

}  // namespace tankyard
