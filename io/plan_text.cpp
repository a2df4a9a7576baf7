// SPDX-License-Identifier: MIT
#include "io/plan_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "io/text_file.h"
#include "io/utf8.h"

namespace tankyard {
namespace {

constexpr TextFileRules plan_rules = {
    "this is a folder and no plan",
    "name a file in it",
    "`tankyard new FILE` writes a plan to start from",
    "check its name and who may read it",
    10'000'000,
    "the file is larger than 10 MB, the most that is read as a plan",
    "name the plan itself, and not a trace or a picture of it"};

/// Where a byte stands, in lines and characters.
Spot spot_of_byte(std::string_view text, std::size_t byte, const std::string& file) {
  const std::string_view before = text.substr(0, byte);
  const auto lines = std::count(before.begin(), before.end(), '\n');
  const std::size_t newline = before.rfind('\n');
  std::string_view in_line =
      newline == std::string_view::npos ? before : before.substr(newline + 1);
  if (lines == 0 && in_line.starts_with("\xEF\xBB\xBF")) in_line.remove_prefix(3);
  return {file, static_cast<int>(lines) + 1, static_cast<int>(characters_in(in_line)) + 1, 1};
}

std::optional<Trouble> not_text(std::string_view text, const std::string& file) {
  constexpr const char* help =
      "save it as plain text in UTF-8; most editors offer that under \"save as\"";
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) {
    return file_trouble(file, "the file is text in UTF-16, and a plan is text in UTF-8", help);
  }
  const std::size_t zero = text.find('\0');
  const std::optional<std::size_t> wrong = first_wrong_byte(text);
  if (zero == std::string_view::npos && !wrong) return std::nullopt;
  const std::size_t at = std::min(zero, wrong.value_or(text.size()));
  Trouble trouble = file_trouble(
      file,
      at == zero ? "there is a zero byte on this line, so the file is no text"
                 : fmt::format("there is a byte on this line, {:#04x}, that is no UTF-8 text",
                               static_cast<unsigned>(static_cast<unsigned char>(text[at]))),
      help);
  trouble.spot = spot_of_byte(text, at, file);
  return trouble;
}

/// The byte after the text in quotes that begins at `at`.
std::size_t past_quotes(std::string_view text, std::size_t at) {
  const char quote = text[at];
  const std::string three(3, quote);
  const bool over_lines = text.substr(at, 3) == three;
  const std::string_view close = over_lines ? std::string_view(three) : text.substr(at, 1);
  for (at += close.size(); at < text.size(); ++at) {
    if (text.substr(at, close.size()) == close) return at + close.size();
    if (text[at] == '\n' && !over_lines) return at;
    if (text[at] == '\\' && quote == '"') ++at;
  }
  return text.size();
}

/// Each dot in a key makes a table in a table, and each of those costs stack when it is thrown away
/// again: a hundred thousand end the program. A plan has two. (Brackets the parser limits itself.)
std::optional<Trouble> too_deep(std::string_view text, const std::string& file) {
  constexpr int most_dots = 50;
  int dots = 0;
  for (std::size_t at = 0; at < text.size();) {
    const char c = text[at];
    if (c == '"' || c == '\'') {
      at = past_quotes(text, at);
      continue;
    }
    if (c == '#') {
      at = std::min(text.find('\n', at), text.size());
      continue;
    }
    if (std::string_view("\n=,[]{}").find(c) != std::string_view::npos) dots = 0;
    if (c == '.' && ++dots > most_dots) {
      Trouble trouble = file_trouble(file, fmt::format("a key has more than {} dots", most_dots),
                                     "no key of a plan needs more than two");
      trouble.spot = spot_of_byte(text, at, file);
      return trouble;
    }
    ++at;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Trouble> why_no_plan(std::string_view text, const std::string& file) {
  if (text.size() > plan_rules.most_bytes) {
    return file_trouble(file, plan_rules.long_message, plan_rules.long_help);
  }
  if (auto trouble = not_text(text, file)) return trouble;
  return too_deep(text, file);
}

Result<std::string> plan_text(const std::string& path) { return text_of_file(path, plan_rules); }

}  // namespace tankyard
