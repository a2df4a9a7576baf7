// SPDX-License-Identifier: MIT
#include "io/trouble_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "io/utf8.h"

namespace tankyard {
namespace {

/// Longest part of a line that is shown, in terminal columns, the gutter not counted.
constexpr int widest = 100;
constexpr int tab_stop = 4;
/// Columns of the line that are kept in front of the caret when the line is cut.
constexpr int kept_in_front = 40;
constexpr const char* cut_mark = "...";
constexpr int cut_columns = 3;

std::vector<std::string_view> lines_of(std::string_view text) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  std::vector<std::string_view> lines;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    std::string_view line = text.substr(at, end - at);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    lines.push_back(line);
    at = end + 1;
  }
  return lines;
}

/// Nothing that comes out of a file may act on the terminal.
std::string harmless(std::string_view text) {
  std::string shown;
  for (std::size_t at = 0; at < text.size();) {
    const char32_t character = next_character(text, at);
    add_character(shown, is_control(character) ? 0xFFFD : character);
  }
  return shown;
}

/// A character as it is shown: its text and the columns it begins and ends at.
struct Cell {
  std::string text;
  int first = 0;
  int past = 0;
};

std::vector<Cell> cells_of(std::string_view line) {
  std::vector<Cell> cells;
  int column = 0;
  for (std::size_t at = 0; at < line.size();) {
    const char32_t character = next_character(line, at);
    Cell cell;
    cell.first = column;
    if (character == U'\t') {
      column += tab_stop - column % tab_stop;
      cell.text.assign(static_cast<std::size_t>(column - cell.first), ' ');
    } else if (is_control(character)) {
      add_character(cell.text, 0xFFFD);
      ++column;
    } else {
      add_character(cell.text, character);
      column += columns_of(character);
    }
    cell.past = column;
    cells.push_back(std::move(cell));
  }
  return cells;
}

/// The part of a line that is shown, from column `first` up to `past`.
struct Window {
  int first = 0;
  int past = 0;
};

Window window_on(int width, int caret, int caret_past) {
  if (width <= widest) return {0, width};
  if (caret_past <= widest - cut_columns) return {0, widest - cut_columns};
  const int room = widest - 2 * cut_columns;
  const int first = std::min(std::max(caret - kept_in_front, 0), std::max(width - room, 0));
  return {first, std::min(first + room, width)};
}

/// The line with its number, and the caret line below it.
std::string picture(const Spot& spot, const std::vector<std::string_view>& lines) {
  const auto index = static_cast<std::size_t>(spot.line - 1);
  if (spot.line < 1 || index >= lines.size()) return {};
  const std::vector<Cell> cells = cells_of(lines[index]);
  const int width = cells.empty() ? 0 : cells.back().past;
  const auto column_of = [&](int character) {
    const auto at = static_cast<std::size_t>(std::max(character, 1) - 1);
    return at < cells.size() ? cells[at].first : width;
  };
  const int caret = column_of(spot.column);
  const int caret_past = std::max(column_of(spot.column + std::max(spot.length, 1)), caret + 1);
  const Window window = window_on(width, caret, caret_past);

  std::string shown;
  int offset = -window.first;  // from columns of the line to columns of what is shown
  if (window.first > 0) {
    shown = cut_mark;
    offset += cut_columns;
  }
  bool begun = false;
  for (const Cell& cell : cells) {
    if (cell.first < window.first || cell.past > window.past) continue;
    // A wide character that is cut in half at the left leaves a gap.
    if (!begun) shown.append(static_cast<std::size_t>(cell.first - window.first), ' ');
    begun = true;
    shown += cell.text;
  }
  if (window.past < width) shown += cut_mark;

  const int from = std::max(caret, window.first) + offset;
  const int to =
      std::max(std::min(caret_past, std::max(window.past, caret + 1)) + offset, from + 1);
  std::string carets(static_cast<std::size_t>(from), ' ');
  carets.append(static_cast<std::size_t>(to - from), '^');
  std::string drawn = fmt::format("{:>5} | {}", spot.line, shown);
  drawn.erase(drawn.find_last_not_of(' ') + 1);
  return fmt::format("{}\n      | {}\n", drawn, carets);
}

std::string place(const Spot& spot) {
  if (spot.line < 1) return harmless(spot.file);
  return fmt::format("{}:{}:{}", harmless(spot.file), spot.line, spot.column);
}

/// What the second place has to do with the first.
std::string second_place(const PartField& see_also) {
  const std::string& field = see_also.field;
  if (field == "name" || field == "valve.name") return "the name is used first here";
  if (field.find("height") != std::string::npos) return "the height is given here";
  return "the other one is here";
}

std::string in_words(const Trouble& trouble, const std::vector<std::string_view>& lines) {
  std::string text;
  if (trouble.spot) text = place(*trouble.spot) + ": ";
  text += fmt::format("error: {}\n", harmless(trouble.message));
  if (trouble.spot) text += picture(*trouble.spot, lines);
  if (trouble.see_also && trouble.see_also_spot && trouble.see_also_spot->line > 0) {
    text += fmt::format("{}: note: {}\n", place(*trouble.see_also_spot),
                        second_place(*trouble.see_also));
    text += picture(*trouble.see_also_spot, lines);
  }
  for (const std::string& note : trouble.notes) text += fmt::format("note: {}\n", harmless(note));
  if (!trouble.help.empty()) text += fmt::format("help: {}\n", harmless(trouble.help));
  return text;
}

}  // namespace

std::string in_words(const Troubles& troubles, std::string_view text) {
  if (troubles.empty()) return {};
  const std::vector<std::string_view> lines = lines_of(text);
  std::string told;
  for (const Trouble& trouble : troubles) told += in_words(trouble, lines) + "\n";
  told += troubles.size() == 1 ? "1 mistake; nothing was run\n"
                               : fmt::format("{} mistakes; nothing was run\n", troubles.size());
  return told;
}

}  // namespace tankyard
