// SPDX-License-Identifier: MIT
#include "io/completions.h"

#include <fmt/format.h>

#include "graph/breach.h"
#include "solver/findings.h"

namespace tankyard {
namespace {

/// The ending of the files that a value names: "html" of "FILE.html", "toml" of a plan, "*" of any
/// file, and nothing where the value is no file.
std::string ending_of(const std::string& value) {
  if (value == "PLAN" || value == "FILE") return "toml";
  if (value.rfind("FILE.", 0) == 0) return value.substr(5);
  if (value.rfind("FILE", 0) == 0 || value.rfind("FOLDER", 0) == 0) return "*";
  return {};
}

/// The words that may stand for a value, where there is a list of them.
std::vector<std::string> words_for(const std::string& value) {
  if (value == "SHELL") return shells();
  if (value != "KIND") return {};
  std::vector<std::string> kinds;
  for (const KindOfFinding& kind : kinds_of_finding()) kinds.emplace_back(kind.name);
  return kinds;
}

std::string joined(const std::vector<std::string>& words, const char* between) {
  return fmt::format("{}", fmt::join(words, between));
}

/// Text between single quotes of a shell.
std::string quoted(const std::string& text, const char* quote_inside) {
  std::string safe = "'";
  for (const char c : text) {
    if (c == '\'') {
      safe += quote_inside;
    } else {
      safe += c;
    }
  }
  return safe + "'";
}

std::string names_of(const std::vector<CommandWords>& commands, const char* between) {
  std::vector<std::string> names;
  names.reserve(commands.size() + 1);
  for (const CommandWords& command : commands) names.push_back(command.name);
  names.emplace_back("help");
  return joined(names, between);
}

// bash ----------------------------------------------------------------------------------------

/// What completes a value, as a line of bash.
std::string bash_value(const std::string& value) {
  const std::vector<std::string> words = words_for(value);
  if (!words.empty()) return fmt::format("_tankyard_words '{}'", joined(words, " "));
  const std::string ending = ending_of(value);
  if (ending.empty()) return ":";
  return fmt::format("_tankyard_files '{}'", ending);
}

std::string bash_script(const std::vector<CommandWords>& commands) {
  std::string text = R"(# Completes tankyard in bash. Made by `tankyard completions bash`.
_tankyard_words() { mapfile -t COMPREPLY < <(compgen -W "$1" -- "$cur"); }
_tankyard_files() {
  compopt -o filenames 2>/dev/null
  if [ "$1" = '*' ]; then
    mapfile -t COMPREPLY < <(compgen -f -- "$cur")
  else
    mapfile -t COMPREPLY < <(compgen -f -X "!*.$1" -- "$cur"; compgen -d -- "$cur")
  fi
}
_tankyard() {
  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} command= k
  COMPREPLY=()
  for ((k = 1; k < COMP_CWORD; ++k)); do
    case ${COMP_WORDS[k]} in
      -*) ;;
      *) command=${COMP_WORDS[k]}; break ;;
    esac
  done
  if [ -z "$command" ]; then
)";
  text += fmt::format("    _tankyard_words '{} --help --version'\n    return\n  fi\n",
                      names_of(commands, " "));
  text += "  case $command in\n";
  for (const CommandWords& command : commands) {
    text += fmt::format("    {})\n", command.name);
    std::vector<std::string> flags = {"--help"};
    std::string values;
    for (const OptionWords& option : command.options) {
      flags.push_back(option.long_flag);
      if (option.value.empty()) continue;
      values += fmt::format("        {}{}) {}; return ;;\n",
                            option.short_flag.empty() ? "" : option.short_flag + "|",
                            option.long_flag, bash_value(option.value));
    }
    if (!values.empty()) text += "      case $prev in\n" + values + "      esac\n";
    text += fmt::format(
        "      case $cur in\n        -*) _tankyard_words '{}' ;;\n        *) {} ;;\n      esac "
        ";;\n",
        joined(flags, " "), bash_value(command.first));
  }
  text += fmt::format("    help) _tankyard_words '{}' ;;\n", names_of(commands, " "));
  return text + "  esac\n}\ncomplete -F _tankyard tankyard\n";
}

// zsh -----------------------------------------------------------------------------------------

std::string zsh_quoted(const std::string& text) { return quoted(text, "'\\''"); }

/// A description inside [ ] of a specification.
std::string in_brackets(const std::string& text) {
  std::string safe;
  for (const char c : text) {
    if (c == '[' || c == ']' || c == '\\') safe += '\\';
    safe += c;
  }
  return "[" + safe + "]";
}

std::string zsh_value(const std::string& value) {
  const std::vector<std::string> words = words_for(value);
  if (!words.empty()) return fmt::format(":{}:({})", value, joined(words, " "));
  const std::string ending = ending_of(value);
  if (ending.empty()) return fmt::format(":{}: ", value);
  if (ending == "*") return fmt::format(":{}:_files", value);
  return fmt::format(":{}:_files -g \"*.{}\"", value, ending);
}

std::string zsh_script(const std::vector<CommandWords>& commands) {
  std::string text = R"(#compdef tankyard
# Completes tankyard in zsh. Made by `tankyard completions zsh`.
_tankyard() {
  local context state state_descr line
  typeset -A opt_args
  _arguments -C '(- *)'{-h,--help}'[show help]' '(- *)--version[show the version]' \
    '1:command:->command' '*::argument:->argument'
  case $state in
    command)
      local -a commands
      commands=(
)";
  for (const CommandWords& command : commands) {
    text += fmt::format("        {}\n", zsh_quoted(command.name + ":" + command.does));
  }
  text += "        'help:shows help'\n      )\n      _describe -t commands command commands ;;\n";
  text += "    argument)\n      case $line[1] in\n";
  for (const CommandWords& command : commands) {
    text += fmt::format("        {}) _arguments '(- *)'{{-h,--help}}'[show help]'", command.name);
    for (const OptionWords& option : command.options) {
      const std::string rest =
          in_brackets(option.does) + (option.value.empty() ? "" : zsh_value(option.value));
      text += " \\\n            ";
      if (option.short_flag.empty()) {
        text += zsh_quoted(option.long_flag + rest);
      } else {
        text += fmt::format("'({0} {1})'{{{0},{1}}}{2}", option.short_flag, option.long_flag,
                            zsh_quoted(rest));
      }
    }
    if (!command.first.empty()) {
      text += " \\\n            " + zsh_quoted("1" + zsh_value(command.first));
    }
    if (!command.more.empty()) text += " " + zsh_quoted("*" + zsh_value(command.more));
    text += " ;;\n";
  }
  return text + fmt::format("        help) _values command {} ;;\n", names_of(commands, " ")) +
         "      esac ;;\n  esac\n}\n"
         "if [ \"$funcstack[1]\" = _tankyard ]; then _tankyard \"$@\"; else compdef _tankyard "
         "tankyard; fi\n";
}

// fish ----------------------------------------------------------------------------------------

std::string fish_quoted(const std::string& text) { return quoted(text, "\\'"); }

std::string fish_value(const std::string& value) {
  const std::vector<std::string> words = words_for(value);
  if (!words.empty()) return fmt::format(" -x -a {}", fish_quoted(joined(words, " ")));
  return ending_of(value).empty() ? " -x" : " -r -F";
}

std::string fish_script(const std::vector<CommandWords>& commands) {
  std::string text =
      "# Completes tankyard in fish. Made by `tankyard completions fish`.\n"
      "complete -c tankyard -f\n"
      "complete -c tankyard -s h -l help -d 'show help'\n"
      "complete -c tankyard -n __fish_use_subcommand -l version -d 'show the version'\n";
  for (const CommandWords& command : commands) {
    text += fmt::format("complete -c tankyard -n __fish_use_subcommand -a {} -d {}\n", command.name,
                        fish_quoted(command.does));
  }
  text += "complete -c tankyard -n __fish_use_subcommand -a help -d 'shows help'\n";
  for (const CommandWords& command : commands) {
    const std::string here =
        fmt::format("complete -c tankyard -n '__fish_seen_subcommand_from {}'", command.name);
    for (const OptionWords& option : command.options) {
      text += here;
      if (!option.short_flag.empty()) text += " -s " + option.short_flag.substr(1);
      text += fmt::format(" -l {} -d {}{}\n", option.long_flag.substr(2), fish_quoted(option.does),
                          option.value.empty() ? "" : fish_value(option.value));
    }
    const std::vector<std::string> words = words_for(command.first);
    if (!words.empty()) {
      text += fmt::format("{} -a {}\n", here, fish_quoted(joined(words, " ")));
    } else if (!ending_of(command.first).empty()) {
      text += here + " -F\n";
    }
  }
  return text + fmt::format("complete -c tankyard -n '__fish_seen_subcommand_from help' -a {}\n",
                            fish_quoted(names_of(commands, " ")));
}

}  // namespace

const std::vector<std::string>& shells() {
  static const std::vector<std::string> all = {"bash", "fish", "zsh"};
  return all;
}

std::string completions(const std::string& shell, const std::vector<CommandWords>& commands) {
  if (shell == "bash") return bash_script(commands);
  if (shell == "zsh") return zsh_script(commands);
  if (shell == "fish") return fish_script(commands);
  breach("completions", "no shell " + shell);
}

}  // namespace tankyard
